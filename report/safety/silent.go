package safety

import (
	"fmt"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// A long time without notes does not by itself show that anything is wrong. The finding
// is DoNow if the inside of the meat counts, or if nothing shows that the surface ever
// got hot. For whole muscle in a pit that was hot for hours it is a question.
const (
	smokerLeast = 107.0 // °C, 225 °F: the least air temperature USDA-FSIS asks of a smoker (107 to 149 °C, from memory)
	wholeSilent = 6.0   // h; the longest time that any rule allows meat to be warm: revised Appendix A while heating, Food Code 3-501.14 while cooling
	throughAt   = 2.2   // h a kg: 1 h a pound; 1.5 h a pound at 107 °C make a tough cut tender (common practice, no source)
	throughMin  = 5.0   // h (chosen: thickness matters, and a small piece is not much thinner)
)

const sourceSmoker = "USDA-FSIS on smoking meat [from memory]: the air of a smoker at 107 to 149 °C (225 to 300 °F), watched by a thermometer"

// inside reports whether the inside of the piece is judged like its outside.
func (p *part) inside() bool {
	return p.isBird || p.minced || p.opened || p.dried || p.stuffed || p.game
}

// smokes reports whether everything known of the pit while the piece was on was hot
// enough: its setting or its readings.
func (p *part) smokes() bool {
	aim, set := p.c.AimPit(p.end)
	for _, r := range p.pit {
		if r.Time.Before(p.on) || r.Time.After(p.end) {
			continue
		}
		if r.C < pitLow && !p.look.opened(r.Time) {
			return false
		}
		if !set {
			aim = r.C
		}
	}
	return p.dead == nil && !p.fell() && aim >= smokerLeast-.5
}

// unread warns of a piece still on if for over four hours nobody read its core, read a
// hot pit or tended the fire. core is the last core reading, °C; 0 if there is none.
func (p *part) unread(since time.Time, core float64) bool {
	for _, r := range p.pit {
		if r.C >= pitLow && r.Time.After(since) {
			since, core = r.Time, 0
		}
	}
	for _, e := range p.c.Entries {
		if e.Time.After(since) && slices.ContainsFunc(e.Items, func(it journal.Item) bool {
			return it.Act == journal.ReadCore || it.Act == journal.Vent || it.Act == journal.SetPit || it.Act.OpensPit()
		}) {
			since, core = e.Time, 0
		}
	}
	silent := p.now.Sub(since).Hours()
	if p.cold || p.on.IsZero() || !p.off.IsZero() || silent <= FourHours {
		return false
	}
	weight, source := p.pressing(false), sourceZone
	if !p.inside() && p.smokes() && since.Sub(p.on) >= hotAfter && silent <= wholeSilent {
		weight, source = Ask, sourceZone+"; "+sourceSmoker
	}
	text := fmt.Sprintf("Nothing was read for %s, and nobody tended the fire", measure.FormatHours(silent))
	if core > 0 {
		text = fmt.Sprintf("It was last read %s ago, at %s", measure.FormatHours(silent), p.temp(core))
	}
	p.caution(Finding{Kind: Unread, Weight: weight, Text: text + ". If the fire went down since, nobody saw it.",
		Rests: "the lines since " + p.clock(since), Do: "Read the pit and the core now.", Source: source})
	return true
}

// noCore returns how urgent it is that a core was never read. It is DoNow once the
// piece is off, unless it was eaten, another piece shows the heat, or it is a whole
// tough cut that was in a hot pit for longer than it needs to cook through.
func (p *part) noCore() Weight {
	if p.off.IsZero() {
		return Note
	}
	raw := p.meat.Raw
	through := raw.Known && !p.on.IsZero() && !p.inside() && len(mentions(p.c, frozenWords, p.s.Units)) == 0 && toughWords.MatchString(p.c.Cut) && p.smokes() &&
		p.off.Sub(p.on).Hours() >= max(throughMin, throughAt*raw.Base)
	if through {
		return Ask
	}
	return p.pressing(p.served || p.siblingDone())
}

// siblingDone reports whether another piece that came off at the same time or earlier
// was read at a core for which the table asks for no time.
func (p *part) siblingDone() bool {
	for i := range p.c.Pieces {
		if off, ok := p.c.OffAt(i); !ok || i == p.i || off.After(p.off) {
			continue
		}
		if slices.ContainsFunc(p.c.CoreReadings(i), func(r journal.Reading) bool { return r.C >= p.kill.Instant }) {
			return true
		}
	}
	return false
}
