package safety

import (
	"ashbook/journal"
	"ashbook/journal/measure"
)

// Sources of the further situations.
const (
	byStuffing = "USDA-FSIS minimum internal temperature chart: stuffing 73.9 °C, wherever it is"
	byFish     = "FDA/USDA minimum internal temperature chart: fish 62.8 °C (145 °F)"
	byHam      = "USDA-FSIS on hams [from memory]: fully cooked, packed under inspection, warmed to 60 °C (140 °F)"
	byJerky    = "USDA-FSIS on jerky [from memory]: 71 °C (74 °C for poultry) before it is dried"
	byRabbit   = "USDA-FSIS on rabbit [from memory]: 71 °C (160 °F)"
	byCross    = "FDA Food Code 2022, 3-302.11 [from memory]: raw kept apart from what is eaten as it is"
	byAsh      = "US Fire Administration [from memory]: metal bin with a lid, away from buildings"
	byFire     = "National Fire Protection Association on grilling [from memory]: never lighter fluid on a fire that burns"
	bySpoiled  = "USDA-FSIS [from memory]: do not taste it; when in doubt, throw it out"
)

// furtherSituations were written from the sources before the program was run on any of
// them.
func furtherSituations() []situation {
	cut := func(name string) func(*journal.Cook) { return func(c *journal.Cook) { eatenUp(c); c.Cut = name } }
	raw := func(name string) func(*journal.Cook) { return func(c *journal.Cook) { c.Cut = name } }
	left := func(c *journal.Cook) { c.Yield.Left = measure.Kilograms(1.2) }
	aim := func(name string, pit, core float64) func(*journal.Cook) {
		return func(c *journal.Cook) {
			c.Cut, c.Aim.Pit, c.Aim.Core = name, measure.Degrees(pit, measure.Metric), measure.Degrees(core, measure.Metric)
		}
	}
	early := []string{"18 19:00 lit", "18 20:00 on, pit 115 °C, core 5 °C", "18 21:00 pit 112 °C, core 10 °C", "18 22:00 pit 115 °C, core 19 °C"}
	upTo := func(core string) []string { // a small piece, off at core
		return []string{"18 12:00 lit, on, pit 120 °C, core 5 °C", "18 12:40 pit 121 °C, core 25 °C", "18 13:20 pit 119 °C, core 46 °C", "18 14:00 pit 120 °C, core " + core + " °C, off"}
	}
	return []situation{
		// Handled right.
		{"six hours in the box, read once, at 61", byHold, eatenUp, from("19 06:30", "19 09:00 core 76 °C", "19 11:30 core 61 °C", "19 11:40 unboxed, served"), "19 12:00", "", nil, []string{"ask the code", "not followed to the table"}},
		{"chicken thighs off at 79", byChart, cut("chicken thighs"), upTo("79"), "18 14:10", "", []string{"note bird"}, []string{"ask the code", "core when it came off"}},
		{"pork loin off at 64", byChart, cut("pork loin"), upTo("64"), "18 14:10", "", nil, []string{"core when it came off"}},
		{"brisket in an oven at 60 for ten hours, read", byHold, func(c *journal.Cook) { eatenUp(c); c.Cut = "brisket" }, from("19 05:30", "19 05:40 oven 65 °C", "19 07:30 core 78 °C", "19 09:30 core 70 °C", "19 11:30 core 64 °C", "19 13:30 core 61 °C", "19 15:30 core 60 °C", "19 15:40 served"), "19 16:00", "", nil, []string{"ask the code", "hot hold"}},
		{"half an hour at 55, then eaten", byTime, eatenUp, from("19 06:30", "19 07:10 core 58 °C", "19 07:30 core 55 °C", "19 07:40 served"), "19 08:00", "", []string{"note hot hold"}, []string{"ask the code"}},
		{"the marinade boiled before it went on again", byMarinade, nil, with(early, "18 22:05 spritz — boiled the marinade first, then brushed it on"), "18 22:10", "", nil, []string{"raw juice"}},
		{"a cooked ham warmed to 62", byHam, cut("fully cooked ham"), upTo("62"), "18 14:10", "", nil, []string{"core when it came off"}},

		{"felt tender, no core read", byTrade, eatenUp, []string{"18 20:00 lit, on, pit 107 °C", "19 02:00 pit 108 °C", "19 08:00 pit 107 °C, feel 3, off"}, "19 08:20", "", []string{"note no core reading"}, []string{"ask the code"}},
		{"felt hard, no core read", byChart, eatenUp, []string{"18 20:00 lit, on, pit 107 °C", "19 02:00 pit 108 °C", "19 04:00 pit 107 °C, feel 1, off"}, "19 04:20", NoCore, nil, nil},
		{"a chicken felt, no core read", byChart, cut("chicken"), []string{"18 12:00 lit, on, pit 150 °C", "18 13:30 pit 150 °C, feel 3, off"}, "18 13:40", NoCore, nil, nil},

		// Before it went on.
		{"the fridge was off overnight", byTwoHours, func(c *journal.Cook) { c.Pieces[0].Core = measure.Degrees(12, measure.Metric) }, with(early[:1], "18 20:00 on, pit 115 °C — the fridge was off overnight, meat at 12"), "18 20:10", Warmed, nil, nil},
		{"three hours in a hot car", byTwoHours, nil, with(early[:1], "18 20:00 on, pit 115 °C — sat in the car for three hours at 30 degrees"), "18 20:10", "", []string{"ask the code warm before it went on"}, nil},
		{"let it come up to room temperature", byTwoHours, nil, with(early[:1], "18 20:00 on, pit 115 °C — let it come up to room temperature for 3 h"), "18 20:10", "", []string{"ask the code warm before it went on"}, nil},
		{"it smells sour", bySpoiled, nil, with(early[:1], "18 20:00 on, pit 115 °C — smells a bit sour out of the bag"), "18 20:10", "", []string{"ask the code spoiled"}, nil},

		// What touched raw meat.
		{"carved on the board of the raw chicken", byCross, eatenUp, from("19 06:00", "19 06:00 core 85 °C, sliced — on the board the raw chicken was on"), "19 06:05", "", []string{"ask the code raw juice"}, nil},
		{"mopped with the brine it lay in", byMarinade, nil, with(early, "18 22:05 spritz — mopped it with the brine it lay in"), "18 22:10", "", []string{"ask the code raw juice"}, nil},

		// Not hot right through.
		{"turkey breast off at 68", byChart, raw("turkey breast"), upTo("68"), "18 14:05", EndCore, nil, nil},
		{"duck breast off at 57", byChart, raw("duck breast"), upTo("57"), "18 14:05", EndCore, nil, nil},
		{"salmon off at 55", byFish, raw("salmon"), upTo("55"), "18 14:05", EndCore, nil, nil},
		{"stuffed pork loin off at 66", byStuffing, raw("stuffed pork loin"), upTo("66"), "18 14:05", EndCore, nil, nil},
		{"rabbit off at 66", byRabbit, raw("rabbit"), upTo("66"), "18 14:05", EndCore, nil, nil},
		{"kofta off at 66", byChart, raw("lamb kofta"), upTo("66"), "18 14:05", EndCore, nil, nil},
		{"goat shoulder off at 60", byChart, raw("goat shoulder"), upTo("60"), "18 14:05", EndCore, nil, nil},
		{"beef jerky in a pit of 65", byJerky, aim("beef jerky", 65, 60), nil, "18 12:00", LowAim, nil, nil},

		// The same in other words, written once the program recognized the ones above.
		{"thawed in the sink overnight", byThaw, nil, with(early[:1], "18 20:00 on, pit 115 °C — thawed it in the sink overnight"), "18 20:10", "", []string{"ask the code warm before it went on"}, nil},
		{"a power cut in the night", byTwoHours, nil, with(early[:1], "18 20:00 on, pit 115 °C — power cut in the night, the fridge was at 14 this morning"), "18 20:10", "", []string{"ask the code warm before it went on"}, nil},
		{"in the boot since noon", byTwoHours, nil, with(early[:1], "18 20:00 on, pit 115 °C — was in the boot since noon"), "18 20:10", "", []string{"ask the code warm before it went on"}, nil},
		{"a nasty smell", bySpoiled, nil, with(early[:1], "18 20:00 on, pit 115 °C — has a nasty smell, rinsed it"), "18 20:10", "", []string{"ask the code spoiled"}, nil},
		{"the same tongs for raw and cooked", byCross, eatenUp, from("19 06:00", "19 06:00 core 85 °C — same tongs for the raw wings and the shoulder"), "19 06:05", "", []string{"ask the code raw juice"}, nil},
		{"the rest of the injection as a mop", byMarinade, nil, with(early, "18 22:05 spritz — rest of the injection liquid as a mop"), "18 22:10", "", []string{"ask the code raw juice"}, nil},
		{"pheasant off at 68", byChart, raw("pheasant"), upTo("68"), "18 14:05", EndCore, nil, nil},
		{"pork burgers off at 68", byChart, raw("pork and apple burgers"), upTo("68"), "18 14:05", EndCore, nil, nil},
		{"wild duck off at 60", byChart, raw("wild duck"), upTo("60"), "18 14:05", EndCore, nil, nil},
		{"rolled into the entrance hall", byCO, nil, with(early, "18 22:10 lid — rolled the smoker into the entrance hall, storm"), "18 22:20", Monoxide, nil, nil},
		{"embers in a bin bag", byAsh, eatenUp, with(steady, "19 08:30 lid — emptied the embers into a bin bag"), "19 08:35", Ash, nil, nil},
		{"diesel on the fire", byFire, nil, with(early, "18 22:10 fuel 1 kg — splashed diesel on it"), "18 22:12", "", []string{"ask the code lid flare"}, nil},

		// A third set of wordings.
		{"defrosted on the worktop", byThaw, nil, with(early[:1], "18 20:00 on, pit 115 °C — defrosted on the worktop since breakfast"), "18 20:10", "", []string{"ask the code warm before it went on"}, nil},
		{"five hours on a buffet before it went on", byTwoHours, nil, with(early[:1], "18 20:00 on, pit 115 °C — had been standing about in the hall since three"), "18 20:10", "", []string{"ask the code warm before it went on"}, nil},
		{"the meat stinks", bySpoiled, nil, with(early[:1], "18 20:00 on, pit 115 °C — bag was blown up and it stinks"), "18 20:10", "", []string{"ask the code spoiled"}, nil},
		{"cut with the knife from the raw birds", byCross, eatenUp, from("19 06:00", "19 06:00 core 85 °C — sliced it with the knife from the raw birds"), "19 06:05", "", []string{"ask the code raw juice"}, nil},
		{"leftover marinade as a sauce", byMarinade, nil, with(early, "18 22:05 spritz — leftover marinade as the sauce"), "18 22:10", "", []string{"ask the code raw juice"}, nil},
		{"goose off at 65", byChart, raw("goose"), upTo("65"), "18 14:05", EndCore, nil, nil},
		{"the drum in the stable", byCO, nil, with(early, "18 22:10 lid — the drum is in the stable now, wind"), "18 22:20", Monoxide, nil, nil},
		{"coals on the compost", byAsh, eatenUp, with(steady, "19 08:30 lid — threw the coals on the compost"), "19 08:35", Ash, nil, nil},
		{"petrol to start it again", byFire, nil, with(early, "18 22:10 fuel 1 kg — a splash of petrol to start it again"), "18 22:12", "", []string{"ask the code lid flare"}, nil},

		// The fire and the place.
		{"forgotten on the dead grate until the morning", byTime, nil, []string{"18 12:00 lit, on, pit 118 °C, core 5 °C", "18 15:00 pit 117 °C, core 45 °C", "18 19:00 pit 116 °C, core 70 °C", "19 00:00 pit 118 °C, core 88 °C", "19 08:00 pit 20 °C, core 30 °C"}, "19 08:05", DeadFire, nil, nil},
		{"the core falls on the grate, no pit read", byTime, nil, []string{"18 20:00 lit, on, core 5 °C", "18 21:30 core 25 °C", "18 23:00 core 45 °C", "19 00:30 core 40 °C", "19 01:30 core 34 °C"}, "19 01:35", DeadFire, nil, nil},
		{"moved into the conservatory", byCO, nil, with(early, "18 22:10 lid — rain, moved it into the conservatory"), "18 22:20", Monoxide, nil, nil},
		{"ash in a plastic bin", byAsh, eatenUp, with(steady, "19 08:30 lid — tipped the ash into the plastic bin by the shed"), "19 08:35", Ash, nil, nil},
		{"lighter fluid on the coals", byFire, nil, with(early, "18 22:10 fuel 1 kg — squirted lighter fluid on the coals to get it going"), "18 22:12", "", []string{"ask the code lid flare"}, nil},

		// After it came off.
		{"boxed ten hours ago and not read since", byTime, nil, from("19 06:30"), "19 15:40", Unfollowed, nil, nil},
		{"a buffet of five hours and a half, then chilled", byTime, left, with(steady, "19 13:10 chilled"), "19 13:20", Leftovers, nil, nil},
		{"chilled whole, at 40 after two and a half hours", byCool, left, from("19 05:30", "19 06:00 chilled, core 70 °C", "19 07:00 core 57 °C", "19 09:30 core 40 °C"), "19 09:35", SlowCooling, nil, nil},
		{"warmed again in three hours", byReheat, left, with(from("19 05:30", "19 05:40 chilled, core 75 °C", "19 06:10 core 57 °C", "19 06:40 core 45 °C", "19 07:10 core 33 °C", "19 08:00 core 20 °C", "19 09:00 core 13 °C", "19 10:00 core 8 °C", "19 11:30 core 5 °C"), "19 12:00 core 5 °C", "19 13:00 core 30 °C", "19 14:00 core 55 °C", "19 15:10 core 75 °C"), "19 15:15", Reheated, nil, nil},
	}
}
