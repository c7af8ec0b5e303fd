package forecast

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/heat"
	"ashbook/report/numeric/thermo"
)

var laidOn = time.Date(2026, 9, 18, 20, 0, 0, 0, time.UTC)

func celsius(c float64) measure.Temperature { return measure.Temperature{Base: c, Known: true} }
func kilos(kg float64) measure.Mass         { return measure.Mass{Base: kg, Known: true} }

func after(h float64) time.Time { return laidOn.Add(time.Duration(h * float64(time.Hour))) }

func entry(h float64, items ...journal.Item) journal.Entry {
	return journal.Entry{Time: after(h), Items: items}
}

func core(piece string, c float64) journal.Item {
	return journal.Item{Act: journal.ReadCore, Piece: piece, Temp: celsius(c)}
}

func pitAt(c float64) journal.Item { return journal.Item{Act: journal.ReadPit, Temp: celsius(c)} }

// shoulder returns an invented cook for a village hall: one shoulder, on at 20:00.
func shoulder(kg, pitAim float64) journal.Cook {
	return journal.Cook{
		ID: "hall", Cut: "pork shoulder", Pit: "brick",
		Pieces:  []journal.Piece{{Raw: kilos(kg)}},
		Aim:     journal.Aim{Pit: celsius(pitAim), Core: celsius(94)},
		Entries: []journal.Entry{entry(0, journal.Item{Act: journal.On})},
	}
}

// truth returns a core curve of the heat model with the given factors, one point a minute.
func truth(kg, pit float64, f heat.Factors) []float64 {
	c := shoulder(kg, pit)
	meat := (&model.Context{}).Read(&c, time.Time{}).Pieces[0].Meat
	var s heat.Sim
	heat.NewModel(heat.Default, thermo.SaturationPressure).Start(&s, meat, f, heat.Air{Pressure: 101325, Vapour: 5000}, 16, 60)
	run := heat.Course{Pit: []float64{pit}, Target: 96, Steps: 48 * 60}
	return run.Run(&s, nil)
}

func finishOf(curve []float64, target float64) float64 {
	s, _ := heat.Crossing(curve, 60, target)
	return s / 3600
}

// noted adds notes by hand of pit and core every few hours, up to until.
func noted(c journal.Cook, curve []float64, every, until, pit float64) journal.Cook {
	for h := every; h <= until; h += every {
		if i := int(h*60) - 1; i < len(curve) {
			c.Entries = append(c.Entries, entry(h, pitAt(pit), core("", curve[i])))
		}
	}
	return c
}

// probed adds a probe series, one row every few seconds.
func probed(c journal.Cook, curve []float64, seconds, until, pit float64) journal.Cook {
	s := journal.Series{Cores: []journal.CoreSeries{{}}}
	for h := 0.0; h <= until; h += seconds / 3600 {
		i := int(h * 60)
		if i >= len(curve) {
			break
		}
		s.Times = append(s.Times, after(h))
		s.Pit = append(s.Pit, pit)
		s.Cores[0].C = append(s.Cores[0].C, curve[i])
	}
	c.Series = s
	return c
}

func sound(t *testing.T, what string, f Forecast) {
	t.Helper()
	if f.Done {
		return
	}
	r := f.ToGo
	for _, v := range append([]float64{r.Lo, r.Mid, r.Hi, f.Engine, f.People, f.MayNotReach, f.Pit, f.Loss, f.Elapsed}, f.Sample...) {
		if math.IsNaN(v) || math.IsInf(v, 0) || v < -300 {
			t.Fatalf("%s: a figure is %g: %+v", what, v, f)
		}
	}
	if !(0 < r.Lo && r.Lo < r.Mid && r.Mid < r.Hi) {
		t.Errorf("%s: range %+v out of order", what, r)
	}
	for _, b := range f.Band {
		if math.IsNaN(b.Lo+b.Mid+b.Hi) || b.Lo > b.Mid || b.Mid > b.Hi {
			t.Fatalf("%s: band point %+v", what, b)
		}
	}
	for _, p := range f.Pieces {
		if math.IsNaN(p.Hours) || p.Hours < 0 {
			t.Errorf("%s: piece %+v", what, p)
		}
	}
	if len(f.Reasons) == 0 {
		t.Errorf("%s: no reasons given", what)
	}
}

