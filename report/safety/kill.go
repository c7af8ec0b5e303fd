package safety

import "math"

// Kill is a published table of the times in which heat reduces Salmonella, interpolated
// as straight lines of log time over temperature.
//
// D is the time for one log10; z is the temperature rise, K, that makes it ten times
// shorter.
type Kill struct {
	Required float64 // log10 the table asks for
	Instant  float64 // °C at which the table asks for no time at all
	source   string
	rows     []row   // ascending; below the first nothing is counted
	z        float64 // K, above the last
}

type row struct{ c, d float64 } // °C, min

// fahrenheit returns °F as °C.
func fahrenheit(f float64) float64 { return (f - 32) / 1.8 }

// Meat is the table for beef, pork and lamb. Each row is the longer of its two columns,
// 6.5 and 7 log10, so no time is shorter than printed. At 150 °F D is 0.172 min; above
// 156 °F z is 10 °F; below the first row, 130 °F, nothing counts.
var Meat = Kill{
	Required: 6.5, Instant: 70, source: sourceMeat, z: 10 / 1.8,
	rows: []row{
		{fahrenheit(130), 121. / 7}, {fahrenheit(132), 77. / 7}, {fahrenheit(134), 45 / 6.5}, {fahrenheit(136), 32. / 7},
		{fahrenheit(138), 18 / 6.5}, {fahrenheit(140), 12 / 6.5}, {fahrenheit(142), 8 / 6.5}, {fahrenheit(144), 5 / 6.5},
		{fahrenheit(146), 26. / 60}, {fahrenheit(148), 107 / 390.}, {fahrenheit(150), .172},
		{fahrenheit(152), 43 / 390.}, {fahrenheit(154), 27 / 390.}, {fahrenheit(156), 19 / 420.},
	},
}

// Bird is the table for chicken of 12 % fat, used for all birds: its rows from 136 to
// 144 °F, and above them the slope of its last 4 °F, which kills more slowly than the
// table.
var Bird = Kill{
	Required: 7, Instant: BirdCore, source: sourceBird, z: 4 / 1.8 / math.Log10(35/16.6),
	rows: []row{
		{fahrenheit(136), 81.4 / 7}, {fahrenheit(137), 65.5 / 7}, {fahrenheit(138), 52.9 / 7},
		{fahrenheit(139), 43.0 / 7}, {fahrenheit(140), 35.0 / 7}, {fahrenheit(141), 28.7 / 7},
		{fahrenheit(142), 23.7 / 7}, {fahrenheit(143), 19.8 / 7}, {fahrenheit(144), 16.6 / 7},
	},
}

// D is the time for one log10 at °C, min; ok is false below the table, where
// nothing may be counted.
func (k Kill) D(celsius float64) (minutes float64, ok bool) {
	const touch = 1e-9
	i := 0
	for i < len(k.rows) && k.rows[i].c <= celsius+touch {
		i++
	}
	if i == 0 || math.IsNaN(celsius) {
		return 0, false
	}
	a := k.rows[i-1]
	if i == len(k.rows) {
		return a.d * math.Pow(10, -(celsius-a.c)/k.z), true
	}
	b := k.rows[i]
	return a.d * math.Pow(b.d/a.d, (celsius-a.c)/(b.c-a.c)), true
}

// Dwell returns how long the table asks for at a steady temperature, min. ok is false
// below the table.
func (k Kill) Dwell(celsius float64) (minutes float64, ok bool) {
	d, ok := k.D(celsius)
	return k.Required * d, ok
}

// perMinute returns the log10 reduction in one minute.
func (k Kill) perMinute(celsius float64) float64 {
	d, ok := k.D(celsius)
	if !ok {
		return 0
	}
	return 1 / d
}
