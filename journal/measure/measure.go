// Package measure parses, converts and formats the quantities in a cook's file. A
// quantity keeps the text it was typed as. Calculations use the base unit; the file
// keeps the user's own unit.
package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// System is the family of units in which a person reads, and types numbers without a
// unit.
type System uint8

const (
	Metric System = iota // °C, kg, cm, m/s, m
	US                   // °F, lb, in, mph, ft
)

// ParseSystem reads "metric" or "us".
func ParseSystem(s string) (System, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "metric":
		return Metric, nil
	case "us":
		return US, nil
	}
	return Metric, fmt.Errorf("units %q not known: write metric, or us for °F, lb and in", s)
}

func (s System) String() string {
	if s == US {
		return "us"
	}
	return "metric"
}

// Unit is one unit of a dimension: base = (number − Shift) × Factor.
type Unit struct {
	Symbol string  // as printed: "°C", "kg"
	Factor float64 // base units in one of this unit
	Shift  float64 // number at base zero: 32 for °F
	System System  // its system; Metric for a unit of both
}

// Base returns n of this unit in base units.
func (u Unit) Base(n float64) float64 { return (n - u.Shift) * u.Factor }

// From converts a value in base units to a number of this unit.
func (u Unit) From(base float64) float64 { return base/u.Factor + u.Shift }

// dimension describes one kind of quantity. In each system, the preferred unit comes
// first.
type dimension interface {
	name() string
	units() []unitName
	// decimals returns how many decimals are printed in a unit other than the one
	// typed.
	decimals(Unit) int
	// compound reports whether a quantity may have several parts: 4 lb 6 oz, 1 h 30
	// min.
	compound() bool
}

type unitName struct {
	Unit
	also []string // other spellings, in lower case
}

// Quantity is a number in base units with the text it came from. The zero value means
// "not recorded"; 0 °C is recorded.
type Quantity[D dimension] struct {
	Base    float64 // °C, kg, m, s, m/s, fraction of 1, g per kg, l
	Unit    Unit    // the unit typed; for "4 lb 6 oz" the first
	Text    string  // as typed, trimmed; may be "" for a computed value
	Known   bool    // false for not recorded
	Assumed bool    // no unit was typed, so the journal's was taken
}

// The quantities of a cook. Base units: °C; kg; m; s; m/s; 1 (so 80 % is .8);
// g per kg; l.
type (
	Temperature = Quantity[temperature]
	Mass        = Quantity[mass]
	Length      = Quantity[length]
	Span        = Quantity[span]
	Speed       = Quantity[speed]
	Share       = Quantity[share]
	Rate        = Quantity[rate]
	Volume      = Quantity[volume]
)

type (
	temperature struct{}
	mass        struct{}
	length      struct{}
	span        struct{}
	speed       struct{}
	share       struct{}
	rate        struct{}
	volume      struct{}
)

// Factors. The international avoirdupois pound of .45359237 kg, the inch of .0254 m and
// the US quart of 57.75 cubic inches are exact by definition (NIST Handbook 44,
// appendix C). Kitchen measures are those of US food labels, 21 CFR 101.9(b)(5)(viii):
// teaspoon 5 ml, tablespoon 15 ml, cup 240 ml.
const (
	pound = 0.45359237
	inch  = 0.0254
	quart = 57.75 * inch * inch * inch * 1000 // l
)

// Kitchen measures, l.
const (
	Teaspoon   = .005
	Tablespoon = .015
	Cup        = .24
	Quart      = quart
)

