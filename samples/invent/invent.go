// Package invent generates cooks whose causes are known. It simulates meat, pit and the
// people, writes what those people would have noted, and records what would have
// happened under other conditions.
//
// Everything is invented: no cook, person, supplier or pit here is real.
//
// The physics is deliberately different from that of the forecast, so that a good
// forecast here is no circular result: the heat of a brick in Fourier modes, a surface
// balance, and drying in Sherwood's two periods behind a growing crust.
//
// The true effects are the constants of taste.go:
//
//	hot water pan              time  +4.5 %, about 35 min of 13 h in a steady pit
//	meat of the hill farm      time  −3.0 %, tenderness +0.4 points
//	each further piece         time  +2.5 %
//	cherry rather than oak     time   0 exactly, smoke −0.3 points
//	foil, paper                bark  −0.9, −0.35 points
//	over 4 h in the box        bark  −0.5 points
//	luck of the meat           time  ± 6 % a cook, ± 2.5 % a piece (standard deviations)
//
// Wrap, pit temperature, lids, spritzing, thickness and weather act through the
// physics; the [Truth] of a cook has the effect of each.
package invent

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/series"
	"ashbook/samples/invent/roast"
)

// Options of Generate.
type Options struct {
	Probes  float64 // share of cooks with a probe series, 0 to 1
	Without bool    // leave out the counterfactuals, which take most of the time
}

// Cook is one invented cook.
type Cook struct {
	ID     string // file name without its ending
	File   []byte // the Markdown file
	Series []byte // the probe series, CSV; nil if there is none
	Truth  Truth
}

// Path returns the path of the cook's file in a journal, without its extension.
func (c Cook) Path() string { return "cooks/" + c.ID[:4] + "/" + c.ID }

// Read parses the cook as a journal does.
func (c Cook) Read(opt cookfile.Options) (journal.Cook, error) {
	f, err := cookfile.Parse(c.Path()+".md", c.File, opt)
	if err == nil && c.Series != nil {
		f.Cook.Series, _, err = series.Parse(c.Path()+".csv", c.Series)
	}
	return f.Cook, err
}

// Truth is what the people could not know. Times are minutes from the first piece on
// until the last piece is tender (a bird: at its temperature), in the pit as it ran; 0:
// not within 40 hours, or not asked for.
type Truth struct {
	Ready   float64            // as it was cooked
	Off     float64            // when the last piece was taken off; 0: still on
	Else    map[string]float64 // with one condition changed: see Otherwise
	LnTime  map[string]float64 // constants that acted on the time, in ln
	Quality map[string]float64 // points before eaters' differences, by trait
}

// Otherwise names the counterfactuals in Truth.Else. A heavier piece keeps its shape, a
// thicker one its weight; "off −5" is ready at a core 5 K lower.
var Otherwise = []string{"bare", "paper", "foil", "pit +10", "lids shut", "no luck", "one piece", "pan dry", "weight +20 %", "thick +10 %", "start +10", "off −5"}

// Generate returns n cooks sorted by time. The same seed, n and options give the same
// bytes on the same architecture.
func Generate(seed uint64, n int, o Options) []Cook {
	rng := stream(seed, "plans")
	cooks := make([]Cook, n)
	words := newPhrases(stream(seed, "phrases"))
	day := 0
	for i := range cooks {
		p := randomPlan(rng, &day, o)
		cooks[i] = p.cook(seed, words, !o.Without)
	}
	return cooks
}

// stream returns a separate random source for each purpose, so that a change for one
// purpose does not affect the others.
func stream(seed uint64, purpose string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(purpose))
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// truth repeats the cook in the pit as it ran, each time with one condition changed.
func (c *course) truth(all bool) Truth {
	tr := Truth{Else: map[string]float64{}, LnTime: map[string]float64{"luck": c.base}}
	if c.Form == "planned" {
		return tr
	}
	tr.Ready = c.replay("")
	if !slices.Contains(c.off, 0) {
		tr.Off = float64(slices.Max(c.off))
	}
	tr.LnTime["further pieces"] = CrowdTime * float64(len(c.Pieces)-1)
	tr.LnTime["pan and supplier"] = c.knownTime() - tr.LnTime["further pieces"]
	if all {
		for _, what := range Otherwise {
			tr.Else[what] = c.replay(what)
		}
	}
	return tr
}

// replay returns the minute at which the last piece is ready.
func (c *course) replay(other string) float64 {
	last := 0.
	for i, pc := range c.Pieces {
		ln, kg, cm, core := c.luck[i], pc.trim, pc.Thick, pc.core
		switch other {
		case "no luck":
			ln = c.knownTime()
		case "one piece":
			ln -= CrowdTime * float64(len(c.Pieces)-1)
		case "pan dry":
			if c.Pan == "hot" {
				ln -= PanHotTime
			}
		case "weight +20 %":
			kg, cm = kg*1.2, cm*math.Cbrt(1.2)
		case "thick +10 %":
			cm *= 1.1
		case "start +10":
			core += 10
		}
		meat := func() *roast.Meat { return roast.NewMeat(c.meat, kg, cm/100, core, c.juicy) }
		b := meat()
		at := c.replayPiece(i, b, ln, other, b.Done)
		if at > 0 && other == "off −5" {
			ready := b.Core()
			b = meat()
			at = c.replayPiece(i, b, ln, other, func() bool { return b.Core() >= ready-5 })
		}
		if at == 0 {
			return 0
		}
		last = max(last, at)
	}
	return last
}

func (c *course) replayPiece(i int, b *roast.Meat, ln float64, other string, done func() bool) float64 {
	wrapAt, wrap := c.wrapAt, c.wrapped
	if other == "bare" {
		wrap = ""
	}
	if other == "foil" || other == "paper" {
		wrapAt, wrap = 0, other
	}
	for t := range longest {
		k := min(t, len(c.pits)-1)
		a := c.around(i, k)
		switch other {
		case "pit +10":
			a.Temp += 10
		case "lids shut":
			for _, l := range c.lids {
				if k >= l {
					a.Temp += c.fire.Dip * math.Exp(-float64(k-l)/c.fire.Recover)
				}
			}
		}
		if other != "lids shut" && b.Wrap == "" && slices.Contains(c.sprays, t) {
			b.Spritz()
		}
		if wrap != "" && b.Wrap == "" && (wrapAt > 0 && t >= wrapAt || wrapAt == 0 && b.Core() >= 70) {
			b.Wrap = wrap
		}
		b.Step(60*math.Exp(-ln), a)
		if done() {
			return float64(t + 1)
		}
	}
	return 0
}
