// Package buffer works out how much time to add to the most likely cooking time of a
// plan, so that nine meals in ten are on time. It also replays finished cooks to show
// how often that would have been enough.
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

// Past compares the spreads that plans of past cooks claimed with how wrong the plans
// were.
type Past struct {
	missed []miss // in order of time
}

// miss is one past cook, planned with what was known when it went on.
type miss struct {
	id  string
	off time.Time
	z   float64 // ln(actual hours / planned hours), divided by the spread that the plan claimed
}

const (
	// marginCooks is the weight of the claimed spread against past misses, counted in
	// cooks (chosen: 3 to 10 gave about the same results).
	marginCooks = 5.0
	// latestCooks is how many past cooks are planned again, the latest ones (chosen, as
	// one takes about 40 ms).
	latestCooks = 20
)

// spreadOf returns the standard deviation of ln(hours) that a forecast claims.
func spreadOf(f forecast.Forecast) float64 {
	return math.Log(f.ToGo.Hi/f.ToGo.Mid) / decile
}

// before plans the i-th finished cook again, using only the cooks that were over when
// it went on. It fails with ctx's error.
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

// Look plans the latest cooks again, each with only what was known when it went on. It
// fails with ctx's error.
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

// factor returns the number by which to multiply a plan's claimed spread. It is the
// root mean square of the misses, each divided by its claimed spread, over the latest
// cooks for which use is true, pulled towards 1. A person's first plan is also
// multiplied by firstPlan; the more cooks of their own they have, the less of firstPlan
// is applied.
//
// Note: taking percentiles of ln(actual/planned) directly, mixed with the claimed
// spread at a weight of 2 to 20 cooks, was on time as often as the claimed spread alone
// and cost up to an hour more of hold. It ignores that a plan made today knows more
// than an old one did.
func (m Past) factor(use func(miss) bool) float64 {
	sum, n := marginCooks, marginCooks
	for _, x := range slices.Backward(m.missed) {
		if n < marginCooks+latestCooks && use(x) && !math.IsNaN(x.z) {
			sum, n = sum+x.z*x.z, n+1
		}
	}
	return math.Sqrt(sum/n) * (1 + (firstPlan-1)/(1+n-marginCooks))
}

// confidence is the probability with which at least nine in ten first plans are in time
// (chosen: the least of the usual .75, .90, .95 and .99; the meat of a first plan is
// then held for 5½ h on average, and for 6 h at .90).
const confidence = .75

// firstPlan is the factor that widens the spread of a person's first plan. The spread
// was fitted on a few dozen people, and the hours that were enough for nine in ten of
// them may be too few for nine in ten of all people.
var firstPlan = toleranceLimit(people.FittedOn, Sure, confidence) * math.Sqrt(people.FittedOn/(people.FittedOn-1.)) / distuv.UnitNormal.Quantile(Sure)

// toleranceLimit returns k so that, with the given confidence, the given share of all
// values of a normal distribution is below mean + k·sd of a sample of n: Natrella's
// approximation (NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.3, from
// memory).
func toleranceLimit(n, share, confidence float64) float64 {
	z, c := distuv.UnitNormal.Quantile(share), distuv.UnitNormal.Quantile(confidence)
	a, b := 1-c*c/(2*(n-1)), z*z-c*c/n
	return (z + math.Sqrt(z*z-a*b)) / a
}

// Factor returns the number by which to multiply the claimed spread of a plan; under 1
// makes the range narrower.
func (m Past) Factor() float64 { return m.factor(func(miss) bool { return true }) }

// Drawn multiplies the spread of a forecast about its middle by a factor.
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

// Sure is the share of cooks that must be in time (chosen: one spoilt dinner in ten is
// as much as a host accepts; the replay shows the hours of hold it costs). It is the
// best choice for a host to whom an hour late is as bad as nine hours of hold: time
// should be added until the share of late cooks is cost of hold / (cost of being late +
// cost of hold).
const Sure = .9

// Hours returns the time on the grate that a share of cooks does not exceed, h. The
// i-th value of the sorted sample is at the share (i + ½)/n.
func Hours(f forecast.Forecast, share float64) float64 {
	n := len(f.Sample)
	at := math.Max(0, math.Min(float64(n-1), share*float64(n)-.5))
	i := min(int(at), n-2)
	return f.Sample[i] + (at-float64(i))*(f.Sample[i+1]-f.Sample[i])
}

// Late returns the share of cooks that take longer than a number of hours.
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
