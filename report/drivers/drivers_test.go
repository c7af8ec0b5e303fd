package drivers

import (
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/frame"
)

var noon = time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)

// cook returns an invented shoulder that took the given hours.
func cook(i int, hours float64, change func(*journal.Cook)) journal.Cook {
	on := noon.AddDate(0, 0, 7*i)
	c := journal.Cook{ID: fmt.Sprintf("%s-cook", on.Format(time.DateOnly)), Cut: "pork shoulder", Pieces: []journal.Piece{{Trimmed: measure.Kilograms(4)}}}
	c.Entries = []journal.Entry{
		{Time: on, Items: []journal.Item{{Act: journal.On}}},
		{Time: on.Add(time.Duration(hours * float64(time.Hour))), Items: []journal.Item{{Act: journal.Off}}},
	}
	if change != nil {
		change(&c)
	}
	return c
}

var ten = Options{Engine: func(*frame.Cook) (float64, bool) { return 10, true }}

func candidate(r Report, name string) (Candidate, bool) {
	for _, c := range r.Candidates {
		if c.Column.Name == name {
			return c, true
		}
	}
	return Candidate{}, false
}

func sound(t testing.TB, r Report) {
	t.Helper()
	bad := func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }
	if len(r.Says) == 0 {
		t.Errorf("%v: no word", r.Target)
	}
	for i, c := range r.Candidates {
		if i > 0 && (r.Candidates[i-1].Reads > c.Reads || c.Reads.Told() && r.Candidates[i-1].Reads == c.Reads && r.Candidates[i-1].Largest().size < c.Largest().size) {
			t.Errorf("%s comes after what is less sure, or smaller", c.Column.Name)
		}
		if bad(c.Inclusion) || c.Inclusion < 0 || c.Inclusion > 1 || c.More() < 0 {
			t.Errorf("%s: %+v", c.Column.Name, c)
		}
		for _, l := range c.Lines {
			if bad(l.Effect) || bad(l.Lo) || bad(l.Hi) || l.Lo > l.Hi || l.Change == "" || l.Reads < c.Reads || !l.Reads.Told() && (l.Lo > 0 || l.Hi < 0) {
				t.Errorf("%s: %+v", c.Column.Name, l)
			}
			for _, p := range l.Points {
				if bad(p.X) || bad(p.Y) {
					t.Errorf("%s: %+v", c.Column.Name, p)
				}
			}
		}
	}
	if bad(r.Scatter) || bad(r.Typical) {
		t.Errorf("scatter %g, typical %g", r.Scatter, r.Typical)
	}
}

// An effect four times the scatter is found and reported with its size, its sides and what
// changed together with it; an absent effect is not reported.
func TestFindsWhatIsThere(t *testing.T) {
	var cooks []journal.Cook
	for i := range 24 {
		hot := i%2 == 0
		hours := 10 + .3*math.Sin(float64(7*i))
		if hot {
			hours *= 1.12
		}
		cooks = append(cooks, cook(i, hours, func(c *journal.Cook) {
			c.Pan, c.Pit = "dry", "drum"
			if hot {
				c.Pan = "hot"
			}
			if hot && i != 4 || i == 7 {
				c.Pit = "brick"
			}
			c.Wood = []journal.Wood{{Kind: []string{"oak", "oak", "cherry", "cherry"}[i%4]}}
			c.Weather.Air = measure.Degrees(float64(i*5%17), measure.Metric)
		}))
	}
	r := weigh(t, cooks, Time, ten)
	sound(t, r)
	pan, ok := candidate(r, "water pan")
	if !ok || pan.Reads != Likely || len(pan.Lines) != 1 {
		t.Fatalf("water pan: %+v", pan)
	}
	l := pan.Lines[0]
	if sign := math.Copysign(1, l.Effect); l.Change != "hot instead of dry" && l.Change != "dry instead of hot" || math.Abs(sign*l.Effect-70) > 15 {
		t.Errorf("line %+v, want about 70 min", l)
	}
	if l.With != 12 || l.Without != 12 || len(l.Points) != 24 {
		t.Errorf("sides %d and %d, %d points", l.With, l.Without, len(l.Points))
	}
	if len(pan.Tangles) == 0 || pan.Tangles[0].With != "pit" || !strings.Contains(pan.Tangles[0].Says, "11 of the 12 cooks with water pan hot had pit brick") {
		t.Errorf("tangles %+v", pan.Tangles)
	}
	if sum := pan.Tangles[0].Table; sum[0][0]+sum[0][1]+sum[1][0]+sum[1][1] != 24 {
		t.Errorf("table %v", sum)
	}
	wood, _ := candidate(r, "wood")
	if wood.Reads != Little || wood.More() != 0 {
		t.Errorf("wood: %+v", wood)
	}
	if !strings.Contains(r.Next, "pork shoulder") {
		t.Errorf("next: %q", r.Next)
	}
	shown := print(r)
	for _, want := range []string{"hot instead of dry", "12/12", "likely", "11 of the 12 cooks", "makes little difference", "never noted"} {
		if !strings.Contains(shown, want) {
			t.Errorf("%q is not on\n%s", want, shown)
		}
	}
	if r.Candidates[0].Column.Name != "water pan" {
		t.Errorf("first is %s", r.Candidates[0].Column.Name)
	}
}

