package watch_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/course"
	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/screen/watch"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

func start(id string, p *tuitest.Port, w, h int) *tuitest.Driver {
	return tuitest.Start(tui.New(p, tui.Options{Place: intent.Watch, Cook: id}), p, w, h)
}

func expect(t *testing.T, d *tuitest.Driver, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(d.Text(), w) {
			t.Errorf("no %q in\n%s", w, d.Text())
		}
	}
}

func expectNot(t *testing.T, d *tuitest.Driver, unwanted string) {
	t.Helper()
	if strings.Contains(d.Text(), unwanted) {
		t.Errorf("%q in\n%s", unwanted, d.Text())
	}
}

func TestFrames(t *testing.T) {
	of := func(id string) func(style.Options) (tea.Model, *tuitest.Port) {
		return func(o style.Options) (tea.Model, *tuitest.Port) {
			p := tuitest.Hall()
			return tui.New(p, tui.Options{Look: o, Place: intent.Watch, Cook: id}), p
		}
	}
	tuitest.Goldens(t, "running", of(tuitest.Running), func(*tuitest.Driver) {})
	tuitest.Goldens(t, "noted", of(tuitest.Running), func(d *tuitest.Driver) {
		d.Type("112 17 w cherry 90 v")
		d.Press("enter")
	})
	tuitest.Goldens(t, "overdue", of(tuitest.Running), func(d *tuitest.Driver) {
		d.Pass(53 * time.Minute)
		d.Type("108 69 b1 -- left side")
	})
	tuitest.Goldens(t, "planned", of(tuitest.Planned), func(d *tuitest.Driver) { d.Press("ctrl+l") })
}

func TestNightFrame(t *testing.T) {
	p := tuitest.Hall()
	d := tuitest.Start(tui.New(p, tui.Options{Look: style.Options{Colour: style.Sixteen}, Place: intent.Watch, Cook: tuitest.Running}), p, 80, 24)
	day := d.Text()
	d.Press("ctrl+n")
	d.Golden(t, "night-80x24-sixteen")
	trim := func(s string) string {
		lines := strings.Split(s, "\n")
		for i, l := range lines {
			lines[i] = strings.TrimRight(l, " ")
		}
		return strings.Join(lines, "\n")
	}
	if trim(d.Text()) != trim(day) {
		t.Errorf("night says other things than day:\n%s", d.Text())
	}
}

// NOTED is shown only once the backend has answered.
func TestNotedOnlyOnceSaved(t *testing.T) {
	d := start(tuitest.Running, tuitest.Hall(), 80, 24)
	d.Type("112 71 v")
	expect(t, d, "pit 112 °C · core large 71 °C · vent")
	d.Hold = true
	d.Press("enter")
	expectNot(t, d, "NOTED")
	expect(t, d, "writing 112 71 v")
	d.Release()
	expect(t, d, "NOTED  01:04", "pit 112 °C · core large 71 °C · vent")
	d.Type("x")
	expectNot(t, d, "NOTED")
}

// The screen cannot be left while lines wait to be saved.
func TestNoLeavingWhileWriting(t *testing.T) {
	d := start(tuitest.Running, tuitest.Hall(), 80, 24)
	d.Hold = true
	d.Type("v")
	d.Press("enter")
	d.Hold = false
	d.Press("esc")
	expect(t, d, "writing v …")
	d.Press("ctrl+c")
	if d.Quit {
		t.Error("ashbook was left while writing")
	}
	d.Release()
	d.Press("esc")
	expect(t, d, "8 cooks")
}

func TestFailedNoteComesBack(t *testing.T) {
	p := tuitest.Hall()
	d := start(tuitest.Running, p, 80, 24)
	p.Fails = errors.New("notes cannot be kept here; next: ashbook init")
	d.Type("112 71")
	d.Press("enter")
	expect(t, d, "NOT NOTED", "next: ashbook init", "› 112 71")
	before := len(p.Cooks[0].Entries)
	p.Fails = nil
	d.Press("enter")
	expect(t, d, "NOTED  01:04")
	if got := len(p.Cooks[0].Entries); got != before+1 {
		t.Errorf("%d entries, want %d", got, before+1)
	}
}

