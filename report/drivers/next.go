package drivers

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"ashbook/report/frame"
)

// Constants of next (chosen): the number of uncertain effects it tries to learn about,
// and the weight of prior knowledge about an effect, in cooks.
const (
	mostAsked = 3
	ridge     = .5
)

// open is a word column whose effect is still uncertain, with the weight of its
// variance in the choice.
type open struct {
	f      *field
	weight float64
}

// uncertain returns the word columns whose effects are least certain, at most mostAsked
// of them.
func (d *design) uncertain(inclusion []float64) []open {
	var asked []open
	for i, f := range d.fields {
		p := inclusion[i]
		if w := 4 * p * (1 - p); f.spec.column.Kind == frame.Word && f.spec.column.Name != frame.Cut && f.spec.column.Name != frame.Pit && w > .15 {
			asked = append(asked, open{f, w})
		}
	}
	slices.SortStableFunc(asked, func(x, y open) int { return cmp.Compare(y.weight, x.weight) })
	return asked[:min(len(asked), mostAsked)]
}

// next returns a sentence that says which cook would teach most; "" if no effect is
// uncertain. It tries every pit the person uses with every value they have used of the
// most uncertain columns, such as wraps, and takes the combination that most reduces
// the variance of the uncertain effects.
func (d *design) next(inclusion []float64) string {
	asked := d.uncertain(inclusion)
	if len(asked) == 0 {
		return ""
	}
	inverse, ok := d.information()
	if !ok {
		return ""
	}
	weights := make([]float64, len(d.columns))
	var choices []*field
	for _, f := range d.fields {
		if f.spec.column.Name == frame.Pit {
			choices = append(choices, f)
		}
	}
	var of []string
	for _, o := range asked {
		for _, v := range o.f.values {
			weights[v.at] = o.weight
		}
		choices, of = append(choices, o.f), append(of, o.f.spec.column.Name)
	}
	words := d.best(choices, func(row []float64) float64 { return gain(inverse, row, weights) })
	if words == nil {
		return ""
	}
	about := of[len(of)-1]
	if len(of) > 1 {
		about = strings.Join(of[:len(of)-1], ", ") + " and " + about
	}
	return fmt.Sprintf("To learn most about %s, cook next: %s, %s.", about, d.usualCut(), strings.Join(words, ", "))
}

// best picks one value of each choice so that the gain is greatest, and returns their
// phrases; nil if no gain is positive. The row of such a cook has 0, the mean, in all
// other columns.
func (d *design) best(choices []*field, gain func(row []float64) float64) (words []string) {
	most, row := 0.0, make([]float64, len(d.columns))
	var compose func(k int, said []string)
	compose = func(k int, said []string) {
		if k == len(choices) {
			if g := gain(row); g > most {
				most, words = g, slices.Clone(said)
			}
			return
		}
		f := choices[k]
		for _, w := range f.words() {
			for _, v := range f.values {
				row[v.at] = -meanOf(d.columns[v.at])
				if v.word == w {
					row[v.at]++
				}
			}
			compose(k+1, append(said, f.phrase(w)))
		}
		for _, v := range f.values {
			row[v.at] = 0
		}
	}
	compose(0, nil)
	return words
}

// words returns the values of a field that the person has used.
func (f *field) words() []string {
	var out []string
	if f.base != "" {
		out = append(out, f.base)
	}
	for _, v := range f.values {
		out = append(out, v.word)
	}
	return out
}

// phrase prints one value as part of a plan.
func (f *field) phrase(w string) string {
	switch name := f.spec.column.Name; {
	case name == frame.Pit:
		return "on the " + w
	case name == frame.Supplier:
		return "meat from " + w
	case name == frame.Wood:
		return "over " + w
	case name == frame.Wrap && w == "none":
		return "left bare"
	case name == frame.Wrap && (w == "boat" || w == "pan"):
		return "wrapped in a " + w
	case name == frame.Wrap:
		return "wrapped in " + w
	case name == frame.WaterPan && w == "none":
		return "without a water pan"
	case w == "none":
		return "no " + name
	case name == frame.WaterPan:
		return "the water pan " + w
	default:
		return name + " " + w
	}
}

// usualCut returns the most frequent cut with an article; "a cook" if none is noted.
func (d *design) usualCut() string {
	counts, best := map[string]int{}, ""
	for _, c := range d.cooks {
		counts[c.Cut]++
	}
	if len(d.cooks) == 0 {
		for _, row := range d.rows {
			counts[row(frame.Named(frame.Cut)).Word]++
		}
	}
	for w, n := range counts {
		if w != "" && (n > counts[best] || best == "" || n == counts[best] && w < best) {
			best = w
		}
	}
	if best == "" {
		return "a cook"
	}
	return "a " + best
}

// information returns the covariance of the effects as known from the cooks (the
// inverse of the information matrix), and false if the matrix cannot be inverted.
func (d *design) information() (*mat.SymDense, bool) {
	p := len(d.columns)
	m := mat.NewSymDense(p, nil)
	about := d.centred(len(d.cooks))
	for a := range p {
		for b := a; b < p; b++ {
			sum := floats.Dot(about[a], about[b])
			if a == b {
				sum += ridge
			}
			m.SetSym(a, b, sum)
		}
	}
	var c mat.Cholesky
	var inverse mat.SymDense
	if !c.Factorize(m) || c.InverseTo(&inverse) != nil {
		return nil, false
	}
	return &inverse, true
}

// gain returns how much one more row reduces the variance of the effects, as a weighted
// sum: for each effect (Cx)²/(1 + x'Cx), the least-squares update by one row.
func gain(c *mat.SymDense, row, weights []float64) float64 {
	x := mat.NewVecDense(len(row), row)
	var cx mat.VecDense
	cx.MulVec(c, x)
	bottom, sum := 1+mat.Dot(x, &cx), 0.0
	for k, w := range weights {
		sum += w * cx.AtVec(k) * cx.AtVec(k)
	}
	if g := sum / bottom; !math.IsNaN(g) {
		return g
	}
	return 0
}
