package fire

import (
	"math"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

var zone = time.FixedZone("", 3600)

// night returns an invented cook: on at 20:00, its aim 115 °C, with lines of a
// timeline "01:04 vent open".
func night(t testing.TB, lines ...string) *journal.Cook {
	t.Helper()
	c := &journal.Cook{ID: "2026-09-18-supper", Pieces: []journal.Piece{{}}, Aim: journal.Aim{Pit: measure.Degrees(115, measure.Metric)},
		Weather: journal.Weather{Air: measure.Degrees(9, measure.Metric)}}
	at := time.Date(2026, 9, 18, 18, 0, 0, 0, zone)
	for _, l := range append([]string{"19:00 lit", "20:00 on"}, lines...) {
		clock, body, _ := strings.Cut(l, " ")
		h, m, ok := journal.ParseClock(clock)
		items, words, problems := journal.ParseBody(body, journal.Grammar{})
		if !ok || len(items) == 0 {
			t.Fatalf("%q: %v", l, problems)
		}
		at = journal.ClockAfter(at, h, m, zone)
		c.Entries = append(c.Entries, journal.Entry{Time: at, Items: items, Words: words})
	}
	return c
}

// oClock is a time of the night of night.
func oClock(h, m int) time.Time {
	t := time.Date(2026, 9, 18, h, m, 0, 0, zone)
	if h < 18 {
		t = t.AddDate(0, 0, 1)
	}
	return t
}

// probe gives the cook a pit probe from 20:00 to a moment.
func probe(c *journal.Cook, to time.Time, step time.Duration, pit func(t time.Time) float64) {
	for t := oClock(20, 0); !t.After(to); t = t.Add(step) {
		c.Series.Times, c.Series.Pit = append(c.Series.Times, t), append(c.Series.Pit, pit(t))
	}
}

func TestSentences(t *testing.T) {
	falls := func(from time.Time, perHour float64) func(time.Time) float64 {
		return func(t time.Time) float64 { return 115 - perHour*max(0, t.Sub(from).Hours()) }
	}
	for _, c := range []struct {
		name  string
		lines []string
		pit   func(time.Time) float64
		now   time.Time
		usual Usual
		want  string
		alert bool
	}{
		{"steady", nil, falls(oClock(23, 0), 0), oClock(1, 0), Usual{}, "", false},
		{"low", nil, falls(oClock(0, 0), 10), oClock(1, 10), Usual{}, "easing since 00:15, vents have room. Open the lower a finger, look in 20", true},
		{"low, seen to", []string{"01:04 pit 104 °C, vent"}, falls(oClock(0, 0), 10), oClock(1, 10), Usual{}, "easing since 00:15, vents moved 01:04. Leave the lid shut till 01:24", false},
		{"low, wide open", []string{"22:00 vent wide open"}, falls(oClock(0, 0), 10), oClock(1, 10), Usual{}, "easing since 00:15, and the vents are open. Look at the bed: clear the ash, feed it lit fuel, look in 20", true},
		{"low, hungry", nil, falls(oClock(4, 0), 10), oClock(5, 10), Usual{}, "easing since 04:15, lit 10 h 10 ago. Look at the bed first, feed it lit fuel, look in 20", true},
		{"low, hungry by habit", []string{"22:00 fuel 1 kg"}, falls(oClock(0, 0), 10), oClock(1, 10), Usual{Fed: 2 * time.Hour}, "easing since 00:15, fuel 3 h 10 ago. Look at the bed first, feed it lit fuel, look in 20", true},
		{"choked", []string{"00:20 vent open"}, falls(oClock(0, 0), 14), oClock(1, 0), Usual{}, "falling since 00:10 although the vents were moved 00:20, 101 °C now: choked. Clear the ash from under it, then air by degrees, look in 10", true},
		{"vents shut on purpose", []string{"00:20 vent shut a finger"}, falls(oClock(0, 0), 14), oClock(0, 40), Usual{}, "", false},
		{"runaway", nil, falls(oClock(0, 0), -30), oClock(0, 40), Usual{}, "running away since 00:10, 135 °C for its aim of 115 °C. Shut the lower vent by half, leave the lid down, look in 10", true},
		{"hot after the lid", []string{"00:30 lid"}, falls(oClock(0, 0), -30), oClock(0, 40), Usual{}, "hot after the lid at 00:30, 135 °C. Leave the lid down; still hot at 00:50: lower vent shut by half", false},
		{"out", nil, func(t time.Time) float64 { return 9 + 106*math.Exp(-max(0, t.Sub(oClock(0, 0)).Hours())/2) }, oClock(1, 0), Usual{}, "going out since 00:10, 73 °C now. Vents open, and lit fuel on; then read the core", true},
		{"lid", []string{"00:58 spritz"}, func(t time.Time) float64 {
			if d := t.Sub(oClock(0, 58)); d >= 0 {
				return 115 - 20*math.Exp(-d.Minutes()/16)
			}
			return 115
		}, oClock(1, 8), Usual{}, "sharp dip at 00:58, the spritz. Leave it shut, it should be back by 01:33", false},
		{"lid, in a pit that is known", []string{"00:58 spritz"}, func(t time.Time) float64 {
			if d := t.Sub(oClock(0, 58)); d >= 0 {
				return 115 - 30*math.Exp(-d.Minutes()/16)
			}
			return 115
		}, oClock(1, 8), Usual{Back: 50 * time.Minute}, "sharp dip at 00:58, the spritz. Leave it shut, it should be back by 01:48", false},
		{"a pit that cycles", nil, func(t time.Time) float64 {
			return 105 + 9*math.Sin(2*math.Pi*t.Sub(oClock(0, 0)).Minutes()/40)
		}, oClock(1, 0), Usual{}, "", false},
		{"warming", nil, falls(oClock(20, 0), 60), oClock(20, 40), Usual{}, "", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			cook := night(t, c.lines...)
			probe(cook, c.now, time.Minute, c.pit)
			v := Read(cook, journal.Pit{}, c.usual, c.now, Defaults(), measure.Metric)
			if v.Says != c.want || v.Alert != c.alert {
				t.Errorf("%+v\nwant %q, alert %v", v, c.want, c.alert)
			}
			if v.Kind == Choked && !strings.Contains(v.Caution, "can flash") {
				t.Errorf("a starved fire is to be opened without a caution: %q", v.Caution)
			}
			if got := Read(cook, journal.Pit{Setting: true}, c.usual, c.now, Defaults(), measure.Metric); got != (Verdict{}) {
				t.Errorf("of a setting: %+v", got)
			}
		})
	}
}