// The first Enter shows what is not understood; the second saves it as words.
func TestWordsAreKeptOnTheSecondEnter(t *testing.T) {
	p := tuitest.Hall()
	d := start(tuitest.Running, p, 80, 24)
	before := len(p.Cooks[0].Entries)
	d.Type("zzz 9")
	d.Press("enter")
	expect(t, d, "ENTER AGAIN", `I don't know "zzz 9": kept as words`, "› zzz 9")
	if got := len(p.Cooks[0].Entries); got != before {
		t.Errorf("%d entries, want %d", got, before)
	}
	d.Type("9")
	d.Press("enter")
	expect(t, d, "ENTER AGAIN", "› zzz 99")
	d.Press("enter")
	expect(t, d, "NOTED", "zzz 99")
	if es := p.Cooks[0].Entries; len(es) != before+1 || es[before].Words != "zzz 99" || len(es[before].Items) > 0 {
		t.Errorf("noted %v", es[len(es)-1])
	}
}

func TestTakeBack(t *testing.T) {
	for name, undo := range map[string]func(*tuitest.Driver){
		"key":  func(d *tuitest.Driver) { d.Press("ctrl+z") },
		"word": func(d *tuitest.Driver) { d.Type("undo"); d.Press("enter") },
	} {
		t.Run(name, func(t *testing.T) {
			p := tuitest.Hall()
			d := start(tuitest.Running, p, 80, 24)
			before := len(p.Cooks[0].Entries)
			undo(d)
			expect(t, d, "UNDONE  01:00")
			if got := len(p.Cooks[0].Entries); got != before-1 {
				t.Errorf("%d entries, want %d", got, before-1)
			}
		})
	}
}

// An entry from before this run is undone only on the second request in a row. Redo
// restores what was undone.
func TestUndoAsksTwice(t *testing.T) {
	p := tuitest.Hall()
	p.Older = true
	d := start(tuitest.Running, p, 80, 24)
	before := len(p.Cooks[0].Entries)
	d.Press("ctrl+z")
	expect(t, d, "AGAIN TO UNDO", "before you opened ashbook")
	d.Type("x")
	d.Press("backspace", "ctrl+z")
	expect(t, d, "AGAIN TO UNDO")
	if got := len(p.Cooks[0].Entries); got != before {
		t.Fatalf("%d entries, want %d", got, before)
	}
	d.Press("ctrl+z")
	expect(t, d, "UNDONE  01:00")
	d.Press("f3")
	expect(t, d, "PUT BACK  01:00")
	if got := len(p.Cooks[0].Entries); got != before {
		t.Errorf("%d entries, want %d", got, before)
	}
	d.Type("redo")
	d.Press("enter")
	expect(t, d, "NOT NOTED", "nothing was undone here")
	d.Press("ctrl+u")
	d.Type("undo")
	d.Press("enter")
	expect(t, d, "ENTER AGAIN", "before you opened ashbook")
	d.Press("enter")
	expect(t, d, "UNDONE  01:00")
}

// Two lines entered before the first is saved are saved in order.
func TestLinesQueue(t *testing.T) {
	p := tuitest.Hall()
	d := start(tuitest.Running, p, 80, 24)
	before := len(p.Cooks[0].Entries)
	d.Hold = true
	d.Type("v")
	d.Press("enter")
	d.Type("s")
	d.Press("enter")
	d.Release()
	var got []string
	for _, e := range p.Cooks[0].Entries[before:] {
		got = append(got, e.Body())
	}
	if !slices.Equal(got, []string{"vent", "spritz"}) {
		t.Errorf("entries %q, want vent, then spritz", got)
	}
}