func TestScoresAreCorrectedForEaters(t *testing.T) {
	var cooks []journal.Cook
	for i := range 20 {
		cooks = append(cooks, cook(i, 10, func(c *journal.Cook) {
			taste := func(eater string, liked int) {
				s := journal.Taste{Eater: eater}
				s.Scores[journal.Tenderness] = journal.Score{Liked: liked}
				c.Tasting = append(c.Tasting, s)
			}
			c.Supplier = "market hall"
			better := i % 2
			if better == 1 {
				c.Supplier = "hill farm"
			}
			// The strict one eats from the better cooks.
			if i%4 < 3 {
				taste("MB", 6+better+i%3/2-i%5/4)
			}
			if better == 1 || i < 10 {
				taste("RT", 4+better+i%3/2)
			}
		}))
	}
	r := weigh(t, cooks, Tenderness, Options{})
	sound(t, r)
	c, ok := candidate(r, "supplier")
	if !ok || !c.Reads.Told() || math.Abs(math.Abs(c.Lines[0].Effect)-1) > .35 {
		t.Errorf("supplier %+v", c)
	}
	if s := strings.Join(r.Says, " "); !strings.Contains(s, "RT scores") {
		t.Errorf("says %s", s)
	}
}

// If nothing can be worked out, the report says why.
func TestCannotTell(t *testing.T) {
	alike := func(n int) (out []journal.Cook) {
		for i := range n {
			out = append(out, cook(i, 10, nil))
		}
		return out
	}
	varied := func(n int, change func(int, *journal.Cook)) (out []journal.Cook) {
		for i := range n {
			out = append(out, cook(i, 10+math.Sin(float64(3*i)), func(c *journal.Cook) { change(i, c) }))
		}
		return out
	}
	one := func(eaters ...string) []journal.Cook {
		return varied(8, func(i int, c *journal.Cook) {
			s := journal.Taste{Eater: eaters[i%len(eaters)]}
			s.Scores[journal.Overall] = journal.Score{Liked: 5 + i%3}
			c.Tasting, c.Pan = []journal.Taste{s}, []string{"hot", "dry"}[i/4]
		})
	}
	for _, c := range []struct {
		name  string
		cooks []journal.Cook
		of    Target
		opt   Options
		words string
	}{
		{"none", nil, Time, ten, "too few"},
		{"one cook", alike(1), Time, ten, "too few"},
		{"no engine", alike(9), Time, Options{}, "too few"},
		{"all alike", alike(9), Time, ten, "alike"},
		{"nothing differs", varied(9, func(int, *journal.Cook) {}), Time, ten, "Nothing that may matter differs"},
		{"no scores", alike(9), Bark, ten, "too few"},
		{"one eater", one("RT"), Overall, ten, "Only one eater, RT"},
		{"no overlap", one("RT", "MB"), Overall, ten, "groups"},
		{"more things than cooks", varied(6, func(i int, c *journal.Cook) {
			c.Pan, c.Pit, c.Supplier = []string{"hot", "dry"}[i%2], []string{"drum", "brick"}[i/3], []string{"a", "b", "b", "a", "a", "b"}[i]
			c.Wood = []journal.Wood{{Kind: []string{"oak", "cherry", "cherry", "oak", "cherry", "oak"}[i]}}
			c.Weather.Air = measure.Degrees(float64(i*7%11), measure.Metric) // not the weight: the simulation gives its effect
			c.Salted.Rate = measure.Rate{Base: float64(5 + i*3%8), Known: true}
			c.Fuel.Kind, c.Weather.Wind = []string{"lump", "lump", "briquettes"}[i%3], measure.Speed{Base: float64(i * 4 % 9), Known: true}
		}), Time, ten, "no cause stands out"},
		{"a perfect fit", varied(8, func(i int, c *journal.Cook) {
			c.Pan = []string{"hot", "dry"}[i%2]
			c.Entries[1].Time = c.Entries[0].Time.Add(time.Duration(10+i%2) * time.Hour)
		}), Time, ten, "no cause stands out"},
	} {
		r := weigh(t, c.cooks, c.of, c.opt)
		sound(t, r)
		if s := strings.Join(r.Says, " "); !strings.Contains(s, c.words) {
			t.Errorf("%s: %q, want %q", c.name, s, c.words)
		}
	}
	twins := weigh(t, varied(12, func(i int, c *journal.Cook) {
		c.Pan, c.Pit = []string{"hot", "dry"}[i%2], []string{"drum", "brick"}[i%2]
	}), Time, ten)
	sound(t, twins)
	if p, ok := candidate(twins, "water pan"); !ok || len(p.SameAs) != 1 || p.SameAs[0] != "pit" {
		t.Errorf("twins: %+v", twins.Candidates)
	}
	for _, s := range twins.Silent {
		if s.Name == "wind" && s.Why != "never noted" || s.Name == "pit" && !strings.Contains(s.Why, "water pan") {
			t.Errorf("%+v", s)
		}
	}
	gaps := weigh(t, varied(12, func(i int, c *journal.Cook) {
		if c.Pan = []string{"hot", "dry"}[i%2]; i%3 == 0 {
			c.Pan = ""
		}
		if i < 4 {
			c.Supplier = []string{"a", "b"}[i%2]
		}
	}), Time, ten)
	sound(t, gaps)
	if p, ok := candidate(gaps, "water pan"); !ok || p.Known != 8 || len(p.Lines[0].Points) != 8 {
		t.Errorf("noted by eight of twelve: %+v", gaps.Candidates)
	}
	if !slices.Contains(gaps.Silent, Silent{"supplier", "noted for 4 of 12 cooks"}) {
		t.Errorf("noted by four of twelve: %+v", gaps.Silent)
	}
	strange := append(varied(9, func(i int, c *journal.Cook) { c.Pan = []string{"hot", "dry"}[i%2] }), cook(20, 45, nil))
	if r := weigh(t, strange, Time, ten); len(r.LeftOut) != 1 || !strings.Contains(r.LeftOut[0].Why, "4.5 times") {
		t.Errorf("left out %+v", r.LeftOut)
	}
}