func TestPlan(t *testing.T) {
	var f Forecaster
	c := shoulder(5, 110)
	c.Entries = nil
	p := f.Plan(&c)
	sound(t, "plan", p)
	// Common practice, no source: 5 kg at 110 °C to 94 °C take 16 to 20 h.
	if p.ToGo.Mid < 15 || p.ToGo.Mid > 20 {
		t.Errorf("plan for 5 kg at 110 °C: %.1f h", p.ToGo.Mid)
	}
	width := func(p Forecast) float64 { return math.Log(p.ToGo.Hi / p.ToGo.Lo) }
	missing := c
	missing.Pieces = nil
	missing.Aim = journal.Aim{}
	m := f.Plan(&missing)
	sound(t, "plan of nothing", m)
	t.Logf("ln width: known %.2f, unknown %.2f", width(p), width(m))
	if width(m) <= width(p) {
		t.Errorf("a plan without weight and pit is as sure (%.2f) as one with (%.2f)", width(m), width(p))
	}
	if len(m.Notes) < 2 {
		t.Errorf("what is missing is not named: %q", m.Notes)
	}
	hot := shoulder(5, 121)
	if h := f.Plan(&hot); h.ToGo.Mid >= p.ToGo.Mid {
		t.Errorf("hotter pit %.1f h, cooler %.1f h", h.ToGo.Mid, p.ToGo.Mid)
	}
	wrapped := c
	wrapped.Aim.Wrap = journal.WrapPlan{Kind: journal.Foil, At: celsius(70)}
	if w := f.Plan(&wrapped); w.ToGo.Mid > p.ToGo.Mid-2 {
		t.Errorf("foil at 70 °C saves %.1f h, expected over 2", p.ToGo.Mid-w.ToGo.Mid)
	}
	two := c
	two.Pieces = []journal.Piece{{Name: "a", Raw: kilos(5)}, {Name: "b", Raw: kilos(2)}}
	if w := f.Plan(&two); w.ToGo.Mid < .95*p.ToGo.Mid {
		t.Errorf("a small piece beside it makes the large one done at %.1f instead of %.1f h", w.ToGo.Mid, p.ToGo.Mid)
	}
	low := shoulder(5, 85)
	if l := f.Plan(&low); !l.OpenEnd || l.MayNotReach < .5 {
		t.Errorf("94 °C in a pit of 85 °C: may not reach %.2f, open %v", l.MayNotReach, l.OpenEnd)
	}
	// Once the meat is on, people raise such a pit.
	low = shoulder(3.2, 85)
	if l := f.At(&low, after(2)); l.ToGo.Mid > 20 || !slices.ContainsFunc(l.Notes, func(s string) bool { return strings.Contains(s, "assumes you raise it") }) {
		t.Errorf("3.2 kg on in a pit of 85 °C: %.1f h to go, notes %q", l.ToGo.Mid, l.Notes)
	}
}

// A cook that heats faster and loses less water than usual: readings bring the forecast
// closer to its true curve.
func TestReadingsHelp(t *testing.T) {
	var f Forecaster
	factors := heat.Factors{Shape: .93, Transfer: 1.25, Supply: .8, Crust: 1, Leak: 1}
	curve := truth(5, 112, factors)
	end := finishOf(curve, 94)
	plan := shoulder(5, 112)
	blind := math.Abs(f.Plan(&plan).ToGo.Mid - end)
	for _, share := range []float64{.4, .6, .8} {
		c := noted(shoulder(5, 112), curve, 1, share*end, 112)
		r := f.At(&c, after(share*end))
		sound(t, "running", r)
		miss := math.Abs(r.ToGo.Mid - (1-share)*end)
		t.Logf("at %.0f %% of %.1f h: %.1f h to go [%.1f, %.1f], truth %.1f", 100*share, end, r.ToGo.Mid, r.ToGo.Lo, r.ToGo.Hi, (1-share)*end)
		if miss > .7*blind {
			t.Errorf("at %.0f %%: miss %.2f h, without readings %.2f h", 100*share, miss, blind)
		}
		if r.ToGo.Lo > (1-share)*end || r.ToGo.Hi < (1-share)*end {
			t.Errorf("at %.0f %%: range %+v misses %.2f", 100*share, r.ToGo, (1-share)*end)
		}
	}
	// The same with a probe, one reading a minute.
	c := probed(shoulder(5, 112), curve, 60, .6*end, 112)
	r := f.At(&c, after(.6*end))
	sound(t, "probe", r)
	if math.Abs(r.ToGo.Mid-.4*end) > .7*blind {
		t.Errorf("probe: %.1f h to go, truth %.1f", r.ToGo.Mid, .4*end)
	}
}