func TestEarlierLines(t *testing.T) {
	d := start(tuitest.Running, tuitest.Hall(), 80, 24)
	for _, l := range []string{"v", "112 71"} {
		d.Type(l)
		d.Press("enter")
	}
	d.Type("half")
	d.Press("up")
	expect(t, d, "› 112 71")
	d.Press("up", "up")
	expect(t, d, "› v")
	d.Press("down", "down")
	expect(t, d, "› half")
	d.Press("ctrl+k")
	d.Type("wrap foil")
	d.Press("enter", "up")
	expect(t, d, "› half")
	d.Press("esc")
	d.Paste("w 90\ns\nv half")
	d.Press("esc", "up", "up", "up")
	expect(t, d, "› v half")
}

func TestComplete(t *testing.T) {
	d := start(tuitest.Running, tuitest.Hall(), 80, 24)
	d.Type("spr")
	d.Press("tab")
	expect(t, d, "› spritz")
}

func TestBellRingsOncePerCheck(t *testing.T) {
	p := tuitest.Hall()
	d := start(tuitest.Running, p, 80, 24)
	d.Pass(40 * time.Minute)
	if len(p.Alerts) != 0 {
		t.Fatalf("rung early: %q", p.Alerts)
	}
	for range 5 {
		d.Pass(time.Minute)
	}
	if want := []string{"check due: vent, wood"}; !slices.Equal(p.Alerts, want) {
		t.Errorf("alerts %q, want %q", p.Alerts, want)
	}
	expect(t, d, "CHECK OVERDUE")
	d.Type("s")
	d.Press("enter")
	d.Pass(45 * time.Minute)
	if len(p.Alerts) != 2 || p.Alerts[1] != "check due: spritz" {
		t.Errorf("alerts %q, want a second one for spritz", p.Alerts)
	}
}

// A check that was due before the screen was opened does not ring.
func TestOldCheckIsSilent(t *testing.T) {
	p := tuitest.Hall()
	p.Clock = p.Clock.Add(3 * time.Hour)
	d := start(tuitest.Running, p, 80, 24)
	d.Pass(time.Minute)
	if len(p.Alerts) != 0 {
		t.Errorf("alerts %q, want none", p.Alerts)
	}
	expect(t, d, "CHECK OVERDUE")
}

func TestLightAsksTwice(t *testing.T) {
	p := tuitest.Hall()
	d := start(tuitest.Planned, p, 80, 24)
	d.Press("ctrl+l")
	expect(t, d, "LIGHT THE FIRE?")
	d.Press("esc")
	if n := len(p.Cooks[1].Entries); n != 0 {
		t.Fatalf("%d entries after no", n)
	}
	d.Press("ctrl+l", "enter")
	expect(t, d, "NOTED  01:04 lit", "settling")
	d.Press("ctrl+l")
	expectNot(t, d, "LIGHT THE FIRE?")
}

// The screen shows what happened to a core as it happens.
func TestEventsAreReported(t *testing.T) {
	p := tuitest.Hall()
	d := start(tuitest.Running, p, 60, 20)
	expectNot(t, d, "two pieces differ")
	d.Type("104 64 68 -2")
	d.Press("enter")
	expectNot(t, d, "core large fell")
	d.Type("104 63 68")
	d.Press("enter", "down")
	expect(t, d, "core large fell: from 68 °C to 64 °C.")
	d.Type("104 63 72")
	d.Press("enter", "down")
	expect(t, d, "01:04 two pieces differ: by 9 °C.")
}

