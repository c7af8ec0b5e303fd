package pitbook

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/report/page"
	"ashbook/report/page/text"
	"ashbook/samples/published"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "write the golden pages")

func read(t testing.TB, id, front, timeline string) journal.Cook {
	t.Helper()
	f, err := cookfile.Parse("cooks/2026/"+id+".md", []byte("---\n"+front+"\n---\n\n## Timeline\n\n"+timeline), cookfile.Options{Zone: time.UTC})
	if err != nil {
		t.Fatal(err)
	}
	return f.Cook
}

// night1 burns 4 kg in 10 h from lit to off.
const (
	front1 = "pit: kettle\nfuel: {kind: lump, loaded: 5 kg, left: 2 kg}\nweather: {air: 15 °C}\naim: {pit: 110 °C}"
	night1 = `- 2026-05-01T20:00+00:00 lit
- 2026-05-01T20:20+00:00 pit 95 °C
- 2026-05-01T20:30+00:00 pit 104 °C
- 2026-05-01T20:45+00:00 pit 112 °C
- 2026-05-01T20:52+00:00 pit 109 °C
- 2026-05-01T21:00+00:00 on
- 2026-05-01T22:00+00:00 pit 112 °C
- 2026-05-01T23:00+00:00 pit 110 °C
- 2026-05-02T00:00+00:00 pit 110 °C, lid
- 2026-05-02T00:05+00:00 pit 80 °C
- 2026-05-02T00:15+00:00 pit 100 °C
- 2026-05-02T00:25+00:00 pit 110 °C
- 2026-05-02T01:00+00:00 pit 108 °C, fuel 1 kg
- 2026-05-02T02:00+00:00 pit 106 °C
- 2026-05-02T03:00+00:00 pit 104 °C
- 2026-05-02T06:00+00:00 off
`
)

// Worked out by hand: 5 + 1 − 2 kg in 10 h. The pit is first within 8 K of 110 at 20:30
// and still is 20 minutes later. The lid at 00:00 costs 30 K, and 105 is crossed half
// way between 00:15 and 00:25.
func TestOneNightByHand(t *testing.T) {
	c := read(t, "2026-05-01-a", front1, night1)
	if kg, ok := c.FuelBurned(); !ok || kg != 4 {
		t.Errorf("burned %g, %v; want 4", kg, ok)
	}
	l := look(&c, false)
	if m, noted, ok := l.settled(); m != 30 || !noted || !ok {
		t.Errorf("settled in %g, %v, %v; want 30 min, read", m, noted, ok)
	}
	lids := l.openings()
	if len(lids) != 1 || lids[0].dip != 30 || lids[0].back != 20 {
		t.Errorf("lids %+v; want one of 30 K, back in 20 min", lids)
	}
	// Nobody touched it for 45 minutes or more: 22:00 to 00:00, 112 110 110, and 02:00
	// to 03:00, 106 104. Σ(x−x̄)(y−ȳ)/Σ(x−x̄)² = (−2 − 1)/(2 + .5).
	points, aimed := l.points()
	if got, ok := l.alone(points); !ok || math.Abs(got-(-1.2)) > 1e-9 || !aimed {
		t.Errorf("left alone %g, %v; want −1.2 K/h", got, ok)
	}
	b := of([]journal.Cook{c}, map[string]journal.Pit{"kettle": {Name: "kettle", Kind: journal.Kettle}}, "Kettle")
	if b.Name != "kettle" || b.Cooks != 1 || b.FuelPerHour.N != 1 || b.Fuel != "lump" || b.Hours != 10 {
		t.Errorf("%+v", b)
	}
	// Between the starting value .40 and the .40 of this night, in its own weather.
	if f := b.FuelPerHour; math.Abs(f.Likely-.4) > .03 || f.Low > f.Likely || f.High < f.Likely {
		t.Errorf("fuel %+v", f)
	}
	if b.Cold.Told || b.Wind.Told {
		t.Error("one cook tells nothing of the weather")
	}
}

