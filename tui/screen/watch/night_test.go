package watch_test

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/journal/journaltest"
	"ashbook/journal/measure"
	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

// easing, choked and gone are states of a fire as the backend gives them.
var (
	easing = backend.Fire{Kind: "low", Says: "easing since 00:20, vents have room. Open the lower a finger, look in 20", Tone: backend.Careful, Alert: true}
	choked = backend.Fire{Kind: "choked", Says: "falling since 00:40 although the vents were moved 00:44, 97 °C now: choked. Clear the ash from under it, then air by degrees, look in 10",
		Caution: "Air by degrees, stand aside: a starved fire can flash (common practice).", Tone: backend.Bad, Alert: true, Wake: true}
)

// foretell changes the forecast of the running cook.
func foretell(p *tuitest.Port, change func(*backend.Forecast)) {
	f := p.Forecasts[tuitest.Running]
	change(&f)
	p.Forecasts[tuitest.Running] = f
}

// likelyAt sets a forecast spread evenly over one hour, that many hours after Night.
func likelyAt(hours float64) func(*backend.Forecast) {
	return func(f *backend.Forecast) {
		at := tuitest.Night.Add(time.Duration(hours * float64(time.Hour)))
		f.Early, f.Likely, f.Late, f.Off = at.Add(-40*time.Minute), at, at.Add(40*time.Minute), nil
		for i := range 50 {
			f.Off = append(f.Off, at.Add(time.Duration(i-25)*2*time.Minute))
		}
	}
}

func TestNightFrames(t *testing.T) {
	of := func(change func(*tuitest.Port)) func(style.Options) (tea.Model, *tuitest.Port) {
		return func(o style.Options) (tea.Model, *tuitest.Port) {
			p := tuitest.Hall()
			change(p)
			return tui.New(p, tui.Options{Look: o, Place: intent.Watch, Cook: tuitest.Running}), p
		}
	}
	tuitest.Goldens(t, "choked", of(func(p *tuitest.Port) { foretell(p, func(f *backend.Forecast) { f.Fire = choked }) }), func(*tuitest.Driver) {})
	tuitest.Goldens(t, "called", of(func(*tuitest.Port) {}), func(d *tuitest.Driver) {
		foretell(d.Port, func(f *backend.Forecast) { f.Fire = easing })
		d.Pass(2 * time.Minute)
	})
	tuitest.Goldens(t, "bedtime", of(func(p *tuitest.Port) {
		foretell(p, func(f *backend.Forecast) { f.Hand = 70 * time.Minute; likelyAt(4.5)(f) })
	}), func(d *tuitest.Driver) {
		d.Press("ctrl+s")
		d.Type("530")
	})
	tuitest.Goldens(t, "asleep", of(func(p *tuitest.Port) { foretell(p, func(f *backend.Forecast) { f.Fire = easing }) }), func(d *tuitest.Driver) {
		d.Press("ctrl+s")
		d.Type("430")
		d.Press("enter")
	})
	tuitest.Goldens(t, "four", of(tuitest.Four), func(*tuitest.Driver) {})
	tuitest.Goldens(t, "done", of(func(p *tuitest.Port) { p.Clock = p.Clock.Add(7*time.Hour + 30*time.Minute) }), func(d *tuitest.Driver) {
		d.Type("112 94 91")
		d.Press("enter")
		d.Pass(time.Minute)
	})
	tuitest.Goldens(t, "choices", of(func(p *tuitest.Port) {
		foretell(p, func(f *backend.Forecast) {
			at := func(h, m int) time.Time { return time.Date(2026, 9, 19, h, m, 0, 0, tuitest.Night.Location()) }
			f.Choices = []backend.Choice{
				{Name: "leave", Early: at(6, 50), Likely: at(8, 10), Late: at(9, 40), Note: "as planned: paper at 72 °C"},
				{Name: "paper", Early: at(6, 30), Likely: at(7, 40), Late: at(9, 20), Saves: 30 * time.Minute, Note: "the bark stays drier than in foil"},
				{Name: "foil", Early: at(4, 30), Likely: at(6, 0), Late: at(8, 0), Saves: 130 * time.Minute, Note: "the bark softens"},
				{Name: "pit up", Early: at(4, 10), Open: true, Saves: 3 * time.Hour, Note: "watch the surface"},
			}
		})
	}), func(d *tuitest.Driver) { d.Press("ctrl+o") })
}

