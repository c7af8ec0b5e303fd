// Package drivers says what moves the time and the eating of a person's cooks,
// and how little a dozen of them can tell. Of time, an effect is what the physics
// expects together with what the cooks say; scores are freed of how strict each
// eater is.
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
)

// Options are what the report is made with.
type Options struct {
	// Engine is how long the physics gives a finished cook with its recorded
	// pit, wrap, weight and off core, h. Nil: time cannot be asked about.
	Engine  func(*frame.Cook) (hours float64, ok bool)
	Context model.Context  // what the physics knows beside a cook
	Units   measure.System // the reader's, in which changes are told
}

// Reads is how sure it is that something matters.
type Reads uint8

// From sure to unsure.
const (
	Likely Reads = iota
	Maybe
	CannotTell
	Little // enough cooks to know that it moves little
)

// String is how it is told.
func (r Reads) String() string {
	return [...]string{"likely", "maybe", "cannot tell yet", "makes little difference"}[r]
}

// Told reports that an effect is claimed.
func (r Reads) Told() bool { return r <= Maybe }

// Line is one change and what it does, in the unit of the target.
type Line struct {
	Change        string // "foil instead of bare", "10 °C hotter"
	Reads         Reads
	Effect        float64 // middle
	Lo, Hi        float64 // 8 of 10
	Expected      float64 // time: before the person's cooks were seen, by the physics
	With, Without int     // cooks on each side: words with and without it, numbers above and below Middle
	Middle        float64 // X of a point that parts the sides: the middle of the range of a number
	Points        []Point // what the other candidates leave, for a picture
	// More cooks, half each way, would settle an effect of the size For; 0 when it
	// is settled.
	More int
	For  float64 // in the unit of the target
	size float64 // of the effect over what most cooks differ by, in the unit of the target
}

// Point is one cook in the picture of one candidate.
type Point struct {
	Cook string  // ID
	X    float64 // in the unit of the column; a word with it is 1, without 0
	Y    float64 // in the unit of the target, about the mean, other effects taken off
}

// Candidate is one thing that may matter.
type Candidate struct {
	Column    frame.Column
	Lines     []Line
	Inclusion float64  // probability that it matters, 0 to 1
	Reads     Reads    // of its surest line
	Known     int      // cooks that noted it
	SameAs    []string // columns that changed with it always: nothing can tell them apart
	Tangles   []Tangle
}

// Largest is the line told of the largest effect, of the surest.
func (c *Candidate) Largest() Line {
	return slices.MinFunc(c.Lines, func(a, b Line) int {
		return cmp.Or(cmp.Compare(a.Reads, b.Reads), cmp.Compare(b.size, a.size), cmp.Compare(math.Abs(b.Effect), math.Abs(a.Effect)))
	})
}

// More is how many more cooks, half each way, would settle all its lines.
func (c *Candidate) More() int {
	most := 0
	for _, l := range c.Lines {
		most = max(most, l.More)
	}
	return most
}

// Silent is something nothing can be said of, and why.
type Silent struct{ Name, Why string }

// Report is what the cooks say about one target.
type Report struct {
	Target     Target
	Cooks      int
	LeftOut    []Silent // cooks, by ID
	Candidates []Candidate
	Silent     []Silent // columns
	Typical    float64  // time: median hours of the cooks; else the mean
	Scatter    float64  // of one cook about what is explained, in the unit of the target
	Table      Tasters  // scores: what the eaters are like
	Says       []string // whole sentences
	Next       string   // the next cook to learn most; empty when nothing is open
}

// Weigh asks what moves one target over the finished cooks. The error is that of
// ctx.
func Weigh(ctx context.Context, cooks []*frame.Cook, t Target, opt Options) (Report, error) {
	r := Report{Target: t}
	a := t.answers(ctx, cooks, opt, &r)
	if err := ctx.Err(); err != nil {
		return Report{}, err
	}
	r.Cooks = len(a.cooks)
	if r.Cooks < fewestCooks {
		r.Says = append(r.Says, fmt.Sprintf("%s with %s to go by: too few to tell anything apart. %d are the least, a few dozen tell something.", measure.Count(r.Cooks, "cook"), t.needs(), fewestCooks))
		return r, nil
	}
	d := newDesign(a.cooks, t, opt, &r)
	switch {
	case alike(a.y):
		r.Says = append(r.Says, fmt.Sprintf("All %d cooks came out alike: there is nothing to explain.", r.Cooks))
		return r, nil
	case len(d.fields) == 0:
		r.Says = append(r.Says, fmt.Sprintf("Nothing that may matter differs among these %d cooks: change one thing at a time.", r.Cooks))
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

// alike reports values that are all the same.
func alike(y []float64) bool { return slices.Max(y)-slices.Min(y) < 1e-9 }

// fill turns the fitted effects into the lines of the report.
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

// filler turns fields into candidates.
type filler struct {
	*design
	post *bayes.Posterior
	t    Target
	unit func(float64) float64 // of the answer in that of the target
	rest []float64             // what all effects leave of each answer
}

// inclusion[k] is the probability that field k does anything, 0 to 1.
func (d *design) inclusion(post bayes.Posterior) []float64 {
	// A column that belongs to no field has the first term.
	return post.Inclusion[len(post.Inclusion)-len(d.fields):]
}

// inEight is half of the range that holds 8 in 10 of a normal, in standard
// deviations.
const inEight = 1.2816

// candidate turns the fitted effect of a field into its lines of the report.
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
		// One of many, against the others as often as there are of each.
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
		// That it does nothing is possible; the range is that of what it does if it
		// does anything. Averaged with nothing it would look surer than it is.
		l.Lo, l.Hi = math.Min(0, f.unit(in.Mean()-inEight*sd)), math.Max(0, f.unit(in.Mean()+inEight*sd))
		if l.Reads = CannotTell; small {
			l.Reads = Little
			return l
		}
	}
	// Settled is two standard errors.
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

// roundUp brings a count of cooks to two digits, upwards, and to the fewest that
// tell anything: more would pretend.
func roundUp(n float64) int {
	if n <= 0 {
		return 0
	}
	n = math.Min(math.Max(n, fewestCooks), 1e6)
	step := math.Max(1, math.Pow(10, math.Floor(math.Log10(n))-1))
	return int(math.Ceil(n/step) * step)
}

// residuals are what effects of these means together leave of each cook's answer,
// about the mean.
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

// points are the cooks that noted a column, each with what the other columns
// leave of its answer.
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