func TestForecastUsesNothingLater(t *testing.T) {
	var f Forecaster
	curve := truth(5, 112, heat.Usual)
	whole := noted(shoulder(5, 112), curve, 1, 14, 112)
	whole.Entries = append(whole.Entries, entry(15, journal.Item{Act: journal.PutWrap, Wrap: journal.Foil}), entry(16, journal.Item{Act: journal.Off}))
	part := noted(shoulder(5, 112), curve, 1, 8, 112)
	a, b := f.At(&whole, after(8)), f.At(&part, after(8))
	if a.ToGo != b.ToGo || a.Readings != b.Readings {
		t.Errorf("the future leaks: %+v and %+v", a.ToGo, b.ToGo)
	}
	if again := f.At(&part, after(8)); again.ToGo != b.ToGo {
		t.Errorf("the same question, two answers: %+v and %+v", again.ToGo, b.ToGo)
	}
}

func TestDone(t *testing.T) {
	var f Forecaster
	c := shoulder(5, 112)
	c.Pieces = []journal.Piece{{Name: "a", Raw: kilos(5)}, {Name: "b", Raw: kilos(3)}}
	c.Entries = append(c.Entries, entry(10, core("a", 80), core("b", 93)), entry(10.1, journal.Item{Act: journal.Off, Piece: "b"}))
	r := f.At(&c, after(11))
	sound(t, "one piece off", r)
	if r.Done || r.Pieces[0].Off || !r.Pieces[1].Off || r.Pieces[1].Hours != 0 {
		t.Errorf("pieces: %+v", r.Pieces)
	}
	c.Entries = append(c.Entries, entry(14, journal.Item{Act: journal.Off}))
	if r := f.At(&c, after(15)); !r.Done || r.ToGo != (Range{}) {
		t.Errorf("after the last is off: %+v", r)
	}
	tender := shoulder(5, 112)
	tender.Entries = append(tender.Entries, entry(14, core("", 90), journal.Item{Act: journal.Feel, Grade: 3}))
	if r := f.At(&tender, after(14)); r.ToGo.Mid > .5 {
		t.Errorf("the probe slides in, yet %.1f h to go", r.ToGo.Mid)
	}
}

func TestWhatIf(t *testing.T) {
	var f Forecaster
	curve := truth(5, 110, heat.Usual)
	c := noted(shoulder(5, 110), curve, 1, 7, 110)
	all := f.WhatIf(&c, after(7), f.At(&c, after(7)))
	if len(all) != 4 {
		t.Fatalf("%d alternatives", len(all))
	}
	mid := map[string]float64{}
	for _, a := range all {
		t.Logf("%-7s %.1f h [%.1f, %.1f] saves %.1f", a.Name, a.ToGo.Mid, a.ToGo.Lo, a.ToGo.Hi, a.Saves)
		mid[a.Name] = a.ToGo.Mid
		if !(a.ToGo.Lo < a.ToGo.Mid && a.ToGo.Mid <= a.ToGo.Hi) {
			t.Errorf("%s: %+v", a.Name, a.ToGo)
		}
	}
	if !(mid["foil"] < mid["paper"] && mid["paper"] < mid["leave"] && mid["pit up"] < mid["leave"]) {
		t.Errorf("out of order: %v", mid)
	}
	c.Entries = append(c.Entries, entry(7.5, journal.Item{Act: journal.PutWrap, Wrap: journal.Foil}))
	if all := f.WhatIf(&c, after(8), f.At(&c, after(8))); len(all) != 2 {
		t.Errorf("wrapped already, still %d alternatives", len(all))
	}
}