// In the largest windows the figures are larger still.
func TestHugeFrame(t *testing.T) {
	p := tuitest.Hall()
	tuitest.Four(p)
	d := start(tuitest.Running, p, 200, 60)
	tuitest.Fits(t, d.Frame(), 200, 60)
	d.Golden(t, "four-200x60-none")
}

// A fire that gets worse rings at once, again every five minutes until a key is
// pressed, and again after half an hour without an entry.
func TestFireCalls(t *testing.T) {
	p := tuitest.Hall()
	d := start(tuitest.Running, p, 80, 24)
	foretell(p, func(f *backend.Forecast) { f.Fire = easing })
	d.Pass(time.Minute)
	want := "fire: " + easing.Says
	if !slices.Equal(p.Alerts, []string{want}) {
		t.Fatalf("alerts %q", p.Alerts)
	}
	expect(t, d, "COME  fire: easing since 00:20")
	for range 10 {
		d.Pass(time.Minute)
	}
	if len(p.Alerts) != 3 {
		t.Errorf("%d alerts in ten minutes, want one every five: %q", len(p.Alerts), p.Alerts)
	}
	d.Press("left")
	expectNot(t, d, "COME ")
	expect(t, d, "fire: easing since 00:20")
	for range 19 {
		d.Pass(time.Minute)
	}
	if len(p.Alerts) != 3 {
		t.Errorf("rung on although it was heard: %q", p.Alerts)
	}
	foretell(p, func(f *backend.Forecast) { f.Fire = choked })
	d.Pass(time.Minute)
	if n := len(p.Alerts); n != 4 || p.Alerts[n-1] != "fire: "+choked.Says {
		t.Errorf("another trouble is another call: %q", p.Alerts)
	}
	foretell(p, func(f *backend.Forecast) { f.Fire = backend.Fire{} })
	d.Pass(time.Minute)
	expectNot(t, d, "COME ")
}

// Trouble that was there when the screen was opened does not ring.
func TestOldTroubleIsSilent(t *testing.T) {
	p := tuitest.Hall()
	foretell(p, func(f *backend.Forecast) { f.Fire = choked })
	d := start(tuitest.Running, p, 80, 24)
	d.Pass(10 * time.Minute)
	if len(p.Alerts) != 0 {
		t.Errorf("alerts %q", p.Alerts)
	}
	expect(t, d, "fire: falling since 00:40", "stand aside")
}

func TestOtherCalls(t *testing.T) {
	for name, c := range map[string]struct {
		happens func(*testing.T, *tuitest.Driver)
		want    string
	}{
		"aim":   {func(t *testing.T, d *tuitest.Driver) { note(t, d, "112 94 71"); note(t, d, "sure") }, "large 94 °C: at its aim, probe it"},
		"wrap":  {func(t *testing.T, d *tuitest.Driver) { note(t, d, "112 70 73") }, "small 73 °C: time to wrap in paper"},
		"done":  {func(_ *testing.T, d *tuitest.Driver) { foretell(d.Port, likelyAt(-1)) }, "probably done by now (9 in 10): probe it"},
		"probe": {func(_ *testing.T, d *tuitest.Driver) { silence(d.Port) }, "nothing from the core large probe since 00:50"},
	} {
		t.Run(name, func(t *testing.T) {
			p := tuitest.Hall()
			p.Cooks[0].Aim.Wrap = journal.WrapPlan{Kind: journal.Paper, At: measure.Degrees(72, measure.Metric)}
			d := start(tuitest.Running, p, 80, 24)
			c.happens(t, d)
			d.Pass(time.Minute)
			if !slices.Equal(p.Alerts, []string{c.want}) {
				t.Errorf("alerts %q, want %q", p.Alerts, c.want)
			}
			d.Press("left")
			d.Pass(29 * time.Minute)
			if len(p.Alerts) != 1 {
				t.Errorf("rung again: %q", p.Alerts)
			}
		})
	}
}

// note adds a note by somebody else, since pressing keys would count as hearing the
// call.
func note(t *testing.T, d *tuitest.Driver, line string) {
	t.Helper()
	if _, err := d.Port.Note(tuitest.Running, line); err != nil {
		t.Fatal(err)
	}
}

func silence(p *tuitest.Port) {
	foretell(p, func(f *backend.Forecast) {
		f.Silent = []backend.Silence{{Probe: "core large", Since: tuitest.Night.Add(-14 * time.Minute)}}
	})
}

// fed gives the cook a probe that writes all night.
func fed(p *tuitest.Port) {
	p.Cooks[0].Series = journal.Series{Times: []time.Time{tuitest.Night.Add(12 * time.Hour)}, Pit: []float64{math.NaN()}}
}

