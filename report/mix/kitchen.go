package mix

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"ashbook/journal/measure"
)

func isLetter(r rune) bool { return unicode.IsLetter(r) }

const ounce = .45359237 * 1000 / 16 // g

// weighed formats a weight as a kitchen scale shows it: to .1 g below 10 g, 1 g below
// 100 g, 5 g below 1 kg and 10 g above; to .01 oz below an ounce, .1 oz below a pound
// and half an ounce above.
func weighed(g float64, sys measure.System) string {
	if sys == measure.US {
		oz := g / ounce
		switch {
		case oz < .995:
			return trimmed(oz, 2) + " oz"
		case oz < 15.95:
			return trimmed(oz, 1) + " oz"
		}
		halves := math.Round(oz * 2)
		lb := math.Floor(halves / 32)
		if rest := halves - 32*lb; rest > 0 {
			return fmt.Sprintf("%.0f lb %s oz", lb, fraction(rest, 2))
		}
		return fmt.Sprintf("%.0f lb", lb)
	}
	switch {
	case g < 9.95:
		return trimmed(g, 1) + " g"
	case g < 99.5:
		return trimmed(g, 0) + " g"
	case g < 997.5:
		return trimmed(5*math.Round(g/5), 0) + " g"
	}
	return strconv.FormatFloat(math.Round(g/10)/100, 'f', 2, 64) + " kg"
}

func trimmed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// fraction formats n of the given parts: 7 quarters are 1¾.
func fraction(n float64, parts int) string {
	whole, rest := int(n)/parts, int(n)%parts
	sign := map[[2]int]string{{1, 2}: "½", {1, 4}: "¼", {2, 4}: "½", {3, 4}: "¾", {1, 3}: "⅓", {2, 3}: "⅔"}[[2]int{rest, parts}]
	if whole == 0 && sign != "" {
		return sign
	}
	return strconv.Itoa(whole) + sign
}

// Spooned returns the kitchen measure of a part, or "" if there is none.
func Spooned(l Line, sys measure.System) string { return spooned(l.Name, l.Grams, sys) }

// spooned returns the kitchen measure of a weight, or "" if the weight of a spoonful is
// unknown or there is too much to spoon.
func spooned(name string, g float64, sys measure.System) string {
	in, exact, ok := find(name)
	if !ok || !exact || in.litre == 0 || !(g > 0) {
		return ""
	}
	litres := g / in.litre
	spoons, cups := litres/measure.Teaspoon, litres/measure.Cup
	switch {
	case spoons < .1:
		return "a pinch"
	case spoons < .19:
		return "⅛ tsp"
	case math.Round(spoons*4) < 12:
		return fraction(math.Round(spoons*4), 4) + " tsp"
	case math.Round(spoons*2) < 24:
		return tablespoons(math.Round(spoons * 2))
	case in.pours && sys == measure.Metric:
		return poured(litres)
	case cups < mostCups:
		return cupped(cups)
	case in.pours:
		return fraction(math.Round(litres/measure.Quart*4), 4) + " qt"
	}
	return ""
}

// mostCups is the largest number of cups that anybody counts out (chosen); near is the
// largest error of a rounded number of cups.
const (
	mostCups = 16
	near     = .06
)

// tablespoons formats a number of half teaspoons, three teaspoons to the tablespoon.
func tablespoons(halves float64) string {
	whole, rest := math.Floor(halves/6), math.Mod(halves, 6)
	switch rest {
	case 0, 3: // half a tablespoon is 1½ tsp
		return fraction(whole*2+rest/3, 2) + " tbsp"
	}
	return fmt.Sprintf("%.0f tbsp + %s tsp", whole, fraction(rest, 2))
}

// cupped formats cups in quarters, in thirds, or in quarters and tablespoons: the first
// that is near enough.
func cupped(cups float64) string {
	named := func(n string, more bool) string {
		if more {
			return n + " cups"
		}
		return n + " cup"
	}
	for _, parts := range []int{4, 3} {
		if n := math.Round(cups * float64(parts)); math.Abs(n/float64(parts)-cups) <= near*cups {
			return named(fraction(n, parts), n > float64(parts))
		}
	}
	quarters := math.Floor(cups * 4)
	spoons := math.Round((cups - quarters/4) * measure.Cup / measure.Tablespoon)
	switch spoons {
	case 4: // tablespoons to the quarter
		quarters, spoons = quarters+1, 0
		fallthrough
	case 0:
		return named(fraction(quarters, 4), quarters > 4)
	}
	return fmt.Sprintf("%s + %.0f tbsp", named(fraction(quarters, 4), quarters > 4), spoons)
}

// poured formats litres as a measuring jug shows them.
func poured(litres float64) string {
	ml := litres * 1000
	switch {
	case ml < 245:
		return trimmed(5*math.Round(ml/5), 0) + " ml"
	case ml < 995:
		return trimmed(10*math.Round(ml/10), 0) + " ml"
	}
	return trimmed(litres, 2) + " l"
}

// small formats the volume for one eater.
func small(litres float64, sys measure.System) string {
	if halves := math.Round(litres / measure.Teaspoon * 2); sys == measure.US && halves >= 6 && halves < 24 {
		return tablespoons(halves)
	}
	return poured(litres)
}

// volume formats litres.
func volume(litres float64, sys measure.System) string {
	if sys == measure.US {
		return fraction(math.Max(1, math.Round(litres/measure.Cup*4)), 4) + " cups"
	}
	return poured(litres)
}
