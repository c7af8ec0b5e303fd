package plain

import (
	"errors"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/tui/backend"
	"ashbook/tui/tuitest"
)

// talk sends the lines one by one and returns what was printed.
func talk(t *testing.T, hall *tuitest.Port, lines ...string) string {
	t.Helper()
	in := make(chan string, len(lines))
	for _, l := range lines {
		in <- l
	}
	close(in)
	var out strings.Builder
	New(hall, Options{In: in, Out: &out, Echo: true, Light: func(cut string) (string, error) {
		if cut == "nothing" {
			return "", errors.New("no")
		}
		return tuitest.Running, nil
	}}).Run()
	for _, r := range out.String() {
		if r < ' ' && r != '\n' || r >= 0x2500 && r < 0x2800 {
			t.Errorf("%q was printed", r)
		}
	}
	return out.String()
}

func want(t *testing.T, said string, texts ...string) {
	t.Helper()
	at := 0
	for _, text := range texts {
		i := strings.Index(said[at:], text)
		if i < 0 {
			t.Errorf("%q is missing, or comes too early, in\n%s", text, said)
			return
		}
		at += i
	}
}

func TestTalk(t *testing.T) {
	said := talk(t, tuitest.Hall(), "1", "112 71 w cherry 90 -- pale", "core large 17", "undo", "undo", "zzz", "", "what if", "hold", "page", "cooks", "q", "never heard")
	want(t, said,
		"8 cooks, 2 of them not finished.\n", "1: Harvest supper, 18 Sep 2026, pork shoulder, brick, stalling\n", "2: ", "planned\n",
		"cooks> 1\n", "Pit 104 °C, falling, aim 115 °C.\n", "Ready to take off between 06:50 and 09:40, likely 08:10; meal 13:00", "Next check in 41 min: vent, wood", "Last done: vent, wood cherry 90 g; 4 min ago.\n",
		"note> 112 71", "Noted: ", "pit 112 °C, core large 71 °C, wood cherry 90 g, pale.\n",
		"note> core large 17\n", "Look: core large 17 °C, last was 71 °C: swapped digits?\n",
		"note> undo\n", "Undone: ", "17 °C", "note> undo\n", "Undone: ", "wood cherry",
		"Not noted yet. It would be kept as words: zzz.\n", "I don't know \"zzz\"", "note> \n", "Pit 104 °C", "Nothing to choose", "note> cooks\n", "8 cooks.\n", "cooks> q\n")
	if strings.Contains(said, "never heard") {
		t.Error("it went on after q")
	}
}

func TestTalkInTheList(t *testing.T) {
	said := talk(t, tuitest.Hall(), "99", "0", "hold", "find", "fête", "1", "find nothing of the kind", "matters bark", "matters luck", "light", "light nothing", "light brisket", "light", "2", "cooks", "2", "light", "hindsight", "?")
	want(t, said,
		`"99": expected the number of a cook in the list, 1 to 8`, `"0": expected`, "hold needs an open cook", "find what?",
		"1 cook.\n1: Summer fête", "note> find nothing", "0 cooks.", "What changes bark", `"luck": expected one of time, tenderness`, "light what?", "Not lit: no", "Lit: "+tuitest.Running, "carbon monoxide", "Pit 104", "It was lit already.", "Not noted yet. It would be: core large 2 °C ?.", "planned", "note> light\nNoted: ", "lit", "Hindsight", "undo: undo the last entry")
	if !strings.HasSuffix(said, "note> \n") {
		t.Errorf("the end is %q", said[len(said)-20:])
	}
}

// Each eater is asked in turn, a mistyped score is asked for again, and no eater is
// saved in part.
func TestTasting(t *testing.T) {
	hall := tuitest.Hall()
	said := talk(t, hall, "find fête", "1", "taste", "far too long", "RT", "8", "12", "7-", "", "6", "6+", "8", "lovely", "DB", "8", "stop", "taste", "MB", "7", "")
	want(t, said, "Each from 1 to 9. A + after it", `initials "far too long": expected`, "Tenderness: 8", `score "12": expected 1 to 9`, "What did RT say?", "Kept: RT, tenderness 8, moisture 7-, smoke 6, salt 6+, overall 8.", "DB is not saved.", "MB is not saved.")
	if len(hall.Kept) != 1 || hall.Kept[0].Words != "lovely" {
		t.Errorf("kept %v", hall.Kept)
	}
	hall.Fails = errors.New("disk full")
	want(t, talk(t, hall, "1", "v", "undo"), "Not noted: disk full", "Not noted: disk full")
}

// After the eaters it asks what to keep and to change, and for weights by name. It
// prints the texts that are there, and an empty line keeps them.
func TestAfterwards(t *testing.T) {
	hall := tuitest.Hall()
	cook := hall.Cooks[2]
	said := talk(t, hall, "find fête", "1", "taste", "", "", "start two hours later", "taste", "", ".", "", "weights", "heavy", "1.3", ".", "weights", "none", "Nothing", "-")
	want(t, said, "Now: cherry only in the first two hours.\n", "What to keep next time? An empty line leaves it, a lone . deletes it: \n", "Now: start an hour later.\n", "Kept: change, start two hours later.",
		"Deleted: keep, cherry only in the first two hours.", "Weight as it came off? Or nothing: heavy", "Not kept: ", "Kept: discard, 1.3 kg.", "Deleted: left, ")
	if cook.Keep != "" || cook.Change != "start two hours later" || cook.Yield.Discard.String() != "1.3 kg" || cook.Yield.Off.Known {
		t.Errorf("kept %q, %q, %v", cook.Keep, cook.Change, cook.Yield)
	}
}