// A tangle with three other things together is reported, though with none of them alone.
func TestExplainedByTheOthersTogether(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 7))
	var cooks []journal.Cook
	for i := range 40 {
		cooks = append(cooks, cook(i, 10+rng.NormFloat64(), func(c *journal.Cook) {
			air, wind, kg := rng.Float64(), rng.Float64(), rng.Float64()
			c.Weather.Air, c.Weather.Wind = measure.Degrees(30*air, measure.Metric), measure.Speed{Base: 9 * wind, Known: true}
			c.Pieces[0].Trimmed = measure.Kilograms(3 + 3*kg)
			c.Salted.Rate = measure.Rate{Base: 5 + 4*(air+wind+kg), Known: true}
		}))
	}
	r := weigh(t, cooks, Time, ten)
	sound(t, r)
	c, _ := candidate(r, "salt rate")
	if len(c.Tangles) != 1 || c.Tangles[0].With != "several together" || !strings.Contains(c.Tangles[0].Says, "100 %") {
		t.Errorf("tangles %+v", c.Tangles)
	}
}

func TestTargets(t *testing.T) {
	for i, n := range Targets() {
		if got, err := ParseTarget(n); err != nil || got != Target(i) || got.String() != n {
			t.Errorf("%s: %v %v", n, got, err)
		}
	}
	if _, err := ParseTarget("colour"); err == nil {
		t.Error("colour accepted")
	}
}

func TestRoundUp(t *testing.T) {
	for n, want := range map[float64]int{-3: 0, 0: 0, .2: 5, 7.1: 8, 41: 41, 236.2: 240, 1234: 1300, 1e9: 1e6} {
		if got := roundUp(n); got != want {
			t.Errorf("%g: %d, want %d", n, got, want)
		}
	}
}

