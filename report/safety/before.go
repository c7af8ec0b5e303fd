package safety

import (
	"fmt"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/safety/heard"
)

// Limits used before the meat goes on and while it is on.
const (
	coldStart = 8.0 // °C; 5 °C is the limit of cold food, and a piece gains a little on the board while it is rubbed (chosen)
	nearPit   = 3.0 // K; a core is very slow over the last kelvins below the pit (chosen)
)

// words adds the findings that the notes of the whole cook give reason for.
func (l *look) words() {
	l.hears(heard.RawTouched, Finding{Kind: RawJuice, Weight: Ask, Text: "What touched raw meat, a marinade, a brush or a bottle, carries it to the crust, and late in the cook nothing kills it there.",
		Do: "Boil it first, or throw it away; what went on last needs the heat after it.", Source: sourceRaw})
	l.hears(heard.Spoiled, Finding{Kind: Spoiled, Weight: Ask, Text: "Meat that smells or feels spoiled, or is past its date, may hold poisons that heat does not destroy.",
		Do: "Do not taste it; when in doubt, throw it out.", Source: sourceSpoiled})
	l.hears(heard.PartCooked, Finding{Kind: PartCooked, Weight: Ask, Text: "Meat that was part-cooked and cooled has been through the warm twice: what grew between may have left poisons that heat does not destroy.",
		Do: "Ask the local code: it wants a written plan for this. Without one, cook it in one go.", Source: sourcePart})
	l.hears(heard.Fallen, Finding{Kind: Fallen, Weight: Ask, Text: "What lay on the ground, or an animal was at, carries what was there to the meat.",
		Do: "Raw, rinse and trim it, and cook it right through; cooked, throw that piece away.", Source: sourceFallen})
	l.hears(heard.Standing, Finding{Kind: Leftovers, Weight: Ask, Text: "Cooked meat was out of the heat and the cold for long: two hours are allowed, one in air over " + l.temp(hotAir) + ", and warming it again does not undo what grew.",
		Do: "What was out longer, or nobody knows how long: throw it out.", Source: sourceOut + "; " + sourceTime})
	l.hears(heard.WarmedSlow, Finding{Kind: Reheated, Weight: Ask, Text: "Cold meat warmed slowly, more than once, or to less than " + l.temp(ReheatTo) + " stays for hours where bacteria grow.",
		Do: "Heat it right through to " + l.temp(ReheatTo) + " within two hours, once, and keep it hot after.", Source: sourceReheat})
	l.hears(heard.Ill, Finding{Kind: Illness, Weight: Ask, Text: "The notes speak of somebody who is ill: it may be of the food, or be passed on with it.",
		Do: "Whoever is ill prepares no food until two days after. Ill after the meal: keep what is left cold, marked and uneaten; ask a doctor, and the local health authority.", Source: sourceIll})
	if l.dead == nil {
		l.hears(heard.FireOut, Finding{Kind: DeadFire, Weight: Ask, Text: "The notes speak of a fire that was out, or of a pit without heat, and no reading shows for how long.",
			Do: "Read the pit and the core. Count all the time between " + l.temp(ColdHold) + " and " + l.temp(journal.SafeHold) + ": over four hours, throw it out. " + toxin, Source: sourceZone})
	}
	public := l.hears(heard.FedPublic, Finding{Kind: Eaters, Weight: Ask, Text: "Homes, hospitals and nurseries are held to stricter rules than a table of friends.",
		Do: "Ask them, and the local food authority, before you cook.", Source: sourceFrail})
	if !public {
		l.hears(heard.Frail, Finding{Kind: Eaters, Weight: Note, Text: "Small children, the old, the pregnant and the sick fall ill of what others do not notice.",
			Do: "For them nothing pink, hot right through to " + l.temp(ReheatTo) + ", and no leftovers that were not cooled in time.", Source: sourceFrail})
	}
}

// hears adds f if the notes mention m, with the places where they do.
func (l *look) hears(m heard.Meaning, f Finding) bool {
	said := l.heard[m]
	if len(said) > 0 {
		f.Rests = joinMentions(said)
		l.add(f)
	}
	return len(said) > 0
}

// partCooked warns of meat that was cooled before it was cooked through.
func (p *part) partCooked() {
	if p.off.IsZero() || p.highest() >= p.leastCore() {
		return
	}
	if at, ok := p.firstAfter(journal.Chilled); ok && !p.served {
		p.caution(Finding{Kind: PartCooked, Weight: p.pressing(false), Text: fmt.Sprintf("It was chilled at %s with a core that was never read above %s: it is neither cooked nor raw.", p.clock(at), p.temp(p.highest())),
			Rests: "the lines off and chilled", Do: "Cook it through now, to " + p.temp(p.leastCore()) + ", or throw it out; it cannot wait until tomorrow.", Source: sourcePart})
	}
}

