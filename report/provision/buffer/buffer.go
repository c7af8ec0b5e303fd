// Package buffer says how much earlier than likely a cook must go on, and how
// well that would have done on cooks that are over.
package buffer

import (
	"context"
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast"
	"ashbook/report/forecast/people"

	"gonum.org/v1/gonum/stat/distuv"
)

// Past is how well the plans of past cooks knew how sure they were.
type Past struct {
	missed []miss // in order of time
}

// miss is one past cook, planned with what was known when it went on.
type miss struct {
	id  string
	off time.Time
	z   float64 // ln(actual / planned) over the spread the plan claimed
}

const (
	// marginCooks is how many cooks' worth of trust the claimed spread keeps
	// (chosen: three to ten did alike).
	marginCooks = 5.0
	// latestCooks is how many of the latest past cooks are looked at: to plan
	// one again costs some 40 ms (chosen).
	latestCooks = 20
)

// spreadOf is the standard deviation of ln hours a forecast claims.
func spreadOf(f forecast.Forecast) float64 {
	return math.Log(f.ToGo.Hi/f.ToGo.Mid) / decile
}

// before plans the i-th of the finished cooks again, with those known that were over
// when it went on. The error is that of ctx.
func before(ctx context.Context, x *forecast.Experience, cooks []journal.Cook, i int) (forecast.Forecast, error) {
	c := &cooks[i]
	on, _ := c.OnAt()
	use := func(o *journal.Cook) bool {
		off, _ := o.Finish()
		return forecast.Earlier.Of(c, on, o.ID, off)
	}
	use = x.Latest(use)
	return forecast.Kept(x, "plan", i, use, func() (forecast.Forecast, error) {
		f, err := x.Where(ctx, use)
		if err != nil {
			return forecast.Forecast{}, err
		}
		return f.Hours(c, time.Time{}), nil
	})
}

// missOf plans a finished cook again.
func missOf(c *journal.Cook, f forecast.Forecast) miss {
	off, _ := c.Finish()
	took, _ := c.Took()
	return miss{c.ID, off, math.Log(took.Hours()/f.ToGo.Mid) / spreadOf(f)}
}

// Look plans the latest cooks again, each with what was known then. The error is
// that of ctx.
func Look(ctx context.Context, x *forecast.Experience) (Past, error) {
	cooks := x.Cooks()
	first := max(0, len(cooks)-latestCooks)
	m := Past{make([]miss, len(cooks)-first)}
	err := forecast.Each(ctx, len(m.missed), nil, func(i int) error {
		f, err := before(ctx, x, cooks, first+i)
		if err == nil {
			m.missed[i] = missOf(&cooks[first+i], f)
		}
		return err
	})
	return m, err
}

// factor is by how much the claimed spread is to be drawn in or let out, from
// the latest cooks for which use is true: the root mean square of the misses over the
// claims, shrunk to one. A first plan is let out by firstPlan, a later one by as much
// less as there are own cooks: they tell what other people's cannot.
//
// Note: order statistics of ln(actual/planned) themselves, mixed with two to
// twenty cooks' worth of the claim, held as often as the claim alone and cost
// up to an hour more of hold: they forget that a plan by now knows more than
// one did then.
func (m Past) factor(use func(miss) bool) float64 {
	sum, n := marginCooks, marginCooks
	for _, x := range slices.Backward(m.missed) {
		if n < marginCooks+latestCooks && use(x) && !math.IsNaN(x.z) {
			sum, n = sum+x.z*x.z, n+1
		}
	}
	return math.Sqrt(sum/n) * (1 + (firstPlan-1)/(1+n-marginCooks))
}

// confidence is how sure it is that nine in ten first plans are in time (chosen: the
// least of the usual .75, .90, .95 and .99; the range of a first plan then has it held
// for 5½ h on average, and 6 h at .90).
const confidence = .75

// firstPlan is by how much the spread of a first plan is let out: its range was fitted
// on a few dozen people, so the hours that nine in ten of those need may be too few for
// nine in ten of all people.
var firstPlan = toleranceLimit(people.FittedOn, Sure, confidence) * math.Sqrt(people.FittedOn/(people.FittedOn-1.)) / distuv.UnitNormal.Quantile(Sure)

// toleranceLimit is how many standard deviations over the mean of n normal values a share
// of all such values stays under, with a confidence: Natrella's approximation (NIST/SEMATECH
// e-Handbook of Statistical Methods, 7.2.6.3, from memory).
func toleranceLimit(n, share, confidence float64) float64 {
	z, c := distuv.UnitNormal.Quantile(share), distuv.UnitNormal.Quantile(confidence)
	a, b := 1-c*c/(2*(n-1)), z*z-c*c/n
	return (z + math.Sqrt(z*z-a*b)) / a
}

// Factor is by how much the claimed spread of a plan is to be drawn in (under
// 1) or let out.
func (m Past) Factor() float64 { return m.factor(func(miss) bool { return true }) }

// Drawn changes the spread of a forecast about its middle.
func Drawn(f forecast.Forecast, factor float64) forecast.Forecast {
	of := func(h float64) float64 { return f.ToGo.Mid * math.Pow(h/f.ToGo.Mid, factor) }
	sample := make([]float64, len(f.Sample))
	for i, h := range f.Sample {
		sample[i] = of(h)
	}
	f.Sample, f.ToGo.Lo, f.ToGo.Hi = sample, of(f.ToGo.Lo), of(f.ToGo.Hi)
	return f
}

const decile = 1.2816 // standard deviations to the tenth percentile

// Sure is how many cooks must be in time (chosen: one spoilt dinner in ten is
// as much as a host bears; the replay shows what it costs in hours of hold). It is the
// best hour for a host to whom an hour late is as bad as nine hours of hold: the hours are
// right where one more of them costs as much as it saves, at late share = hold / (late + hold).
const Sure = .9

// Hours is the time on the grate that a share of cooks does not exceed, h. The
// sample has the shares (i + ½)/n.
func Hours(f forecast.Forecast, share float64) float64 {
	n := len(f.Sample)
	at := math.Max(0, math.Min(float64(n-1), share*float64(n)-.5))
	i := min(int(at), n-2)
	return f.Sample[i] + (at-float64(i))*(f.Sample[i+1]-f.Sample[i])
}

// Late is the share of cooks that take longer than so many hours.
func Late(f forecast.Forecast, h float64) float64 {
	n := len(f.Sample)
	i, _ := slices.BinarySearch(f.Sample, h)
	switch {
	case i == 0:
		return 1
	case i == n:
		return 0
	}
	below := (float64(i) - .5 + (h-f.Sample[i-1])/(f.Sample[i]-f.Sample[i-1])) / float64(n)
	return 1 - below
}
