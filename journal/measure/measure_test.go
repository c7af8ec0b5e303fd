package measure

import (
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func closeTo(got, want float64) bool {
	return math.Abs(got-want) <= 1e-12*math.Max(1, math.Abs(want))
}

// Equivalents from NIST Special Publication 811 (2008), appendix B.8, and NIST Handbook
// 44, appendix C, where the pound, the inch, the foot and the mile are exact.
func TestPublishedEquivalents(t *testing.T) {
	base := func(got float64, err error) float64 {
		if err != nil {
			t.Error(err)
		}
		return got
	}
	massOf := func(s string) float64 { q, err := ParseMass(s, Metric); return base(q.Base, err) }
	lengthOf := func(s string) float64 { q, err := Parse[length](s, Metric); return base(q.Base, err) }
	speedOf := func(s string) float64 { q, err := Parse[speed](s, Metric); return base(q.Base, err) }
	degreesOf := func(s string) float64 { q, err := ParseTemperature(s, Metric); return base(q.Base, err) }
	rateOf := func(s string) float64 { q, err := Parse[rate](s, Metric); return base(q.Base, err) }
	tests := []struct {
		what      string
		got, want float64
	}{
		{"1 lb", massOf("1 lb"), 0.45359237},
		{"1 oz", massOf("1 oz"), 0.028349523125},
		{"16 oz", massOf("16 oz"), 0.45359237},
		{"1 in", lengthOf("1 in"), 0.0254},
		{"1 ft", lengthOf("1 ft"), 0.3048},
		{"1 mph", speedOf("1 mph"), 0.44704},
		{"36 km/h", speedOf("36 km/h"), 10},
		{"water boils, 212 °F", degreesOf("212 °F"), 100},
		{"water freezes, 32 °F", degreesOf("32 °F"), 0},
		{"the scales meet, −40 °F", degreesOf("-40 °F"), -40},
		{"hot-hold limit, 135 °F (Food Code 2022, 3-501.16)", degreesOf("135 °F"), 57 + 2.0/9},
		{"1 oz to the lb is 62.5 g to the kg", rateOf("1 oz/lb"), 62.5},
		{"1 % is 10 g to the kg", rateOf("1 %"), 10},
	}
	for _, tt := range tests {
		if !closeTo(tt.got, tt.want) {
			t.Errorf("%s: %v, want %v", tt.what, tt.got, tt.want)
		}
	}
}

func TestParse(t *testing.T) {
	type result struct {
		base    float64
		text    string
		unit    string
		assumed bool
	}
	mass := func(s string, sys System) (result, error) {
		q, err := ParseMass(s, sys)
		return result{q.Base, q.Text, q.Unit.Symbol, q.Assumed}, err
	}
	degrees := func(s string, sys System) (result, error) {
		q, err := ParseTemperature(s, sys)
		return result{q.Base, q.Text, q.Unit.Symbol, q.Assumed}, err
	}
	wait := func(s string, _ System) (result, error) {
		q, err := ParseSpan(s)
		return result{q.Base, q.Text, q.Unit.Symbol, q.Assumed}, err
	}
	long := func(s string, sys System) (result, error) {
		q, err := Parse[length](s, sys)
		return result{q.Base, q.Text, q.Unit.Symbol, q.Assumed}, err
	}
	poured := func(s string, sys System) (result, error) {
		q, err := ParseVolume(s, sys)
		return result{q.Base, q.Text, q.Unit.Symbol, q.Assumed}, err
	}
	tests := []struct {
		parse func(string, System) (result, error)
		in    string
		sys   System
		want  result
	}{
		{mass, "5.2 kg", Metric, result{5.2, "5.2 kg", "kg", false}},
		{mass, " 5,2kg ", US, result{5.2, "5,2kg", "kg", false}},
		{mass, "5.2", Metric, result{5.2, "5.2 kg", "kg", true}},
		{mass, "5.2", US, result{5.2 * 0.45359237, "5.2 lb", "lb", true}},
		{mass, "4 lb 6 oz", Metric, result{4.375 * 0.45359237, "4 lb 6 oz", "lb", false}},
		{mass, "4lb6oz", Metric, result{4.375 * 0.45359237, "4lb6oz", "lb", false}},
		{mass, "4 lb 6", Metric, result{4.375 * 0.45359237, "4 lb 6", "lb", false}},
		{mass, "2 kg 250", US, result{2.25, "2 kg 250", "kg", false}},
		{mass, ".5 KG", Metric, result{.5, ".5 KG", "kg", false}},
		{mass, "180 grams", Metric, result{.18, "180 grams", "g", false}},
		{degrees, "112 °C", US, result{112, "112 °C", "°C", false}},
		{degrees, "112C", US, result{112, "112C", "°C", false}},
		{degrees, "112 ° C", US, result{112, "112 ° C", "°C", false}},
		{degrees, "112", Metric, result{112, "112 °C", "°C", true}},
		{degrees, "212", US, result{100, "212 °F", "°F", true}},
		{degrees, "-5", Metric, result{-5, "-5 °C", "°C", true}},
		{degrees, "−5 °C", Metric, result{-5, "−5 °C", "°C", false}},
		{degrees, "0 °C", US, result{0, "0 °C", "°C", false}},
		{degrees, "104,5", Metric, result{104.5, "104,5 °C", "°C", true}},
		{wait, "60 min", Metric, result{3600, "60 min", "min", false}},
		{wait, "30", Metric, result{1800, "30 min", "min", true}},
		{wait, "1h30", Metric, result{5400, "1h30", "h", false}},
		{wait, "1 h 30 min", Metric, result{5400, "1 h 30 min", "h", false}},
		{wait, "14 h", Metric, result{50400, "14 h", "h", false}},
		{wait, "1.5 d", Metric, result{129600, "1.5 d", "d", false}},
		{wait, "90 s", Metric, result{90, "90 s", "s", false}},
		{long, "13 cm", Metric, result{.13, "13 cm", "cm", false}},
		{long, `5"`, Metric, result{.127, `5"`, "in", false}},
		{long, "1 ft 2 in", Metric, result{14 * 0.0254, "1 ft 2 in", "ft", false}},
		// 21 CFR 101.9(b)(5)(viii); NIST Handbook 44, appendix C: a liquid quart is
		// .946352946 l.
		{poured, "2 cups", Metric, result{.48, "2 cups", "cup", false}},
		{poured, "4 tsp", Metric, result{.02, "4 tsp", "tsp", false}},
		{poured, "2 tbsp", US, result{.03, "2 tbsp", "tbsp", false}},
		{poured, "1 quart", Metric, result{.946352946, "1 quart", "qt", false}},
		{poured, "250 ml", US, result{.25, "250 ml", "ml", false}},
		{poured, "2", Metric, result{2, "2 l", "l", true}},
	}
	for _, tt := range tests {
		got, err := tt.parse(tt.in, tt.sys)
		if err != nil || !closeTo(got.base, tt.want.base) || got.text != tt.want.text || got.unit != tt.want.unit || got.assumed != tt.want.assumed {
			t.Errorf("%q in %v: %+v, %v; want %+v", tt.in, tt.sys, got, err, tt.want)
		}
	}
}

func TestParseErrors(t *testing.T) {
	const degrees = "expected a number and °C or °F"
	const masses = "expected a number and kg, g, lb or oz"
	tests := []struct {
		in    string
		parse func(string) error
		want  string
	}{
		{"", degreesErr, `temperature "": nothing there; ` + degrees},
		{"hot", degreesErr, `temperature "hot": "hot" is not a number; ` + degrees},
		{"112 K", degreesErr, `temperature "112 K": unit "K" not known; ` + degrees},
		{"112 71", degreesErr, `temperature "112 71": one number was expected, then found "71"; ` + degrees},
		{"100 °C 3 °F", degreesErr, `temperature "100 °C 3 °F": one number was expected, then found "3 °F"; ` + degrees},
		{"1,000", degreesErr, `temperature "1,000": "1,000" is not a number; ` + degrees},
		{"99999999", degreesErr, `temperature "99999999": "99999999" is out of range; ` + degrees},
		{"5 6", massErr, `weight "5 6": no unit before "6"; ` + masses},
		{"6 oz 4 lb", massErr, `weight "6 oz 4 lb": the parts do not run from larger to smaller; ` + masses},
		{"4 lb -6 oz", massErr, `weight "4 lb -6 oz": the parts do not run from larger to smaller; ` + masses},
		{"-4 lb 6 oz", massErr, `weight "-4 lb 6 oz": the parts do not run from larger to smaller; ` + masses},
		{"5 oz 3", massErr, `weight "5 oz 3": no unit after "3"; ` + masses},
		{"5 stone", massErr, `weight "5 stone": unit "stone" not known; ` + masses},
		{"8 % 5 g/kg", func(s string) error { _, err := Parse[rate](s, Metric); return err }, `rate "8 % 5 g/kg": one number was expected, then found "5 g/kg"; expected a number and g/kg, oz/lb or %`},
		{"wet", func(s string) error { _, err := Parse[share](s, Metric); return err }, `share "wet": "wet" is not a number; expected a number and %`},
		{"NaN", degreesErr, `temperature "NaN": "NaN" is not a number; ` + degrees},
		{"1e3", degreesErr, `temperature "1e3": unit "e" not known; ` + degrees},
	}
	for _, tt := range tests {
		if err := tt.parse(tt.in); err == nil || err.Error() != tt.want {
			t.Errorf("%q: %v\nwant %s", tt.in, err, tt.want)
		}
	}
}

func degreesErr(s string) error { _, err := ParseTemperature(s, Metric); return err }
func massErr(s string) error    { _, err := ParseMass(s, Metric); return err }

func TestReadKeepsOnError(t *testing.T) {
	q := Kilograms(4.7)
	if err := Read(&q, "four", Metric); err == nil || q.Base != 4.7 {
		t.Errorf("after a bad reading: %v, %v", q, err)
	}
	if err := Read(&q, "5 kg", Metric); err != nil || q.Base != 5 {
		t.Errorf("after a good reading: %v, %v", q, err)
	}
}

func TestTwinsHaveOneBase(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := float64(rapid.IntRange(-400, 9000).Draw(t, "tenths")) / 10
		c := Degrees(n, Metric)
		f := Degrees(n*9/5+32, US)
		if !closeTo(c.Base, f.Base) || !c.Same(f) {
			t.Fatalf("%v is %v, %v is %v", c, c.Base, f, f.Base)
		}
		kg, err := ParseMass(number(math.Abs(n)*0.45359237, 9)+" kg", Metric)
		lb, err2 := ParseMass(number(math.Abs(n), 1)+" lb", Metric)
		if err != nil || err2 != nil || math.Abs(kg.Base-lb.Base) > 1e-9 {
			t.Fatalf("%v is %v, %v is %v", kg, kg.Base, lb, lb.Base)
		}
	})
}