func TestNotedByHand(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines []string
		now   time.Time
		kind  Kind
		says  string
	}{
		{"steady", []string{"23:00 pit 115 °C", "00:30 pit 113 °C"}, oClock(1, 0), Steady, ""},
		{"one reading", []string{"00:30 pit 113 °C"}, oClock(1, 0), Steady, ""},
		{"easing", []string{"23:00 pit 115 °C", "00:30 pit 105 °C"}, oClock(0, 40), Low, "easing since 23:00, vents have room"},
		{"seen to", []string{"23:00 pit 115 °C", "00:30 pit 105 °C, vent"}, oClock(0, 40), Low, "vents moved 00:30. Leave the lid shut till 00:50"},
		{"no better for it", []string{"23:00 pit 111 °C, vent", "00:10 pit 103 °C"}, oClock(0, 20), Choked, "although the vents were moved 23:00, 103 °C now: choked"},
		{"coming back", []string{"23:00 pit 99 °C", "00:10 pit 106 °C"}, oClock(0, 20), Mending, ""},
		{"just after the lid", []string{"23:00 pit 115 °C", "00:10 spritz", "00:14 pit 100 °C"}, oClock(0, 20), Lid, "Read it again at 00:34"},
		{"hot", []string{"23:00 pit 118 °C", "00:10 pit 131 °C"}, oClock(0, 20), Runaway, "131 °C for its aim of 115 °C"},
		{"out", []string{"23:00 pit 115 °C", "02:10 pit 60 °C"}, oClock(2, 20), Out, "60 °C now"},
		{"read too long ago", []string{"23:00 pit 115 °C", "00:10 pit 100 °C"}, oClock(3, 20), Unknown, ""},
		{"off", []string{"23:00 pit 115 °C", "00:10 pit 60 °C, off"}, oClock(0, 20), Unknown, ""},
	} {
		v := Read(night(t, c.lines...), journal.Pit{}, Usual{}, c.now, Defaults(), measure.Metric)
		if v.Kind != c.kind || !strings.Contains(v.Says, c.says) || (c.says == "") != (v.Says == "") {
			t.Errorf("%s: %+v, want kind %d, %q", c.name, v, c.kind, c.says)
		}
	}
}

