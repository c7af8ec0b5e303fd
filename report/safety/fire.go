package safety

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/safety/heard"
)

// Limits for a fire that is down: a pit below pitLow, where nobody cooks big cuts
// (chosen; USDA-FSIS asks for 107 to 149 °C in smokers, from memory), or pitFall below
// its setting, for longer than a pit needs to recover from an open lid.
const (
	pitLow    = 90.0
	pitFall   = 30.0
	lidBack   = 45 * time.Minute
	lidOpen   = 20 * time.Minute // how long after a lid was opened pit readings are ignored (common practice, no source)
	coldPit   = 45.0             // °C; a pit aimed lower smokes and does not cook (chosen: cold smoking is done below 30 °C)
	unwatched = 2 * time.Hour    // half of the four hours allowed
)

const toxin = "A core that rises again does not make up for it: some bacteria leave poisons that heat does not destroy."

// fire checks the pit readings from the first piece on to the last one off.
func (l *look) fire() {
	l.pit = l.c.PitReadings()
	slices.SortStableFunc(l.pit, func(a, b journal.Reading) int { return a.Time.Compare(b.Time) })
	if bad := l.doubted(func(it journal.Item) bool { return it.Act == journal.ReadPit }); len(bad) > 0 {
		l.add(Finding{Kind: Doubtful, Weight: Note, Text: fmt.Sprintf("%d of %d pit readings are left out as impossible: °F noted as °C, a slip of the pen, or a probe in the fire.", len(bad), len(bad)+len(l.pit)),
			Rests: strings.Join(bad[:min(3, len(bad))], ", "), Do: "Read the pit again. If they are right, note: sure.", Source: sourcePractice})
	}
	on, ok := l.c.OnAt()
	if !ok {
		return
	}
	end, done := l.c.Finish()
	if !done {
		end = l.now
	}
	during := slices.DeleteFunc(slices.Clone(l.pit), func(r journal.Reading) bool { return r.Time.Before(on) || r.Time.After(end) })
	if len(during) == 0 {
		l.add(Finding{Kind: NoPit, Weight: Note, Text: "No pit reading while the meat was on: nobody would see that a fire went down, so the surface counts as no warmer than the core.",
			Rests: "the lines from " + l.clock(on) + " on", Do: "Read the pit at the grate.", Source: sourcePractice})
		return
	}
	if l.cold = l.coldSmoked(); !l.cold {
		l.down(during, end, done)
	}
	times := []time.Time{on}
	for _, r := range during {
		times = append(times, r.Time)
	}
	l.gapFinding("", "pit", append(times, end))
}

// down finds the longest time in which the pit was too cold to cook.
func (l *look) down(pit []journal.Reading, end time.Time, done bool) {
	low := func(r journal.Reading) bool {
		aim, ok := l.c.AimPit(r.Time)
		return !l.opened(r.Time) && (r.C < pitLow || ok && r.C < aim-pitFall)
	}
	var worst gap
	var first, last journal.Reading // the reading before the worst stretch, and the lowest one in it
	for i := 0; i < len(pit); i++ {
		if !low(pit[i]) {
			continue
		}
		start, least := max(0, i-1), pit[i]
		for i < len(pit) && low(pit[i]) {
			if pit[i].C < least.C {
				least = pit[i]
			}
			i++
		}
		g := gap{pit[start].Time, end}
		if i < len(pit) {
			g.to = pit[i].Time
		}
		if g.length() >= worst.length() {
			worst, first, last = g, pit[start], least
		}
	}
	if last.Time.IsZero() || worst.length() <= lidBack && (done || !worst.to.Equal(end)) {
		return
	}
	text := fmt.Sprintf("The pit was read at %s at %s", l.temp(last.C), l.clock(last.Time))
	if first.Time.Before(last.Time) && first.C > last.C {
		text += fmt.Sprintf(", down from %s at %s", l.temp(first.C), l.clock(first.Time))
	}
	text += fmt.Sprintf(": the fire went down or out, for up to %s.", measure.FormatHours(worst.length().Hours()))
	weight := Note
	switch hours := worst.length().Hours(); {
	case !done && worst.to.Equal(end):
		weight = l.pressing(false)
	case hours > FourHours:
		weight = Ask
	}
	f := Finding{Kind: DeadFire, Weight: weight, Text: text, Rests: fmt.Sprintf("the pit readings from %s to %s", l.clock(worst.from), l.clock(worst.to)),
		Do:     "Read the core in several places, and just under the surface. Count all hours in which the meat was between " + l.temp(ColdHold) + " and " + l.temp(journal.SafeHold) + "; if they are more than four, throw it out. " + toxin,
		Source: sourceZone}
	if g := last.Time.Sub(first.Time); g >= unwatched && first.C > last.C {
		f.Text += fmt.Sprintf(" Nobody read it for %s, so nobody knows how cold it got, or for how long.", measure.FormatHours(g.Hours()))
	}
	l.dead = &f
	l.add(f)
}

// cooling warns of a core that falls on the grate; an open lid does not make it fall.
func (p *part) cooling() {
	n := len(p.cooking)
	if n < 3 || !p.off.IsZero() || p.dead != nil {
		return
	}
	a, b, c := p.cooking[n-3], p.cooking[n-2], p.cooking[n-1]
	if c.c < journal.SafeHold && b.c < a.c-journal.Dips && c.c < b.c && len(p.readAfter(c.at)) == 0 {
		p.caution(Finding{Kind: DeadFire, Weight: p.pressing(false), Text: fmt.Sprintf("The core fell from %s at %s to %s at %s on the grate: the fire went down, or the probe came out.", p.temp(a.c), p.clock(a.at), p.temp(c.c), p.clock(c.at)),
			Rests: "the last three core readings", Do: "Read the pit and the core now. Count all hours in which the meat was between " + p.temp(ColdHold) + " and " + p.temp(journal.SafeHold) + "; if they are more than four, throw it out. " + toxin, Source: sourceZone})
	}
}