func TestIn(t *testing.T) {
	parse := func(s string) Temperature { q, _ := ParseTemperature(s, Metric); return q }
	weigh := func(s string) Mass { q, _ := ParseMass(s, Metric); return q }
	tests := []struct{ got, want string }{
		{parse("112,0 C").In(Metric), "112,0 C"}, // as typed
		{parse("112 C").In(US), "234 °F"},
		{parse("234F").In(Metric), "112 °C"},
		{parse("234F").In(US), "234F"},
		{Temperature{}.In(US), ""},
		{Temperature{}.String(), ""},
		{Temperature{Base: 57, Known: true}.String(), "57 °C"},
		{weigh("5 lb 4 oz").In(US), "5 lb 4 oz"},
		{weigh("5 lb 4 oz").In(Metric), "2.38 kg"},
		{weigh("180 g").In(Metric), "180 g"},
		{weigh("4.7 kg").In(US), "10.4 lb"},
		{Minutes(90).In(US), "90 min"},
		{FormatTemperature(57, US), "135 °F"},
		{FormatTemperature(-.2, Metric), "0 °C"},
		{FormatTemperatureNumber(112.4, Metric), "112"},
		{FormatDifference(5, 0, US), "+9 °F"},
		{FormatDifference(-1.14, 1, Metric), "−1.1 °C"},
		{FormatDifference(.04, 1, Metric), "0 °C"},
		{FormatMass(5.16, Metric), "5.2 kg"},
		{FormatMass(9, Metric), "9.0 kg"},
		{FormatMass(.9994, Metric), "999 g"},
		{FormatMass(.9996, Metric), "1.0 kg"},
		{FormatMass(0, Metric), "0 g"},
		{FormatMass(.2, US), "7.1 oz"},
		{FormatMass(.0164, US), "0.58 oz"},
		{FormatMass(.3, US), "11 oz"},
		{FormatMass(0, US), "0 oz"},
		{FormatMassDifference(-.45359237, US), "−1.0 lb"},
		{FormatMassDifference(-.08, Metric), "−80 g"},
		{FormatMassDifference(.0001, Metric), "0 g"},
	}
	for i, tt := range tests {
		if tt.got != tt.want {
			t.Errorf("%d: %q, want %q", i, tt.got, tt.want)
		}
	}
}

