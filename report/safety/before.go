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

// words adds the findings for which the notes of the whole cook give a reason.
func (l *look) words() {
	l.hears(heard.RawTouched, Finding{Kind: RawJuice, Weight: Ask, Text: "A marinade, brush or bottle that touched raw meat brings bacteria back to the crust, and late in the cook there is no time left to kill them.",
		Do: "Boil it first, or throw it away. If it is on the meat already, go on cooking until the crust is hot again.", Source: sourceRaw})
	l.hears(heard.Spoiled, Finding{Kind: Spoiled, Weight: Ask, Text: "Meat that smells or feels spoiled, or is past its date, may hold poisons that heat does not destroy.",
		Do: "Do not taste it; when in doubt, throw it out.", Source: sourceSpoiled})
	l.hears(heard.PartCooked, Finding{Kind: PartCooked, Weight: Ask, Text: "Meat that was partly cooked and then cooled is warm for hours twice. Bacteria that grew in between may have left poisons that heat does not destroy.",
		Do: "Ask the local code: it asks for a written plan. Without one, cook it in one go.", Source: sourcePart})
	l.hears(heard.Fallen, Finding{Kind: Fallen, Weight: Ask, Text: "Meat that fell on the ground, or that an animal touched, has dirt and bacteria on it.",
		Do: "If it was raw: rinse and trim it, and cook it all through. If it was cooked: throw that piece away.", Source: sourceFallen})
	l.hears(heard.Standing, Finding{Kind: Leftovers, Weight: Ask, Text: "Cooked meat was neither hot nor cold for long. Two hours are allowed, one in air over " + l.temp(hotAir) + "; warming it again does not remove the poisons of bacteria that grew.",
		Do: "If it was out longer, or nobody knows how long, throw it out.", Source: sourceOut + "; " + sourceTime})
	l.hears(heard.WarmedSlow, Finding{Kind: Reheated, Weight: Ask, Text: "Cold meat warmed slowly, more than once, or to less than " + l.temp(ReheatTo) + " has hours in which bacteria grow.",
		Do: "Heat it all through to " + l.temp(ReheatTo) + " within two hours, once, and keep it hot after.", Source: sourceReheat})
	l.hears(heard.Ill, Finding{Kind: Illness, Weight: Ask, Text: "The notes mention somebody who is ill. The food may be the cause, or may pass the illness on.",
		Do: "Anybody who is ill must not prepare food until two days after the illness. If somebody fell ill after the meal, keep the leftovers cold and marked, let nobody eat them, and ask a doctor and the local health authority.", Source: sourceIll})
	if l.dead == nil {
		l.hears(heard.FireOut, Finding{Kind: DeadFire, Weight: Ask, Text: "The notes mention a fire that was out, or of a pit without heat, and no reading shows for how long.",
			Do: "Read the pit and the core. Count all hours in which the meat was between " + l.temp(ColdHold) + " and " + l.temp(journal.SafeHold) + "; if they are more than four, throw it out. " + toxin, Source: sourceZone})
	}
	public := l.hears(heard.FedPublic, Finding{Kind: Eaters, Weight: Ask, Text: "Cooking for homes, hospitals and nurseries has stricter rules than cooking for friends.",
		Do: "Ask them, and the local food authority, before you cook.", Source: sourceFrail})
	if !public {
		l.hears(heard.Frail, Finding{Kind: Eaters, Weight: Note, Text: "Small children and old, pregnant or sick people fall ill from food that others eat without harm.",
			Do: "Give them nothing pink, food heated all through to " + l.temp(ReheatTo) + ", and no leftovers that were not cooled in time.", Source: sourceFrail})
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

// before adds a question about a piece that may have been warm before it went on.
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
		p.once(true, Finding{Kind: Warmed, Weight: Ask, Text: "The notes mention the meat, warmth and hours, and do not make clear whether it was out of the cold. Raw meat may be out for two hours, or one in air over " + p.temp(hotAir) + ".",
			Rests: joinMentions(asked), Do: "Was it warm, and for how long? If over two hours, do not serve it before you have asked the local food authority.", Source: sourceOut})
		return
	}
	f := Finding{Kind: Warmed, Weight: Ask, Text: "It was warm before it went on: raw meat may be out of the cold for two hours, or one in air over " + p.temp(hotAir) + ", and bacteria that grew may have left poisons that heat does not destroy.",
		Rests: strings.Join(rests, ", "), Do: "How long was it over " + p.temp(ColdHold) + "? If over two hours, do not serve it before you have asked the local food authority. Thaw in the cold, or in cold water.", Source: sourceOut + "; " + sourceThaw}
	switch {
	case len(night) > 0:
		f.Weight = p.pressing(p.served)
		f.Do = "A night out of the cold is longer than any rule allows: throw it out."
	case len(bath) > 0:
		f.Text = "It comes from a water bath. Its temperature, its hours and the cooling afterwards matter more than the pit."
		f.Do = fmt.Sprintf("The published table asks for %[2]s at a core of %[1]s, and no more than four hours below %[3]s. Ask the local food authority.", p.temp(60), dwellWords(p.kill, 60), p.temp(fahrenheit(130)))
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
		say(LowAim, p.pressing(false), source, raise(least), "The core is to come off at %s; the published minimum is %s.", at, p.temp(least))
		return
	case !counted:
		say(LowAim, Ask, p.kill.source, raise(least), "The core is to come off at %s, which is below the published table.", at)
	case aim < least-.5, p.opened && aim < p.kill.Instant:
		say(LowAim, Note, p.kill.source, "Read the coldest spot, for as long as the table asks.", "The core is to come off at %s: the published table asks for %s at it, the chart for %s and three minutes.", at, measure.FormatHours(dwell/60), p.temp(least))
	}
	if pit, ok := p.c.AimPit(p.now); ok && aim > pit-nearPit {
		say(FarAim, Note, sourcePractice, "Aim the pit higher: aim pit "+p.temp(aim+15)+".", "The core is to reach %s in a pit of %s: it will not get that hot.", at, p.temp(pit))
	} else if most := journal.HottestCore(p.c.Altitude); aim > most {
		say(FarAim, Note, sourcePractice, "Aim lower: aim core "+p.temp(p.boils-5)+".", "The core is to reach %s; water boils at %s here, and no core gets hotter than %s.", at, p.temp(p.boils), p.temp(most))
	}
}