// before asks about a piece that may have been warm before it went on.
func (p *part) before() {
	var rests []string
	if p.meat.Core.Known && p.meat.Core.Base > coldStart {
		rests = append(rests, "a core of "+p.temp(p.meat.Core.Base)+" when it went on")
	} else if r, ok := journal.Last(p.c.CoreReadings(p.i), p.on.Add(startLater)); ok && !p.on.IsZero() && !r.Time.Before(p.on) && r.C > coldStart {
		rests = append(rests, fmt.Sprintf("a core of %s at %s", p.temp(r.C), p.clock(r.Time)))
	}
	read := len(rests) > 0
	asked := p.heard[heard.MaybeWarm]
	bath := p.heard[heard.WaterBath]
	m := slices.Concat(p.heard[heard.LeftOut], bath)
	night := p.heard[heard.NightOut]
	if m = append(m, night...); len(m) > 0 {
		rests = append(rests, joinMentions(m))
	}
	if len(rests) == 0 && len(asked) == 0 {
		return
	}
	if len(rests) == 0 {
		p.once(true, Finding{Kind: Warmed, Weight: Ask, Text: "The notes mention the meat, warmth and hours, and do not make clear whether it was out of the cold. Raw meat may be out for two hours, one in air over " + p.temp(hotAir) + ".",
			Rests: joinMentions(asked), Do: "Was it warm, and for how long? Over two hours, do not serve it without an answer from the local code.", Source: sourceOut})
		return
	}
	f := Finding{Kind: Warmed, Weight: Ask, Text: "It was warm before it went on: raw meat may be out of the cold for two hours, one in air over " + p.temp(hotAir) + ", and what grew then may have left poisons that heat does not destroy.",
		Rests: strings.Join(rests, ", "), Do: "How long was it over " + p.temp(ColdHold) + "? Over two hours, do not serve it without an answer from the local code. Thaw in the cold, or in cold water.", Source: sourceOut + "; " + sourceThaw}
	switch {
	case len(night) > 0:
		f.Weight = p.pressing(p.served)
		f.Do = "A night out of the cold is over every limit: throw it out."
	case len(bath) > 0:
		f.Text = "It comes from a water bath. Its temperature, its hours and the cooling afterwards matter more than the pit."
		f.Do = fmt.Sprintf("At %s the table asks for %s at the core; below %s four hours in all. Ask the local code.", p.temp(60), dwellWords(p.kill, 60), p.temp(fahrenheit(130)))
		f.Source = sourceMeat + "; " + sourceTime
	}
	p.once(!read, f)
}

// aims warns, until the piece is off, of a target core below the published minimum or
// too hot for the pit to reach.
func (p *part) aims() {
	aim, ok := p.c.AimCore(p.now)
	if !ok || !p.off.IsZero() || p.cold {
		return
	}
	at := p.temp(aim)
	say := func(k Kind, w Weight, source, do, format string, args ...any) {
		p.caution(Finding{Kind: k, Weight: w, Text: fmt.Sprintf(format, args...), Rests: "the core aimed at, " + at, Do: do, Source: source})
	}
	dwell, counted := p.kill.Dwell(aim)
	raise := func(c float64) string { return "Aim higher: aim core " + p.temp(c) + "." }
	switch least := p.leastCore(); {
	case (p.isBird || p.minced || p.game || p.dried || p.stuffed) && aim < least-.5, p.opened && aim < least-.5:
		source := sourceChart
		switch {
		case p.game:
			source = sourceGame
		case p.dried:
			source = sourceJerky
		}
		say(LowAim, p.pressing(false), source, raise(least), "The core is to come off at %s; the published least for it is %s.", at, p.temp(least))
		return
	case !counted:
		say(LowAim, Ask, p.kill.source, raise(least), "The core is to come off at %s, where the table counts nothing.", at)
	case aim < least-.5, p.opened && aim < p.kill.Instant:
		say(LowAim, Note, p.kill.source, "Read it in the coldest spot, and for that long.", "The core is to come off at %s: the table asks for %s there, the chart for %s and three minutes.", at, measure.FormatHours(dwell/60), p.temp(least))
	}
	if pit, ok := p.c.AimPit(p.now); ok && aim > pit-nearPit {
		say(FarAim, Note, sourcePractice, "Aim the pit higher: aim pit "+p.temp(aim+15)+".", "The core is to reach %s in a pit of %s: it will not get that hot.", at, p.temp(pit))
	} else if most := journal.HottestCore(p.c.Altitude); aim > most {
		say(FarAim, Note, sourcePractice, "Aim lower: aim core "+p.temp(p.boils-5)+".", "The core is to reach %s; water boils at %s here, and no core gets hotter than %s.", at, p.temp(p.boils), p.temp(most))
	}
}
