// Package drivers estimates what changes the time, the scores and the yield of a person's
// cooks, and how uncertain that is. Effects on time combine the physics with the cooks;
// scores are corrected for how strict each eater is.
package drivers

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/report/numeric/bayes"

	"gonum.org/v1/gonum/stat/distuv"
)

// Options configures a report.
type Options struct {
	// Engine returns the simulated hours of a finished cook with its noted pit, wrap,
	// weight and off core. With nil, no report on time is possible.
	Engine  func(*frame.Cook) (hours float64, ok bool)
	Context model.Context  // pits and settings for the simulation
	Units   measure.System // units in which changes are printed
}

// Reads says how certain an effect is.
type Reads uint8

// From certain to uncertain.
const (
	Likely Reads = iota
	Maybe
	CannotTell
	Little // the effect is known to be small
)

// String returns the printed words.
func (r Reads) String() string {
	return [...]string{"likely", "maybe", "cannot tell yet", "makes little difference"}[r]
}

// Told reports whether the effect is printed as likely or maybe.
func (r Reads) Told() bool { return r <= Maybe }

// Line is the effect of one change, in the unit of the target.
type Line struct {
	Change        string // "foil instead of bare", "10 °C hotter"
	Reads         Reads
	Effect        float64 // mean
	Lo, Hi        float64 // 80 % range
	Expected      float64 // for time: effect by the physics alone
	With, Without int     // cooks on each side: with and without the word, or above and below Middle
	Middle        float64 // boundary between the sides, as Point.X: middle of a number's range
	Points        []Point // for a picture
	// More is how many more cooks, half with the change, would show an effect of the
	// size For; 0 if no more are needed.
	More int
	For  float64
	size float64 // absolute effect over the usual range of the cause
}

// Point is one cook in the picture of a line.
type Point struct {
	Cook string  // ID
	X    float64 // value in the unit of the column; for a word, 1 if the cook has it, else 0
	Y    float64 // result minus the mean of all cooks and minus all other effects, in the unit of the target
}

// Candidate is one thing that may have an effect.
type Candidate struct {
	Column    frame.Column
	Lines     []Line
	Inclusion float64  // probability that it has an effect, 0 to 1
	Reads     Reads    // how certain its most certain line is
	Known     int      // cooks that noted it
	SameAs    []string // columns that always changed together with it
	Tangles   []Tangle
}

// Largest returns the line with the largest effect among the most certain ones.
func (c *Candidate) Largest() Line {
	return slices.MinFunc(c.Lines, func(a, b Line) int {
		return cmp.Or(cmp.Compare(a.Reads, b.Reads), cmp.Compare(b.size, a.size), cmp.Compare(math.Abs(b.Effect), math.Abs(a.Effect)))
	})
}

// More returns the greatest More of its lines.
func (c *Candidate) More() int {
	most := 0
	for _, l := range c.Lines {
		most = max(most, l.More)
	}
	return most
}

// Silent is a column or cook that is left out, with the reason.
type Silent struct{ Name, Why string }

// Report holds the effects on one target.
type Report struct {
	Target     Target
	Cooks      int
	LeftOut    []Silent // cooks, by ID
	Candidates []Candidate
	Silent     []Silent // columns
	Typical    float64  // median hours for time; else the mean
	Scatter    float64  // standard deviation of one cook around the prediction, in the unit of the target
	Table      Tasters  // for scores: the eaters
	Says       []string // sentences
	Next       string   // the cook that would teach most, as printed; "" if no effect is uncertain
}