func TestStallIsNamed(t *testing.T) {
	var f Forecaster
	c := shoulder(5, 110)
	for h, deg := range map[int]float64{1: 15, 2: 30, 3: 45, 4: 57, 5: 66, 6: 68, 7: 69, 8: 70} {
		c.Entries = append(c.Entries, entry(float64(h), core("", deg)))
	}
	journal.SortEntries(c.Entries)
	r := f.At(&c, after(8))
	if !r.Stall.Now || r.Stall.Says == "" || r.Stall.Lasted < 2 || r.Stall.Lasted > 4 {
		t.Errorf("stall: %+v", r.Stall)
	}
}

// A probe out of the meat for an hour, or replaced by one in a colder spot, hardly changes
// the forecast.
func TestProbeOutAndMoved(t *testing.T) {
	var f Forecaster
	curve := truth(5, 112, heat.Usual)
	whole := probed(shoulder(5, 112), curve, 60, 9, 112)
	want := f.At(&whole, after(9)).ToGo.Mid
	out := probed(shoulder(5, 112), curve, 60, 9, 112)
	for i := range out.Series.Times {
		if h := out.Series.Times[i].Sub(laidOn).Hours(); h > 5 && h < 6 {
			out.Series.Cores[0].C[i] = 25
		}
		if h := out.Series.Times[i].Sub(laidOn).Hours(); h > 7 && h < 7.5 {
			out.Series.Cores[0].C[i] = math.NaN()
		}
	}
	r := f.At(&out, after(9))
	if math.Abs(r.ToGo.Mid-want) > .1*want || len(r.Notes) == 0 {
		t.Errorf("probe out: %.2f h, without %.2f h; notes %q", r.ToGo.Mid, want, r.Notes)
	}
}

// pastShoulders returns finished cooks on a pit that always takes a quarter longer than the
// simulation.
func pastShoulders(n int) []journal.Cook {
	var all []journal.Cook
	for i := range n {
		kg := 4 + .4*float64(i%4)
		curve := truth(kg, 112, heat.Factors{Shape: 1.12, Transfer: 1, Supply: 1, Crust: 1, Leak: 1})
		end := finishOf(curve, 94)
		c := noted(shoulder(kg, 112), curve, 1, end, 112)
		c.ID = fmt.Sprint("past-", i)
		c.Entries = append(c.Entries, entry(end, journal.Item{Act: journal.Off}))
		all = append(all, c)
	}
	return all
}

func TestLearning(t *testing.T) {
	past := pastShoulders(8)
	x := learned(t, past...)
	f := all(t, x)
	c := shoulder(4.6, 112)
	blank := (&Forecaster{}).Plan(&c)
	taught := f.Plan(&c)
	curve := truth(4.6, 112, heat.Factors{Shape: 1.12, Transfer: 1, Supply: 1, Crust: 1, Leak: 1})
	end := finishOf(curve, 94)
	t.Logf("truth %.1f h, untaught %.1f h, taught %.1f h [%.1f, %.1f]", end, blank.ToGo.Mid, taught.ToGo.Mid, taught.ToGo.Lo, taught.ToGo.Hi)
	if math.Abs(taught.ToGo.Mid-end) > .5*math.Abs(blank.ToGo.Mid-end) {
		t.Errorf("eight like cooks taught too little")
	}
	if taught.ToGo.Hi-taught.ToGo.Lo >= blank.ToGo.Hi-blank.ToGo.Lo {
		t.Errorf("eight like cooks left the range as wide")
	}
	running := noted(c, curve, 1, 9, 112)
	r := f.At(&running, after(9))
	sound(t, "taught", r)
	if r.Alike.Cooks == 0 || r.Stall.Cooks == 0 {
		t.Errorf("look-alikes %+v, stall %+v", r.Alike, r.Stall)
	}
	if got, _ := x.Where(t.Context(), func(o *journal.Cook) bool { return o.ID == "past-1" }); len(got.past) != 1 {
		t.Errorf("one cook asked for, %d known", len(got.past))
	}
	if e := learned(t, journal.Cook{}, shoulder(4, 110)); len(e.Cooks()) != 0 {
		t.Errorf("learned from %d cooks that never ended", len(e.Cooks()))
	}
}

