package watch

import (
	"math"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/tui/backend"
	"ashbook/tui/component/bigtext"
	"ashbook/tui/component/curve"
	"ashbook/tui/tuitest"
)

func hall(t testing.TB, p *tuitest.Port) backend.Loaded {
	t.Helper()
	c, err := p.Load(tuitest.Running)
	if err != nil {
		t.Fatal(err)
	}
	return backend.Loaded{Cook: c, Now: p.Clock}
}

func TestWorkOut(t *testing.T) {
	s := workOut(hall(t, tuitest.Hall()), backend.Forecast{}, curve.Thinned{})
	if s.cores[s.slowest].piece != "large" || s.cores[s.slowest].c != 68 || !s.on || s.pit.c != 104 {
		t.Errorf("%+v", s)
	}
	if s.done.Body() != "vent, wood cherry 90 g — pale on the left" || !s.owed || s.check.For != "vent, wood" {
		t.Errorf("done %q, check %+v", s.done.Body(), s.check)
	}
	if got := s.title(60); got != "Harvest supper · pork shoulder 4.7 + 3.6 kg · brick" {
		t.Errorf("title %q", got)
	}
	if got := s.title(30); got != "Harvest supper · brick" {
		t.Errorf("short title %q", got)
	}
}

// If the aim is above what a core can reach (at 1,609 m: 93.6 °C, 1 K below the boiling
// point of the standard atmosphere), the screen says so, and a core at that temperature
// counts as at its aim.
func TestAimOverTheBoilingPoint(t *testing.T) {
	l := hall(t, tuitest.Hall())
	l.Cook.Cook.Aim.Core = measure.Degrees(96, measure.Metric)
	s := workOut(l, backend.Forecast{}, curve.Thinned{})
	if s.aimCore != "96 °C" || s.aimC != 96 {
		t.Errorf("by the sea: %q, %g", s.aimCore, s.aimC)
	}
	l.Cook.Settings.Altitude = measure.Length{Base: 1609, Known: true}
	s = workOut(l, backend.Forecast{}, curve.Thinned{})
	if s.aimCore != "96 °C, at most 94 °C here" || math.Abs(s.aimC-93.64) > .15 {
		t.Errorf("up high: %q, %g", s.aimCore, s.aimC)
	}
}

func TestSlowest(t *testing.T) {
	at := tuitest.Night
	r := func(c float64) reading { return reading{c: c, at: at} }
	for _, c := range []struct {
		cores []core
		want  int
	}{
		{[]core{{reading: r(70)}, {reading: r(68)}}, 1},
		{[]core{{reading: r(60), off: true}, {reading: r(90)}}, 1},
		{[]core{{reading: r(60)}, {reading: r(50), off: true}}, 0},
		{[]core{{}, {reading: r(90)}}, 1},
		{[]core{{reading: r(90)}, {}}, 0},
		{[]core{{}, {off: true}}, 0},
		{[]core{{}}, 0},
	} {
		if got := slowest(c.cores); got != c.want {
			t.Errorf("%+v: %d, want %d", c.cores, got, c.want)
		}
	}
}

// The curve shows the pit setting as it was at each time.
func TestSettingSteps(t *testing.T) {
	p := tuitest.Hall()
	l := hall(t, p)
	c := l.Cook.Cook
	c.Entries = append(c.Entries, journal.Entry{Time: p.Clock, Items: []journal.Item{{Act: journal.SetPit, Temp: measure.Degrees(130, measure.Metric)}}})
	ch := workOut(l, backend.Forecast{}, curve.Thinned{}).chart
	for _, line := range ch.Lines {
		if line.Name == "setting" {
			before, _ := line.At(ch.X.At(p.Clock.Add(-time.Minute)))
			after, _ := line.At(ch.X.At(p.Clock.Add(time.Minute)))
			if before != 115 || after != 130 {
				t.Errorf("%g before, %g after", before, after)
			}
			return
		}
	}
	t.Error("no setting")
}

func TestTrend(t *testing.T) {
	for rate, want := range map[float64]string{0: "→ steady", steady - .1: "→ steady", -steady: "↓ falling", steady: "↑ rising", fast + 1: "↑ rising fast", -fast - 1: "↓ falling fast"} {
		if arrow, word := trend(reading{rate: rate, moving: true}); arrow+" "+word != want {
			t.Errorf("%g K/h: %s %s, want %s", rate, arrow, word, want)
		}
	}
	if arrow, word := trend(reading{}); arrow+word != "" {
		t.Errorf("one reading has a trend: %s %s", arrow, word)
	}
}

// No row is drawn twice. If there are too few rows, the curve is left out before the
// text rows. At 60×20 the figures are large.
func TestShare(t *testing.T) {
	for h := 11; h < 60; h++ {
		for _, w := range []int{40, 60, 80, 104, 200} {
			p := share(w, h)
			if used := fixedRows + labels + 2*(p.figure+p.second) + p.curve; used > h {
				t.Errorf("%d×%d: %+v takes %d rows", w, h, p, used)
			}
			if p.curve > 0 && p.second < 2 {
				t.Errorf("%d×%d: %+v has a curve before second lines", w, h, p)
			}
			if h >= 19 && (p.figure < bigtext.Small || p.second < 2) {
				t.Errorf("%d×%d: %+v", w, h, p)
			}
		}
	}
}

func TestMealLayout(t *testing.T) {
	now := tuitest.Night
	for away, want := range map[time.Duration]string{12 * time.Hour: "15:04", 30 * time.Hour: "Mon 15:04", 10 * 24 * time.Hour: "2 Jan 15:04", -time.Hour: "2 Jan 15:04"} {
		if got := mealLayout(now, now.Add(away)); got != want {
			t.Errorf("%v away: %q, want %q", away, got, want)
		}
	}
}

// BenchmarkReckonDay measures workOut, which runs at every load: for a new day of
// readings, and for one that has grown by ten seconds.
func BenchmarkReckonDay(b *testing.B) {
	p := tuitest.Hall()
	tuitest.Day(p)
	l := hall(b, p)
	known := workOut(l, backend.Forecast{}, curve.Thinned{}).thin
	for name, thin := range map[string]curve.Thinned{"new": {}, "grown": known} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				workOut(l, backend.Forecast{}, thin)
			}
		})
	}
}