// A line that was repeated but not noted is named before the next one is taken. A
// doubted reading is confirmed by yes or sure, whether it was noted before or not.
func TestSaidBack(t *testing.T) {
	hall := tuitest.Hall()
	said := talk(t, hall, "1", "zzz", "112", "core large 17", "yes", "112 413", "sure")
	want(t, said, "Not noted yet. It would be kept as words: zzz.", "Left out: zzz.", "pit 112 °C.\n",
		"core large 17 °C ?.\n", "It counts once you type yes", "sure.\n",
		"Not noted yet. It would be: pit 112 °C, core large 413 °C ?.", "Noted: ", "core large 413 °C ?.\n", "sure.\n")
	if doubts := hall.Cooks[0].Doubts(); len(doubts) > 0 {
		t.Errorf("still doubted: %v", doubts)
	}
}

// An urgent caution is printed once when it appears, and again when the act is another
// one. An aim that cannot be reached is not announced.
func TestUrgentCautionIsAnnounced(t *testing.T) {
	hall := &pressed{Port: tuitest.Hall()}
	f := hall.Forecasts[tuitest.Running]
	hall.forecast.Store(&f)
	in, tick := make(chan string), make(chan time.Time)
	var out strings.Builder
	ended := make(chan bool)
	go func() {
		New(hall, Options{In: in, Out: &out, Tick: tick}).Run()
		ended <- true
	}()
	say := func(care string, now bool) {
		f := f
		f.Care, f.CareNow = care, now
		hall.forecast.Store(&f)
		tick <- time.Time{}
		tick <- time.Time{}
	}
	in <- "1"
	say("Aim lower: aim core 90 °C.", false)
	say("Read the pit and the core now. Nothing was read for 4 h 10.", true)
	say("Read the pit and the core now. Nothing was read for 4 h 11.", true)
	say("Put it in the open air now.", true)
	in <- "q"
	<-ended
	want := []string{"Do now: Read the pit and the core now. Nothing was read for 4 h 10.", "Do now: Put it in the open air now."}
	if !slices.Equal(hall.Alerts, want) {
		t.Errorf("rung %q, want %q", hall.Alerts, want)
	}
}

// pressed is a hall whose forecast another goroutine sets.
type pressed struct {
	*tuitest.Port
	forecast atomic.Pointer[backend.Forecast]
}

func (p *pressed) Expect(*journal.Cook, time.Time) backend.Forecast { return *p.forecast.Load() }

// moved is a hall whose clock another goroutine moves.
type moved struct {
	*tuitest.Port
	by atomic.Int64
}

func (m *moved) Now() time.Time { return m.Clock.Add(time.Duration(m.by.Load())) }

// A check that becomes due while nothing is typed is announced once, and the question
// is repeated.
func TestDue(t *testing.T) {
	hall := &moved{Port: tuitest.Hall()}
	in, tick := make(chan string), make(chan time.Time)
	var out strings.Builder
	ended := make(chan bool)
	go func() {
		New(hall, Options{In: in, Out: &out, Tick: tick}).Run()
		ended <- true
	}()
	look := func() { tick <- time.Time{} }
	look()
	in <- "1"
	look()
	hall.by.Store(int64(42 * time.Minute))
	look()
	look()
	in <- "q"
	<-ended
	if got := strings.Count(out.String(), "Check now: vent, wood, due 01:45.\nnote> "); got != 1 {
		t.Errorf("told %d times:\n%s", got, out.String())
	}
	if len(hall.Alerts) != 1 {
		t.Errorf("alerts %q", hall.Alerts)
	}
}

func TestDone(t *testing.T) {
	done := make(chan struct{})
	close(done)
	var out strings.Builder
	New(tuitest.Hall(), Options{In: make(chan string), Out: &out, Done: done}).Run()
	want(t, out.String(), "cooks> \n")
}

func TestSettle(t *testing.T) {
	p := tuitest.Hall()
	for _, c := range p.Cooks {
		if c.ID == tuitest.Running {
			c.Others = []journal.Other{{Key: []string{"serve"}, Stands: "2026-09-19T14:00+01:00", Value: "2026-09-19T12:30+01:00", By: "Ann"}}
		}
	}
	said := talk(t, p, "1", "settle serve 15:00", "settle serve 12:30", "now", "settle serve 14:00")
	want(t, said, "serve 14:00; Ann said 12:30. Type settle and the right one, such as settle serve 14:00.",
		"Not settled", "expected serve 14:00, or 12:30", "Noted: serve 12:30, not 14:00.", "Not settled", "there is nothing to settle")
}
