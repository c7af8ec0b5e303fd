// Package planted generates journals whose times and scores follow a known law, to
// check the reports against it.
//
// Everything is invented. The law is deliberately neither the physics of the forecast
// nor that of samples/invent: ln of the hours from on to off is a sum,
//
//	ln t = a + weight·ln(kg/4) + pit·(°C − 112)/10 + wrap + lid·lids + pan +
//	       which pit + thick·ln(thickness for its weight) + off·(°C − 93) +
//	       start·(°C − 5) + unnoted + noise
//
// with coefficients drawn for each journal; wrap, lids, pan and which pit have no
// effect in some. Wood, supplier, rub, fuel, salt, air and wind never affect the time.
// Scores are another sum: ScoreLaw.
//
// Generate and Wide are two families of journals. Wide has effects from almost zero to
// twice as large, also brisket, noise with long tails, and people who wrap heavy
// pieces.
package planted

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
)

// Law is the true law of one journal's times.
type Law struct {
	Base   float64            // ln h of 4 kg unwrapped on the first pit at 112 °C
	Weight float64            // per ln kg
	Pit    float64            // per 10 K
	Wrap   map[string]float64 // ln, by kind; unwrapped is 0
	Lid    float64            // for each opening
	Pan    float64            // hot instead of none
	Which  float64            // the second pit instead of the first
	Thick  float64            // per ln of thickness relative to usual for the weight
	Off    float64            // per K
	Start  float64            // per K
	Noise  float64            // standard deviation
	Scores [3]ScoreLaw        // tenderness, moisture, bark
}

// Cook is one cook with the causes of its time.
type Cook struct {
	ID      string
	File    []byte
	Hours   float64            // on to off
	Noted   map[string]float64 // ln, effect of each noted cause
	Unnoted float64            // ln, effect of a cause that nobody noted; 0 for most cooks
	Noise   float64            // ln

	Kg, PitC, OffC, StartC, Ratio float64 // values in the law; Ratio is 0 if the thickness was not measured
	Lids                          int
	WrapKind                      string // "none", "foil", "paper"
	PanKind                       string // "hot", "none"
	PitName                       string
	Supplier, Wood, Rub           string
	SaltRate                      float64 // g/kg
}

// Journal is one journal with its law.
type Journal struct {
	Law   Law
	Cooks []Cook
	Pits  [2]string
}

// Asked returns the journals named by text, seeds "FROM:TO" of Generate or
// "wide:FROM:TO" of Wide. Without text it returns the first few of Generate.
func Asked(text string, few uint64) (journals []Journal, name string, err error) {
	from, to, of := uint64(1), few+1, Generate
	if text != "" {
		seeds, wide := strings.CutPrefix(text, "wide:")
		if wide {
			of = Wide
		}
		if _, err := fmt.Sscanf(seeds, "%d:%d", &from, &to); err != nil {
			return nil, "", fmt.Errorf("journals %q: FROM:TO or wide:FROM:TO expected", text)
		}
	}
	for seed := from; seed < to; seed++ {
		journals = append(journals, of(seed))
	}
	return journals, fmt.Sprintf("journals %s, %d to %d", text, from, to), nil
}

// Read parses the cooks as a journal does.
func (j *Journal) Read() ([]journal.Cook, error) {
	var out []journal.Cook
	for _, c := range j.Cooks {
		f, err := cookfile.Parse(c.Path(), c.File, cookfile.Options{})
		if err != nil {
			return nil, err
		}
		out = append(out, f.Cook)
	}
	return out, nil
}

// Many returns n cooks, the first ones of one journal after another with new names, to
// measure speed.
func Many(n int) ([]journal.Cook, error) {
	var cooks []journal.Cook
	for seed := uint64(1); len(cooks) < n; seed++ {
		j := Generate(seed)
		more, err := j.Read()
		if err != nil {
			return nil, err
		}
		for i := range more {
			more[i].ID += fmt.Sprint("-", seed)
		}
		cooks = append(cooks, more...)
	}
	return cooks[:n], nil
}

// Path returns the path of the file in a journal.
func (c *Cook) Path() string { return "cooks/" + c.ID[:4] + "/" + c.ID + ".md" }

