// Package attribution says why a cook was early or late, in minutes that add up:
// from the person's usual cook, the plan or another cook to this one, a share
// for every cause that was noted, and what no cause explains as a line of its
// own.
//
// The effects are those that drivers tells of time. They add up in ln of the
// time; minutes share the whole out in proportion, by the logarithmic mean of
// the two times (Ang & Choi 1997, Energy J. 18:59, for energy use).
package attribution

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/baseline"
	"ashbook/report/drivers"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
)

// Options of an account.
type Options struct {
	Against *journal.Cook // a cook to hold this one against; nil: the usual one
	Plan    bool          // hold it against its plan, and say so where there is none
	Usual   bool          // hold it against the usual cook although there is a plan
}

// Line is one cause.
type Line struct {
	Cause   string  // the column that shows it
	Says    string  // what was different
	Minutes float64 // later; negative: earlier
	Doubt   float64 // 8 in 10 within ± this, minutes
}

// Account is why a cook took as long as it did.
type Account struct {
	Cook    *journal.Cook
	Known   bool    // the rest can be told; otherwise Says has the reason
	Against string  // "your usual pork shoulder, 9 cooks"
	Usual   bool    // and that it is
	Planned bool    // or that it is the plan
	From    float64 // h that took, or would have
	Took    float64 // h this one took
	Lines   []Line  // the largest first; with Unexplained they sum to Took − From
	// Unexplained is what the causes leave.
	Unexplained Line
	Alike       []string // causes that were not different
	Missing     []string // what was not noted here or there, so that it counts as the same
	RestsOn     string   // what in the notes it is based on
	Verdict     string   // the whole in one sentence
	Says        []string // what else is to be said, whole sentences
	same        []string // causes whose two values are printed as one
}

// Unexplained names the line of what no cause explains.
const Unexplained = "not explained"

// Explain accounts for a finished cook. All are the person's cooks; the cook
// itself among them is left out.
func Explain(ctx context.Context, c *journal.Cook, all []*frame.Cook, w model.Context, opt Options) (Account, error) {
	a := Account{Cook: c}
	took, ok := c.Took()
	a.Took = took.Hours()
	switch {
	case !ok:
		a.Says = append(a.Says, "Not off yet, or the times it went on and came off were not noted: there is nothing to account for.")
		return a, nil
	case a.Took < .5 || a.Took > model.Longest:
		a.Says = append(a.Says, fmt.Sprintf("It took %s by the notes, which no cook does: one of the times is wrong.", measure.FormatHours(a.Took)))
		return a, nil
	}
	others := slices.DeleteFunc(slices.Clone(all), func(o *frame.Cook) bool { return o.ID == c.ID })
	this := of(c)
	held := a.held(this, baseline.Like(c, all), opt)
	t, err := drivers.LearnTimes(ctx, others, w, this, held)
	if err != nil {
		return Account{Cook: c}, err
	}
	var sd float64
	a.From, sd = t.Hours(1)
	if a.Usual || opt.Against == nil {
		_, sd = t.Hours(0)
	}
	shares, whole := t.Between(0, 1)
	if theirs, ok := took2(opt.Against); ok {
		a.From, sd = theirs, whole.SD()
	}
	a.From = math.Round(60*a.From) / 60 // as it is printed, so that what is said of it agrees
	a.Known = true
	a.fill(shares, whole.Mean(), sd, w)
	a.verdict()
	a.luck(math.Hypot(t.Scatter, sd))
	a.words(w.Settings.Units)
	return a, nil
}

// took2 is how long the other cook took, h, where there is one whose times are
// believed.
func took2(o *journal.Cook) (hours float64, ok bool) {
	if o == nil {
		return 0, false
	}
	took, ok := o.Took()
	return took.Hours(), ok && took.Hours() >= .5 && took.Hours() <= model.Longest
}