// Each event of a core has the name, cause and cost that the cook's page gives it: whole
// in a high window and read aloud; in a low one what was seen. The time above 80 °C, which
// nearly every cook has, hides no other event.
func TestEachEventIsReported(t *testing.T) {
	on := tuitest.Night.Add(-4 * time.Hour)
	for name, cores := range map[string][2][]float64{
		"core large fell":            {{20, 40, 55, 66, 61, 60, 60, 60}, {20, 40, 55, 60, 60, 60, 60, 60}},
		"core large, a second stall": {{60, 70, 78, 81, 83, 83, 83.5, 84}, {60, 70, 78, 81, 83, 85, 87, 89}},
		"core large above its aim":   {{50, 55, 60, 65, 70, 79, 88, 98}, {50, 55, 60, 65, 70, 79, 88, 93}},
		"two pieces differ":          {{40, 45, 50, 54, 56, 58, 66, 68}, {38, 43, 48, 51, 53, 55, 57, 61}},
		"time above 80 °C":           {{50, 60, 68, 74, 79, 83, 87, 91}, {50, 60, 68, 74, 79, 83, 87, 91}},
	} {
		p := tuitest.Hall()
		c := p.Cooks[0]
		c.Entries = []journal.Entry{{Time: on.Add(-time.Hour), Items: []journal.Item{{Act: journal.Lit}}}, {Time: on, Items: []journal.Item{{Act: journal.On}}}}
		for k := range cores[0] {
			e := journal.Entry{Time: on.Add(time.Duration(k+1) * 30 * time.Minute)}
			for i, piece := range []string{"large", "small"} {
				e.Items = append(e.Items, journal.Item{Act: journal.ReadCore, Piece: piece, Temp: measure.Degrees(cores[i][k], measure.Metric)})
			}
			c.Entries = append(c.Entries, e)
		}
		events := course.Events(c, measure.Metric, tuitest.Night)
		i := slices.IndexFunc(events, func(e course.Event) bool { return e.Name == name })
		if i < 0 {
			t.Errorf("no %q in %+v", name, events)
			continue
		}
		last := events[i]
		seen := strings.Fields(last.Name + ": " + last.Says + ".")
		whole := strings.Join(append(seen, strings.Fields(last.Usual)...), " ")
		for _, w := range []struct {
			w, h int
			want string
		}{{60, 20, strings.Join(seen, " ")}, {80, 24, strings.Join(seen, " ")}, {132, 43, whole}} {
			text := start(tuitest.Running, p, w.w, w.h).Text()
			if !strings.Contains(strings.Join(strings.Fields(text), " "), w.want) {
				t.Errorf("%d×%d: no %q in\n%s", w.w, w.h, w.want, text)
			}
		}
		heard := watch.Say(backend.Loaded{Cook: backend.Cook{Cook: c, Settings: p.Settings}, Now: tuitest.Night}, backend.Forecast{})
		if !slices.ContainsFunc(heard, func(line string) bool { return strings.HasSuffix(line, whole) }) {
			t.Errorf("no %q in %q", whole, heard)
		}
	}
}

// Beside the forecast are those of some hours ago: only the oldest if there is little
// room, all if there is more. What moved it is said below, or above the entry line if
// nothing more important is there.
func TestForecastOverTheHours(t *testing.T) {
	p := tuitest.Hall()
	foretell(p, func(f *backend.Forecast) {
		f.Moved = "last core: 30 min later"
		for _, ago := range []time.Duration{3 * time.Hour, time.Hour} {
			at := tuitest.Night.Add(-ago)
			f.Said = append(f.Said, course.Said{At: at, Early: at.Add(6 * time.Hour), Late: at.Add(11 * time.Hour)})
		}
	})
	old, late := "likely 08:10 · 3 h ago 04:04 – 09:04", " · 1 h ago 06:04 – 11:04"
	for _, w := range []struct{ w, h int }{{60, 20}, {80, 24}, {132, 43}} {
		d := start(tuitest.Running, p, w.w, w.h)
		expect(t, d, old, "last core: 30 min later")
		if w.w > 100 {
			expect(t, d, old+late)
		} else {
			expectNot(t, d, "1 h ago")
		}
	}
	foretell(p, func(f *backend.Forecast) { f.Care = "Aim higher." })
	expectNot(t, start(tuitest.Running, p, 80, 24), "last core")
	p.Settings.Units = measure.US // 8:10am is longer, and must not push out the meal
	d := start(tuitest.Running, p, 60, 20)
	expect(t, d, "likely 8:10am", "meal 13:00")
	expectNot(t, d, "3 h ago")
}

