package frame

import (
	"fmt"
	"math"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// Format prints a value with its unit; "–" if it is not known.
func (c Column) Format(v Value, sys measure.System) string {
	if !v.Known {
		return "–"
	}
	switch c.Kind {
	case Word:
		if at, err := time.Parse(measure.Clock, v.Word); err == nil && c.Name == WentOnAt {
			return measure.FormatTime(at, measure.Clock, sys)
		}
		return v.Word
	case Count:
		return fmt.Sprintf("%.0f", v.Number)
	case Temperature:
		return measure.FormatTemperature(v.Number, sys)
	case Mass:
		return measure.FormatMass(v.Number, sys)
	case Hours:
		return measure.FormatHours(v.Number)
	case Share:
		return fmt.Sprintf("%.0f %%", 100*v.Number)
	case Score:
		return fmt.Sprintf("%.1f", v.Number)
	}
	n, unit, decimals := c.scaled(v.Number, sys)
	return fmt.Sprintf("%.*f %s", decimals, n, unit)
}

// FormatDifference prints a difference of two values with its sign.
func (c Column) FormatDifference(d float64, sys measure.System) string {
	switch c.Kind {
	case Temperature:
		return measure.FormatDifference(d, 0, sys)
	case Mass:
		return measure.FormatMassDifference(d, sys)
	case Hours:
		return signed(d, measure.FormatHours(math.Abs(d)))
	case Share:
		return signed(d, fmt.Sprintf("%.0f points", 100*math.Abs(d)))
	case Count:
		return signed(d, strings.TrimSuffix(fmt.Sprintf("%.1f", math.Abs(d)), ".0"))
	case Score:
		return signed(d, fmt.Sprintf("%.1f", math.Abs(d)))
	}
	n, unit, decimals := c.scaled(math.Abs(d), sys)
	return signed(d, fmt.Sprintf("%.*f %s", decimals, n, unit))
}

// scaled converts v to the reader's unit, for kinds whose units have the same zero.
func (c Column) scaled(v float64, sys measure.System) (n float64, unit string, decimals int) {
	n, unit = c.Kind.In(v, sys)
	switch c.Kind {
	case Length, PerMass:
		return n, unit, 1
	}
	return n, unit, 0
}

// In converts a number of the kind to the unit printed for sys and returns that unit; ""
// if the kind has none.
func (k Kind) In(v float64, sys measure.System) (n float64, unit string) {
	us := sys == measure.US
	switch k {
	case Temperature:
		u := measure.Degrees(0, sys).Unit
		return u.From(v), u.Symbol
	case Mass:
		if us {
			return v / .45359237, "lb"
		}
	case Length:
		if us {
			return v / .0254, "in"
		}
		return v * 100, "cm"
	case PerMass:
		if us {
			return v * .45359237, "h/lb"
		}
	case Speed:
		if us {
			return v * 3600 / 1609.344, "mph"
		}
	case Share:
		return 100 * v, "%"
	}
	return v, k.Unit()
}

func signed(d float64, s string) string {
	if d < 0 {
		return "−" + s
	}
	return "+" + s
}

// Weights prints the weights of the pieces, with the unit once: "4.7 + 3.6 kg".
func Weights(c *journal.Cook, sys measure.System) string {
	var parts []string
	for _, p := range c.Pieces {
		if w := p.Weight(); w.Known {
			parts = append(parts, measure.FormatMass(w.Base, sys))
		}
	}
	for i, p := range parts[:max(0, len(parts)-1)] {
		parts[i], _, _ = strings.Cut(p, " ")
	}
	return strings.Join(parts, " + ")
}

// Unit returns the unit of Value.Number; "" for words, counts and scores.
func (k Kind) Unit() string {
	return map[Kind]string{Temperature: "°C", Mass: "kg", Length: "m", Hours: "h", PerMass: "h/kg", Rate: "g/kg", Speed: "m/s", Share: "1"}[k]
}
