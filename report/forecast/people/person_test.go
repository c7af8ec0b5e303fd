package people

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// moments draws a Moment, plausible or not.
func moment(t *rapid.T) Moment {
	f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	m := Moment{
		Physics: f(0, 48, "physics"), Bird: rapid.Bool().Draw(t, "bird"), Read: rapid.Bool().Draw(t, "read"),
		Since: f(0, 30, "since"), Pace: f(0, 40, "pace"), Setting: rapid.Bool().Draw(t, "setting"),
		Kg: f(0, 30, "kg"), Plan: f(-1, 1, "plan"), Wrap: f(-1, 0, "wrap"), Raise: f(-1, 1, "raise"),
		Fitted: f(0, 48, "fitted"),
	}
	if m.Read {
		m.Left, m.At = f(-10, 95, "left"), f(0, 40, "at")
	}
	return m
}

// Any past cooks can be learned from and give a law with a positive standard deviation.
func TestEveryFinishedCookTeaches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var lessons []Lesson
		for cook := range rapid.IntRange(1, 25).Draw(t, "cooks") {
			for range rapid.IntRange(1, 8).Draw(t, "moments") {
				lessons = append(lessons, Lesson{cook, moment(t), rapid.Float64Range(.01, 48).Draw(t, "took")})
			}
		}
		p := Learn(lessons)
		if p == nil {
			t.Fatalf("nothing learned from %d moments", len(lessons))
		}
		for i := range lessons {
			m := &lessons[i].Moment
			if a, b := p.Common(m, &lessons[0].Moment), p.Common(&lessons[0].Moment, m); !(a >= 0) || math.Abs(a-b) > 1e-6 {
				t.Fatalf("what two cooks have in common: %g and %g", a, b)
			}
			h := p.Hours(m)
			l := h.Law
			lo, mid, hi := h.Quantile(.1), h.Quantile(.5), h.Quantile(.9)
			if math.IsNaN(l.Mean) || !(l.SD > 0) || !(lo > 0 && lo <= mid && mid <= hi) || math.IsInf(hi, 0) {
				t.Fatalf("law %+v: %g, %g, %g h", l, lo, mid, hi)
			}
		}
	})
}

// The block formula for leaving one cook out agrees with learning again without it.
func TestLeaveOneOutFormula(t *testing.T) {
	var all []Lesson
	for cook := range 5 {
		for _, at := range []float64{0, 3, 6, 9} {
			m := Moment{Physics: 12 + float64(cook), Read: at > 0, Left: 90 - 9*at, At: at, Kg: 3 + float64(cook)/2, Fitted: 12 - at}
			all = append(all, Lesson{cook, m, 13 + float64(cook) - at})
		}
	}
	fast := Learn(all)
	for k := range 5 {
		var rest []Lesson
		for _, l := range all {
			if l.Cook != k {
				rest = append(rest, l)
			}
		}
		p := Learn(rest)
		for i, l := range all {
			if l.Cook != k {
				continue
			}
			people := l.Moment.Law()
			again := (math.Log(l.Took) - p.law(&l.Moment).Mean) / people.SD
			if math.Abs(again-fast.without[i]) > 1e-8 {
				t.Fatalf("cook %d: %g by the formula, %g by learning again", k, fast.without[i], again)
			}
		}
	}
}

