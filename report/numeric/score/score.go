// Package score evaluates forecasts given as a range or as a sample.
package score

import (
	"math"
	"slices"
)

// Covers reports whether value is in the range from lo to hi, ends included.
func Covers(lo, hi, value float64) bool { return lo <= value && value <= hi }

// Pinball returns the loss of forecasting the quantile q (0 to 1) of a value, in the
// value's unit; 0 is perfect. Koenker & Bassett (1978), Econometrica 46:33.
func Pinball(q, forecast, value float64) float64 {
	if value >= forecast {
		return q * (value - forecast)
	}
	return (1 - q) * (forecast - value)
}

// CRPS returns how far a forecast, given as a sample, is from the actual value y: the
// continuous ranked probability score, in the value's unit; 0 is perfect. For a sample
// of one value it is the absolute error. Gneiting & Raftery (2007), JASA 102:359, eq.
// 21: E|X − y| − ½·E|X − X'|. An empty sample scores 0.
func CRPS(sample []float64, value float64) float64 {
	n := float64(len(sample))
	if n == 0 {
		return 0
	}
	x := slices.Sorted(slices.Values(sample))
	miss, spread := 0.0, 0.0
	for i, v := range x {
		miss += math.Abs(v - value)
		spread += v * (2*float64(i) + 1 - n)
	}
	return miss/n - spread/(n*n)
}

// Quantile returns the q-quantile (0 to 1) of a sample, interpolated linearly (type 7
// of Hyndman & Fan 1996, the default of R); 0 if the sample is empty.
func Quantile(sample []float64, q float64) float64 {
	return SortedQuantile(slices.Sorted(slices.Values(sample)), q)
}

// SortedQuantile does what Quantile does, for a sample that is already sorted.
func SortedQuantile(x []float64, q float64) float64 {
	if len(x) == 0 {
		return 0
	}
	at := math.Max(0, math.Min(1, q)) * float64(len(x)-1)
	i := min(int(at), len(x)-1)
	j := min(i+1, len(x)-1)
	if x[i] == x[j] {
		return x[i]
	}
	return x[i] + (at-float64(i))*(x[j]-x[i])
}

// Summary is the accuracy of a set of forecasts.
type Summary struct {
	N        int
	Mean     float64 // mean absolute error
	Median   float64 // median absolute error
	Worst    float64
	Bias     float64 // mean of forecast minus actual value
	Covered  float64 // share of ranges that contain the value, 0 to 1
	Width    float64 // mean width of the ranges
	CRPS     float64 // mean
	Banded   int     // number of forecasts with a range; Covered, Width and CRPS are based on them
	Pinball  float64 // mean loss at the two ends of an 80 % range
	Relative float64 // mean absolute error as a share of the value
}

// Case is one forecast and the actual value.
type Case struct {
	Forecast, Value float64
	Lo, Hi          float64   // 80 % range
	Sample          []float64 // empty: a forecast without a range
	Whole           float64   // value by which the error is divided for Relative; 0: Value
}

// Summarise evaluates cases; without cases it returns the zero Summary.
func Summarise(cases []Case) Summary {
	s := Summary{N: len(cases)}
	if s.N == 0 {
		return s
	}
	misses := make([]float64, 0, s.N)
	for _, c := range cases {
		miss := math.Abs(c.Forecast - c.Value)
		misses = append(misses, miss)
		s.Mean += miss
		s.Bias += c.Forecast - c.Value
		s.Worst = math.Max(s.Worst, miss)
		whole := c.Whole
		if whole == 0 {
			whole = c.Value
		}
		if whole != 0 {
			s.Relative += miss / math.Abs(whole)
		}
		if len(c.Sample) == 0 {
			continue
		}
		s.Banded++
		if Covers(c.Lo, c.Hi, c.Value) {
			s.Covered++
		}
		s.Width += c.Hi - c.Lo
		s.CRPS += CRPS(c.Sample, c.Value)
		s.Pinball += (Pinball(.1, c.Lo, c.Value) + Pinball(.9, c.Hi, c.Value)) / 2
	}
	n := float64(s.N)
	s.Mean, s.Bias, s.Relative = s.Mean/n, s.Bias/n, s.Relative/n
	s.Median = Quantile(misses, .5)
	if b := float64(s.Banded); b > 0 {
		s.Covered, s.Width, s.CRPS, s.Pinball = s.Covered/b, s.Width/b, s.CRPS/b, s.Pinball/b
	}
	return s
}