// An urgent caution is shown above the line, with its sign, unless something else is
// there.
func TestCareIsShown(t *testing.T) {
	p := tuitest.Hall()
	f := p.Forecasts[tuitest.Running]
	f.Care = "Aim higher: aim core 74 °C. The core is to come off at 68 °C; the published least for it is 74 °C."
	p.Forecasts[tuitest.Running] = f
	d := start(tuitest.Running, p, 60, 20)
	expect(t, d, "! Aim higher: aim core 74 °C.")
	d.Type("112 71")
	expectNot(t, d, "! Aim higher")
}

// In a small window an urgent caution takes two rows, with what to do first. What is
// below it stays.
func TestCareIsShort(t *testing.T) {
	p := tuitest.Hall()
	foretell(p, func(f *backend.Forecast) {
		f.Care = "Read it now: unless it is at 57 °C or above, throw it out. If it was served or chilled, note when. 4 h 30 from the last moment it was known to be hot (Sat 05:10) to now, with nothing noted since, and no reading between."
	})
	d := start(tuitest.Running, p, 60, 20)
	expect(t, d, "! Read it now: unless it is at 57 °C or above, throw it", "out. If it was served or chilled, note when.", "LAST DONE", "NEXT CHECK")
	expectNot(t, d, "4 h 30 from")
	d = start(tuitest.Running, p, 132, 43)
	expect(t, d, "4 h 30 from")
}

// A doubted reading is shown, not counted, and confirmed by two Enters. After Esc it
// stays doubted.
func TestDoubtIsConfirmed(t *testing.T) {
	p := tuitest.Hall()
	d := start(tuitest.Running, p, 80, 24)
	d.Type("112 17")
	d.Press("enter")
	expect(t, d, "core large 17 °C ?", "Enter: the reading with a ? is right")
	doubts := func() int { return len(p.Cooks[0].Doubts()) }
	d.Press("enter")
	expect(t, d, "IS IT RIGHT?", "last was 68 °C: swapped digits?", "Esc: leave it out")
	d.Press("esc")
	expect(t, d, "17 °C ? not counted")
	if doubts() != 1 {
		t.Errorf("%d doubts after Esc", doubts())
	}
	d.Press("enter", "enter")
	expect(t, d, "NOTED", "sure", "pit and core, then what was done")
	if doubts() != 0 || strings.Contains(d.Text(), "not counted") {
		t.Errorf("not confirmed:\n%s", d.Text())
	}
}

func TestStaleLoadIsDropped(t *testing.T) {
	p := tuitest.Hall()
	d := start(tuitest.Running, p, 80, 24)
	d.Hold = true
	d.Pass(2 * time.Minute)
	d.Type("turn")
	d.Press("enter")
	d.Release()
	d.Press("left")
	expect(t, d, "turn")
	expectNot(t, d, "wood cherry")
}

func TestOthersNotesAppear(t *testing.T) {
	p := tuitest.Hall()
	d := start(tuitest.Running, p, 80, 24)
	if _, err := p.Note(tuitest.Running, "turn"); err != nil {
		t.Fatal(err)
	}
	expectNot(t, d, "turn")
	d.Pass(time.Minute)
	expect(t, d, "turn")
}

func TestUnits(t *testing.T) {
	p := tuitest.Hall()
	p.Settings.Units = measure.US
	d := start(tuitest.Running, p, 80, 24)
	expect(t, d, "PIT °F", "aim 239 °F", "+1.8 °F/h, stall 1 h 10", "10.4 + 7.9 lb", "158 small")
}

func TestNoForecast(t *testing.T) {
	p := tuitest.Hall()
	f := p.Forecasts[tuitest.Running]
	f.Early, f.Late, f.Meal, f.From = time.Time{}, time.Time{}, "", "no past cooks of this cut to go by"
	p.Forecasts[tuitest.Running] = f
	d := start(tuitest.Running, p, 80, 24)
	expect(t, d, "meal 13:00", "no past cooks of this cut to go by")
}