// A value just below a half is rounded down.
func TestRoundingAtTheThreshold(t *testing.T) {
	tests := []struct {
		c        float64
		at, down string
	}{
		{71.5, "72 °C", "71 °C"},
		{56.5, "56 °C", "56 °C"}, // halves are rounded to the even number, as in IEEE 754
		{93.5, "94 °C", "93 °C"},
		{-.5, "0 °C", "-1 °C"},
	}
	for _, tt := range tests {
		if got := FormatTemperature(tt.c, Metric); got != tt.at {
			t.Errorf("%v: %s, want %s", tt.c, got, tt.at)
		}
		if got := FormatTemperature(math.Nextafter(tt.c, math.Inf(-1)), Metric); got != tt.down {
			t.Errorf("just under %v: %s, want %s", tt.c, got, tt.down)
		}
	}
	if got := FormatTemperature(math.Nextafter(57, 0), Metric); got != "57 °C" {
		t.Errorf("just under 57: %s", got)
	}
}

func TestDuration(t *testing.T) {
	tests := []struct {
		in   string
		want time.Duration
	}{
		{"1 h 30", 90 * time.Minute},
		{"-20 min", -20 * time.Minute},
		{"0.001 s", time.Millisecond},
		{"9999999 d", math.MaxInt64},
		{"-9999999 d", -math.MaxInt64},
	}
	for _, tt := range tests {
		q, err := ParseSpan(tt.in)
		if got := Duration(q); err != nil || got != tt.want {
			t.Errorf("%s: %v, %v; want %v", tt.in, got, err, tt.want)
		}
	}
}