// Weigh estimates the effects on one target from the finished cooks. It fails when ctx ends.
func Weigh(ctx context.Context, cooks []*frame.Cook, t Target, opt Options) (Report, error) {
	r := Report{Target: t}
	a := t.answers(ctx, cooks, opt, &r)
	if err := ctx.Err(); err != nil {
		return Report{}, err
	}
	r.Cooks = len(a.cooks)
	if r.Cooks < fewestCooks {
		r.Says = append(r.Says, fmt.Sprintf("%s with %s: too few to compare. At least %d are needed; a few dozen show more.", measure.Count(r.Cooks, "cook"), t.needs(), fewestCooks))
		return r, nil
	}
	d := newDesign(a.cooks, t, opt, &r)
	switch {
	case alike(a.y):
		r.Says = append(r.Says, fmt.Sprintf("The results of all %d cooks are alike, so there is nothing to explain.", r.Cooks))
		return r, nil
	case len(d.fields) == 0:
		r.Says = append(r.Says, fmt.Sprintf("Nothing that may matter differs among these %d cooks. Change one thing at a time.", r.Cooks))
		return r, nil
	}
	problem := d.liking(t, a)
	if t == Time {
		problem = d.problem(a.y, &opt.Context)
	}
	post, err := bayes.Fit(ctx, problem)
	switch {
	case ctx.Err() != nil:
		return Report{}, ctx.Err()
	case err != nil:
		r.Says = append(r.Says, fmt.Sprintf("The numbers could not be worked out: %v.", err))
		return r, nil
	}
	return r.fill(d, a, post), nil
}

// alike reports whether all values are equal.
func alike(y []float64) bool { return slices.Max(y)-slices.Min(y) < 1e-9 }

// fill adds the fitted effects to the report.
func (r Report) fill(d *design, a answers, post bayes.Posterior) Report {
	means := make([]float64, len(d.columns))
	for k := range means {
		x := make([]float64, len(d.columns))
		x[k] = 1
		effect := post.Of(0, x)
		means[k] = effect.Mean()
	}
	f := filler{d, &post, r.Target, r.Target.unit(r.Typical), d.residuals(a, means)}
	r.Scatter = f.unit(post.Noise)
	inclusion := d.inclusion(post)
	for i, field := range d.fields {
		r.Candidates = append(r.Candidates, f.candidate(field, inclusion[i]))
	}
	d.tangle(r.Candidates)
	r.Next = d.next(inclusion)
	slices.SortStableFunc(r.Candidates, func(a, b Candidate) int {
		if a.Reads.Told() && a.Reads == b.Reads {
			return cmp.Compare(b.Largest().size, a.Largest().size)
		}
		return cmp.Or(cmp.Compare(a.Reads, b.Reads), cmp.Compare(b.Inclusion, a.Inclusion))
	})
	r.words()
	return r
}

// filler holds the data from which the candidates of a report are made.
type filler struct {
	*design
	post *bayes.Posterior
	t    Target
	unit func(float64) float64 // converts an effect on a result to the unit of the target
	rest []float64             // results minus all effects
}

// inclusion returns the probability of an effect for each field, 0 to 1.
func (d *design) inclusion(post bayes.Posterior) []float64 {
	// The column that belongs to no field, if there is one, has the first term.
	return post.Inclusion[len(post.Inclusion)-len(d.fields):]
}

// inEight is half the width of the middle 80 % of a normal distribution, in standard
// deviations.
const inEight = 1.2816

// candidate returns the effects of one field as printed lines.
func (f *filler) candidate(of *field, inclusion float64) Candidate {
	c := Candidate{Column: of.spec.column, Inclusion: inclusion, Known: of.known, SameAs: of.same, Reads: Little}
	for _, v := range of.values {
		l := f.line(of, v)
		c.Lines, c.Reads = append(c.Lines, l), min(c.Reads, l.Reads)
	}
	return c
}