// maybe draws an effect of either sign between two sizes; a share none of them is zero.
func maybe(r *rand.Rand, none, low, high float64) float64 {
	v := low + (high-low)*r.Float64()
	if r.Float64() < none {
		return 0
	}
	return v
}

func sign(r *rand.Rand) float64 { return float64(1 - 2*r.IntN(2)) }

// draw draws a law (chosen: sizes as people report them, from zero to more than most
// would believe).
func draw(r *rand.Rand) Law {
	l := Law{
		Base: math.Log(10 + 5*r.Float64()), Weight: .15 + .45*r.Float64(), Pit: -.08 - .2*r.Float64(),
		Lid: maybe(r, .3, .006, .035), Pan: sign(r) * maybe(r, .4, .03, .13), Which: sign(r) * maybe(r, .4, .04, .2),
		Thick: .2 + .6*r.Float64(), Off: .006 + .024*r.Float64(), Start: -.004 - .008*r.Float64(), Noise: .06 + .09*r.Float64(),
	}
	foil := maybe(r, .25, -.35, -.1)
	l.Wrap = map[string]float64{"none": 0, "foil": foil, "paper": foil * (.4 + .4*r.Float64())}
	return l
}

// drawWide draws a law of the other family (chosen: wider than draw at both ends).
func drawWide(r *rand.Rand) Law {
	l := Law{
		Base: math.Log(7 + 11*r.Float64()), Weight: .05 + .8*r.Float64(), Pit: -.02 - .33*r.Float64(),
		Lid: maybe(r, .3, .004, .05), Pan: sign(r) * maybe(r, .5, .02, .2), Which: sign(r) * maybe(r, .5, .03, .3),
		Thick: r.Float64(), Off: .002 + .04*r.Float64(), Start: -.012 * r.Float64(), Noise: .04 + .14*r.Float64(),
	}
	foil := maybe(r, .3, -.5, -.05)
	l.Wrap = map[string]float64{"none": 0, "foil": foil, "paper": foil * r.Float64()}
	return l
}

// Generate returns a journal of 15 to 60 cooks; a seed always gives the same journal.
func Generate(seed uint64) Journal {
	r := rand.New(rand.NewPCG(seed, 0x706c616e746564))
	law := draw(r)
	n := 15 + r.IntN(46)
	habit := habits{
		cut: "pork shoulder", shape: shoulder, kgSpread: .22, pitSpread: 5,
		kg: 3 + 1.5*r.Float64(), aim: 106 + 14*r.Float64(), wrap: []string{"none", "none", "foil", "foil", "paper"},
		pan: .3 + .4*r.Float64(), other: .25 + .35*r.Float64(), lids: 2 + 5*r.Float64(), measures: r.Float64() < .5, plans: r.Float64() < .5,
	}
	if r.Float64() < .4 {
		habit.wrap = []string{"none", "foil"}
	}
	return generate(seed, r, law, n, habit, false)
}

// Wide returns a journal of the other family.
func Wide(seed uint64) Journal {
	r := rand.New(rand.NewPCG(seed, 0x77696465))
	law := drawWide(r)
	n := 15 + r.IntN(46)
	habit := habits{
		cut: "pork shoulder", shape: shoulder, kgSpread: .1 + .25*r.Float64(), pitSpread: 3 + 6*r.Float64(), longTails: r.Float64() < .5, wrapsHeavy: r.Float64() < .5,
		kg: 2.5 + 3*r.Float64(), aim: 100 + 28*r.Float64(), wrap: []string{"none", "none", "paper", "paper", "foil"},
		pan: .15 + .7*r.Float64(), other: .15 + .7*r.Float64(), lids: 1 + 8*r.Float64(), measures: r.Float64() < .3, plans: r.Float64() < .3,
	}
	if r.Float64() < .5 {
		habit.wrap = []string{"none", "foil", "foil"}
	}
	if r.Float64() < .5 {
		habit.cut, habit.shape, habit.kg = "beef brisket", brisket, habit.kg+1.5
	}
	return generate(seed, r, law, n, habit, true)
}

