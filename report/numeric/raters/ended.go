package raters

import (
	"math"
	"slices"
)

// endedRounds is the number of rounds in which the scores at the ends of the scale are
// estimated again (chosen: later rounds change them by less than a hundredth of a
// point).
const endedRounds = 8

// FitEnded does what Fit does, for a scale with ends: a score of low may mean low or
// anything lower, and a score of high may mean high or anything higher. It replaces
// such a score with the score that the eater would be expected to give on a longer
// scale, the mean of a normal distribution beyond the point half a point inside the end
// (Tobin 1958, Econometrica 26:24, by the EM algorithm of Dempster, Laird & Rubin 1977,
// J. R. Stat. Soc. B 39:1, section 4.3, from memory). The spread of that score is
// ignored, so the noise is estimated a little too small if many scores are at an end.
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

// meanBeyond returns the mean of a standard normal variable, given that it is above z.
func meanBeyond(z float64) float64 {
	if z > 25 { // the first terms of the series: the tail itself is too small to divide by
		return z + 1/z - 2/(z*z*z)
	}
	return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) / (.5 * math.Erfc(z/math.Sqrt2))
}