// A figure without notes has a starting value or is left out, and the book says what to
// note.
func TestNothingNoted(t *testing.T) {
	b := Of(nil, nil, "tin")
	if b.Cooks != 0 || b.FuelPerHour.Own() || b.FuelPerHour.Likely < .4 || b.Night.Own() || len(b.Next) < 6 {
		t.Errorf("%+v", b)
	}
	for _, f := range b.Figures() {
		if f.From != "chosen, kind not known" || strings.HasPrefix(f.Key, "over") {
			t.Errorf("%+v", f)
		}
	}
	cooks := []journal.Cook{
		read(t, "2026-05-01-a", "pit: tin\nfuel: {kind: oak, loaded: 5 kg, left: 6 kg}", "- 2026-05-01T20:00+00:00 on\n- 2026-05-02T06:00+00:00 off\n"),
		read(t, "2026-05-03-b", "title: no pit", "- 2026-05-03T20:00+00:00 on\n- 2026-05-04T06:00+00:00 off\n"),
		read(t, "2026-05-05-c", "pit: tin\nfuel: {kind: oak, loaded: 5 kg, left: 1 kg}", "- 2026-05-05T20:00+00:00 on\n- 2026-05-05T23:00+00:00 fuel\n- 2026-05-06T06:00+00:00 off\n"),
		read(t, "2026-05-07-d", "pit: tin", "- 2026-05-07T20:00+00:00 on\n"),
		read(t, "2026-05-08-e", "pit: tin\nfuel: {kind: oak, loaded: 50 kg, left: 1 g}", "- 2026-05-08T20:00+00:00 on\n- 2026-05-08T20:30+00:00 off\n"),
	}
	all := All(ReadAll(cooks, nil), nil)
	if len(all) != 1 || all[0].Cooks != 3 || all[0].FuelPerHour.Own() || all[0].Filed {
		t.Fatalf("%+v", all)
	}
	if got := strings.Join(all[0].Notes, "\n"); !strings.Contains(got, "2 cooks left out of the fuel: fuel went on later without a weight") || !strings.Contains(got, "1 cook left out of the fuel: the fuel burned and the hours give a heat that no such fire has") {
		t.Error(got)
	}
}

// One slip of the pen in five nights changes nothing: 5 kg written as 50.
func TestSlipOfThePen(t *testing.T) {
	var cooks []journal.Cook
	for range 5 {
		cooks = append(cooks, read(t, "2026-05-01-a", front1, night1))
	}
	cooks = append(cooks, read(t, "2026-05-02-b", strings.Replace(front1, "5 kg", "50 kg", 1), night1))
	pits := map[string]journal.Pit{"kettle": {Kind: journal.Kettle}}
	with, without := of(cooks, pits, "kettle"), of(cooks[:5], pits, "kettle")
	if math.Abs(with.FuelPerHour.High-without.FuelPerHour.High) > 1e-9 || with.FuelPerHour.N != 5 || !strings.Contains(strings.Join(with.Notes, " "), "probably a mistake in the notes") {
		t.Errorf("%+v, %+v, %v", with.FuelPerHour, without.FuelPerHour, with.Notes)
	}
}

// With "pit is: setting" the notes do not show how the pit behaves.
func TestSettingIsNoReading(t *testing.T) {
	c := read(t, "2026-05-01-a", front1, night1)
	b := of([]journal.Cook{c}, map[string]journal.Pit{"kettle": {Name: "kettle", Kind: journal.Cabinet, Setting: true}}, "kettle")
	if b.Steady.Own() || b.Over.Own() || b.Alone.Own() || b.Dip.Own() || b.Settle.From != "1 cook, lit to on: at most that" {
		t.Errorf("%+v", b)
	}
	if !strings.Contains(strings.Join(b.Next, "\n"), "the setting") {
		t.Error(b.Next)
	}
	// A probe at the grate shows how far the setting is above it: 112, 110, 110, 108,
	// 106, 104 against a steady 100. The median is 109, moved a little towards no
	// difference.
	at := time.Date(2026, 5, 1, 21, 30, 0, 0, time.UTC)
	for i := range 120 {
		c.Series.Times, c.Series.Pit = append(c.Series.Times, at.Add(time.Duration(i)*5*time.Minute)), append(c.Series.Pit, 100)
	}
	b = of([]journal.Cook{c}, map[string]journal.Pit{"kettle": {Kind: journal.Cabinet, Setting: true}}, "kettle")
	if !b.Steady.Own() || math.Abs(b.Over.Likely-(-10)) > 4 || math.Abs(b.Hand.Likely-8) > 2 {
		t.Errorf("over %+v, hand %+v", b.Over, b.Hand)
	}
}

