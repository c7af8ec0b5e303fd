package raters

import (
	"math"
	"slices"
)

// endedRounds is how often what was meant at the ends is worked out (chosen: later
// rounds move it by less than a hundredth of a point).
const endedRounds = 8

// FitEnded is Fit where the scale ends: a score at low or below, or at high or above,
// means that or beyond. Such a score counts as what its eater would be expected to
// give there were the scale longer: the mean of a normal cut off half a point inside
// the end (Tobin 1958, Econometrica 26:24, by the EM algorithm of Dempster, Laird &
// Rubin 1977, J. R. Stat. Soc. B 39:1, section 4.3, from memory). Its spread is left
// out, so the noise comes out a little small where many scores are at an end.
func FitEnded(scores []Score, cooks, eaters int, low, high float64) (Result, error) {
	r, err := Fit(scores, cooks, eaters)
	atEnd := func(s Score) bool { return s.Value <= low || s.Value >= high }
	if err != nil || !slices.ContainsFunc(scores, atEnd) {
		return r, err
	}
	meant := slices.Clone(scores)
	for range endedRounds {
		for i, s := range scores {
			if !atEnd(s) {
				continue
			}
			up := 1.0
			if s.Value <= low {
				up = -1
			}
			expected := r.Cooks[s.Cook].Shrunk + r.Eaters[s.Eater].Shrunk
			from := up * (s.Value - up*.5 - expected) / r.NoiseSD
			meant[i].Value = expected + up*r.NoiseSD*meanBeyond(from)
		}
		if r, err = Fit(meant, cooks, eaters); err != nil {
			return r, err
		}
	}
	return r, nil
}

// meanBeyond is the mean of the part of a unit normal above z.
func meanBeyond(z float64) float64 {
	if z > 25 { // the first terms of the series: the tail itself is too small to divide by
		return z + 1/z - 2/(z*z*z)
	}
	return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) / (.5 * math.Erfc(z/math.Sqrt2))
}
