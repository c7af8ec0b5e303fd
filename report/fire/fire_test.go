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

// night returns an invented cook, on at 20:00 with an aim of 115 °C. Lines are written
// "01:04 vent open".
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

// oClock returns a time in that night.
func oClock(h, m int) time.Time {
	t := time.Date(2026, 9, 18, h, m, 0, 0, zone)
	if h < 18 {
		t = t.AddDate(0, 0, 1)
	}
	return t
}

// probe adds readings of a pit probe from 20:00 to to.
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
		{"low", nil, falls(oClock(0, 0), 10), oClock(1, 10), Usual{}, "cooling since 00:15. Open the lower vent by a finger's width, look again in 20 min", true},
		{"low, vents just moved", []string{"01:04 pit 104 °C, vent"}, falls(oClock(0, 0), 10), oClock(1, 10), Usual{}, "cooling since 00:15, vents moved 01:04. Keep the lid shut until 01:24", false},
		{"low, wide open", []string{"22:00 vent wide open"}, falls(oClock(0, 0), 10), oClock(1, 10), Usual{}, "cooling since 00:15, and the vents are open. Look at the coals: clear the ash, add lit fuel, look again in 20 min", true},
		{"low, no fuel for long", nil, falls(oClock(4, 0), 10), oClock(5, 10), Usual{}, "cooling since 04:15, lit 10 h 10 ago. Look at the coals first, add lit fuel, look again in 20 min", true},
		{"low, no fuel for longer than usual", []string{"22:00 fuel 1 kg"}, falls(oClock(0, 0), 10), oClock(1, 10), Usual{Fed: 2 * time.Hour}, "cooling since 00:15, last fuel 3 h 10 ago. Look at the coals first, add lit fuel, look again in 20 min", true},
		{"choked", []string{"00:20 vent open"}, falls(oClock(0, 0), 14), oClock(1, 0), Usual{}, "falling since 00:10 although the vents were moved at 00:20, 101 °C now: choked, too little air. Clear the ash below the fire, then open the vents little by little, look again in 10 min", true},
		{"vents shut on purpose", []string{"00:20 vent shut a finger"}, falls(oClock(0, 0), 14), oClock(0, 40), Usual{}, "", false},
		{"runaway", nil, falls(oClock(0, 0), -30), oClock(0, 40), Usual{}, "running away since 00:10, 135 °C now, aim 115 °C. Close the lower vent by half, keep the lid shut, look again in 10 min", true},
		{"hot after the lid", []string{"00:30 lid"}, falls(oClock(0, 0), -30), oClock(0, 40), Usual{}, "hot after opening the lid at 00:30, 135 °C now. Keep the lid shut; if it is still hot at 00:50, close the lower vent by half", false},
		{"out", nil, func(t time.Time) float64 { return 9 + 106*math.Exp(-max(0, t.Sub(oClock(0, 0)).Hours())/2) }, oClock(1, 0), Usual{}, "going out since 00:10, 73 °C now. Open the vents, add lit fuel, then read the core", true},
		{"lid", []string{"00:58 spritz"}, func(t time.Time) float64 {
			if d := t.Sub(oClock(0, 58)); d >= 0 {
				return 115 - 20*math.Exp(-d.Minutes()/16)
			}
			return 115
		}, oClock(1, 8), Usual{}, "sharp dip at 00:58, from the spritz. Keep the lid shut; the pit should recover by 01:33", false},
		{"lid, in a pit that is known", []string{"00:58 spritz"}, func(t time.Time) float64 {
			if d := t.Sub(oClock(0, 58)); d >= 0 {
				return 115 - 30*math.Exp(-d.Minutes()/16)
			}
			return 115
		}, oClock(1, 8), Usual{Back: 50 * time.Minute}, "sharp dip at 00:58, from the spritz. Keep the lid shut; the pit should recover by 01:48", false},
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
			if v.Kind == Choked && !strings.Contains(v.Caution, "flare up") {
				t.Errorf("air for a choked fire without a caution: %q", v.Caution)
			}
			if got := Read(cook, journal.Pit{Setting: true}, c.usual, c.now, Defaults(), measure.Metric); got != (Verdict{}) {
				t.Errorf("a verdict from a setting: %+v", got)
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
		{"cooling", []string{"23:00 pit 115 °C", "00:30 pit 105 °C"}, oClock(0, 40), Low, "cooling since 23:00. Open the lower vent"},
		{"vents just moved", []string{"23:00 pit 115 °C", "00:30 pit 105 °C, vent"}, oClock(0, 40), Low, "vents moved 00:30. Keep the lid shut until 00:50"},
		{"no better for it", []string{"23:00 pit 111 °C, vent", "00:10 pit 103 °C"}, oClock(0, 20), Choked, "although the vents were moved at 23:00, 103 °C now: choked"},
		{"coming back", []string{"23:00 pit 99 °C", "00:10 pit 106 °C"}, oClock(0, 20), Mending, ""},
		{"just after the lid", []string{"23:00 pit 115 °C", "00:10 spritz", "00:14 pit 100 °C"}, oClock(0, 20), Lid, "Read the pit again at 00:34"},
		{"hot", []string{"23:00 pit 118 °C", "00:10 pit 131 °C"}, oClock(0, 20), Runaway, "131 °C now, aim 115 °C"},
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

// Without a setting the aim is the median of the pit readings.
func TestWithoutAnAim(t *testing.T) {
	c := night(t)
	c.Aim.Pit = measure.Temperature{}
	probe(c, oClock(1, 0), time.Minute, func(t time.Time) float64 { return 131 - 16*max(0, t.Sub(oClock(0, 10)).Hours()) })
	if v := Read(c, journal.Pit{}, Usual{}, oClock(1, 0), Defaults(), measure.Metric); v.Kind != Low || !v.Alert {
		t.Errorf("%+v", v)
	}
	if v := Read(c, journal.Pit{}, Usual{}, oClock(21, 40), Defaults(), measure.Metric); v != (Verdict{}) {
		t.Errorf("a verdict from too few readings: %+v", v)
	}
}

// A silent probe gives no verdict, even if its last readings fell.
func TestSilentProbe(t *testing.T) {
	c := night(t)
	probe(c, oClock(1, 0), time.Minute, func(t time.Time) float64 { return 115 - 14*max(0, t.Sub(oClock(0, 0)).Hours()) })
	if v := Read(c, journal.Pit{}, Usual{}, oClock(1, 30), Defaults(), measure.Metric); v != (Verdict{}) {
		t.Errorf("%+v", v)
	}
}

// Readings every second give the same verdict as readings every minute.
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
		{time.Minute, 4, 30 * time.Minute, false}, // too few readings
		{time.Minute, 60, 13 * time.Hour, false},  // put away
		{2 * time.Hour, 10, 9 * time.Hour, false}, // notes by hand
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