// An aim set half way through does not apply to the time before.
func TestAimSetLate(t *testing.T) {
	late := strings.Replace(night1, "00:00+00:00 pit 110 °C, lid", "00:00+00:00 pit 110 °C, aim pit 110 °C", 1)
	c := read(t, "2026-05-01-a", "pit: kettle", late)
	points, aimed := look(&c, false).points()
	if aimed || len(points) == 0 || points[0].over != 112 {
		t.Errorf("%v %+v", aimed, points)
	}
}

// The starting values give the heat of a fire: a few kilowatts with charcoal at 30
// MJ/kg (general tables), also for an offset that burns wood at 14 MJ/kg.
func TestStartingFuelIsAFire(t *testing.T) {
	_, rows := published.Table(t, "fuels.csv")
	heat := map[string]float64{}
	for _, r := range rows {
		heat[strings.Fields(r[0])[0]], _ = strconv.ParseFloat(r[1], 64)
	}
	if heat["charcoal"] != charcoal {
		t.Errorf("charcoal %g MJ/kg, here %g", heat["charcoal"], charcoal)
	}
	for _, kind := range journal.PitKinds {
		s, ok := byKind[kind]
		if !ok {
			t.Errorf("%s has no starting values", kind)
			continue
		}
		perKilo := heat["charcoal"]
		if kind == journal.Offset {
			perKilo = heat["NCV"]
		}
		if kw := s.fuel * perKilo / 3.6; kw < 1.5 || kw > 8 {
			t.Errorf("%s: %g kg/h are %.1f kW", kind, s.fuel, kw)
		}
	}
}

// With one column the belief is the normal distribution's: means weighted by their
// precision (Gelman et al., Bayesian Data Analysis, 3rd ed., equation 2.12), with its
// own scatter. With a very wide prior it is the plain mean.
func TestBeliefWeighsByPrecision(t *testing.T) {
	seen := []float64{9, 11, 12, 8, 10.5}
	s := start{middle: 4, between: 2, within: 1.5}
	b := learn(s, nil, nil, nil, seen)
	mean := 50.5 / 5
	own := 5 / b.variance
	want := (s.middle/4 + own*mean) / (1./4 + own)
	if math.Abs(b.mean[0]-want) > 1e-6 {
		t.Errorf("mean %g, want %g", b.mean[0], want)
	}
	s.between = 1e4
	if got := learn(s, nil, nil, nil, seen).mean[0]; math.Abs(got-mean) > 1e-4 {
		t.Errorf("mean %g, want %g", got, mean)
	}
	if likely, low, high := learn(start{middle: 20, between: .5, within: .2, log: true}, nil, nil, nil, []float64{math.NaN(), -1, 0, math.Inf(1)}).next(); math.Abs(likely-20) > 1e-9 || !(0 < low && low < 20 && 20 < high) {
		t.Errorf("nothing seen: %g %g %g", likely, low, high)
	}
}