func TestRealCooks(t *testing.T) {
	shared := os.Getenv("ASHBOOK_SHARED")
	if shared == "" {
		t.Skip("ASHBOOK_SHARED names no folder of real cooks")
	}
	dir := filepath.Join(shared, "realcooks")
	var cooks []journal.Cook
	root := os.DirFS(dir)
	err := fs.WalkDir(root, "cooks", func(name string, d fs.DirEntry, err error) error {
		if err != nil || path.Ext(name) != ".md" {
			return err
		}
		data, err := fs.ReadFile(root, name)
		if err != nil {
			return err
		}
		f, err := cookfile.Parse(name, data, cookfile.Options{})
		cooks = append(cooks, f.Cook)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	r := weigh(t, cooks, Time, Options{Engine: Engine(&forecast.Forecaster{})})
	sound(t, r)
	t.Log("\n" + print(r))
	// Causes that the simulation includes may be likely from the start; a dozen cooks
	// cannot show others.
	physical := map[string]bool{"heaviest piece": true, "thickest piece": true, "pit, mean": true, "core when it came off": true, "core when it went on": true, "wrap": true}
	for _, c := range r.Candidates {
		if c.Reads == Likely && !physical[c.Column.Name] {
			t.Errorf("a dozen cooks are said to tell of %s", c.Column.Name)
		}
	}
}

// print formats a report for a failure message.
func print(r Report) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", strings.Join(r.Says, "\n"))
	for _, c := range r.Candidates {
		for _, l := range c.Lines {
			fmt.Fprintf(&b, "  %-22s %-32s %+6.1f  %+6.1f … %+6.1f  %2d/%2d  %.2f  %s\n", c.Column.Name, l.Change, l.Effect, l.Lo, l.Hi, l.With, l.Without, c.Inclusion, fmt.Sprintf("%v, %d more for %.1f", l.Reads, l.More, l.For))
		}
		for _, t := range c.Tangles {
			fmt.Fprintf(&b, "      %s\n", t.Says)
		}
	}
	for _, s := range r.Silent {
		fmt.Fprintf(&b, "  – %s: %s\n", s.Name, s.Why)
	}
	return b.String() + r.Next + "\n"
}

// The cooks are read before; everything else is included.
func BenchmarkWeigh1000(b *testing.B) {
	cooks := invented(b, 5, 1000)
	opt := Options{Engine: Engine(&forecast.Forecaster{})}
	b.ReportAllocs()
	for b.Loop() {
		weigh(b, cooks, Time, opt)
	}
}

// Nonsense in a file gives a report or a reason, never a panic or NaN.
func TestNonsense(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	some := func(usual float64) (base float64, known bool) {
		return []float64{usual, usual * 1.3, -1e6, 1e7, 0}[rng.IntN(5)], rng.IntN(3) > 0
	}
	pick := func(words ...string) string { return words[rng.IntN(len(words))] }
	for n := range 12 {
		var cooks []journal.Cook
		for i := range n {
			cooks = append(cooks, cook(i, 1+20*rng.Float64(), func(c *journal.Cook) {
				c.Pan, c.Pit, c.Supplier, c.Cut = pick("", "hot", "dry"), pick("drum", "brick", "kettle", ""), pick("a", "b", "c"), pick("pork", "Pork ", "brisket", "")
				var q measure.Temperature
				q.Base, q.Known = some(10)
				c.Weather.Air, c.Pieces[0].Core = q, q
				c.Pieces[0].Trimmed.Base, c.Pieces[0].Trimmed.Known = some(4)
				c.Yield.Off.Base, c.Yield.Off.Known = some(2)
				c.Salted.Rate.Base, c.Salted.Rate.Known = some(9)
				for range rng.IntN(3) {
					s := journal.Taste{Eater: pick("RT", "MB", "")}
					for k := range s.Scores {
						s.Scores[k].Liked = rng.IntN(10)
					}
					c.Tasting = append(c.Tasting, s)
				}
			}))
		}
		odd := Options{Engine: func(*frame.Cook) (float64, bool) {
			return []float64{10, 0, -3, math.NaN(), math.Inf(1), 12}[rng.IntN(6)], rng.IntN(4) > 0
		}}
		for target := range targets {
			sound(t, weigh(t, cooks, target, odd))
		}
	}
}

// Pits, suppliers, rubs and kinds of wood are compared with the mean of their kind; with
// fewer cooks the estimate is closer to it.
func TestFamiliesAreShrunk(t *testing.T) {
	for name, set := range map[string]func(*journal.Cook, string){
		"pit":      func(c *journal.Cook, w string) { c.Pit = w },
		"supplier": func(c *journal.Cook, w string) { c.Supplier = w },
		"rub":      func(c *journal.Cook, w string) { c.Rub.Mix = w },
		"wood":     func(c *journal.Cook, w string) { c.Wood = []journal.Wood{{Kind: w}} },
	} {
		var cooks []journal.Cook
		for i := range 32 {
			// Two cooks with the third value, a fifth longer, as with the second.
			kind, hours := "a", 10.0
			switch {
			case i >= 30:
				kind, hours = "c", 12
			case i >= 15:
				kind, hours = "b", 12
			}
			cooks = append(cooks, cook(i, hours+.5*math.Sin(float64(7*i)), func(c *journal.Cook) { set(c, kind) }))
		}
		r := weigh(t, cooks, Time, ten)
		sound(t, r)
		c, ok := candidate(r, name)
		if !ok || len(c.Lines) != 3 {
			t.Errorf("%s: %+v", name, c)
			continue
		}
		effects := map[string]Line{}
		for _, l := range c.Lines {
			effects[l.Change] = l
		}
		b, few := effects["b against the others"], effects["c against the others"]
		if !(few.Effect > 0 && few.Effect < b.Effect) || few.Hi-few.Lo <= b.Hi-b.Lo || few.With != 2 || few.Without != 30 {
			t.Errorf("%s: %+v and of two cooks %+v", name, b, few)
		}
	}
}

// Many cuts compared with the mean of the others: not all can be faster.
func TestOneOfMany(t *testing.T) {
	hours := map[string]float64{"pork shoulder": 13, "brisket": 12, "beef plate ribs": 8, "turkey breast": 4}
	var cooks []journal.Cook
	for i := range 40 {
		cut := []string{"pork shoulder", "brisket", "pork shoulder", "beef plate ribs", "pork shoulder", "brisket", "pork shoulder", "turkey breast"}[i%8]
		cooks = append(cooks, cook(i, hours[cut]*(1+.05*math.Sin(float64(7*i))), func(c *journal.Cook) { c.Cut = cut }))
	}
	r := weigh(t, cooks, Time, ten)
	sound(t, r)
	c, _ := candidate(r, "cut")
	if len(c.Lines) != 4 {
		t.Fatalf("%+v", c)
	}
	for _, l := range c.Lines {
		cut := strings.TrimSuffix(l.Change, " against the others")
		mean, n := 0.0, 0.0
		for i := range cooks {
			if took, _ := cooks[i].Took(); cooks[i].Cut != cut {
				mean, n = mean+math.Log(took.Hours()), n+1
			}
		}
		want := 60 * r.Typical * math.Expm1(math.Log(hours[cut])-mean/n)
		if math.Abs(l.Effect-want) > 60 || l.Reads != Likely || l.Expected*want < 0 {
			t.Errorf("%s: %+.0f min, %v, want %+.0f", l.Change, l.Effect, l.Reads, want)
		}
	}
}

// Each value of a word is judged by itself. The number of cooks to settle it is that of a
// comparison of two means with half of the cooks each, without a prior: (4σ/δ)², for two
// standard errors.
func TestEachValueByItself(t *testing.T) {
	var cooks []journal.Cook
	for i := range 40 {
		wrap := []journal.Wrap{journal.NoWrap, journal.Foil}[i%2]
		hours := map[journal.Wrap]float64{journal.NoWrap: 13, journal.Foil: 10}[wrap]
		if i%20 == 3 {
			wrap, hours = journal.Boat, 13
		}
		cooks = append(cooks, cook(i, hours*(1+.08*math.Sin(float64(5*i))), func(c *journal.Cook) {
			if wrap != journal.NoWrap {
				off := len(c.Entries) - 1
				c.Entries = slices.Insert(c.Entries, off, journal.Entry{Time: c.Entries[0].Time.Add(6 * time.Hour), Items: []journal.Item{{Act: journal.PutWrap, Wrap: wrap}}})
			}
		}))
	}
	r := weigh(t, cooks, Time, ten)
	sound(t, r)
	c, _ := candidate(r, "wrap")
	lines := map[string]Line{}
	for _, l := range c.Lines {
		lines[l.Change] = l
	}
	foil, boat := lines["foil instead of bare"], lines["boat instead of bare"]
	if c.Reads != Likely || foil.Reads != Likely || foil.More != 0 || c.Largest().Change != foil.Change {
		t.Errorf("foil %+v of %v", foil, c.Reads)
	}
	ln := func(minutes float64) float64 { return math.Log1p(minutes / 60 / r.Typical) }
	most := math.Pow(4*ln(r.Scatter)/ln(boat.For), 2)
	if boat.Reads == Likely || boat.Lo > 0 || boat.Hi < 0 || boat.More == 0 || float64(boat.More) > .9*most {
		t.Errorf("boat %+v, at most %.0f cooks", boat, most)
	}
}

// weigh calls Weigh with a context that does not end.
func weigh(t testing.TB, cooks []journal.Cook, of Target, opt Options) Report {
	t.Helper()
	r, err := Weigh(t.Context(), frame.Cooks(cooks), of, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
