// Package quantity works out how much a meal needs: meat, from the plate back to the
// butcher, fuel, wood and salt. It uses the person's own cooks if there are enough,
// else starting values with their source.
package quantity

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/numeric/score"

	"gonum.org/v1/gonum/stat/distuv"
)

// Party is the number of guests. Children, Hearty and Vegetarians are part of Heads and
// do not overlap.
type Party struct {
	Heads, Children, Hearty, Vegetarians int
	Without                              []Without // guests who must avoid an allergen; they are counted above too
}

// Without is a number of guests and the allergen they must avoid, one of
// mix.AllergenNames.
type Without struct {
	Allergen string
	Heads    int
}

// Serving is how the meat is served.
type Serving struct {
	Plated bool // with side dishes on a plate, not in a bun
	Sliced bool // sliced, not pulled
}

// Cut describes a cut as butchers sell it: the usual and the largest weight of a whole
// piece, kg (common practice, no source), and its yield.
type Cut struct {
	words          []string
	Usual, Largest float64
	Sliced         bool   // served in slices, not pulled
	USDA           string // published yield of a similar cut; empty: none
	lost           lost   // its own starting values; zero: those of big cuts
	// Keeps is for how many hours it stays good in a hot box: longer, and it dries, its
	// skin gets soft, or it cooks on (common practice, no source). 0: as long as it is hot.
	Keeps float64
}

// Bony reports whether the cut has more bone than big cuts.
func (c Cut) Bony() bool { return c.lost.discard > startDiscard.Lost }

// Skin reports whether the cut is a bird with its skin on.
func (c Cut) Skin() bool { return c.lost == bird || c.lost == turkey || c.lost == breast }

// Roast reports whether the cut is done at a core too low to pull, and so loses less.
func (c Cut) Roast() bool { return c.lost != lost{} && c.lost.loss < .24 && c.lost.discard < .2 }

// lost is the share lost at each step: trimming, cooking, removing bone and fat.
type lost struct{ trim, loss, discard float64 }

// Shares left on the plate of bony cuts and birds as bought: spare ribs .39, chicken
// .41, turkey .47, turkey breast on the bone .57 (USDA Food Buying Guide for Child
// Nutrition Programs, cooked meat of a pound as purchased, from memory). Cooking losses
// are near those of the USDA row beside each, a little more for ribs, which are smoked
// until tender.
var (
	ribs   = lost{.04, .30, .42}
	bird   = lost{.02, .24, .45}
	turkey = lost{.02, .29, .32}
	breast = lost{.02, .32, .15}
	picnic = lost{.10, .34, .16} // half of the weight is left, as of a shoulder, but more of it is lost as skin and bone

	// Cuts that are tender when raw come off sooner and lose what the USDA rows lost.
	// Trim and bone are common practice, no source.
	ribRoast = lost{.05, .23, .15}
	rack     = lost{.10, .20, .35}
	loin     = lost{.06, .23, .02}
	side     = lost{.02, .18, .06} // of fish
)

