// Package attribution divides the difference between a cook's time and what it is
// compared with (the person's usual cook, its plan or another cook) into minutes for
// each noted cause, with a last line for what no cause explains. The lines sum to the
// difference.
//
// The effects are those of package drivers and add up in ln(time). Each gets minutes
// in proportion, by the logarithmic mean of the two times (Ang & Choi 1997, Energy J.
// 18:59, for energy use).
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

// Options chooses what a cook is compared with.
type Options struct {
	Against *journal.Cook // another cook; nil: the plan or the usual cook
	Plan    bool          // the cook's own plan; if there is none, Account.Says reports it
	Usual   bool          // the usual cook, even if there is a plan
}

// Line is the effect of one cause.
type Line struct {
	Cause   string  // name of its column in package frame
	Says    string  // what was different, as printed
	Minutes float64 // positive: it made the cook longer
	Doubt   float64 // half width of the 80 % range, minutes
}

// Account explains how long a cook took.
type Account struct {
	Cook    *journal.Cook
	Known   bool    // false: only Cook, Took and Says are set; Says has the reason
	Against string  // what it is compared with: "your usual pork shoulder, 9 cooks"
	Usual   bool    // compared with the usual cook
	Planned bool    // compared with its plan
	From    float64 // time of what it is compared with, h: measured, or expected
	Took    float64 // time of this cook, h
	Lines   []Line  // largest first; with Unexplained they sum to 60·(Took − From)
	// Unexplained is the difference that no line of Lines explains.
	Unexplained Line
	Alike       []string // names of columns with no difference
	Missing     []string // names of columns noted for only one of the two cooks, which count as equal
	RestsOn     string   // a sentence on the readings used
	Verdict     string   // summary in one sentence
	Says        []string // further sentences
	same        []string // columns with two different values that look the same when printed
	counted     string   // what the plan counts on and may have wrong, as printed; "" for none
}

// Unexplained is the Cause of the line that no cause explains.
const Unexplained = "not explained"

// Explain returns the account of a finished cook. All are the person's cooks; c itself
// is skipped. It fails when ctx ends.
func Explain(ctx context.Context, c *journal.Cook, all []*frame.Cook, w model.Context, opt Options) (Account, error) {
	a := Account{Cook: c}
	took, ok := c.Took()
	a.Took = took.Hours()
	switch {
	case !ok:
		a.Says = append(a.Says, "Not off yet, or the times it went on and came off were not noted: ashbook cannot say why it took so long.")
		return a, nil
	case a.Took < .5 || a.Took > model.Longest:
		a.Says = append(a.Says, fmt.Sprintf("By the notes it took %s, which is not possible: one of the times is wrong.", measure.FormatHours(a.Took)))
		return a, nil
	}
	others := slices.DeleteFunc(slices.Clone(all), func(o *frame.Cook) bool { return o.ID == c.ID })
	this, like := rowOf(c), baseline.Like(c, all)
	held := a.held(this, like, opt)
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
	if theirs, ok := tookHours(opt.Against); ok {
		a.From, sd = theirs, whole.SD()
	}
	a.From = math.Round(60*a.From) / 60 // as printed
	a.Known = true
	a.fill(shares, whole.Mean(), sd, w)
	if a.Planned && len(like) > 0 {
		if err := a.unlikeUsual(ctx, others, w, held, usual(like)); err != nil {
			return Account{Cook: c}, err
		}
	}
	spread := math.Hypot(t.Scatter, sd)
	a.verdict(spread)
	a.luck(spread)
	a.words(w.Settings.Units)
	return a, nil
}