// readAfter returns the pit readings after a moment.
func (p *part) readAfter(at time.Time) []journal.Reading {
	return slices.DeleteFunc(slices.Clone(p.pit), func(r journal.Reading) bool { return !r.Time.After(at) })
}

// hotAgain reports whether the last pit reading is hot enough to cook.
func (l *look) hotAgain() bool {
	n := len(l.pit)
	return n > 0 && l.pit[n-1].C >= pitLow
}

// opened reports whether the lid was opened shortly before.
func (l *look) opened(at time.Time) bool {
	for _, e := range l.c.Entries {
		if d := at.Sub(e.Time); d < 0 || d > lidOpen {
			continue
		}
		if slices.ContainsFunc(e.Items, func(it journal.Item) bool { return it.Act.OpensPit() && it.Act != journal.On && it.Act != journal.Off }) {
			return true
		}
	}
	return false
}

// coldSmoked reports whether the pit only smokes and does not cook, and warns of it.
func (l *look) coldSmoked() bool {
	m := l.heard[heard.ColdSmoked]
	rests := joinMentions(m)
	if aim := l.c.Aim.Pit; aim.Known && aim.Base < coldPit {
		rests = "a pit aimed at " + l.temp(aim.Base)
	}
	if rests == "" {
		return false
	}
	l.add(Finding{Kind: ColdSmoke, Weight: Ask, Text: "Smoke at this heat does not cook: the meat stays raw, and warm enough for bacteria. It is only for meat that was cured by a tested recipe.",
		Rests: rests, Do: "Ask the local food authority and someone who cures meat. Cook it to " + l.temp(WholeCut) + " or more before anybody eats it, or follow a tested recipe to the gram.", Source: sourceColdSm})
	return true
}

// gapFinding warns of long times without a reading. times must be sorted.
func (l *look) gapFinding(piece, what string, times []time.Time) {
	all := gaps(times, unwatched)
	if len(all) == 0 {
		return
	}
	widest := slices.MaxFunc(all, func(a, b gap) int { return cmp.Compare(a.length(), b.length()) })
	text := fmt.Sprintf("No %s reading for %s, from %s to %s", what, measure.FormatHours(widest.length().Hours()), l.clock(widest.from), l.clock(widest.to))
	switch n := len(all) - 1; n {
	case 0:
	case 1:
		text += ", and one more stretch of over two hours"
	default:
		text += fmt.Sprintf(", and %d more stretches of over two hours", n)
	}
	l.add(Finding{Kind: Gap, Weight: Note, Piece: piece, Text: text + ". What happened in between is not known; the figures assume the worse case.",
		Rests: "the times of the readings", Do: "Read more often, or leave a probe in that records.", Source: sourcePractice})
}

// standing adds the cautions that apply to every fire and lid.
func (l *look) standing() {
	f := Finding{Kind: Monoxide, Weight: Standing, Text: "Charcoal and wood give off carbon monoxide until they are out. It has no smell.",
		Rests: "a fire", Do: "Out of doors only, away from doors and windows; never in a house, garage, tent or vehicle, not even with a window open or to cool down overnight. Headache or dizziness: into the open air, and call for help.", Source: sourceMonoxide}
	if m := l.heard[heard.UnderRoof]; len(m) > 0 {
		f.Weight, f.Rests = l.pressing(false), joinMentions(m)
		f.Text, f.Do = "The notes mention a fire under a roof. "+f.Text, "Put it in the open air now, away from doors and windows. "+f.Do
	}
	l.add(f)
	ash := Finding{Kind: Ash, Weight: Standing, Text: "Ash and coals stay hot under a grey skin, for a day and longer.", Rests: "a fire",
		Do: "Let them go out with the vents shut; then into a metal bin with a lid, out of doors and away from walls.", Source: sourceAsh}
	if m := l.heard[heard.HotAsh]; len(m) > 0 {
		ash.Weight, ash.Rests = l.pressing(false), joinMentions(m)
		ash.Text, ash.Do = "The notes mention ash or coals where they can set something on fire. "+ash.Text, "Put them into a metal bin now, and pour water over what was near them. "+ash.Do
	}
	l.add(ash)
	flare := Finding{Kind: Flare, Weight: Standing, Text: "A starved fire can flash at the lid when air comes in.", Rests: "a fire under a lid",
		Do: "Open the vents first, then the lid a hand's breadth, and wait; stand aside, bare arms and face away.", Source: sourcePractice}
	if m := l.heard[heard.Fluid]; len(m) > 0 {
		flare.Weight, flare.Rests = Ask, joinMentions(m)
		flare.Text, flare.Do, flare.Source = "Lighter fluid poured on a fire or on hot coals can burn back to the bottle.", "Use dry kindling or a chimney instead. Let the fluid burn off before any food goes on.", sourceFluid
	}
	if m := l.heard[heard.Flames]; len(m) > 0 {
		flare.Weight, flare.Rests = Ask, joinMentions(m)
		flare.Text, flare.Do, flare.Source = "Fat burns hotter than charcoal, and water makes burning fat splash.", "Close lid and vents, turn gas or power off, use no water. If it does not go out at once, stand back and call the fire brigade. Do not eat food that powder from an extinguisher fell on.", sourceFat
	}
	l.add(flare)
}
