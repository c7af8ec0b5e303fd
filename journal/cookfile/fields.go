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
	says  string // what it is, in FORMAT.md
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
			{"title", &v.Title, sense{}, "what the cook is called"},
			{"cut", &v.Cut, sense{}, "the cut of meat, such as pork shoulder"},
			{"pieces", &v.Pieces, sense{}, "see pieces"},
			{"supplier", &v.Supplier, sense{}, "who the meat is from"},
			{"salted", &v.Salted, sense{}, "salt ahead of the cook"},
			{"rub", &v.Rub, sense{}, "which mix, and how much"},
			{"wood", &v.Wood, sense{}, "smoke wood by kind; a single one needs no brackets"},
			{"fuel", &v.Fuel, sense{}, "what burns"},
			{"pit", &v.Pit, sense{}, "the name of a file in `pits`, without its ending"},
			{"pan", &v.Pan, sense{}, "the water pan: hot, dry, none, or your own word"},
			{"aim", &v.Aim, sense{}, "the plan: pit, core, wrap"},
			{"serve", &v.Serve, sense{}, "when the meal is"},
			{"heads", &v.Heads, sense{}, "how many eat"},
			{"weather", &v.Weather, sense{}, "around the pit"},
			{"yield", &v.Yield, sense{}, "what became of the raw weight"},
			{tastingKey, &v.Tasting, sense{}, "one row for each eater"},
			{"keep", &v.Keep, sense{}, "what to do again"},
			{"change", &v.Change, sense{}, "what to do differently"},
			{asideKey, &v.Aside, sense{}, "why the cook is left out of reports; without the key it counts"},
		}
	case *journal.Piece:
		return []member{
			{"name", &v.Name, sense{}, "by which the timeline names it"},
			{"raw", &v.Raw, meatSense, "as bought"},
			{"trimmed", &v.Trimmed, meatSense, "as it goes on"},
			{"thick", &v.Thick, thickSense, "through the thickest part"},
			{"bone", &v.Bone, sense{}, "in or out"},
			{"core", &v.Core, coreSense, "when it goes on"},
		}
	case *journal.Salting:
		return []member{
			{"rate", &v.Rate, saltSense, "grams of salt for each kg of meat"},
			{"ahead", &v.Ahead, aheadSense, "before it goes on"},
		}
	case *journal.Rub:
		return []member{
			{"mix", &v.Mix, sense{}, "the name of a file in `mixes`"},
			{"rate", &v.Rate, rubSense, "grams of the mix for each kg of meat"},
		}
	case *journal.Wood:
		return []member{{"kind", &v.Kind, sense{}, ""}, {"mass", &v.Mass, fuelSense, ""}}
	case *journal.Fuel:
		return []member{
			{"kind", &v.Kind, sense{}, "lump, briquettes, or your own word"},
			{"loaded", &v.Loaded, fuelSense, ""},
			{"left", &v.Left, fuelSense, "found the next day"},
		}
	case *journal.Aim:
		return []member{
			{"pit", &v.Pit, pitSense, ""},
			{"core", &v.Core, coreSense, ""},
			{"wrap", &v.Wrap, coreSense, "`paper at 72 °C`; `none`: it stays bare"},
		}
	case *journal.Weather:
		return []member{
			{"air", &v.Air, airSense, "outdoors"},
			{"wind", &v.Wind, windSense, ""},
			{"humidity", &v.Humidity, shareSense, "relative, `80 %`"},
		}
	case *journal.Yield:
		return []member{
			{"off", &v.Off, meatSense, "as it came off"},
			{"discard", &v.Discard, restSense, "bone and fat"},
			{"left", &v.Left, restSense, "not eaten"},
		}
	case *journal.Taste:
		m := []member{{"eater", &v.Eater, sense{}, "initials"}}
		for _, t := range journal.Traits {
			m = append(m, member{t.String(), &v.Scores[t], sense{}, "1 to 9, perhaps with + for too much or - for too little"})
		}
		return append(m, member{"words", &v.Words, sense{}, ""})
	case *journal.Settings:
		return []member{
			{"units", &v.Units, sense{}, "of numbers typed without a unit"},
			{holdKey, &v.HotHold, holdSense, "the least core in the box; never below 57 °C"},
			{"pit", &v.Pit, sense{}, "the usual pit"},
			{"altitude", &v.Altitude, heightSense, "of the pit"},
			{"recheck", &v.Recheck, recheckSense, "when to look again after an act: `{vent: 20 min}`"},
		}
	case *journal.Pit:
		return []member{
			{"kind", &v.Kind, sense{}, "what sort of pit"},
			{"pit is", (*pitIs)(&v.Setting), sense{}, "whether pit temperatures are measured at the grate, or are the setting"},
			{"grate", &v.Grate, grateSense, "across, or the sides of a rectangle: `100 x 50 cm`"},
			{"tiers", &v.Tiers, sense{}, "grates over each other, where there are several"},
			{"fits", &v.Fits, meatSense, "how many pieces it takes at once, raw: `6 of 4.7 kg pork shoulder`. Where it is there, it counts before the grate"},
			{"offset", (*difference)(&v.Offset), offsetSense, "what the pit's own gauge shows above the grate"},
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