func generate(seed uint64, r *rand.Rand, law Law, n int, habit habits, wide bool) Journal {
	tastes := newTable(rand.New(rand.NewPCG(seed, 0x656174657273)), wide)
	j := Journal{Law: law, Pits: [2]string{"barrel", "stone"}}
	j.Law.Scores = tastes.laws
	day := time.Date(2021, 3, 6, 0, 0, 0, 0, time.UTC)
	for range n {
		day = day.AddDate(0, 0, 7+r.IntN(30))
		j.Cooks = append(j.Cooks, j.cook(r, day, &habit, tastes))
	}
	return j
}

// habits are how the person of a journal cooks.
type habits struct {
	cut                       string
	shape                     float64 // kg/m³: mass divided by the cube of the thickness
	kg, aim, pan, other, lids float64
	kgSpread, pitSpread       float64 // ln; K
	wrap                      []string
	measures, plans           bool
	longTails                 bool // noise is Student's t with 4 degrees of freedom and the same spread
	wrapsHeavy                bool // wraps heavy pieces and leaves light ones unwrapped
}

// luck draws noise of spread 1.
func (h *habits) luck(r *rand.Rand) float64 {
	z := r.NormFloat64()
	if h.longTails {
		sum := 0.0
		for range 4 {
			x := r.NormFloat64()
			sum += x * x
		}
		z *= math.Sqrt(2 / sum)
	}
	return z
}

// unnotedShare is the share of cooks with a cause that nobody noted.
const unnotedShare = .12

func (j *Journal) cook(r *rand.Rand, day time.Time, h *habits, eaters *table) Cook {
	l := &j.Law
	c := Cook{ID: day.Format(time.DateOnly) + "-supper", Noted: map[string]float64{}}
	c.Kg = math.Round(10*h.kg*math.Exp(h.kgSpread*r.NormFloat64())) / 10
	c.PitC = h.aim + h.pitSpread*r.NormFloat64()
	c.OffC = math.Round(93 + 1.6*r.NormFloat64())
	c.StartC = float64(3 + r.IntN(9))
	c.Lids = int(h.lids * 2 * r.Float64())
	c.WrapKind = h.wrap[r.IntN(len(h.wrap))]
	if h.wrapsHeavy && c.Kg < .8*h.kg {
		c.WrapKind = "none"
	}
	c.PanKind, c.PitName = "none", j.Pits[0]
	if r.Float64() < h.pan {
		c.PanKind = "hot"
	}
	if r.Float64() < h.other {
		c.PitName = j.Pits[1]
	}
	ratio := math.Exp(.08 * r.NormFloat64())
	c.Noted["weight"] = l.Weight * math.Log(c.Kg/4)
	c.Noted["pit"] = l.Pit * (c.PitC - 112) / 10
	c.Noted["wrap"] = l.Wrap[c.WrapKind]
	c.Noted["lids"] = l.Lid * float64(c.Lids)
	c.Noted["off"] = l.Off * (c.OffC - 93)
	c.Noted["start"] = l.Start * (c.StartC - 5)
	if c.PanKind == "hot" {
		c.Noted["pan"] = l.Pan
	}
	if c.PitName == j.Pits[1] {
		c.Noted["which pit"] = l.Which
	}
	c.Noise = l.Noise * h.luck(r)
	if thick := l.Thick * math.Log(ratio); h.measures {
		c.Noted["thickness"], c.Ratio = thick, ratio
	} else {
		c.Noise += thick // nobody measured it, so it is noise
	}
	if r.Float64() < unnotedShare {
		c.Unnoted = sign(r) * (.15 + .15*r.Float64())
	}
	ln := l.Base + c.Noise + c.Unnoted
	for _, v := range c.Noted {
		ln += v
	}
	c.Hours = math.Exp(ln)
	c.write(r, day, h, ratio, l.Off, eaters)
	return c
}

// course returns how far the core has come from start to end, as a share, after the
// share u of the time. It rises fast, hardly at two thirds, then again. It is an
// invented curve, not a simulation. The last part, end, takes the share slow of the
// time, as the law says.
func course(u, end, slow float64) float64 {
	at := []float64{0, .1, .25, .4, .5, .62, .75, 1 - slow, 1}
	way := []float64{0, .17, .47, .69, .72, .745, .8, 1 - end, 1}
	for i := range at[1:] {
		if u <= at[i+1] {
			return way[i] + (way[i+1]-way[i])*(u-at[i])/(at[i+1]-at[i])
		}
	}
	return 1
}

