package safety

import (
	"math"
	"strings"
)

// Growth is the growth of Clostridium perfringens from spores in cooked meat:
// rate = (p·(T−Tmin))²·(1 − exp(c·(T−Tmax))), log10 per hour (Juneja et al.,
// Food Microbiology 28:791, 2011; that the unit is log10 is inferred from the
// maximum, 2.6 against 6.0 natural logarithms per hour measured since). Nothing
// grows outside Tmin to Tmax.
type Growth struct {
	name         string
	p, c         float64 // 1/(K √h), 1/K
	least, most  float64 // Tmin, Tmax, °C
	initialState float64 // q₀ of the lag (Baranyi), 1
}

// The meats that were measured, uncured. Curing slows growth, but no note says
// how much nitrite and salt got where, so it is never counted.
var (
	beefGrowth    = Growth{"beef", .0500, .238, 10.15, 53.0, .0699}
	chickenGrowth = Growth{"chicken", .0480, .208, 9.74, 52.1, .0105}
	porkGrowth    = Growth{"pork", .0470, .252, 10.69, 52.8, .0137}
)

// GrowthIn returns the growth for a cut: pork's, chicken's for birds, and for all else
// beef's, which is the fastest.
func GrowthIn(cut string) Growth {
	switch {
	case IsBird(cut):
		return chickenGrowth
	case strings.Contains(strings.ToLower(cut), "pork"):
		return porkGrowth
	}
	return beefGrowth
}

// Rate is the growth at °C, log10 per hour; 0 where nothing grows.
func (g Growth) Rate(celsius float64) float64 {
	if !(celsius > g.least && celsius < g.most) {
		return 0
	}
	root := g.p * (celsius - g.least)
	return root * root * (1 - math.Exp(g.c*(celsius-g.most)))
}

// fastest returns the highest rate between two temperatures, log10 per hour.
func (g Growth) fastest(low, high float64) float64 {
	best := max(g.Rate(low), g.Rate(high))
	for c := math.Ceil(low); c < high; c++ {
		best = max(best, g.Rate(c))
	}
	return best
}

// AfterLag converts growth without a lag into growth after the lag of spores that must
// germinate first, both in log10 (Baranyi & Roberts 1994). Both are for an average
// spore; they are not an upper limit for every batch.
func (g Growth) AfterLag(log10 float64) float64 {
	return math.Log10((1 + g.initialState*math.Pow(10, log10)) / (1 + g.initialState))
}
