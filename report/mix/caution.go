package mix

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// muchSalt is the salt on the meat, salted ahead and in the rub together, g/kg, that
// most people find too much (chosen; common practice is 8 to 12, no source).
const muchSalt = 15.0

// A stated weight that differs from the sum of the parts by more than this share and
// this many g is reported (chosen: ingredients vary by about as much).
const (
	offShare = .15
	offGrams = .3
)

// Cautions returns warnings with their sources. Laws are cited from memory: cabbage is
// on the Food Code's list of leafy greens, the pH is in 21 CFR 114.3, the curing salts
// in 9 CFR 424.21(c).
func (b *Batch) Cautions(sys measure.System) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	x, isBrine := b.brine()
	if isBrine {
		if even := x.even(); even > muchBrine {
			say("Salt is %s %% of meat and water together, over %s %%, which most find too much: ham has 2 to 3 %%.", trimmed(100*even, 1), trimmed(100*muchBrine, 1))
		}
		if b.Ahead > 0 {
			say("Salt goes on twice: %s ahead, and again in the brine. Leave one of the two out.", rate(b.Ahead, sys))
		}
		say("Brine: chill it before the meat goes in, keep all of the meat under it at 5 °C (41 °F) or below, and throw it away afterwards; do not brine meat that is sold with a salt solution in it (USDA-FSIS, Poultry: Basting, Brining, and Marinating, from memory; FDA Food Code 2022, 3-501.16).")
	} else if b.Mix.For.Of == journal.ForMeat && b.PerUnit.Salt > 0 && b.Ahead > 0 {
		sum := b.PerUnit.Salt + b.Ahead
		says := "Salt goes on twice: %s ahead and %s in the mix, %s together."
		if sum > muchSalt {
			says += " That is over " + rate(muchSalt, sys) + ", which most find too much: leave the salt out of one of the two."
		}
		say(says, rate(b.Ahead, sys), rate(b.PerUnit.Salt, sys), rate(sum, sys))
	} else if sum := b.PerUnit.Salt + b.Ahead; b.Mix.For.Of == journal.ForMeat && sum > muchSalt {
		say("Salt is %s in all, over %s, which most find too much.", rate(sum, sys), rate(muchSalt, sys))
	}
	if i := slices.IndexFunc(b.Lines, func(l Line) bool { return curing(l.Name) }); i >= 0 {
		say("%s", strings.TrimSpace(b.Lines[i].Name+": curing salts are poisonous in excess. Weigh them to the tenth of a gram by their maker's table, never by the spoon; the law says how much is allowed. "+b.nitrites()))
	} else if p := b.part("pink"); p != "" && holdsWord(p, "salt") {
		say("%s: a rock salt is pink, and curing salt is dyed pink. Read the label: curing salts are poisonous in excess.", p)
	}
	if p := b.part("cabbage", "lettuce", "spinach", "kale", "chard", "rocket"); p != "" {
		say("%s: cut leafy greens are kept at 5 °C (41 °F) or below; otherwise they are thrown away four hours after they left the cold (FDA Food Code 2022, 1-201.10, 3-501.16, 3-501.19).", p)
	}
	if b.Mix.For.Of == journal.ForVolume && !isBrine {
		say("Do not assume that it keeps. Out of the fridge a sauce must be at pH 4.6 or below, measured, and be heated and closed as the law asks (21 CFR 114). Otherwise keep it cold.")
	}
	var names []string
	for _, part := range b.Mix.Parts {
		names = append(names, part.Name)
	}
	if told := Allergens(strings.Join(names, ", ")); len(told) > 0 {
		say("Tell the eaters that it contains %s (Regulation (EU) 1169/2011, annex II).", strings.Join(told, ", "))
	}
	if len(out) > 0 {
		out = append(out, "Follow your local food code.")
	}
	return out
}

// part returns the first part whose name contains one of the words, or "".
func (b *Batch) part(words ...string) string {
	for _, p := range b.Mix.Parts {
		if holdsWord(p.Name, words...) {
			return p.Name
		}
	}
	return ""
}

// Disagreements lists figures stated in the file that differ from the sum of its parts.
func Disagreements(m *journal.Mix) []string {
	var out []string
	got := content(m)
	b := batch(*m, 1, m.For.Amount)
	for _, c := range []struct {
		name   string
		stated measure.Mass
		got    float64
	}{{"salt", m.Salt, got.Salt}, {"sugar", m.Sugar, got.Sugar}, {"acid", m.Acid, got.Acid}} {
		stated := 1000 * c.stated.Base
		if !c.stated.Known || math.Abs(stated-c.got) <= math.Max(offGrams, offShare*math.Max(stated, c.got)) {
			continue
		}
		says := fmt.Sprintf("%s is stated as %s, the parts add up to %s g", c.name, c.stated, trimmed(c.got, 1))
		switch {
		case len(b.Short) > 0:
			says += "; not counted: " + strings.Join(b.Short, ", ")
		case len(b.Untold) > 0 && c.got < stated:
			continue // the file states what the names do not show
		}
		out = append(out, says+".")
	}
	return out
}

// rate formats g/kg, in US units as a percentage of the meat.
func rate(gPerKg float64, sys measure.System) string {
	if sys == measure.US {
		return trimmed(gPerKg/10, 2) + " % of the meat"
	}
	return trimmed(gPerKg, 1) + " g/kg"
}