func TestSame(t *testing.T) {
	kg, _ := ParseMass("0.45359237 kg", Metric)
	lb, _ := ParseMass("1 lb", Metric)
	switch {
	case !kg.Same(lb):
		t.Error("a pound differs from its kilograms")
	case kg.Same(Mass{}), (Mass{}).Same(kg), kg.Same(Kilograms(.4536)):
		t.Error("different weights are the same")
	case !(Mass{}).Same(Mass{}):
		t.Error("unrecorded differs from unrecorded")
	}
}

func TestParseSystem(t *testing.T) {
	for _, sys := range []System{Metric, US} {
		if got, err := ParseSystem(" " + strings.ToUpper(sys.String())); got != sys || err != nil {
			t.Errorf("%v: %v, %v", sys, got, err)
		}
	}
	if _, err := ParseSystem("imperial"); err == nil || err.Error() != `units "imperial" not known: write metric, or us for °F, lb and in` {
		t.Errorf("imperial: %v", err)
	}
}

// fixed checks that a quantity's text, in either system, is parsed to the same value
// without an assumed unit.
func fixed[D dimension](t interface {
	Fatalf(string, ...any)
	Helper()
}, s string, sys System) {
	t.Helper()
	q, err := Parse[D](s, sys)
	if err != nil {
		if q != (Quantity[D]{}) {
			t.Fatalf("%q: %v beside %v", s, q, err)
		}
		return
	}
	if !q.Known || math.IsNaN(q.Base) || math.IsInf(q.Base, 0) || !utf8.ValidString(q.Text) && utf8.ValidString(s) {
		t.Fatalf("%q: %+v", s, q)
	}
	for _, other := range []System{Metric, US} {
		again, err := Parse[D](q.String(), other)
		if err != nil || again.Base != q.Base || again.Text != q.Text || again.Assumed || again.Unit != q.Unit {
			t.Fatalf("%q prints %q, which reads as %+v, %v; want %+v", s, q, again, err, q)
		}
		shown := q.In(other)
		if _, err := Parse[D](shown, other); err != nil && math.Abs(Preferred[D](other).From(q.Base)) < limit {
			t.Fatalf("%q shows as %q: %v", s, shown, err)
		}
	}
}