// lastKelvins is the last part of the core's rise, K, whose time the law gives.
const lastKelvins = 6.0

// Blocks with the shape of a cut: density, filled share of the block, width and length
// relative to thickness.
const (
	shoulder = 1060 * .8 * 1.6 * 2.3
	brisket  = 1060 * .62 * 3.0 * 4.6
)

// write writes the cook as a person would note it, without the law that made it.
func (c *Cook) write(r *rand.Rand, day time.Time, h *habits, ratio, off float64, eaters *table) {
	var b strings.Builder
	pick := func(words ...string) string { return words[r.IntN(len(words))] }
	put := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	put("---\nashbook: 1\ntitle: Supper\ncut: %s\npieces:", h.cut)
	thick := ""
	if h.measures {
		thick = fmt.Sprintf(", thick: %.1f cm", 100*ratio*math.Cbrt(c.Kg/h.shape))
	}
	put("  - {raw: %.1f kg, trimmed: %.1f kg%s, core: %.0f °C}", c.Kg*1.05, c.Kg, thick, c.StartC)
	c.Supplier = pick("north hall", "south hall")
	put("supplier: %s", c.Supplier)
	c.SaltRate = float64(8 + 2*r.IntN(4))
	put("salted: {rate: %.0f g/kg, ahead: %d h}", c.SaltRate, 10+2*r.IntN(5))
	c.Rub = pick("red", "brown")
	put("rub: {mix: %s, rate: 20 g/kg}", c.Rub)
	c.Wood = pick("oak", "apple")
	put("wood: [{kind: %s, mass: %d g}]", c.Wood, 100+20*r.IntN(6))
	put("fuel: {kind: %s}", pick("lump", "briquettes"))
	put("pit: %s\npan: %s", c.PitName, c.PanKind)
	if h.plans {
		put("aim: {pit: %.0f °C, core: 93 °C}", h.aim)
	}
	put("%s", eaters.scores(c))
	put("weather: {air: %d °C, wind: %d m/s}", -2+r.IntN(28), r.IntN(9))
	put("---\n\n# Supper\n\n## Timeline\n")
	on := day.Add(time.Duration(19*60+r.IntN(180)) * time.Minute)
	at := func(hours float64, words string, a ...any) {
		put("- %s %s", on.Add(time.Duration(math.Round(hours*60))*time.Minute).Format(journal.TimeLayout), fmt.Sprintf(words, a...))
	}
	at(0, "on")
	core := func(hours float64) float64 {
		return c.StartC + (c.OffC-c.StartC)*course(hours/c.Hours, lastKelvins/(c.OffC-c.StartC), lastKelvins*off)
	}
	type entry struct {
		hours float64
		words string
	}
	var entries []entry
	add := func(hours float64, words string, a ...any) {
		if hours < c.Hours-.3 {
			entries = append(entries, entry{hours, fmt.Sprintf(words, a...)})
		}
	}
	for t := .8 + .2*r.Float64(); t < c.Hours-.5; t += .8 + .5*r.Float64() {
		words := fmt.Sprintf("pit %.0f °C", c.PitC+2*r.NormFloat64())
		if r.IntN(2) == 0 {
			words += fmt.Sprintf(", core %.0f °C", core(t)+.5*r.NormFloat64())
		}
		add(t, "%s", words)
	}
	for range c.Lids {
		add(c.Hours*(.15+.6*r.Float64()), "lid")
	}
	if c.WrapKind != "none" {
		t := c.Hours * (.42 + .1*r.Float64())
		add(t, "wrap %s, core %.0f °C", c.WrapKind, core(t))
	}
	for len(entries) > 0 {
		first := 0
		for i := range entries {
			if entries[i].hours < entries[first].hours {
				first = i
			}
		}
		at(entries[first].hours, "%s", entries[first].words)
		entries = append(entries[:first], entries[first+1:]...)
	}
	at(c.Hours-.1, "core %.0f °C", c.OffC)
	at(c.Hours, "off")
	c.File = []byte(b.String())
}