// Only what is worth it wakes a sleeper, and whatever became due meanwhile is shown
// afterwards.
func TestSleep(t *testing.T) {
	p := tuitest.Hall()
	fed(p)
	foretell(p, func(f *backend.Forecast) { f.Hand = 70 * time.Minute })
	d := start(tuitest.Running, p, 80, 24)
	d.Press("ctrl+s")
	expect(t, d, "wake me at ›", "Wake at what time?")
	d.Type("430")
	expect(t, d, "Sleep until 04:30, 3 h 26 from now.", "Fire last touched 01:00, your fires usually need you every 1 h 10; the check", "due 01:45 (vent, wood) waits until then.")
	d.Press("enter")
	expect(t, d, "ASLEEP until 04:30", "but only while this window")
	foretell(p, func(f *backend.Forecast) { f.Fire = easing })
	for range 60 {
		d.Pass(time.Minute)
	}
	if len(p.Alerts) != 0 {
		t.Fatalf("woken for %q", p.Alerts)
	}
	expect(t, d, "CHECK OVERDUE")
	foretell(p, func(f *backend.Forecast) { f.Fire = choked })
	d.Pass(time.Minute)
	d.Pass(time.Minute)
	d.Pass(time.Minute)
	if len(p.Alerts) != 3 || !strings.HasPrefix(p.Alerts[0], "fire: falling") {
		t.Errorf("a choked fire rings every minute: %q", p.Alerts)
	}
	d.Press("left")
	expect(t, d, "UP AGAIN  after 1 h 03; vent, wood has been due since 01:45")
	for range 31 {
		d.Pass(time.Minute)
	}
	if n := len(p.Alerts); n == 3 || !strings.Contains(p.Alerts[n-1], "check due: vent, wood") {
		t.Errorf("the check that came due in the night is lost: %q", p.Alerts)
	}
}

// Without a probe the screen promises only what it can know: the clock and the checks.
func TestSleepWithoutProbe(t *testing.T) {
	p := tuitest.Hall()
	d := start(tuitest.Running, p, 80, 24)
	d.Press("ctrl+s")
	d.Type("430")
	expect(t, d, "the check due 01:45 (vent, wood)", "rings.")
	d.Press("enter")
	expect(t, d, "No probe: only the", "Look again within 4 h")
	for range 60 {
		d.Pass(time.Minute)
	}
	if len(p.Alerts) == 0 || !strings.Contains(p.Alerts[0], "check due: vent, wood") {
		t.Errorf("the check does not ring: %q", p.Alerts)
	}
}

// A whole night asleep without a probe, minute by minute. A due check rings again and
// again. What must be done now rings when it becomes urgent. The state of the sleep is
// visible below both in the smallest window. There is always a next check.
func TestNightAsleepWithoutProbe(t *testing.T) {
	for _, size := range [][2]int{{60, 20}, {80, 24}} {
		p := tuitest.Hall()
		d := start(tuitest.Running, p, size[0], size[1])
		d.Press("ctrl+s")
		d.Type("730")
		d.Press("enter")
		rings := map[string]int{}
		for minute := range 6 * 60 {
			if minute == 4*60 {
				foretell(p, func(f *backend.Forecast) {
					f.Care = "large: Read the pit and the core now. It was last read 4 h 00 ago, at 41 °C: a fire that went down since would not show."
					f.CareNow = true
				})
			}
			before := len(p.Alerts)
			d.Pass(time.Minute)
			for _, a := range p.Alerts[before:] {
				for _, call := range strings.Split(a, " · ") {
					rings[call]++
				}
			}
			if text := d.Text(); !strings.Contains(text, "ASLEEP until 07:30") || !strings.Contains(text, "No probe: only") || !strings.Contains(text, "CHECK") || strings.Contains(text, "NO CHECK") {
				t.Fatalf("%v, after %d min:\n%s", size, minute, text)
			}
		}
		if rings["check due: vent, wood"] < 5*60 || rings["large: Read the pit and the core now."] < 60 {
			t.Errorf("%v: rung %v", size, rings)
		}
		expect(t, d, "COME  large: Read the pit and the core now.", "COME  check due: vent, wood")
	}
}