// Ten cooks that all took a fifth longer than the law move the mean by about that and narrow
// the range; they hardly change a forecast for poultry.
func TestPersonIsLearned(t *testing.T) {
	var all []Lesson
	for cook := range 10 {
		m := Moment{Physics: 11 + float64(cook)/3, Kg: 4}
		all = append(all, Lesson{cook, m, 1.2 * math.Exp(m.Law().Mean)})
	}
	p := Learn(all)
	m := Moment{Physics: 12.5, Kg: 4}
	before, after := m.Law(), p.law(&m)
	if d := after.Mean - before.Mean; d < .12 || d > math.Log(1.2) {
		t.Errorf("a fifth longer, ten times: moved by %.3f", d)
	}
	if after.SD > .6*before.SD {
		t.Errorf("spread %.3f after ten like cooks, %.3f before", after.SD, before.SD)
	}
	var none *Person
	if was, is := none.Common(&m, &m), p.Common(&m, &m); was < .04 || is > was/4 || is < 0 {
		t.Errorf("what two cooks have in common: %.4f, after ten cooks %.4f", was, is)
	}
	m = Moment{Physics: 3, Bird: true, Kg: 1.8}
	if was, is := none.Common(&m, &m), p.Common(&m, &m); was != is {
		t.Errorf("ten shoulders change what two chickens have in common: %.4f to %.4f", was, is)
	}
	before, after = m.Law(), p.law(&m)
	if d := after.Mean - before.Mean; math.Abs(d) > .05 || after.SD != before.SD {
		t.Errorf("ten shoulders move a first chicken by %.3f, spread %.3f of %.3f", d, after.SD, before.SD)
	}
	if none.law(&m) != before {
		t.Error("a person without cooks does not get the law of people")
	}
}

// Cooks in a pit known only by its setting do not change forecasts in a measured pit.
func TestSettingTeachesNoMeasuredPit(t *testing.T) {
	var all []Lesson
	for cook := range 10 {
		m := Moment{Physics: 11 + float64(cook)/3, Kg: 4, Setting: true}
		all = append(all, Lesson{cook, m, 1.4 * math.Exp(m.Law().Mean)})
	}
	p, m := Learn(all), Moment{Physics: 12.5, Kg: 4}
	if got, want := p.law(&m), m.Law(); got.SD != want.SD || math.Abs(got.Mean-want.Mean) > .05 {
		t.Errorf("measured: %+v, want people's %+v", got, want)
	}
	m.Setting = true
	if got := p.law(&m); got.Mean < m.Law().Mean+.2 {
		t.Errorf("by its setting: %+v, people's %+v", got, m.Law())
	}
}

// A cook noted with 20 times its hours counts as three standard deviations of the law: the
// next range is √((1 + 3²)/2) times that of people, no wider.
func TestNonsenseWidensLittle(t *testing.T) {
	m := Moment{Physics: 12, Kg: 4}
	p := Learn([]Lesson{{0, m, 20 * math.Exp(m.Law().Mean)}})
	if got, want := p.law(&m).SD, math.Sqrt(5)*m.Law().SD; math.Abs(got-want) > 1e-6 {
		t.Errorf("spread %.4f, want %.4f", got, want)
	}
}

// A cook read often changes the width of the range no more than one read once.
func TestOneCookCountsOnce(t *testing.T) {
	m := Moment{Physics: 12, Read: true, Left: 30, At: 6, Kg: 4, Cut: "brisket"}
	took := 1.4 * math.Exp(m.Law().Mean)
	often := slices.Repeat([]Lesson{{0, m, took}}, 6)
	once, more := Learn(often[:1]).law(&m).SD, Learn(often).law(&m).SD
	if once == m.Law().SD || math.Abs(more-once) > 1e-9 {
		t.Errorf("read once: spread %.4f, six times: %.4f, people's %.4f", once, more, m.Law().SD)
	}
}

// The median of the rest of a lognormal time, by the table of the inverse normal: median
// 10 h, spread .3, still on after 10 h. The median total is the 75 % point, 10·e^(.3·.6745).
func TestHours(t *testing.T) {
	h := Hours{Law{math.Log(10), .3}, 0}
	for q, want := range map[float64]float64{.5: 10, .1: 10 * math.Exp(-.3*1.28155), .9: 10 * math.Exp(.3*1.28155)} {
		if got := h.Quantile(q); math.Abs(got-want) > 1e-3 {
			t.Errorf("%g: %.4f h, want %.4f", q, got, want)
		}
	}
	h.Since = 10
	if got, want := h.Quantile(.5), 10*math.Exp(.3*.67449)-10; math.Abs(got-want) > 1e-3 {
		t.Errorf("still on after 10 h: %.4f h, want %.4f", got, want)
	}
	for _, since := range []float64{30, 100, 1000} {
		h.Since = since
		if got := h.Quantile(.9); !(got > 0) || math.IsInf(got, 0) {
			t.Errorf("still on after %g h: %g h", since, got)
		}
	}
}