var (
	temperatureUnits = []unitName{
		{Unit{"°C", 1, 0, Metric}, []string{"c", "ºc", "degc", "celsius"}},
		{Unit{"°F", 5.0 / 9, 32, US}, []string{"f", "ºf", "degf", "fahrenheit"}},
	}
	massUnits = []unitName{
		{Unit{"kg", 1, 0, Metric}, []string{"kilo", "kilos"}},
		{Unit{"g", 1e-3, 0, Metric}, []string{"gram", "grams"}},
		{Unit{"lb", pound, 0, US}, []string{"lbs", "pound", "pounds"}},
		{Unit{"oz", pound / 16, 0, US}, []string{"ounce", "ounces"}},
	}
	lengthUnits = []unitName{
		{Unit{"cm", 1e-2, 0, Metric}, nil},
		{Unit{"mm", 1e-3, 0, Metric}, nil},
		{Unit{"m", 1, 0, Metric}, nil},
		{Unit{"in", inch, 0, US}, []string{"inch", "inches", `"`}},
		{Unit{"ft", 12 * inch, 0, US}, []string{"feet", "foot"}},
	}
	spanUnits = []unitName{
		{Unit{"min", 60, 0, Metric}, []string{"m", "mins", "minute", "minutes"}},
		{Unit{"h", 3600, 0, Metric}, []string{"hr", "hrs", "hour", "hours"}},
		{Unit{"s", 1, 0, Metric}, []string{"sec", "second", "seconds"}},
		{Unit{"d", 86400, 0, Metric}, []string{"day", "days"}},
	}
	speedUnits = []unitName{
		{Unit{"m/s", 1, 0, Metric}, nil},
		{Unit{"km/h", 1 / 3.6, 0, Metric}, []string{"kmh", "kph"}},
		{Unit{"mph", 1609.344 / 3600, 0, US}, nil},
	}
	shareUnits = []unitName{{Unit{"%", .01, 0, Metric}, []string{"percent"}}}
	rateUnits  = []unitName{
		{Unit{"g/kg", 1, 0, Metric}, nil},
		{Unit{"oz/lb", 62.5, 0, US}, nil},
		{Unit{"%", 10, 0, Metric}, nil},
	}
	volumeUnits = []unitName{
		{Unit{"l", 1, 0, Metric}, []string{"litre", "litres", "liter", "liters"}},
		{Unit{"dl", .1, 0, Metric}, nil},
		{Unit{"ml", 1e-3, 0, Metric}, nil},
		{Unit{"qt", quart, 0, US}, []string{"quart", "quarts"}},
		{Unit{"gal", 4 * quart, 0, US}, []string{"gallon", "gallons"}},
		{Unit{"cup", Cup, 0, US}, []string{"cups"}},
		{Unit{"tbsp", Tablespoon, 0, US}, []string{"tablespoon", "tablespoons"}},
		{Unit{"tsp", Teaspoon, 0, US}, []string{"teaspoon", "teaspoons"}},
	}
)

func (temperature) name() string      { return "temperature" }
func (temperature) units() []unitName { return temperatureUnits }
func (temperature) decimals(Unit) int { return 0 }
func (mass) name() string             { return "weight" }
func (mass) units() []unitName        { return massUnits }
func (mass) decimals(u Unit) int      { return map[string]int{"kg": 2, "lb": 1}[u.Symbol] }
func (length) name() string           { return "length" }
func (length) units() []unitName      { return lengthUnits }
func (length) decimals(u Unit) int    { return map[string]int{"cm": 1, "in": 1}[u.Symbol] }
func (span) name() string             { return "duration" }
func (span) units() []unitName        { return spanUnits }
func (span) decimals(Unit) int        { return 1 }
func (speed) name() string            { return "speed" }
func (speed) units() []unitName       { return speedUnits }
func (speed) decimals(Unit) int       { return 0 }
func (share) name() string            { return "share" }
func (share) units() []unitName       { return shareUnits }
func (share) decimals(Unit) int       { return 0 }
func (rate) name() string             { return "rate" }
func (rate) units() []unitName        { return rateUnits }
func (rate) decimals(u Unit) int      { return map[string]int{"oz/lb": 2}[u.Symbol] }
func (volume) name() string           { return "volume" }
func (volume) units() []unitName      { return volumeUnits }
func (volume) decimals(u Unit) int    { return map[string]int{"l": 2, "qt": 2}[u.Symbol] }

func (temperature) compound() bool { return false }
func (mass) compound() bool        { return true }
func (length) compound() bool      { return true }
func (span) compound() bool        { return true }
func (speed) compound() bool       { return false }
func (share) compound() bool       { return false }
func (rate) compound() bool        { return false }
func (volume) compound() bool      { return false }

