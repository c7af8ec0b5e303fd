package mix

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page"
)

// brine is water with salt for meat to lie in.
type brine struct {
	water float64 // g
	salt  float64 // g
	meat  float64 // g that it is made for; 0: it is made by the litre, for any meat
}

// Brines, as shares of weight. What is made for a weight of meat ends when meat and water
// are as salty: 1 to 2 % is common practice, ham has 2 to 3 (no source). What is made by
// the litre ends by the clock.
const (
	muchBrine  = .025
	leastBrine = .03 // of salt and water, to be taken for one where the mix does not say so (chosen)
)

// usdaBrine is ¾ cup of table salt to a gallon of water, "up to two days" in the cold
// (USDA-FSIS on brining turkey, read); a cup of table salt weighs 292 g (USDA National
// Nutrient Database).
const usdaBrine = .75 * 292 / (.75*292 + 3785)

// brine is what a mix is as a brine; ok is false of any other mix: at least half of a
// brine is water.
func (b *Batch) brine() (out brine, ok bool) {
	for _, l := range b.Lines {
		if in, _, ok := find(l.Name); ok && in.name == "water" {
			out.water += l.Grams
		}
	}
	out.salt = b.Content.Salt
	if out.water < b.Grams/2 || !(out.salt > 0) {
		return brine{}, false
	}
	switch b.Mix.For.Of {
	case journal.ForMeat:
		out.meat = 1000 * b.Amount
		return out, true
	case journal.ForVolume:
		return out, out.strength() >= leastBrine || holdsWord(b.Mix.Name+" "+b.Mix.Title, "brine", "cure", "pickle")
	}
	return brine{}, false
}

// strength is the share of salt in the salt and water.
func (x brine) strength() float64 { return x.salt / (x.salt + x.water) }

// even is the share of salt in meat and water once they are as salty as each other: of
// meat and water together, as cooks count it. It is 0 where no meat is named.
func (x brine) even() float64 {
	if x.meat == 0 {
		return 0
	}
	return x.salt / (x.meat + x.water)
}

// facts are how salty it is, and what that makes of the meat.
func (x brine) facts(sys measure.System) []page.Fact {
	percent := func(share float64) string { return trimmed(100*share, 1) + " %" }
	strength := page.Fact{Name: "brine", Value: fmt.Sprintf("%s salt: %s in %s of water; the USDA's for poultry is %s, for two days in the cold at most",
		percent(x.strength()), weighed(x.salt, sys), weighed(x.water, sys), percent(usdaBrine))}
	if x.meat == 0 {
		return []page.Fact{strength, {Name: "in the meat", Value: fmt.Sprintf("it gets saltier for as long as it lies: with as much meat as brine %s in the end. Take it out by the clock", percent(x.strength()/2))}}
	}
	strength.Value, _, _ = strings.Cut(strength.Value, "; ")
	return []page.Fact{strength, {Name: "in the meat", Value: fmt.Sprintf("%s of meat and water together, and no more however long it lies; it takes days to get there", percent(x.even()))}}
}

// nitriteUS is the share of sodium nitrite in the curing salt of the US, and what the
// FSIS handbook counts with; elsewhere it is .5 or .6 %, mostly (common practice).
const nitriteUS = .0625

// Sodium nitrite that may go in, parts per million of the raw meat: 9 CFR 424.21(c) and
// 424.22(b), as the USDA-FSIS Processing Inspectors' Calculations Handbook (1995, chapter
// 3, read) counts them; a cure for the home is to leave 200 at the most (21 CFR 172.170
// and 172.175).
const (
	nitriteGround = 156.0
	nitriteHome   = 200.0
)

// curing reports whether a part is a curing salt by its name.
func curing(name string) bool {
	return holdsWord(name, "curing", "cure", "nitrite", "nitrate", "prague", "saltpetre", "saltpeter")
}

// nitrite returns the share of sodium nitrite in a curing salt: the one in its name ("curing
// salt .6 %"), 1 for a name that is nitrite alone, else nitriteUS. named is false for the
// last.
func nitrite(name string) (share float64, named bool) {
	if before, _, ok := strings.Cut(name, "%"); ok {
		before = strings.TrimSpace(strings.ReplaceAll(before, ",", "."))
		if v, err := strconv.ParseFloat(before[strings.LastIndexByte(before, ' ')+1:], 64); err == nil && v > 0 && v <= 100 {
			return v / 100, true
		}
	}
	if holdsWord(name, "nitrite") && !holdsWord(name, "salt", "curing", "cure") {
		return 1, true
	}
	return nitriteUS, false
}

// nitrites says how much nitrite curing salts bring, and how much is allowed; "" where
// there is none of known weight. It is counted as the handbook does: of a rub on the raw
// meat, of a brine on meat and brine together.
func (b *Batch) nitrites() string {
	grams, guessed := 0.0, false
	for _, l := range b.Lines {
		if curing(l.Name) && !holdsWord(l.Name, "nitrate", "saltpetre", "saltpeter") {
			share, named := nitrite(l.Name)
			grams, guessed = grams+share*l.Grams, guessed || !named && l.Grams > 0
		}
	}
	if grams == 0 {
		return ""
	}
	on := ""
	base := 0.0
	x, isBrine := b.brine()
	switch {
	case b.Mix.For.Of == journal.ForMeat && isBrine:
		on, base = "of meat and brine", 1000*b.Amount+b.Grams
	case b.Mix.For.Of == journal.ForMeat:
		on, base = "of the raw meat", 1000*b.Amount
	case isBrine && x.meat == 0:
		on, base = "of the brine; how much gets into the meat depends on how much of each there is: write it for a weight of meat, with its water", b.Grams
	default:
		return ""
	}
	ppm := 1e6 * grams / base
	says := fmt.Sprintf("It brings %.0f parts per million of sodium nitrite, %s.", math.Round(ppm), on)
	if guessed {
		says += " That is for a salt with 6.25 % of it, as in the US: read the label, and write it into the name, such as \"curing salt .6 %\"."
	}
	if b.Mix.For.Of == journal.ForMeat && ppm > nitriteHome+.5 {
		says += fmt.Sprintf(" That is more than %.0f, the most for curing at home: weigh less.", nitriteHome)
	} else if b.Mix.For.Of == journal.ForMeat && ppm > nitriteGround+.5 {
		says += fmt.Sprintf(" That is more than %.0f, the most for ground meat.", nitriteGround)
	}
	return says + " At most in the US: 156 in ground meat, 200 in pieces from a brine, 625 rubbed on dry; of bacon 120 from a brine, 200 dry (9 CFR 424.21(c), 424.22(b); USDA-FSIS, Processing Inspectors' Calculations Handbook, 1995), at home 200 (21 CFR 172.175). In the EU it is less (Regulation (EU) 2023/2108)."
}

// weighs prints what a part weighs: a curing salt always to the tenth of a gram.
func (l Line) weighs(sys measure.System) string {
	if curing(l.Name) {
		return trimmed(l.Grams, 1) + " g"
	}
	return weighed(l.Grams, sys)
}