// A caution that is not urgent is shown and wakes nobody.
func TestAimWakesNobody(t *testing.T) {
	p := tuitest.Hall()
	fed(p)
	d := start(tuitest.Running, p, 80, 24)
	d.Press("ctrl+s")
	d.Type("4")
	d.Press("enter")
	d.Pass(10 * time.Minute)
	foretell(p, func(f *backend.Forecast) { f.Care = "Aim lower: aim core 90 °C." })
	d.Pass(time.Minute)
	expect(t, d, "! Aim lower: aim core 90 °C.")
	if len(p.Alerts) > 0 {
		t.Errorf("rung: %q", p.Alerts)
	}
}

func TestWokenAtTheTime(t *testing.T) {
	p := tuitest.Hall()
	fed(p)
	d := start(tuitest.Running, p, 80, 24)
	d.Press("ctrl+s")
	d.Type("2")
	d.Press("enter")
	for range 119 {
		d.Pass(time.Minute)
	}
	if len(p.Alerts) != 0 {
		t.Fatalf("alerts %q", p.Alerts)
	}
	for range 3 {
		d.Pass(time.Minute)
	}
	if len(p.Alerts) != 3 || !strings.HasPrefix(p.Alerts[0], "03:04: time to get up") {
		t.Errorf("alerts %q, want one a minute", p.Alerts)
	}
	d.Press("esc") // a half-asleep user must not leave the screen by this key
	expect(t, d, "UP AGAIN  after 2 h 02")
	d.Pass(time.Minute)
	if len(p.Alerts) != 3 {
		t.Errorf("alerts %q after getting up", p.Alerts)
	}
	expectNot(t, d, "ASLEEP")
}

func TestWokenForAnEarlyEnd(t *testing.T) {
	p := tuitest.Hall()
	foretell(p, likelyAt(6))
	d := start(tuitest.Running, p, 80, 24)
	d.Press("ctrl+s")
	d.Type("4.5h")
	d.Press("enter")
	d.Pass(10 * time.Minute)
	foretell(p, likelyAt(3))
	d.Pass(time.Minute)
	if want := []string{"likely off at 04:04, before you are to be woken"}; !slices.Equal(p.Alerts, want) {
		t.Errorf("alerts %q, want %q", p.Alerts, want)
	}
}

func TestBedtimeLine(t *testing.T) {
	for text, want := range map[string]string{
		"04:30": "Sleep until 04:30", "4:30": "Sleep until 04:30", "430": "Sleep until 04:30", "0430": "Sleep until 04:30", "4.30": "Sleep until 04:30",
		"3": "Sleep until 04:04", "90 min": "Sleep until 02:34", "2.5": "Sleep until 03:34", "2h": "Sleep until 03:04",
		"25": "expected at most 16 h from now", "0": "expected a time such as 04:30", "99:99": "expected a time such as 04:30", "soon": "expected a time such as 04:30", "-3": "expected a time such as 04:30", "nan": "expected a time such as 04:30",
	} {
		d := start(tuitest.Running, tuitest.Hall(), 80, 24)
		d.Press("ctrl+s")
		d.Type(text)
		if !strings.Contains(d.Text(), want) {
			t.Errorf("%q: no %q in\n%s", text, want, d.Text())
		}
	}
	d := start(tuitest.Running, tuitest.Hall(), 80, 24)
	d.Press("ctrl+s", "enter")
	expect(t, d, "wake me at ›")
	d.Press("esc")
	expectNot(t, d, "wake me at")
	d.Press("ctrl+s")
	d.Type("soo")
	d.Press("esc", "ctrl+s")
	expect(t, d, "wake me at › soo")
	d.Press("ctrl+u")
	d.Type("3")
	d.Press("enter", "ctrl+c")
	if d.Quit {
		t.Error("left although somebody is to be woken")
	}
	expect(t, d, "only this window wakes you at 04:04")
	d.Press("esc")
	expect(t, d, "UP AGAIN")
	d = start(tuitest.Planned, tuitest.Hall(), 80, 24)
	d.Press("ctrl+s")
	expect(t, d, "NOTHING IS ON")
}

// If the user's own alert command fails, the screen says so.
func TestFailingAlertCommandIsShown(t *testing.T) {
	p := tuitest.Hall()
	p.AlertFails = errors.New("$ASHBOOK_ALERT: \"horn\": not found")
	d := start(tuitest.Running, p, 80, 24)
	d.Pass(45 * time.Minute)
	d.Press("left")
	expect(t, d, `! only the bell rings: $ASHBOOK_ALERT: "horn": not found`)
}

