package cookfile

import (
	"ashbook/journal"
	"ashbook/journal/measure"
)

// member is one key of a mapping, where its value goes, and what is likely.
type member struct {
	key   string
	to    any // pointer to the field
	sense sense
}

// sense is the range, in base units, outside which a value is likely a slip of
// the pen. Limits are chosen wide: they warn and never refuse. The zero value
// knows no limit.
type sense struct{ low, high float64 }

var (
	pitSense     = sense{-40, 400}   // °C
	coreSense    = sense{-30, 130}   // °C
	airSense     = sense{-50, 60}    // °C
	boxSense     = sense{-30, 150}   // °C
	holdSense    = sense{-40, 100}   // °C
	offsetSense  = sense{-150, 150}  // K
	meatSense    = sense{.001, 80}   // kg
	restSense    = sense{0, 80}      // kg
	fuelSense    = sense{0, 500}     // kg
	thickSense   = sense{.001, .6}   // m
	grateSense   = sense{.1, 5}      // m
	heightSense  = sense{-500, 6000} // m
	saltSense    = sense{0, 100}     // g/kg
	rubSense     = sense{0, 300}     // g/kg
	aheadSense   = sense{0, 30 * 86400}
	recheckSense = sense{60, 86400} // s
	windSense    = sense{0, 60}     // m/s
	shareSense   = sense{0, 1}
)

// actSense is what is likely of the readings and settings of a timeline.
var actSense = map[journal.Act]sense{
	journal.ReadPit: pitSense, journal.SetPit: pitSense,
	journal.ReadCore: coreSense, journal.SetCore: coreSense,
	journal.ReadAir: airSense, journal.ReadBox: boxSense,
	journal.Recheck: recheckSense,
}

// members lists the keys of what p points to, in the order they are written,
// for reading and printing alike; nil for anything that is no mapping. Where
// the first member is words, a lone scalar in place of the mapping is read as
// that.
func members(p any) []member {
	switch v := p.(type) {
	case *journal.Cook:
		return []member{
			{key: "title", to: &v.Title},
			{key: "cut", to: &v.Cut},
			{key: "pieces", to: &v.Pieces},
			{key: "supplier", to: &v.Supplier},
			{key: "salted", to: &v.Salted},
			{key: "rub", to: &v.Rub},
			{key: "wood", to: &v.Wood},
			{key: "fuel", to: &v.Fuel},
			{key: "pit", to: &v.Pit},
			{key: "pan", to: &v.Pan},
			{key: "aim", to: &v.Aim},
			{key: "serve", to: &v.Serve},
			{key: "heads", to: &v.Heads},
			{key: "weather", to: &v.Weather},
			{key: "yield", to: &v.Yield},
			{key: tastingKey, to: &v.Tasting},
			{key: "keep", to: &v.Keep},
			{key: "change", to: &v.Change},
			{key: asideKey, to: &v.Aside},
		}
	case *journal.Piece:
		return []member{
			{"name", &v.Name, sense{}},
			{"raw", &v.Raw, meatSense},
			{"trimmed", &v.Trimmed, meatSense},
			{"thick", &v.Thick, thickSense},
			{"bone", &v.Bone, sense{}},
			{"core", &v.Core, coreSense},
		}
	case *journal.Salting:
		return []member{{"rate", &v.Rate, saltSense}, {"ahead", &v.Ahead, aheadSense}}
	case *journal.Rub:
		return []member{{"mix", &v.Mix, sense{}}, {"rate", &v.Rate, rubSense}}
	case *journal.Wood:
		return []member{{"kind", &v.Kind, sense{}}, {"mass", &v.Mass, fuelSense}}
	case *journal.Fuel:
		return []member{{"kind", &v.Kind, sense{}}, {"loaded", &v.Loaded, fuelSense}, {"left", &v.Left, fuelSense}}
	case *journal.Aim:
		return []member{{"pit", &v.Pit, pitSense}, {"core", &v.Core, coreSense}, {"wrap", &v.Wrap, coreSense}}
	case *journal.Weather:
		return []member{{"air", &v.Air, airSense}, {"wind", &v.Wind, windSense}, {"humidity", &v.Humidity, shareSense}}
	case *journal.Yield:
		return []member{{"off", &v.Off, meatSense}, {"discard", &v.Discard, restSense}, {"left", &v.Left, restSense}}
	case *journal.Taste:
		m := []member{{key: "eater", to: &v.Eater}}
		for _, t := range journal.Traits {
			m = append(m, member{key: t.String(), to: &v.Scores[t]})
		}
		return append(m, member{key: "words", to: &v.Words})
	case *journal.Settings:
		return []member{
			{"units", &v.Units, sense{}},
			{holdKey, &v.HotHold, holdSense},
			{"pit", &v.Pit, sense{}},
			{"altitude", &v.Altitude, heightSense},
			{"recheck", &v.Recheck, recheckSense},
		}
	case *journal.Pit:
		return []member{
			{"kind", &v.Kind, sense{}},
			{"pit is", (*pitIs)(&v.Setting), sense{}},
			{"grate", &v.Grate, grateSense},
			{"offset", (*difference)(&v.Offset), offsetSense},
		}
	}
	return nil
}

const (
	holdKey    = "hot hold"
	tastingKey = "tasting"
	asideKey   = "aside"
)

// pitIs tells whether pit temperatures are the setting.
type pitIs bool

// difference is a temperature difference: 10 °F is 5.6 K.
type difference measure.Temperature