// Preferred returns the unit of D that a reader of sys expects.
func Preferred[D dimension](sys System) Unit {
	var d D
	all := d.units()
	for _, u := range all {
		if u.System == sys {
			return u.Unit
		}
	}
	return all[0].Unit
}

// of returns n of the system's preferred unit, marked as typed with a unit.
func of[D dimension](n float64, sys System) Quantity[D] {
	u := Preferred[D](sys)
	q := Quantity[D]{Base: u.Base(n), Unit: u, Known: true}
	q.Text = number(n, 1) + " " + u.Symbol
	return q
}

// Degrees returns n °C or °F.
func Degrees(n float64, sys System) Temperature { return of[temperature](n, sys) }

// Minutes returns n minutes.
func Minutes(n float64) Span { return of[span](n, Metric) }

// Kilograms returns n kg.
func Kilograms(n float64) Mass { return of[mass](n, Metric) }

// limit is the largest number accepted. It stops typing slips such as 1e300.
const limit = 1e7

// Parse parses a quantity: a number and a unit, or for compounds several of both ("4 lb
// 6 oz", "1 h 30 min"). A bare number gets the unit of sys and is marked Assumed. A
// bare number after a unit gets the next smaller unit ("1 h 30"). A comma is a decimal
// point unless three digits follow.
func Parse[D dimension](s string, sys System) (Quantity[D], error) {
	var d D
	text := strings.TrimSpace(s)
	fail := func(why string) (Quantity[D], error) {
		return Quantity[D]{}, fmt.Errorf("%s %q: %s; expected a number and %s", d.name(), text, why, unitList(d.units()))
	}
	if text == "" {
		return fail("nothing there")
	}
	q := Quantity[D]{Text: text, Known: true}
	rest, parts := text, 0
	var last Unit
	for rest != "" {
		switch {
		case parts > 0 && !d.compound():
			return fail(fmt.Sprintf("one number was expected, then found %q", rest))
		case q.Assumed:
			return fail(fmt.Sprintf("no unit before %q", rest))
		}
		num, after := cutNumber(rest)
		if num == "" {
			return fail(fmt.Sprintf("%q is not a number", firstWord(rest)))
		}
		n, err := strconv.ParseFloat(num, 64)
		if err != nil || math.IsNaN(n) || math.Abs(n) > limit {
			return fail(fmt.Sprintf("%q is out of range", num))
		}
		word, after := cutUnit(strings.TrimLeft(after, " \t\u00a0"))
		u, ok := findUnit(d.units(), word)
		switch {
		case ok:
		case word != "":
			return fail(fmt.Sprintf("unit %q not known", word))
		case parts == 0:
			u, q.Assumed = Preferred[D](sys), true
		default:
			if u, ok = smaller(d.units(), last); !ok {
				return fail(fmt.Sprintf("no unit after %q", num))
			}
		}
		if parts > 0 && (u.Factor >= last.Factor || n < 0 || q.Base < 0) {
			return fail("the parts do not run from larger to smaller")
		}
		if parts == 0 {
			q.Unit = u
		}
		q.Base += u.Base(n)
		last, rest = u, strings.TrimLeft(after, " \t\u00a0")
		parts++
	}
	if q.Assumed {
		q.Text += " " + q.Unit.Symbol
	}
	return q, nil
}

// Read parses s into q. On an error q is unchanged.
func Read[D dimension](q *Quantity[D], s string, sys System) error {
	got, err := Parse[D](s, sys)
	if err == nil {
		*q = got
	}
	return err
}

// ParseTemperature parses "112 °C", "234F".
func ParseTemperature(s string, sys System) (Temperature, error) { return Parse[temperature](s, sys) }

// ParseMass parses "5.2 kg", "11 lb 4 oz".
func ParseMass(s string, sys System) (Mass, error) { return Parse[mass](s, sys) }

// ParseVolume parses "2 l", "250 ml", "3 qt", "2 cups".
func ParseVolume(s string, sys System) (Volume, error) { return Parse[volume](s, sys) }

// ParseSpan parses "60 min", "14 h", "1 h 30".
func ParseSpan(s string) (Span, error) { return Parse[span](s, Metric) }