// unlikeUsual sets counted: the plan expects more or less time than usual for a piece twice as
// heavy, say, and no line shows whether that was enough. Named is the cause with the
// largest doubt, if that is at least half of Unexplained, which is most of the difference.
func (a *Account) unlikeUsual(ctx context.Context, others []*frame.Cook, w model.Context, plan, usual drivers.Row) error {
	rest := a.Unexplained.Minutes
	if math.Abs(rest) < math.Max(alikeMinutes, mostOfIt*math.Abs(60*(a.Took-a.From))) {
		return nil
	}
	t, err := drivers.LearnTimes(ctx, others, w, plan, usual)
	if err != nil {
		return err
	}
	shares, _ := t.Between(0, 1)
	largest := math.Abs(rest) / 2
	for _, s := range shares {
		m, d := 60*a.From*s.Ln.Mean(), 60*a.From*doubt(s)
		if s.Column.Kind == frame.Word || math.Abs(m) < d || d < largest {
			continue
		}
		wrong := "small"
		if m*rest < 0 {
			wrong = "large"
		}
		largest = d
		way, values, _ := strings.Cut(says(s, w.Settings.Units), ", ")
		a.counted = fmt.Sprintf("perhaps the plan's %s for %s (%s) is too %s", measure.FormatSigned(a.Round(m)/60), way, strings.Replace(values, " against ", ", usually ", 1), wrong)
	}
	return nil
}

// tookHours returns how long o took, h; ok is false if o is nil or its times are
// missing or not possible.
func tookHours(o *journal.Cook) (hours float64, ok bool) {
	if o == nil {
		return 0, false
	}
	took, ok := o.Took()
	return took.Hours(), ok && took.Hours() >= .5 && took.Hours() <= model.Longest
}

// rowOf returns the values of a cook as it was cooked, except that a thermostat pit has
// its first setting: people raise the setting because a cook is late.
func rowOf(c *journal.Cook) drivers.Row {
	return func(col frame.Column) frame.Value {
		if col.Name == frame.PitMean && frame.PitIsSetting(c) {
			on, _ := c.OnAt()
			v, ok := c.AimPit(on)
			return frame.Value{Number: v, Known: ok}
		}
		return col.Of(c)
	}
}

// held returns the values that the cook is compared with: those of opt.Against, else
// those of its plan if there is one, else those of the usual cook among like.
func (a *Account) held(this drivers.Row, like []*frame.Cook, opt Options) drivers.Row {
	c := a.Cook
	if _, ok := tookHours(opt.Against); ok {
		a.Against = opt.Against.Name() + ", " + opt.Against.Date().Format("2 Jan 2006")
		return rowOf(opt.Against)
	}
	if opt.Against != nil {
		a.Says = append(a.Says, fmt.Sprintf("%s is not off, or its times were not noted: compared with the usual cook instead.", opt.Against.Name()))
	}
	if c.Aim.Pit.Known && (!opt.Usual || len(like) == 0) {
		a.Against, a.Planned = "its plan", true
		return planned(c, this)
	}
	if opt.Plan {
		a.Says = append(a.Says, "No pit temperature was planned: compared with the usual cook instead.")
	}
	a.Usual = true
	switch len(like) {
	case 0:
		a.Against, a.Usual = "what the physics predicts for such a cook", false
		a.Says = append(a.Says, "There is no plan and no other finished cook of this cut: it is compared with the physics alone, which is far off for many cooks.")
		return this
	case 1:
		a.Against = "your one other " + c.Cut
	default:
		a.Against = fmt.Sprintf("your usual %s, %s", c.Cut, measure.Count(len(like), "cook"))
	}
	return usual(like)
}