// Whatever a journal contains, every figure is a number, with Low ≤ Likely ≤ High.
func TestFiguresAreNumbers(t *testing.T) {
	acts := []string{"lit", "settled", "on", "off", "lid", "spritz", "vent", "fuel", "fuel 2 kg", "pit -300 °C", "pit 110 °C", "pit 900 °C", "pit 80 °C", "aim pit 0 °C", "aim pit 9999 °C", "wrap foil"}
	rapid.Check(t, func(t *rapid.T) {
		var cooks []journal.Cook
		for range rapid.IntRange(0, 4).Draw(t, "cooks") {
			at := time.Date(2026, 5, 1, 18, 0, 0, 0, time.UTC)
			var sb strings.Builder
			for range rapid.IntRange(0, 30).Draw(t, "lines") {
				at = at.Add(time.Duration(rapid.IntRange(-5, 90).Draw(t, "minutes")) * time.Minute)
				fmt.Fprintf(&sb, "- %s %s\n", at.Format(journal.TimeLayout), strings.Join(rapid.SliceOfN(rapid.SampledFrom(acts), 1, 3).Draw(t, "acts"), ", "))
			}
			front := fmt.Sprintf("---\npit: %s\nfuel: {kind: lump, loaded: %d kg, left: %d kg}\nweather: {air: %d °C, wind: %d m/s}\n---\n## Timeline\n\n",
				rapid.SampledFrom([]string{"brick", "BRICK", "''", "x"}).Draw(t, "pit"), rapid.IntRange(-3, 500).Draw(t, "loaded"), rapid.IntRange(0, 9).Draw(t, "left"),
				rapid.IntRange(-999, 999).Draw(t, "air"), rapid.IntRange(-5, 9999).Draw(t, "wind"))
			f, err := cookfile.Parse("cooks/2026/2026-05-01-a.md", []byte(front+sb.String()), cookfile.Options{Zone: time.UTC})
			if err != nil {
				t.Fatal(err)
			}
			for i := range rapid.IntRange(0, 200).Draw(t, "rows") {
				v := rapid.SampledFrom([]float64{110, 104, math.NaN(), math.Inf(1), -1e300, 70}).Draw(t, "probe")
				f.Cook.Series.Times = append(f.Cook.Series.Times, at.Add(time.Duration(i-200)*7*time.Minute))
				f.Cook.Series.Pit = append(f.Cook.Series.Pit, v)
			}
			cooks = append(cooks, f.Cook)
		}
		for _, b := range append(All(ReadAll(cooks, filed), filed), of(cooks, nil, "brick")) {
			for _, l := range lines {
				f := l.figure(&b)
				if math.IsNaN(f.Low+f.Likely+f.High) || math.IsInf(f.Low, 0) || math.IsInf(f.High, 0) || f.Low > f.Likely || f.Likely > f.High {
					t.Errorf("%s %s: %+v", b.Name, l.name, f)
				}
			}
			for _, sys := range []measure.System{measure.Metric, measure.US} {
				if s := text.Render(b.Page(journal.Settings{Units: sys}), 60); strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
					t.Error(s)
				}
			}
		}
	})
}

// The pages of a generated journal at three widths.
func TestPages(t *testing.T) {
	cooks := generated(3, 24, .4)
	pits := map[string]journal.Pit{"brick": {Name: "brick", Kind: journal.Brick, Offset: measure.Degrees(12, measure.Metric)}, "drum": filed["drum"], "new": {Name: "new", Kind: journal.Bullet}}
	pages := map[string]func(s journal.Settings) page.Page{
		"table": func(s journal.Settings) page.Page { return Table(All(ReadAll(cooks, pits), pits), s) },
		"drum": func(s journal.Settings) page.Page {
			b := of(cooks, pits, "drum")
			return b.Page(s)
		},
		"new": func(s journal.Settings) page.Page {
			b := of(cooks, pits, "new")
			return b.Page(s)
		},
	}
	for name, make := range pages {
		for _, sys := range []measure.System{measure.Metric, measure.US} {
			for _, width := range []int{60, 80, 132} {
				file := fmt.Sprintf("testdata/%s-%s-%d.txt", name, sys, width)
				got := text.Render(make(journal.Settings{Units: sys}), width)
				if *update {
					if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
						t.Fatal(err)
					}
				}
				want, err := os.ReadFile(file)
				if err != nil || got != string(want) {
					t.Errorf("%s: %v, or not as it was:\n%s", file, err, got)
				}
			}
		}
	}
}

// of reads cooks and returns the book of a pit.
func of(cooks []journal.Cook, pits map[string]journal.Pit, name string) Book {
	return Of(ReadAll(cooks, pits), pits, name)
}