// Without a setting a pit is judged by where it was kept.
func TestWithoutAnAim(t *testing.T) {
	c := night(t)
	c.Aim.Pit = measure.Temperature{}
	probe(c, oClock(1, 0), time.Minute, func(t time.Time) float64 { return 131 - 16*max(0, t.Sub(oClock(0, 10)).Hours()) })
	if v := Read(c, journal.Pit{}, Usual{}, oClock(1, 0), Defaults(), measure.Metric); v.Kind != Low || !v.Alert {
		t.Errorf("%+v", v)
	}
	if v := Read(c, journal.Pit{}, Usual{}, oClock(21, 40), Defaults(), measure.Metric); v != (Verdict{}) {
		t.Errorf("told of too little: %+v", v)
	}
}

// A probe that stopped says nothing of the fire, though it fell to the last.
func TestSilentProbe(t *testing.T) {
	c := night(t)
	probe(c, oClock(1, 0), time.Minute, func(t time.Time) float64 { return 115 - 14*max(0, t.Sub(oClock(0, 0)).Hours()) })
	if v := Read(c, journal.Pit{}, Usual{}, oClock(1, 30), Defaults(), measure.Metric); v != (Verdict{}) {
		t.Errorf("%+v", v)
	}
}

// Rows a second are judged as rows a minute are.
func TestRowsASecond(t *testing.T) {
	var said []string
	for _, step := range []time.Duration{time.Second, time.Minute} {
		c := night(t)
		probe(c, oClock(1, 10), step, func(t time.Time) float64 { return 115 - 10*max(0, t.Sub(oClock(0, 0)).Hours()) })
		said = append(said, Read(c, journal.Pit{}, Usual{}, oClock(1, 10), Defaults(), measure.Metric).Says)
	}
	if said[0] != said[1] || said[0] == "" {
		t.Errorf("%q", said)
	}
}

func TestSilent(t *testing.T) {
	rows := func(step time.Duration, n int) (all []journal.Reading) {
		for i := range n {
			all = append(all, journal.Reading{Time: oClock(20, 0).Add(time.Duration(i) * step), C: 100, Probe: true})
		}
		return all
	}
	for _, c := range []struct {
		step  time.Duration
		n     int
		quiet time.Duration
		want  bool
	}{
		{time.Second, 600, 9 * time.Minute, false}, {time.Second, 600, 11 * time.Minute, true},
		{5 * time.Minute, 20, 19 * time.Minute, false}, {5 * time.Minute, 20, 21 * time.Minute, true},
		{time.Minute, 4, 30 * time.Minute, false}, // hardly a probe yet
		{time.Minute, 60, 13 * time.Hour, false},  // put away
		{2 * time.Hour, 10, 9 * time.Hour, false}, // somebody's notes
	} {
		all := rows(c.step, c.n)
		last := all[len(all)-1].Time
		since, silent := Silent(all, last.Add(c.quiet))
		if silent != c.want || silent && !since.Equal(last) {
			t.Errorf("rows every %v, %d of them, quiet for %v: %v", c.step, c.n, c.quiet, silent)
		}
		for i := range all {
			all[i].Probe = false
		}
		if _, silent := Silent(all, last.Add(c.quiet)); silent {
			t.Errorf("notes by hand are missed")
		}
	}
	cooks, _ := probed(t)
	for i := range cooks {
		c := &cooks[i]
		missed := map[time.Time]bool{}
		for _, at := range c.Series.Times {
			if since, silent := Silent(c.PitReadings(), at); silent {
				missed[since] = true
			}
		}
		for since := range missed {
			t.Logf("%s: the probe was silent from %s", c.ID, since.Format("15:04"))
		}
	}
}

func TestUsualOf(t *testing.T) {
	cooks, pits := probed(t)
	for _, name := range []string{"brick", "drum"} {
		u := UsualOf(cooks, pits[name])
		t.Logf("%s: %+v", name, u)
		if u.Hand < 30*time.Minute || u.Hand > 6*time.Hour {
			t.Errorf("%s: %+v", name, u)
		}
	}
	if u := UsualOf(cooks[:2], pits["brick"]); u != (Usual{}) {
		t.Errorf("two cooks make no habit: %+v", u)
	}
}

func BenchmarkRead(b *testing.B) {
	c := night(b)
	probe(c, oClock(1, 10), time.Second, func(t time.Time) float64 { return 115 - 10*max(0, t.Sub(oClock(0, 0)).Hours()) })
	b.ReportAllocs()
	for b.Loop() {
		Read(c, journal.Pit{}, Usual{}, oClock(1, 10), Defaults(), measure.Metric)
	}
}
