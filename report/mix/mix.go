// Package mix scales rubs, sauces and sides to a cook: what to weigh out, how much
// salt, sugar and acid that is, whether the meat is salted twice, and how the mix was
// liked.
package mix

import (
	"fmt"
	"math"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// PerHead is the sauce for one eater if nothing else is asked for, l (chosen: one litre
// for forty buns).
const PerHead = .025

// Want is what a mix should be enough for. Zero values are not set.
type Want struct {
	Cook    *journal.Cook
	Meat    float64 // kg, instead of the cook's
	Heads   float64 // instead of the cook's
	Litres  float64
	PerHead float64 // l for each eater; 0: the constant PerHead
}

// Batch is a mix scaled and weighed out.
type Batch struct {
	Mix     journal.Mix
	Cook    *journal.Cook // the cook it is for, or nil
	Written bool          // unscaled, as in its file
	Amount  float64       // kg of meat, people, or litres
	Factor  float64       // relative to the parts as written
	Lines   []Line
	Grams   float64 // weight of all parts, not rounded
	Content Content // of the whole batch
	PerUnit Content // for 1 kg of meat, 1 person or 1 l
	Ahead   float64 // g/kg of salt put on the meat before; 0: none noted
	Says    []string
	Short   []string // parts without a weight, which no sum includes
	Untold  []string // parts whose salt and sugar the name does not show
}

// Line is one part weighed out.
type Line struct {
	Name    string
	Grams   float64 // 0: unknown
	Text    string  // as written, if it is not a weight
	Spooned bool    // Text is a volume
}

// Content is salt, sugar and acid, g.
type Content struct{ Salt, Sugar, Acid float64 }

func (c Content) times(f float64) Content { return Content{c.Salt * f, c.Sugar * f, c.Acid * f} }

// content adds up the parts as written.
func content(m *journal.Mix) (c Content) {
	for _, p := range m.Parts {
		if in, _, ok := find(p.Name); ok {
			g := weight(p)
			c.Salt, c.Sugar, c.Acid = c.Salt+g*in.salt, c.Sugar+g*in.sugar, c.Acid+g*in.acid
		}
	}
	return c
}

// grams returns the weight of the parts as written.
func grams(m *journal.Mix) (g float64) {
	for _, p := range m.Parts {
		g += weight(p)
	}
	return g
}

// weight returns the weight of a part, g, or 0 if unknown. A spoon or cup is converted
// if the weight of a spoonful is known.
func weight(p journal.Part) float64 {
	if in, exact, ok := find(p.Name); !p.Mass.Known && ok && exact {
		return p.Volume.Base * in.litre
	}
	return 1000 * p.Mass.Base
}

// Named reports whether words are the file name or the heading of a mix. Case and
// hyphens do not matter.
func Named(m *journal.Mix, words string) bool {
	return plain(words) != "" && (plain(words) == plain(m.Name) || plain(words) == plain(m.Title))
}

func plain(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r == '-' || r == '_' || r == ' ' }), " ")
}

// Written returns a mix unscaled, as in its file.
func Written(m journal.Mix) Batch {
	b := batch(m, 1, m.For.Amount)
	b.Written = true
	return b
}

func batch(m journal.Mix, factor, amount float64) Batch {
	b := Batch{Mix: m, Factor: factor, Amount: amount, Grams: factor * grams(&m), Content: content(&m).times(factor)}
	for _, p := range m.Parts {
		b.Lines = append(b.Lines, Line{p.Name, factor * weight(p), p.Text, p.Volume.Known})
		switch {
		case weight(p) == 0:
			b.Short = append(b.Short, p.Name)
		case untold(p.Name):
			b.Untold = append(b.Untold, p.Name)
		}
	}
	if len(b.Untold) > 0 { // the file states what the label says, so that counts
		c := &b.Content
		c.Salt, c.Sugar, c.Acid = math.Max(c.Salt, factor*1000*m.Salt.Base), math.Max(c.Sugar, factor*1000*m.Sugar.Base), math.Max(c.Acid, factor*1000*m.Acid.Base)
	}
	if amount > 0 {
		b.PerUnit = b.Content.times(1 / amount)
	}
	return b
}