func TestPrintParses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := number(rapid.Float64Range(-9999, 9999).Draw(t, "n"), rapid.IntRange(0, 3).Draw(t, "decimals"))
		if rapid.Bool().Draw(t, "comma") {
			n = strings.Replace(n, ".", ",", 1)
		}
		gap := rapid.SampledFrom([]string{"", " ", "  "}).Draw(t, "gap")
		sys := rapid.SampledFrom([]System{Metric, US}).Draw(t, "system")
		unit := func(all []unitName) string {
			u := rapid.SampledFrom(all).Draw(t, "unit")
			return rapid.SampledFrom(append([]string{u.Symbol, ""}, u.also...)).Draw(t, "spelling")
		}
		fixed[temperature](t, n+gap+unit(temperatureUnits), sys)
		fixed[mass](t, n+gap+unit(massUnits), sys)
		fixed[length](t, n+gap+unit(lengthUnits), sys)
		fixed[span](t, n+gap+unit(spanUnits), sys)
		fixed[speed](t, n+gap+unit(speedUnits), sys)
		fixed[share](t, n+gap+unit(shareUnits), sys)
		fixed[rate](t, n+gap+unit(rateUnits), sys)
		fixed[volume](t, n+gap+unit(volumeUnits), sys)
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"112 °C", "234F", "112 ° C", "-5", "−5º", "4 lb 6 oz", "4lb6", "1 h 30 15", "1,5 kg", "1,000 g", `5"`, "80 %", "12 g/kg", "3 m/s", "", "1.", ".", "5.2.1", "\u00a05\u00a0kg"} {
		f.Add(s, false)
		f.Add(s, true)
	}
	f.Fuzz(func(t *testing.T, s string, us bool) {
		sys := Metric
		if us {
			sys = US
		}
		fixed[temperature](t, s, sys)
		fixed[mass](t, s, sys)
		fixed[length](t, s, sys)
		fixed[span](t, s, sys)
		fixed[speed](t, s, sys)
		fixed[share](t, s, sys)
		fixed[rate](t, s, sys)
	})
}

func BenchmarkParse(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ParseMass("4 lb 6 oz", Metric); err != nil {
			b.Fatal(err)
		}
	}
}