// planned returns the values of the plan. For columns that the plan does not mention,
// it returns the cook's own.
func planned(c *journal.Cook, this drivers.Row) drivers.Row {
	return func(col frame.Column) frame.Value {
		switch col.Name {
		case frame.PitMean:
			return frame.Value{Number: c.Aim.Pit.Base, Known: true}
		case frame.CoreOff:
			if c.Aim.Core.Known {
				return frame.Value{Number: c.Aim.Core.Base, Known: true}
			}
		case frame.WrappedAt:
			if at := c.Aim.Wrap.At; c.Aim.Wrap.Kind != journal.NoWrap && at.Known {
				return frame.Value{Number: at.Base, Known: true}
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

// usual returns, for each column over the usual cooks, the median of a number or the
// most frequent word.
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

// inEight is half the width of the middle 80 % of a normal distribution, in standard
// deviations.
const inEight = 1.2816

// The effect of a cause in one cook differs from its mean effect. These are the standard
// deviations of that difference (chosen on invented cooks whose truth is known: the
// table in README.md).
const (
	differsBy   = .35 // any cause: as a share of its effect
	wrapDiffers = .05 // a wrap, which is early or late, tight or loose: ln time
	offDiffers  = .01 // core when it came off, chosen by feel: ln time for each K

	// The same wrap at another core, as a share of its effect. That is the physics' alone:
	// no journal of a person tells it (chosen).
	earlierDiffers = .5
)

// doubt returns the half width of the 80 % range of a share in one cook, ln time.
func doubt(s drivers.Share) float64 {
	own := differsBy * s.Ln.Mean()
	switch wrapped := s.Column.Name == frame.Wrap && s.Ln.Mean() != 0; {
	case wrapped && s.This.Word == s.Other.Word:
		own = earlierDiffers * s.Ln.Mean()
	case wrapped:
		own = math.Hypot(own, wrapDiffers)
	}
	if s.Column.Name == frame.CoreOff && s.Known {
		own = math.Hypot(own, offDiffers*(s.This.Number-s.Other.Number))
	}
	return inEight * math.Hypot(s.Ln.SD(), own)
}

// fill turns the shares of ln(time) into lines. explained is the sum of the shares, and
// sd the standard deviation of the expected time, both in ln(time).
func (a *Account) fill(shares []drivers.Share, explained, sd float64, w model.Context) {
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
			units := w.Settings.Units
			if this, other := values(s, units); s.Column.Name != frame.ThickestPiece && this == other {
				a.same = append(a.same, s.Column.Name)
			}
			text := says(s, units)
			if s.Column.Name == frame.PitMean && s.More < 0 {
				text = fell(a.Cook, s.This.Number, text, units)
			}
			a.Lines = append(a.Lines, Line{s.Column.Name, text, m, minutes * doubt(s)})
		}
	}
	a.Unexplained = Line{Unexplained, "not explained: this piece, luck, or a cause not noted", 60*(a.Took-a.From) - minutes*explained, inEight * minutes * sd}
	a.gather()
}

// Rules for which causes get a line of their own (chosen).
const (
	alwaysTold = 2   // the largest lines, even if their doubt is larger
	smallest   = 3.0 // minutes: smaller lines are merged into one
	mostSmall  = 3   // causes named in that merged line
)

// Minutes are rounded to multiples of fine, or of coarse if the doubt of a line is above
// 2·coarse (chosen).
const fine, coarse = 1.0, 5.0

// step returns the step, in minutes, to which the account is rounded.
func (a *Account) step() float64 {
	for _, l := range append(slices.Clone(a.Lines), a.Unexplained) {
		if l.Doubt > 2*coarse {
			return coarse
		}
	}
	return fine
}

// Round rounds minutes to the step of the account.
func (a *Account) Round(minutes float64) float64 {
	step := a.step()
	return step * math.Round(minutes/step)
}

// Left returns Unexplained in whole minutes, so that with the rounded lines it sums
// exactly to the difference of the rounded times.
func (a *Account) Left() float64 {
	left := math.Round(60*a.Took) - math.Round(60*a.From)
	for _, l := range a.Lines {
		left -= a.Round(l.Minutes)
	}
	return left
}

// gather sorts the lines by size and merges into one those that are small or smaller than
// their doubt.
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
	if a.Round(small.Minutes) == 0 {
		a.Unexplained.Minutes += small.Minutes
		names = nil
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

// gapFrom is the shortest time without a core reading that is reported (chosen).
const gapFrom = 2 * time.Hour