// of is a cook as it was cooked. What a thermostat was set to on the way is left
// out: people raise it because a cook is late.
func of(c *journal.Cook) drivers.Row {
	return func(col frame.Column) frame.Value {
		if col.Name == frame.PitMean && frame.PitIsSetting(c) {
			on, _ := c.OnAt()
			v, ok := c.AimPit(on)
			return frame.Value{Number: v, Known: ok}
		}
		return col.Of(c)
	}
}

// held chooses what the cook is held against: the cook asked for, its plan, where
// one was made, else the usual of the cooks of its cut.
func (a *Account) held(this drivers.Row, like []*frame.Cook, opt Options) drivers.Row {
	c := a.Cook
	if _, ok := took2(opt.Against); ok {
		a.Against = opt.Against.Name() + ", " + opt.Against.Date().Format("2 Jan 2006")
		return of(opt.Against)
	}
	if opt.Against != nil {
		a.Says = append(a.Says, fmt.Sprintf("%s is not off, or its times were not noted: held against the usual cook instead.", opt.Against.Name()))
	}
	if c.Aim.Pit.Known && (!opt.Usual || len(like) == 0) {
		a.Against, a.Planned = "its plan", true
		return planned(c, this)
	}
	if opt.Plan {
		a.Says = append(a.Says, "No pit was planned: held against the usual cook instead.")
	}
	a.Usual = true
	switch len(like) {
	case 0:
		a.Against, a.Usual = "what the physics gives such a cook", false
		a.Says = append(a.Says, "No plan, and no other finished cook of the cut: it is held against the physics alone, which is far off for many cooks.")
		return this
	case 1:
		a.Against = "your one other " + c.Cut
	default:
		a.Against = fmt.Sprintf("your usual %s, %s", c.Cut, measure.Count(len(like), "cook"))
	}
	return usual(like)
}

// planned is a cook as it was planned; what a plan does not say is as it came.
func planned(c *journal.Cook, this drivers.Row) drivers.Row {
	return func(col frame.Column) frame.Value {
		switch col.Name {
		case frame.PitMean:
			return frame.Value{Number: c.Aim.Pit.Base, Known: true}
		case frame.CoreOff:
			if c.Aim.Core.Known {
				return frame.Value{Number: c.Aim.Core.Base, Known: true}
			}
		case frame.Wrap:
			if c.Aim.Wrap.Kind != journal.NoWrap {
				return frame.Value{Word: string(c.Aim.Wrap.Kind), Known: true}
			} else if c.Aim.Wrap.Bare {
				return frame.Value{Word: "none", Known: true}
			}
		}
		return this(col)
	}
}

// usual is the middle of cooks: medians, and what was done most often.
func usual(like []*frame.Cook) drivers.Row {
	return func(col frame.Column) frame.Value {
		u := baseline.Of(col, like)
		switch {
		case u.N == 0:
			return frame.Value{}
		case col.Kind == frame.Word:
			return frame.Value{Word: u.Word, Known: true}
		}
		return frame.Value{Number: u.Median, Known: true}
	}
}

// inEight is half of the range that holds 8 in 10 of a normal, in standard
// deviations.
const inEight = 1.2816

// How far what a cause does in one cook is from what it does on the whole, in
// standard deviations: as a share of it, and for a wrap, which is put on early or
// late, tight or loose, and the off core in ln time (chosen on invented cooks whose
// truth is known: the table in README.md).
const (
	differsBy   = .35
	wrapDiffers = .05
	offDiffers  = .01 // a kelvin of the off core: it is chosen by feel, as the cook went
)

// doubt is that of a share in one cook, ln: 8 in 10 within ± this.
func doubt(s drivers.Share) float64 {
	own := differsBy * s.Ln.Mean()
	if s.Column.Name == frame.Wrap && s.Ln.Mean() != 0 {
		own = math.Hypot(own, wrapDiffers)
	}
	if s.Column.Name == frame.CoreOff && s.Known {
		own = math.Hypot(own, offDiffers*(s.This.Number-s.Other.Number))
	}
	return inEight * math.Hypot(s.Ln.SD(), own)
}