// Scale scales a mix to what is wanted. The error says what is missing.
func Scale(m journal.Mix, w Want, sys measure.System) (Batch, error) {
	var amount float64
	var says string
	var err error
	switch m.For.Of {
	case journal.ForMeat:
		amount, says, err = w.meat(sys)
	case journal.ForHeads:
		amount, says, err = w.heads()
	case journal.ForVolume:
		amount, says, err = w.litres(sys)
	default:
		return Batch{}, fmt.Errorf("mix %q does not say what it is for: expected for: 1 kg meat, 1 head or 1 l", m.Name)
	}
	if err != nil {
		return Batch{}, fmt.Errorf("mix %q is for %s: %w", m.Name, portion(m.For, measure.Metric), err)
	}
	factor := amount / m.For.Amount
	b := batch(m, factor, amount)
	b.Cook, b.Says = w.Cook, []string{says}
	if w.Cook == nil || m.For.Of != journal.ForMeat {
		return b, nil
	}
	if own := w.Cook.Rub.Rate; Named(&m, w.Cook.Rub.Mix) && own.Known && own.Base > 0 && b.Grams > 0 {
		written := b.Grams / amount
		switch {
		case len(b.Short) > 0:
			b.Says = append(b.Says, "The cook's own "+rate(own.Base, sys)+" is not used: some parts have no weight.")
		case math.Abs(written-own.Base) >= .5:
			b = batch(m, factor*own.Base/written, amount)
			b.Cook, b.Says = w.Cook, []string{says, fmt.Sprintf("At the cook's own %s; as written it is %s.", rate(own.Base, sys), rate(written, sys))}
		}
	} else if other := w.Cook.Rub.Mix; other != "" && !Named(&m, other) {
		b.Says = append(b.Says, "This cook has another rub, "+other+".")
	}
	switch s := w.Cook.Salted.Rate; {
	case s.Known:
		b.Ahead = s.Base
	case b.PerUnit.Salt > 0:
		b.Says = append(b.Says, "The cook notes no salt put on ahead: if there is some, take it off here.")
	}
	return b, nil
}

func (w Want) meat(sys measure.System) (kg float64, says string, err error) {
	switch {
	case w.Meat > 0:
		return w.Meat, w.sayMeat(w.Meat, sys), nil
	case w.Cook == nil:
		return 0, "", fmt.Errorf("no weight of meat is named")
	}
	kg, ok := w.Cook.OnWeight()
	if !ok || !(kg > 0) {
		return 0, "", fmt.Errorf("cook %q has a piece without a weight", w.Cook.ID)
	}
	return kg, w.sayMeat(kg, sys), nil
}

// sayMeat says how much meat the mix is for, and whether that is the trimmed or the
// bought weight.
func (w Want) sayMeat(kg float64, sys measure.System) string {
	s := "For " + measure.FormatMass(kg, sys) + " of meat"
	if w.Cook == nil || w.Meat > 0 {
		return s + "."
	}
	raw := 0
	for _, p := range w.Cook.Pieces {
		if !p.Trimmed.Known {
			raw++
		}
	}
	switch {
	case raw == 0:
		return s + ", trimmed."
	case raw == len(w.Cook.Pieces):
		return s + ", as bought: no trimmed weight is noted, so it is a little too much."
	}
	return s + fmt.Sprintf(", %d of %d pieces as bought.", raw, len(w.Cook.Pieces))
}

func (w Want) heads() (n float64, says string, err error) {
	n = w.Heads
	if n == 0 && w.Cook != nil {
		n = float64(w.Cook.Heads)
	}
	switch {
	case n > 0:
		return n, "For " + headCount(n) + ".", nil
	case w.Cook != nil:
		return 0, "", fmt.Errorf("cook %q does not say for how many people", w.Cook.ID)
	}
	return 0, "", fmt.Errorf("the number of people is missing")
}

func (w Want) litres(sys measure.System) (l float64, says string, err error) {
	if w.Litres > 0 {
		return w.Litres, "Makes " + volume(w.Litres, sys) + ".", nil
	}
	n, _, err := w.heads()
	if err != nil {
		return 0, "", fmt.Errorf("%w, and no volume", err)
	}
	each, chosen := w.PerHead, ""
	if each == 0 {
		each, chosen = PerHead, " (chosen)"
	}
	return n * each, fmt.Sprintf("Makes %s, for %s at %s each%s.", volume(n*each, sys), headCount(n), small(each, sys), chosen), nil
}

func headCount(n float64) string {
	if n == 1 {
		return "1 person"
	}
	return trimmed(n, 1) + " people"
}

// portion formats what a mix is for: "1 kg of meat".
func portion(p journal.Portion, sys measure.System) string {
	switch p.Of {
	case journal.ForMeat:
		if sys == measure.Metric {
			return trimmed(p.Amount, 3) + " kg of meat"
		}
		return measure.FormatMass(p.Amount, sys) + " of meat"
	case journal.ForHeads:
		return headCount(p.Amount)
	case journal.ForVolume:
		return volume(p.Amount, sys)
	}
	return "–"
}