// The ranges of a correct law contain 8 in 10 times at any moment that does not depend on
// the end of the cook. At a fixed share of the cook they do not: the moment at three
// quarters is known only from the end, and hardly any time is above its range. So 9 in 10
// at three quarters does not mean that the ranges are too wide.
func TestRangesAtSharesOfTheCourse(t *testing.T) {
	law := Law{math.Log(12), .3}
	holds := func(at func(took float64) (now float64, ok bool)) (held, above float64) {
		n := 0.0
		for i := range 4000 {
			took := math.Exp(law.Mean + law.SD*math.Sqrt2*math.Erfinv(2*(float64(i)+.5)/4000-1))
			now, ok := at(took)
			if !ok {
				continue
			}
			h := Hours{law, now}
			n++
			switch left := took - now; {
			case left > h.Quantile(.9):
				above++
			case left >= h.Quantile(.1):
				held++
			}
		}
		return held / n, above / n
	}
	for _, hour := range []float64{0, 3, 6, 9, 12} {
		if held, above := holds(func(took float64) (float64, bool) { return hour, took > hour }); math.Abs(held-.8) > .01 || math.Abs(above-.1) > .01 {
			t.Errorf("after %g h: holds %.3f, above %.3f", hour, held, above)
		}
	}
	for share, want := range map[float64]float64{0: .80, .5: .81, .75: .88} {
		if held, above := holds(func(took float64) (float64, bool) { return share * took, true }); math.Abs(held-want) > .02 || share == .75 && above > .02 {
			t.Errorf("at %g of the course: holds %.3f, want %.2f; above %.3f", share, held, want, above)
		}
	}
}

// More to go takes longer, a plan almost used up leaves little time, and the pace counts at
// the end, not before.
func TestLaw(t *testing.T) {
	at := func(m Moment) float64 { return math.Exp(m.Law().Mean) }
	base := Moment{Physics: 13, Read: true, Left: 20, At: 8, Pace: 5, Fitted: 4}
	for name, c := range map[string]struct {
		change func(*Moment)
		sooner bool
	}{
		"a longer plan":      {func(m *Moment) { m.Physics = 16 }, false},
		"longer on by then":  {func(m *Moment) { m.At = 11 }, true},
		"a quicker core":     {func(m *Moment) { m.Pace = 2 }, true},
		"a core that stands": {func(m *Moment) { m.Pace = 20 }, false},
	} {
		m := base
		c.change(&m)
		if got, was := at(m), at(base); got == was || got < was != c.sooner {
			t.Errorf("%s: %.2f h, was %.2f h", name, got, was)
		}
	}
	early := base
	early.Left = 60
	slow := early
	slow.Pace = 40
	if at(early) != at(slow) {
		t.Error("the pace counts 60 K before the end")
	}
	// What was not noted widens the range as an independent error: the root of the sum of
	// squares.
	doubted := base
	doubted.Doubt = .3
	if got, want := doubted.Law().SD, math.Hypot(base.Law().SD, .3); math.Abs(got-want) > 1e-9 {
		t.Errorf("spread with a doubt of .3: %.4f, want %.4f", got, want)
	}
	// A first reading of a cold core does not change the plan.
	start := Moment{Physics: 13, Read: true, Left: 89, At: 0}
	plan := Moment{Physics: 13}
	if d := start.Law().Mean - plan.Law().Mean; math.Abs(d) > .05 {
		t.Errorf("a core of 5 °C as it goes on moves the plan by %.2f", d)
	}
}