// cuts lists more specific names first. Yields are cooked weight from raw as printed in
// the USDA Table of Cooking Yields for Meat and Poultry, Release 2 (2014); no row of it
// was smoked.
var cuts = []Cut{
	{[]string{"brisket flat", "flat of brisket", "flat half"}, 3, 5, true, "brisket, flat half, braised: 69 % (65 – 76, n 20)", lost{}, 0},
	{[]string{"brisket"}, 6, 10, true, "brisket, flat half, braised: 69 % (65 – 76, n 20)", lost{}, 0},
	{[]string{"rib roast", "standing rib", "prime rib", "rib eye", "ribeye", "rib-eye"}, 4, 9, true, "beef, rib eye roast, bone-in, roasted: 76.9 % (71.8 – 83.5, n 35)", ribRoast, 1},
	{[]string{"rack of lamb", "lamb rack"}, .8, 1.5, true, "", rack, 1},
	{[]string{"tenderloin"}, .5, 3, true, "", loin, 1},
	{[]string{"sirloin", "tri tip", "tri-tip", "picanha"}, 1.2, 4, true, "", loin, 1},
	{[]string{"loin"}, 2.5, 6, true, "pork, fresh, loin, blade roasts, bone-in, baked or roasted: 77 % (68 – 88, n 12)", loin, 1},
	{[]string{"salmon", "trout", "fish", "mackerel"}, 1.2, 5, true, "", side, .5},
	{[]string{"plate rib", "beef rib", "short rib"}, 2.8, 7, true, "", ribs, 0},
	{[]string{"spare"}, 1.5, 3, true, "pork spareribs, baked or roasted: 76 % (68 – 79, n 12)", ribs, 2},
	{[]string{"rib", "rack"}, 1.4, 3, true, "", ribs, 2},
	{[]string{"turkey breast"}, 3, 8, true, "turkey, enhanced, breast, roasted: 68 % (n 1)", breast, 1},
	{[]string{"turkey"}, 6, 16, true, "turkey, whole, enhanced, roasted: 71 % (n 1)", turkey, 2},
	{[]string{"chicken"}, 1.8, 4, true, "chicken, broiler-fryer, whole, baked or roasted: 78 % (68 – 84)", bird, 1},
	{[]string{"duck"}, 2.4, 4, true, "", bird, 1},
	{[]string{"goose"}, 4.5, 7, true, "", bird, 2},
	{[]string{"lamb shoulder"}, 2.6, 5, false, "lamb, shoulder, shank, breast, flank, braised: 60 % (54 – 72)", lost{}, 0},
	{[]string{"lamb", "mutton", "goat"}, 2.6, 6, false, "", lost{}, 0},
	{[]string{"chuck"}, 3.5, 12, false, "beef, chuck, under blade pot roast, braised: 64 % (60.9 – 78.2, n 33)", lost{}, 0},
	{[]string{"picnic"}, 4, 8, false, "pork, shoulder, arm picnic, braised: 74 % (70 – 78, n 12)", picnic, 0},
	{[]string{"pork", "shoulder", "butt"}, 4.7, 11, false, "", lost{}, 0},
	{nil, 4, 14, false, "", lost{}, 0},
}

// Find returns the cut that a name means. It returns the last row for an unknown name.
func Find(name string) Cut {
	name = strings.ToLower(name)
	for _, c := range cuts {
		if slices.ContainsFunc(c.words, func(w string) bool { return strings.Contains(name, w) }) {
			return c
		}
	}
	return cuts[len(cuts)-1]
}

// Portions of cooked meat, kg. In a bun and on a plate: "portion, adults and teens 1/3
// lb", "hearty eaters 1/2 lb" (a caterer's page of 2014, a forum, two more caterers). A
// child eats half (same page: "children under 12, 0.5 adult portion", and 1/4 lb, which
// is the upper end of 75 to 113 g).
const (
	bunPortion   = .150
	platePortion = .225
	heartyShare  = 1.5
	childShare   = .5
)

// Portion returns the cooked meat for one adult, kg.
func (s Serving) Portion() float64 {
	if s.Plated {
		return platePortion
	}
	return bunPortion
}

// Eats returns the cooked meat for the whole party, kg, at a portion for one adult, kg.
func (p Party) Eats(portion float64) float64 {
	grown := float64(p.Heads-p.Children-p.Hearty-p.Vegetarians) + heartyShare*float64(p.Hearty) + childShare*float64(p.Children)
	return grown * portion
}

// Share is the share of meat lost at one step.
type Share struct {
	Lost float64 // of what came into the step, 0 to 1
	SD   float64 // standard deviation of ln(share left) between cooks
	N    int     // own cooks it is based on; 0: a starting value
}

// Starting values (chosen). Together they leave 50 % of the raw weight on the plate, 40
// to 60 % in eight of ten cooks, as practice says ("brisket and pulled pork, cooked of
// raw 55 – 60, plan with 50", a caterer's page of 2014; "pork butt bone-in 40 – 50" and
// "58 lb of 136 lb raw", forum posts).
var (
	startTrim    = Share{Lost: .10, SD: .05}
	startLoss    = Share{Lost: .38, SD: .13}
	startDiscard = Share{Lost: .10, SD: .075}
)

// Enough is how many cooks of a cut are needed to use the person's own figures.
const Enough = 3