// A simulation with a cook's own Character takes about as long as the cook did; one AsUsual
// does not.
func TestCharacter(t *testing.T) {
	var f Forecaster
	curve := truth(5, 112, heat.Factors{Shape: 1.1, Transfer: .8, Supply: 1.3, Crust: 1, Leak: 1})
	end := finishOf(curve, 94)
	c := probed(shoulder(5, 112), curve, 60, end, 112)
	c.Entries = append(c.Entries, entry(end, journal.Item{Act: journal.Off}))
	ch := f.Character(&c, after(end))
	own, ok := f.Simulated(&c, ch)
	usual, _ := f.Simulated(&c, AsUsual)
	t.Logf("took %.1f h, simulated %.1f h, as usual %.1f h: %+v", end, own, usual, ch)
	if !ok || math.Abs(own-end) > .25*math.Abs(usual-end) {
		t.Errorf("took %.1f h, simulated %.1f h, as usual %.1f h", end, own, usual)
	}
	hot := c
	hot.Series.Pit = slices.Clone(c.Series.Pit)
	for i := range hot.Series.Pit {
		hot.Series.Pit[i] += 10
	}
	if h, _ := f.Simulated(&hot, ch); h >= own {
		t.Errorf("10 K hotter: %.1f h, as it was %.1f h", h, own)
	}
	if _, ok := f.Simulated(&journal.Cook{}, AsUsual); ok {
		t.Error("an empty cook was simulated")
	}
}

// A forecast takes under .2 s even with 100,000 readings; the bound here only catches a
// hang.
func TestManyReadings(t *testing.T) {
	curve := truth(6, 107, heat.Usual)
	c := probed(shoulder(6, 107), curve, .4, 12, 107)
	if n := len(c.Series.Times); n < 100_000 {
		t.Fatalf("only %d readings", n)
	}
	r := (&Forecaster{}).At(&c, after(12))
	sound(t, "many readings", r)
	if r.Readings > 100 {
		t.Errorf("%d readings used", r.Readings)
	}
}

// learned returns the Experience of cooks, without pits.
func learned(t testing.TB, cooks ...journal.Cook) *Experience {
	t.Helper()
	return Learn(cooks, nil, journal.Settings{}, Options{})
}

func all(t testing.TB, x *Experience) *Forecaster {
	t.Helper()
	f, err := x.All(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// The effects of a coming wrap and of a raised setting are proportional to the time
// from the last reading, however long ago that was. Multiplied by them, the time of the
// cook without them becomes the time that the fitted simulation gives with them.
func TestChangesLeadToTheSimulation(t *testing.T) {
	curve := truth(5, 110, heat.Usual)
	c := noted(shoulder(5, 110), curve, 1, 6, 110)
	c.Aim.Wrap = journal.WrapPlan{Kind: journal.Foil, At: celsius(72)}
	c.Entries = append(c.Entries, entry(6.5, journal.Item{Act: journal.SetPit, Temp: celsius(125)}))
	f := &Forecaster{}
	for _, h := range []float64{6.5, 9} {
		m, engine := f.Moment(&c, after(h)), f.Hours(&c, after(h)).Engine
		if got := (m.Fitted+m.Since)*math.Exp(m.Wrap+m.Raise) - m.Since; math.Abs(got/engine-1) > 1e-6 || m.Wrap >= 0 || m.Raise >= 0 {
			t.Errorf("%.1f h after it went on: %.3f h by the changes (%.2f, %.2f), %.3f by the simulation", h, got, m.Wrap, m.Raise, engine)
		}
	}
}

// The piece with most to go counts, whichever was read first.
func TestColdestPieceDecides(t *testing.T) {
	c := shoulder(5, 110)
	c.Pieces = []journal.Piece{{Name: "left", Raw: kilos(5)}, {Name: "right", Raw: kilos(5)}}
	f := &Forecaster{}
	for _, cores := range [][2]float64{{88, 70}, {70, 88}} {
		two := c
		two.Entries = append(slices.Clone(c.Entries), entry(9, core("left", cores[0]), core("right", cores[1])))
		if m := f.Moment(&two, after(9.5)); math.Abs(m.Left-24) > 1e-9 || math.Abs(m.Since-.5) > 1e-6 {
			t.Errorf("%v °C of 94: %.1f K to go, read %.2f h before; want 24 K, .5 h", cores, m.Left, m.Since)
		}
	}
}