func (f *filler) line(of *field, v value) Line {
	x, expected := make([]float64, len(f.columns)), v.expected
	x[v.at] = 1
	if of.base == "" && of.spec.column.Kind == frame.Word {
		// One of many values: compare it with the mean of the others, weighted by cooks.
		for _, o := range of.values {
			if o.at != v.at {
				share := float64(o.with) / float64(of.known-v.with)
				x[o.at] = -share
				expected -= share * o.expected
			}
		}
	}
	e := f.post.Of(0, x)
	in, mean, wide := e.In(), e.Mean(), inEight*e.SD()
	l := Line{Change: v.change, With: v.with, Without: v.without, Middle: v.middle, Effect: f.unit(mean), Expected: f.unit(expected), Lo: f.unit(mean - wide), Hi: f.unit(mean + wide)}
	l.Points, l.size = f.points(v.at, f.rest, mean, f.unit), math.Abs(f.unit(mean*v.spread))
	worth, sd := f.t.worth()/v.spread, in.SD()
	small := inEight*sd-in.Mean() < worth && inEight*sd+in.Mean() < worth
	switch sure := sureOf(e, unnoticed*worth); {
	case sure >= likelySure:
		l.Reads = Likely
		return l
	case sure >= maybeSure:
		l.Reads = Maybe
	default:
		// Perhaps there is no effect. The range printed is that of an effect large
		// enough to notice. Averaging it with "no effect" would make it look more
		// certain than it is.
		lo, hi := noticed(in.Mean(), sd, unnoticed*worth)
		l.Lo, l.Hi = math.Min(0, f.unit(lo)), math.Max(0, f.unit(hi))
		if l.Reads = CannotTell; small {
			l.Reads = Little
			return l
		}
	}
	// An effect counts as shown once it is twice its standard error.
	size := worth
	if l.Reads == Maybe || 2*sd < worth && !small {
		size = math.Max(math.Abs(in.Mean()), sd/2)
	}
	scatter := f.post.Noise / v.spread
	if l.More = roundUp(4 * scatter * scatter * (4/(size*size) - 1/(sd*sd))); l.More > 0 {
		l.For = math.Abs(f.unit(math.Copysign(size, in.Mean())))
	}
	return l
}

// noticed returns the middle 80 % of a normal distribution from which the part between
// −least and least is removed, since nobody notices so small an effect.
func noticed(mean, sd, least float64) (lo, hi float64) {
	below := distuv.UnitNormal.CDF((-least - mean) / sd)
	above := distuv.UnitNormal.CDF((mean - least) / sd)
	at := func(share float64) float64 {
		p := share * (below + above)
		if p > below {
			p += 1 - below - above
		}
		return mean + sd*distuv.UnitNormal.Quantile(p)
	}
	if below+above < 1e-6 {
		return -least, least
	}
	return at(.1), at(.9)
}

// roundUp rounds a count of cooks up to two digits, and to at least fewestCooks.
func roundUp(n float64) int {
	if n <= 0 {
		return 0
	}
	n = math.Min(math.Max(n, fewestCooks), 1e6)
	step := math.Max(1, math.Pow(10, math.Floor(math.Log10(n))-1))
	return int(math.Ceil(n/step) * step)
}

// residuals returns each cook's result minus the mean and minus all effects.
func (d *design) residuals(a answers, means []float64) []float64 {
	rest := make([]float64, len(a.y))
	mean := meanOf(a.y)
	for i, y := range a.y {
		rest[i] = y - mean
	}
	for k, slope := range means {
		mean := meanOf(d.columns[k])
		for i, x := range d.columns[k] {
			rest[i] -= slope * (x - mean)
		}
	}
	return rest
}

// points returns the cooks for which a column is noted, each with its result minus the
// effects of the other columns.
func (d *design) points(column int, rest []float64, slope float64, unit func(float64) float64) []Point {
	mean := meanOf(d.columns[column])
	var out []Point
	for i, x := range d.columns[column] {
		if d.noted[column][i] {
			out = append(out, Point{Cook: d.cooks[i].ID, X: d.shown[column][i], Y: unit(rest[i] + slope*(x-mean))})
		}
	}
	return out
}

func meanOf(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / math.Max(1, float64(len(x)))
}
