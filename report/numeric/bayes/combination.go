package bayes

import "math"

// Combination is the distribution of a weighted sum of coefficients after the fit: a
// mixture of normal distributions, one for each set of terms. For a set that has none
// of the coefficients, the sum is exactly 0.
type Combination struct{ parts []normal }

type normal struct{ weight, mean, sd float64 }

// Of returns the distribution of constant·(the fitted constant) + Σ x·coefficient; x
// has one value for each column.
func (p *Posterior) Of(constant float64, x []float64) Combination {
	var c Combination
	for i := range p.parts {
		q := &p.parts[i]
		n := len(q.at)
		value := func(k int) float64 {
			if q.at[k] == 0 {
				return constant
			}
			return x[q.at[k]-1]
		}
		mean, variance := 0.0, 0.0
		for a := range n {
			va := value(a)
			if va == 0 {
				continue
			}
			mean += va * q.mean[a]
			for b := range n {
				if vb := value(b); vb != 0 {
					variance += va * vb * q.cov[a*n+b]
				}
			}
		}
		c.parts = append(c.parts, normal{q.weight, mean, math.Sqrt(math.Max(0, variance))})
	}
	return c
}

// Mean returns the expected value.
func (c Combination) Mean() float64 {
	sum := 0.0
	for _, p := range c.parts {
		sum += p.weight * p.mean
	}
	return sum
}

// In returns the distribution of the sum if it is not exactly 0, or c itself if it is
// always 0.
func (c Combination) In() Combination {
	var out Combination
	total := 0.0
	for _, p := range c.parts {
		if p.sd > 0 || p.mean != 0 {
			out.parts = append(out.parts, p)
			total += p.weight
		}
	}
	if total == 0 {
		return c
	}
	for i := range out.parts {
		out.parts[i].weight /= total
	}
	return out
}

// Above returns the probability that the sum is above v.
func (c Combination) Above(v float64) float64 {
	sum := 0.0
	for _, p := range c.parts {
		switch {
		case p.sd > 0:
			sum += p.weight * .5 * math.Erfc((v-p.mean)/(p.sd*math.Sqrt2))
		case p.mean > v:
			sum += p.weight
		}
	}
	return sum
}

// SD returns the standard deviation.
func (c Combination) SD() float64 {
	mean, sum := c.Mean(), 0.0
	for _, p := range c.parts {
		sum += p.weight * (p.sd*p.sd + (p.mean-mean)*(p.mean-mean))
	}
	return math.Sqrt(sum)
}

// Quantile returns the value that the sum is below with probability q, 0 < q < 1.
func (c Combination) Quantile(q float64) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range c.parts {
		lo, hi = math.Min(lo, p.mean-9*p.sd), math.Max(hi, p.mean+9*p.sd)
	}
	for range 60 {
		if hi-lo <= 1e-9*(math.Abs(lo)+math.Abs(hi)) {
			break
		}
		if mid := lo + (hi-lo)/2; 1-c.Above(mid) < q {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo + (hi-lo)/2
}