// Files are read only when they change. Forecasts are made once a minute, however fast
// a series grows.
func TestGrowingSeries(t *testing.T) {
	p := tuitest.Hall()
	tuitest.Day(p)
	c := p.Cooks[0]
	whole := c.Series
	grow := func(rows int) {
		c.Series = journal.Series{Times: whole.Times[:rows], Pit: whole.Pit[:rows]}
		for _, k := range whole.Cores {
			c.Series.Cores = append(c.Series.Cores, journal.CoreSeries{Piece: k.Piece, C: k.C[:rows]})
		}
	}
	rows := 20_000
	grow(rows)
	p.Clock = whole.Times[rows-1]
	d := start(tuitest.Running, p, 80, 24)
	loads := p.Loads
	for range 60 {
		d.Pass(time.Second)
	}
	if p.Loads != loads {
		t.Errorf("read %d times though nothing changed", p.Loads-loads)
	}
	loads, asked := p.Loads, p.Expected
	for range 60 {
		rows += 10
		grow(rows)
		d.Pass(10 * time.Second)
	}
	if p.Loads-loads != 60 || p.Expected-asked > 11 {
		t.Errorf("in ten minutes of a growing series read %d times, forecast %d times", p.Loads-loads, p.Expected-asked)
	}
}

// A night with a row each second, checks and notes: nothing is missed, and memory does
// not grow.
func TestSoak(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	p := tuitest.Hall()
	tuitest.Day(p)
	c := p.Cooks[0]
	whole := c.Series
	c.Entries = c.Entries[:2]
	p.Clock = whole.Times[120]
	cut := func() {
		n, _ := slices.BinarySearchFunc(whole.Times, p.Clock, func(a, b time.Time) int { return a.Compare(b) })
		c.Series.Times, c.Series.Pit = whole.Times[:n], whole.Pit[:n]
		for i := range c.Series.Cores {
			c.Series.Cores[i].C = whole.Cores[i].C[:n]
		}
	}
	cut()
	d := start(tuitest.Running, p, 132, 43)
	settled := uint64(0)
	due := 0
	hours := 4
	if journaltest.Whole() {
		hours = 10
	}
	for i := range hours * 60 {
		d.Pass(time.Minute)
		cut()
		if i%60 == 15 { // 15 min past each hour somebody turns the meat and is to look again in 20 min
			d.Type(fmt.Sprintf("t -- hour %d r20", i/60))
			d.Press("enter")
			note(t, d, "recheck 20 min")
			due++
		}
		if i%60 == 40 {
			d.Press("left") // counts as heard
		}
		if i == 60 || i == hours*60-1 {
			runtime.GC()
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			if settled == 0 {
				settled = m.HeapAlloc
			} else if grown := int64(m.HeapAlloc) - int64(settled); grown > 4<<20 {
				t.Errorf("%d bytes more are held at the end of the night than after an hour, the series apart", grown)
			} else {
				t.Logf("held: %d bytes more than after an hour; %d loads, %d forecasts, %d alerts", grown, p.Loads, p.Expected, len(p.Alerts))
			}
		}
	}
	rung := 0
	for _, a := range p.Alerts {
		if strings.Contains(a, "check due: look") {
			rung++
		}
	}
	if rung < due {
		t.Errorf("%d checks came due, %d were rung for: %q", due, rung, p.Alerts)
	}
}

// BenchmarkNight runs a night on the screen with a day's probe series: ticks, keys and
// frames. It reports the median and the 99th percentile of one Update and of one View,
// in ms. On a busy machine the latter is mostly waiting.
func BenchmarkNight(b *testing.B) {
	p := tuitest.Hall()
	tuitest.Day(p)
	tuitest.Four(p)
	d := start(tuitest.Running, p, 132, 43)
	d.Hold = true // the time of commands is not the screen's
	var updates, views []float64
	took := func(to *[]float64, do func()) {
		began := time.Now()
		do()
		*to = append(*to, time.Since(began).Seconds()*1000)
	}
	i := 0
	for b.Loop() {
		msg := tea.Msg(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{'1'}})
		switch i++; i % 3 {
		case 1:
			msg = tea.KeyMsg{Type: tea.KeyBackspace}
		case 2:
			p.Clock = p.Clock.Add(10 * time.Second)
			msg = backend.Time{Now: p.Clock}
		}
		took(&updates, func() { d.Model.Update(msg) })
		took(&views, func() { d.Model.View() })
	}
	for name, times := range map[string][]float64{"update": updates, "view": views} {
		slices.Sort(times)
		b.ReportMetric(times[len(times)/2], "p50-"+name+"-ms")
		b.ReportMetric(times[len(times)*99/100], "p99-"+name+"-ms")
	}
}