// fill turns shares of ln time into lines; sd is that of what was expected, ln.
func (a *Account) fill(shares []drivers.Share, told, sd float64, w model.Context) {
	whole := math.Log(a.Took / a.From)
	minutes := 60 * a.Took
	if math.Abs(whole) > 1e-9 {
		minutes = 60 * (a.Took - a.From) / whole
	}
	for _, s := range shares {
		m := minutes * s.Ln.Mean()
		switch {
		case !s.Known && (s.This.Known || s.Other.Known):
			a.Missing = append(a.Missing, s.Column.Name)
		case !s.Known:
		case m == 0 || s.Column.Kind != frame.Word && math.Abs(s.More) < 1e-9:
			a.Alike = append(a.Alike, s.Column.Name)
		default:
			if units := w.Settings.Units; s.Column.Kind != frame.Word && s.Column.Name != frame.ThickestPiece && s.Column.Format(s.This, units) == s.Column.Format(s.Other, units) {
				a.same = append(a.same, s.Column.Name)
			}
			a.Lines = append(a.Lines, Line{s.Column.Name, says(s, w.Settings.Units), m, minutes * doubt(s)})
		}
	}
	a.Unexplained = Line{Unexplained, "not explained: this piece, luck, or a cause not noted", 60*(a.Took-a.From) - minutes*told, inEight * minutes * sd}
	a.gather()
}

// How many lines always stand on their own, however wide their doubt, and the least
// minutes of one (chosen: no one plans by less); how many small things are named.
const (
	alwaysTold = 2
	smallest   = 3.0
	mostSmall  = 3
)

// Minutes are rounded to fine, and to coarse where a line is uncertain by more than
// twice coarse (chosen).
const fine, coarse = 1.0, 5.0

// step is what the minutes of an account are rounded to, min.
func (a *Account) step() float64 {
	for _, l := range append(slices.Clone(a.Lines), a.Unexplained) {
		if l.Doubt > 2*coarse {
			return coarse
		}
	}
	return fine
}

// Round brings minutes to the step of an account.
func (a *Account) Round(minutes float64) float64 {
	step := a.step()
	return step * math.Round(minutes/step)
}

// Left is what the rounded lines leave to be explained, in whole minutes: so that
// a sum of what is printed is exact.
func (a *Account) Left() float64 {
	left := math.Round(60*a.Took) - math.Round(60*a.From)
	for _, l := range a.Lines {
		left -= a.Round(l.Minutes)
	}
	return left
}

// gather puts the lines in order; those shorter than their own doubt go into
// one, so that the sum stays whole.
func (a *Account) gather() {
	slices.SortStableFunc(a.Lines, func(x, y Line) int { return cmp.Compare(math.Abs(y.Minutes), math.Abs(x.Minutes)) })
	var kept []Line
	var names []string
	small := Line{Cause: smallThings}
	for i, l := range a.Lines {
		if !slices.Contains(a.same, l.Cause) && math.Abs(l.Minutes) >= smallest && (i < alwaysTold || math.Abs(l.Minutes) >= l.Doubt) {
			kept = append(kept, l)
			continue
		}
		names = append(names, l.Cause)
		small.Minutes += l.Minutes
		small.Doubt = math.Hypot(small.Doubt, l.Doubt)
	}
	if len(names) > 0 {
		small.Says = smallThings + ": " + strings.Join(names[:min(len(names), mostSmall)], "; ")
		if more := len(names) - mostSmall; more > 0 {
			small.Says += fmt.Sprintf(" and %d more", more)
		}
		kept = append(kept, small)
	}
	a.Lines = kept
}

// gapFrom is how long without a core reading the page calls a gap (chosen).
const gapFrom = 2 * time.Hour