// priorCooks is the weight of the starting spread against the person's own cooks,
// counted in cooks (chosen).
const priorCooks = 3.0

// own replaces a starting value with the share that the person's own cooks of the cut
// lost.
func (s Share) own(lost []float64) Share {
	lost = slices.DeleteFunc(lost, func(v float64) bool { return !(v >= 0 && v < .9) })
	n := float64(len(lost))
	if n < Enough {
		return s
	}
	mean, squares := 0.0, 0.0
	for _, v := range lost {
		mean += math.Log(1-v) / n
	}
	for _, v := range lost {
		squares += math.Pow(math.Log(1-v)-mean, 2)
	}
	v := (squares + priorCooks*s.SD*s.SD) / (n - 1 + priorCooks)
	return Share{Lost: 1 - math.Exp(mean), SD: math.Sqrt(v * (1 + 1/n)), N: len(lost)}
}

// Meat is the meat for one dish.
type Meat struct {
	Cut                 string
	Cooked              float64 // kg on the plates
	Trim, Loss, Discard Share
	Appetite            float64         // standard deviation of ln(kg eaten) between meals
	Raw                 [3]float64      // kg to buy so that it is enough in 1, 5 and 9 of 10 meals
	Odds                float64         // share of meals in which Buy is enough, 0 to 1
	Buy                 float64         // kg, in whole pieces
	Pieces              []journal.Piece // to buy, or already there
	Ready               bool            // the pieces are already there
	Usual               float64         // kg of a usual piece
	Own                 int             // own pieces that Usual is based on; 0: the usual weight sold
	Eaten               Eaten
	USDA                string // published yield of a similar cut; empty: none
}

// Eaten is what the person's guests ate of a cut in past meals.
type Eaten struct {
	Low, Mid, High float64 // kg for each guest
	Cooks          int
}

// Left returns the share of the raw weight that reaches the plate.
func (m *Meat) Left() float64 { return (1 - m.Trim.Lost) * (1 - m.Loss.Lost) * (1 - m.Discard.Lost) }

// Over returns the mean leftovers, kg of cooked meat; below zero, the meat is too
// little on average.
func (m *Meat) Over() float64 { return m.Buy*m.Left() - m.Cooked }

// Usually is the share of meals in which the meat is enough if nothing else is asked
// for (chosen: a fifth over the median, as caterers' pages add a tenth to a quarter;
// nine of ten would leave a third over on average).
const Usually = .8

// startAppetite is the standard deviation of ln(kg eaten a head) between meals (chosen
// so that eight of ten meals are within the 4 to 6 oz for an adult that caterers' pages
// give).
const startAppetite = .16

// appetite returns the standard deviation of ln(kg eaten a head) over the person's own
// meals.
func appetite(eaten []float64) float64 {
	left := make([]float64, len(eaten)) // share of the largest amount eaten
	most := slices.Max(append([]float64{0}, eaten...))
	for i, v := range eaten {
		left[i] = 1 - v/most
	}
	return Share{SD: startAppetite}.own(left).SD
}

// ownCooks is what the person's cooks of a cut show, one value a cook that noted it.
type ownCooks struct {
	trim, loss, discard []float64 // shares lost
	both                []float64 // share lost to trimming and cooking, where only both are known
	pieces              []float64 // kg as bought, one value a piece
	eaten               []float64 // kg for each guest
}

// seen collects what finished cooks show.
func seen(like []*journal.Cook) (out ownCooks) {
	for _, c := range like {
		raw, bought := c.RawWeight()
		on, weighed := c.OnWeight()
		y := c.Yield
		if trimmed(c) && bought {
			out.trim = append(out.trim, 1-on/raw)
		}
		switch {
		case !weighed || !y.Off.Known:
		case trimmed(c):
			out.loss = append(out.loss, 1-y.Off.Base/on)
		default:
			out.both = append(out.both, 1-y.Off.Base/on)
		}
		if y.Off.Base > 0 && y.Discard.Known {
			out.discard = append(out.discard, y.Discard.Base/y.Off.Base)
			if c.Heads > 0 && y.Left.Known {
				out.eaten = append(out.eaten, (y.Off.Base-y.Discard.Base-y.Left.Base)/float64(c.Heads))
			}
		}
		for _, p := range c.Pieces {
			if p.Raw.Known {
				out.pieces = append(out.pieces, p.Raw.Base)
			}
		}
	}
	return out
}

