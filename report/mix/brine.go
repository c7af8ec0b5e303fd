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

// Limits for brines, as shares of weight. A brine for a weight of meat is done when
// meat and water are equally salty: 1 to 2 % is common practice, ham has 2 to 3 (no
// source). A brine by the litre is done after a set time.
const (
	muchBrine  = .025
	leastBrine = .03 // least salt in salt and water for a mix to count as a brine, if its file does not say that it is one (chosen)
)

// usdaBrine is ¾ cup of table salt to a gallon of water, "up to two days" in the cold
// (USDA-FSIS on brining turkey, read); a cup of table salt weighs 292 g (USDA National
// Nutrient Database).
const usdaBrine = .75 * 292 / (.75*292 + 3785)

// brine returns a mix as a brine; ok is false if it is not one. At least half of a
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

// strength returns the share of salt in salt and water together.
func (x brine) strength() float64 { return x.salt / (x.salt + x.water) }

// even returns the share of salt in meat and water together, once both are equally
// salty. It is 0 if no meat is named.
func (x brine) even() float64 {
	if x.meat == 0 {
		return 0
	}
	return x.salt / (x.meat + x.water)
}

// facts returns how salty the brine is, and how salty it makes the meat.
func (x brine) facts(sys measure.System) []page.Fact {
	percent := func(share float64) string { return trimmed(100*share, 1) + " %" }
	strength := page.Fact{Name: "brine", Value: fmt.Sprintf("%s salt: %s in %s of water; the USDA's for poultry is %s, for two days in the cold at most",
		percent(x.strength()), weighed(x.salt, sys), weighed(x.water, sys), percent(usdaBrine))}
	if x.meat == 0 {
		return []page.Fact{strength, {Name: "in the meat", Value: fmt.Sprintf("it gets saltier the longer it lies in the brine: with as much meat as brine, %s in the end. Take it out after a set time", percent(x.strength()/2))}}
	}
	strength.Value, _, _ = strings.Cut(strength.Value, "; ")
	return []page.Fact{strength, {Name: "in the meat", Value: fmt.Sprintf("%s of meat and water together, and no more however long it lies; that takes days", percent(x.even()))}}
}

// nitriteUS is the share of sodium nitrite in curing salt in the US, which the FSIS
// handbook uses. Elsewhere it is mostly .5 or .6 % (common practice).
const nitriteUS = .0625

// The most sodium nitrite allowed, in parts per million of the raw meat: 9 CFR
// 424.21(c) and 424.22(b), counted as in the USDA-FSIS Processing Inspectors'
// Calculations Handbook (1995, chapter 3, read). Curing at home may leave 200 at most
// (21 CFR 172.170 and 172.175).
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

// nitrites says how much nitrite the curing salts add, and how much is allowed; "" if
// no curing salt has a known weight. It counts as the handbook does: for a rub per raw
// meat, for a brine per meat and brine together.
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
		on, base = "of the brine; how much gets into the meat depends on the weights of both: write the mix for a weight of meat, with its water", b.Grams
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

// weighs formats the weight of a part: that of a curing salt always to a tenth of a
// gram.
func (l Line) weighs(sys measure.System) string {
	if curing(l.Name) {
		return trimmed(l.Grams, 1) + " g"
	}
	return weighed(l.Grams, sys)
}