// Duration converts a span to a time.Duration; more than 292 years gives the longest
// one.
func Duration(s Span) time.Duration {
	const most = float64(math.MaxInt64)
	if ns := s.Base * float64(time.Second); ns < most && ns > -most {
		return time.Duration(ns)
	}
	return time.Duration(math.Copysign(1, s.Base)) * math.MaxInt64
}

// In formats the quantity for a reader of sys: as typed if its unit is of that system,
// and converted and rounded if not.
func (q Quantity[D]) In(sys System) string {
	if !q.Known {
		return ""
	}
	want := Preferred[D](sys)
	if q.Text != "" && (q.Unit.System == want.System || q.Unit.Symbol == "") {
		return q.Text
	}
	var d D
	return number(want.From(q.Base), d.decimals(want)) + " " + want.Symbol
}

// String returns the quantity as typed.
func (q Quantity[D]) String() string {
	if q.Known && q.Text == "" {
		var d D
		u := Preferred[D](Metric)
		return number(u.From(q.Base), d.decimals(u)) + " " + u.Symbol
	}
	return q.Text
}

// Same reports whether both are not recorded, or both are equal to within a relative
// 1e-9, which is rounding.
func (q Quantity[D]) Same(o Quantity[D]) bool {
	if q.Known != o.Known {
		return false
	}
	return math.Abs(q.Base-o.Base) <= 1e-9*max(1, math.Abs(q.Base))
}

// FormatTemperature formats a computed temperature, given in °C, as a whole number in
// the unit of sys.
func FormatTemperature(c float64, sys System) string {
	u := Preferred[temperature](sys)
	return number(u.From(c), 0) + " " + u.Symbol
}

// FormatTemperatureNumber formats a temperature as FormatTemperature does, without the
// unit.
func FormatTemperatureNumber(c float64, sys System) string {
	return number(Preferred[temperature](sys).From(c), 0)
}

// FormatDifference formats a temperature difference, given in K, with its sign. 5 K are
// 9 °F: the zero points of the scales do not matter.
func FormatDifference(k float64, decimals int, sys System) string {
	u := Preferred[temperature](sys)
	return signed(k/u.Factor, decimals) + " " + u.Symbol
}

// FormatMass formats a computed mass, given in kg: in tenths of kg or lb, or below one
// of them in whole g or oz.
func FormatMass(kg float64, sys System) string {
	n, decimals, symbol := scaleMass(kg, sys)
	return strconv.FormatFloat(n, 'f', decimals, 64) + " " + symbol
}

// FormatMassDifference formats a difference as FormatMass does, with its sign.
func FormatMassDifference(kg float64, sys System) string {
	s := FormatMass(math.Abs(kg), sys)
	switch {
	case strings.HasPrefix(s, "0 "):
		return s
	case kg < 0:
		return "−" + s
	}
	return "+" + s
}

// scaleMass chooses between kg and g, or lb and oz.
func scaleMass(kg float64, sys System) (n float64, decimals int, symbol string) {
	large, small := massUnits[0], massUnits[1]
	if sys == US {
		large, small = massUnits[2], massUnits[3]
	}
	if n := small.From(kg); math.Abs(large.From(kg)) < 1 && math.Round(n) < small.From(large.Base(1)) {
		switch size := math.Abs(n); {
		case sys == US && size >= .005 && size < .995: // 16 g of salt are .58 oz, not 1 oz
			return n, 2, small.Symbol
		case sys == US && size >= .995 && size < 9.95:
			return n, 1, small.Symbol
		}
		return n, 0, small.Symbol
	}
	return large.From(kg), 1, large.Symbol
}

// number formats n with at most these decimals and without trailing zeros. A value that
// rounds to zero has no sign.
func number(n float64, decimals int) string {
	s := strconv.FormatFloat(n, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		s = "0"
	}
	return s
}

func signed(n float64, decimals int) string {
	s := number(n, decimals)
	switch {
	case s == "0":
		return s
	case s[0] == '-':
		return "−" + s[1:]
	}
	return "+" + s
}