// Buy works out the meat for cooked kg on the plates so that it is enough in the share
// odds of meals. like are the person's finished cooks of the cut, ready are pieces that
// are already there.
func Buy(cut string, ready []journal.Piece, cooked, odds float64, like []*journal.Cook, sys measure.System) Meat {
	m := Meat{Cut: cut, Cooked: cooked, Odds: odds, USDA: Find(cut).USDA}
	own := seen(like)
	first := [3]Share{startTrim, startLoss, startDiscard}
	if l := Find(cut).lost; l != (lost{}) {
		first[0].Lost, first[1].Lost, first[2].Lost = l.trim, l.loss, l.discard
	}
	m.Trim, m.Loss, m.Discard = first[0].own(own.trim), first[1].own(own.loss), first[2].own(own.discard)
	if m.Loss.N == 0 && len(own.both) >= Enough {
		// Only the bought and the final weight are known, so the trimmings are part of
		// the loss.
		m.Trim, m.Loss = Share{N: len(own.both)}, Share{SD: math.Hypot(startTrim.SD, startLoss.SD)}.own(own.both)
	}
	if eaten := own.eaten; len(eaten) >= Enough {
		m.Eaten = Eaten{score.Quantile(eaten, .1), score.Quantile(eaten, .5), score.Quantile(eaten, .9), len(eaten)}
	}
	raw := cooked / m.Left()
	m.Appetite = appetite(own.eaten)
	sd := math.Sqrt(m.Trim.SD*m.Trim.SD + m.Loss.SD*m.Loss.SD + m.Discard.SD*m.Discard.SD + m.Appetite*m.Appetite)
	enough := func(odds float64) float64 { return raw * math.Exp(sd*distuv.UnitNormal.Quantile(odds)) }
	m.Raw = [3]float64{enough(.1), raw, enough(.9)}
	if len(ready) > 0 {
		m.Ready, m.Pieces = true, slices.Clone(ready)
		for _, p := range m.Pieces {
			m.Buy += p.Raw.Base
		}
		return m
	}
	usual := Find(cut).Usual
	if n := len(own.pieces); n >= Enough {
		usual, m.Own = score.Quantile(own.pieces, .5), n
	}
	m.Usual = usual
	m.Pieces = whole(enough(odds), usual, sys)
	for _, p := range m.Pieces {
		m.Buy += p.Raw.Base
	}
	return m
}

// trimmed reports whether all pieces were weighed when they went on.
func trimmed(c *journal.Cook) bool {
	return !slices.ContainsFunc(c.Pieces, func(p journal.Piece) bool { return !p.Trimmed.Known })
}

// stretch is how much heavier than usual a piece may be before one more piece is bought
// (chosen, as butchers offer some choice of weight).
const stretch = 1.15

// whole splits a weight into equal pieces near the usual weight, rounded up to a tenth
// of the reader's unit. They cook side by side, so two half pieces are done long before
// one whole.
func whole(kg, usual float64, sys measure.System) []journal.Piece {
	n := max(1, int(math.Ceil(kg/(usual*stretch))))
	out := make([]journal.Piece, n)
	for i := range out {
		out[i] = journal.Piece{Raw: roundUp(kg/float64(n), sys)}
		if n > 1 {
			out[i].Name = letters(i)
		}
	}
	return out
}

// roundUp rounds a mass up to tenths of a kilogram or pound.
func roundUp(kg float64, sys measure.System) measure.Mass {
	unit := measure.Kilograms(1).Unit
	if sys == measure.US {
		lb, _ := measure.ParseMass("1 lb", measure.US)
		unit = lb.Unit
	}
	m, _ := measure.ParseMass(fmt.Sprintf("%.1f %s", math.Ceil(unit.From(kg)*10-1e-6)/10, unit.Symbol), sys)
	return m
}

// letters returns the name of the i-th piece: A … Z, AA …
func letters(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letters(i/26-1) + letters(i%26)
}