func TestPastForecastIsNotRepeated(t *testing.T) {
	d := start(tuitest.Running, tuitest.Hall(), 80, 24)
	d.Pass(9 * time.Hour)
	expect(t, d, "expected until 09:40, and still on")
}

func TestOff(t *testing.T) {
	p := tuitest.Hall()
	d := start(tuitest.Running, p, 132, 43)
	d.Type("off large")
	d.Press("enter")
	expect(t, d, "READY TO TAKE OFF", "CORE °C small", "68 large off")
	d.Type("off small")
	d.Press("enter")
	expectNot(t, d, "READY TO TAKE OFF")
	expect(t, d, "0 min ago", "off small")
}

func TestMissingCook(t *testing.T) {
	d := start("2026-01-01-none", tuitest.Hall(), 80, 24)
	expect(t, d, "this cook cannot be read", "Esc shelf")
	d.Press("esc")
	expect(t, d, "8 cooks")
}

func BenchmarkDay(b *testing.B) {
	p := tuitest.Hall()
	tuitest.Day(p)
	d := start(tuitest.Running, p, 132, 43)
	d.Hold = true
	b.Run("key and frame", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			d.Type("1")
			_ = d.Frame()
			d.Press("backspace")
		}
	})
	b.Run("tick and frame", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			d.Pass(time.Millisecond)
			_ = d.Frame()
		}
	})
}

// Why history waits is shown until it no longer waits, whatever is noted meanwhile.
func TestWaitingForHistoryStays(t *testing.T) {
	p := tuitest.Hall()
	d := start(tuitest.Running, p, 60, 20)
	expectNot(t, d, "not in history")
	p.Waiting = "a merge is in progress (end it with git commit)"
	d.Type("112 71")
	d.Press("enter")
	d.Pass(time.Minute)
	expect(t, d, "! noted, but not in history yet: a merge is in progress")
	d.Pass(time.Hour)
	expect(t, d, "! noted, but not in history yet: a merge is in progress")
	p.Waiting = ""
	d.Pass(time.Minute)
	expectNot(t, d, "not in history")
}

// A cook lit with only its cut has the cut as its title. The heading shows it once.
func TestCutAsTitleIsSaidOnce(t *testing.T) {
	p := tuitest.Hall()
	c := p.Cooks[0]
	c.Title, c.Cut, c.Pieces = "Pork shoulder", "pork shoulder", nil
	d := start(tuitest.Running, p, 80, 24)
	expect(t, d, "Pork shoulder")
	expectNot(t, d, "Pork shoulder · pork shoulder")
}

// Lines pasted together are shown one by one, and each is noted when Enter is pressed.
// Esc drops the rest. The same is true in a terminal that does not mark pastes.
func TestPastedLines(t *testing.T) {
	const lines = "112 71 -- the first of three\r\nvent half\n113 72\n"
	for _, bracketed := range []bool{true, false} {
		d := start(tuitest.Running, tuitest.Hall(), 80, 24)
		noted := func() int {
			return len(d.Port.Cooks[slices.IndexFunc(d.Port.Cooks, func(c *journal.Cook) bool { return c.ID == tuitest.Running })].Entries)
		}
		before := noted()
		d.Send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(lines), Paste: bracketed})
		for i, line := range []string{"112 71 -- the first of three", "vent half", "113 72"} {
			expect(t, d, "› "+line)
			if got := noted() - before; got != i {
				t.Errorf("%d lines are noted, %q is only shown", got, line)
			}
			if i < 2 {
				d.Press("enter")
			}
		}
		d.Press("esc", "enter", "enter")
		if got := noted() - before; got != 2 {
			t.Errorf("%d lines are noted after esc, not 2:\n%s", got, d.Text())
		}
	}
}
