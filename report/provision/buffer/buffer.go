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
// claims, shrunk to one.
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
	return math.Sqrt(sum / n)
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
// as much as a host bears; the replay shows what it costs in hours of hold).
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
