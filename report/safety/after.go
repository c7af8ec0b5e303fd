package safety

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/frame"
)

// mealOver is the time after which no reading can show any more that the meat stayed
// hot: even in the slowest known box, at .035 an hour, meat closed in at 90 °C is at 57
// °C by then.
const mealOver = 18 * time.Hour

// Habit is the number of a person's last cooks from which ashbook learns whether their
// notes end when the meat comes off (chosen: in one such cook the rest may have been
// forgotten; in three it was not).
const Habit = 3

// endsAtOff reports whether the notes of the last Habit cooks before c all end when the
// meat came off. Silence after off then does not mean that a piece was forgotten. This
// is so in 70 of 70 cooks of real people.
func endsAtOff(c *journal.Cook, past []*frame.Cook) bool {
	past = slices.DeleteFunc(slices.Clone(past), func(p *frame.Cook) bool { return p.Off.IsZero() || !p.Off.Before(c.Date()) })
	slices.SortFunc(past, func(a, b *frame.Cook) int { return a.Off.Compare(b.Off) })
	if len(past) < Habit {
		return false
	}
	return !slices.ContainsFunc(past[len(past)-Habit:], func(p *frame.Cook) bool {
		whole := p.Whole()
		return whole == nil || goesOn(whole, p.Off)
	})
}

// goesOn reports whether c has notes after its meat came off.
func goesOn(c *journal.Cook, off time.Time) bool {
	return slices.ContainsFunc(c.Entries, func(e journal.Entry) bool {
		return e.Time.After(off) || !e.Time.Before(off) && slices.ContainsFunc(e.Items, func(it journal.Item) bool {
			return slices.Contains([]journal.Act{journal.Boxed, journal.Unboxed, journal.Pulled, journal.Sliced, journal.Served, journal.Chilled}, it.Act)
		})
	})
}

// toldNow asks for the note that removes a caution which is only based on missing
// notes.
const toldNow = " If it was served or chilled, note when."

// followed checks what came after the piece was off: the hot hold, the time until it
// was eaten, and the cooling of leftovers. It returns the growth while cooling.
func (p *part) followed(v curve) Range {
	served, wasServed := p.firstAfter(journal.Served)
	chilled, wasChilled := p.firstAfter(journal.Chilled)
	table, how := p.now, "now, with nothing noted since"
	switch {
	case wasServed && !(wasChilled && chilled.Before(served)):
		table, how = served, "when it was served"
	case wasChilled:
		table, how = chilled, "when it was chilled"
	}
	lastHot := p.off // last moment known to be hot, or when it came off
	read := []time.Time{p.off}
	for _, q := range v {
		if q.at.After(p.off) && !q.at.After(table) {
			read = append(read, q.at)
		}
		if q.c >= journal.SafeHold && !q.at.After(table) && q.at.After(lastHot) {
			lastHot = q.at
		}
	}
	if t, ok := p.beside(table); ok && t.After(lastHot) {
		lastHot = t
	}
	p.gapFinding(p.meat.Name, "core", read)
	if !p.belowHold(v, table, how) && table.Sub(lastHot) > p.outLimit(v, table) {
		weight, text := Note, fmt.Sprintf("%s passed from the last time it was known to be hot (%s) to %s, without a reading.", measure.FormatHours(table.Sub(lastHot).Hours()), p.clock(lastHot), how)
		do := "Read it now; below " + p.temp(journal.SafeHold) + " it has four hours in all." + toldNow
		switch noted := wasServed || wasChilled; {
		case !noted && (p.served || table.Sub(lastHot) > mealOver):
			text = "After " + p.clock(lastHot) + " nothing was noted: neither how hot it was kept, nor when it was served or chilled."
			do = "Note when it is served, and its core then."
		case noted && table.Sub(lastHot).Hours() > FourHours:
			weight, do = Ask, "Throw out what is left, unless a reading shows that it stayed at "+p.temp(journal.SafeHold)+" or above."
		case noted:
		case table.Sub(lastHot).Hours() > FourHours:
			weight, do = DoNow, "Read it now. If it is below "+p.temp(journal.SafeHold)+", throw it out."+toldNow
		default:
			weight = DoNow
		}
		if weight == DoNow && p.silent && !goesOn(p.c, p.lastOff()) {
			weight = Ask
			do = "Your notes usually end here, so where is it now? If it was served or chilled, note when; if not, read it."
		}
		p.caution(Finding{Kind: Unfollowed, Weight: weight, Text: text, Rests: "the lines since it came off", Do: do, Source: sourceTime + "; " + sourceOut})
	}
	return p.leftovers(v, lastHot, wasChilled, chilled)
}

// lastOff returns when the last piece so far came off.
func (p *part) lastOff() (last time.Time) {
	for i := range max(1, len(p.c.Pieces)) {
		if off, ok := p.c.OffAt(i); ok && off.After(last) {
			last = off
		}
	}
	return last
}

func (p *part) firstAfter(act journal.Act) (time.Time, bool) {
	for _, e := range p.c.Entries {
		if e.Time.Before(p.off) {
			continue
		}
		for _, it := range e.Items {
			if it.Act == act && (it.Piece == "" || p.c.PieceIndex(it.Piece) == p.i) {
				return e.Time, true
			}
		}
	}
	return time.Time{}, false
}

// besideHot is the core of another piece in the same box, °C, from which this piece
// counts as hot too: pieces that went in together differ by less than 6 K (chosen).
const besideHot = journal.SafeHold + 6

// beside returns the last time at which another piece in the same box was read at
// besideHot or above.
func (p *part) beside(table time.Time) (last time.Time, ok bool) {
	for i := range p.c.Pieces {
		if i == p.i {
			continue
		}
		for _, r := range slices.Backward(p.c.CoreReadings(i)) {
			in := r.Time.Add(-time.Second)
			if r.C >= besideHot && r.Time.After(last) && !r.Time.After(table) && p.c.PieceStage(p.i, in) == journal.Holding && p.c.PieceStage(i, in) == journal.Holding {
				last, ok = r.Time, true
				break
			}
		}
	}
	return last, ok
}

// FastBox is the cooling rate of the fastest known holding box, per hour, as a share of
// the gap to room temperature.
const FastBox = .115

// outLimit returns how long meat may go unread: the limit for food out in this air, or
// for a box the time in which the fastest one would cool it to the hot-hold limit.
func (p *part) outLimit(v curve, table time.Time) time.Duration {
	air := p.c.Weather.Air
	if it, ok := p.lastAir(); ok {
		air = it.Temp
	}
	hours := outInAir
	if air.Known && air.Base > hotAir {
		hours = outInHotAir
	}
	if p.c.PieceStage(p.i, table.Add(-time.Second)) == journal.Holding {
		const room = 20.0
		for k, q := range v {
			if !q.at.After(table) && q.c > journal.SafeHold {
				hours = max(outInAir, math.Log((q.c-room)/(journal.SafeHold-room))/p.boxRate(v[:k+1], room))
			}
		}
	}
	return time.Duration(hours * float64(time.Hour))
}

// slower is the factor by which a box may cool faster than its readings show: a reading
// may be a kelvin off, and the core of a fresh piece lags behind (chosen).
const slower = 1.25

// boxRate returns the cooling rate of the box that the piece is in when v ends, per
// hour: from its readings since it went in if they are at least two hours apart, else
// FastBox.
func (p *part) boxRate(v curve, room float64) float64 {
	last := v[len(v)-1]
	var in time.Time
	for _, e := range p.c.Entries {
		for _, it := range e.Items {
			if it.Act == journal.Boxed && (it.Piece == "" || p.c.PieceIndex(it.Piece) == p.i) {
				in = e.Time
			}
		}
	}
	for _, q := range v {
		if !in.IsZero() && !q.at.Before(in) && last.at.Sub(q.at) >= unwatched && q.c > last.c {
			return min(FastBox, slower*math.Log((q.c-room)/(last.c-room))/last.at.Sub(q.at).Hours())
		}
	}
	return FastBox
}

func (p *part) lastAir() (journal.Item, bool) {
	var last journal.Item
	for _, e := range p.c.Entries {
		if it, ok := e.Item(journal.ReadAir); ok {
			last = it
		}
	}
	return last, last.Temp.Known
}

// belowHold compares the readings from off until the meat was eaten with the hot-hold
// limit. It reports whether one was below the legal limit.
func (p *part) belowHold(v curve, table time.Time, how string) bool {
	limit := p.s.HoldLimit()
	var under *point
	for k := range v {
		q := &v[k]
		if q.at.Before(p.off) {
			continue
		}
		if q.at.After(table) {
			break
		}
		if q.c < journal.SafeHold {
			fell, _ := v[max(0, k-1) : k+1].falls(journal.SafeHold)
			cold := Range{table.Sub(fell.line).Hours(), table.Sub(fell.before).Hours()}
			weight, do := p.pressing(false), "Serve or chill it within four hours of when it fell below the limit. Do not hold it again."
			switch _, chilled := p.firstAfter(journal.Chilled); {
			case cold.Low > FourHours:
				do = "It was below the limit for over four hours: throw it out."
			case cold.High > FourHours:
				do = "It may have been below the limit for over four hours. Throw it out, unless a reading shows that it was less."
			case p.served || chilled:
				weight = Note
			}
			if p.served || !table.Equal(p.now) || p.highest() < journal.SafeHold { // meat that was never hot is not being held
				weight = min(weight, Ask)
			}
			p.caution(Finding{Kind: Hold, Weight: weight, Text: fmt.Sprintf("It was read at %s at %s, below the hot-hold limit of %s, and had been below it for %s %s.",
				p.temp(q.c), p.clock(q.at), p.temp(journal.SafeHold), hourWords(cold), how),
				Rests: "the core readings since it came off", Do: do, Source: sourceHold + "; " + sourceTime})
			return true
		}
		if q.c < limit && under == nil {
			under = q
		}
	}
	if under != nil {
		p.caution(Finding{Kind: Hold, Weight: Note, Text: fmt.Sprintf("It was read at %s at %s, below %s, the hot-hold limit of this journal.", p.temp(under.c), p.clock(under.at), p.temp(limit)),
			Rests: "the core readings since it came off", Do: "Serve it, or warm the box, before it falls to " + p.temp(journal.SafeHold) + ".", Source: sourceHold})
	}
	return false
}

// leftovers checks the cooling of what was not eaten.
func (p *part) leftovers(v curve, lastHot time.Time, wasChilled bool, chilled time.Time) (grown Range) {
	left := p.c.Yield.Left
	if left.Known && left.Base <= 0 {
		return Range{}
	}
	v, again := v.fallen(p.off)
	p.reheated(again)
	if !p.served && !wasChilled && p.now.Sub(p.off) < mealOver {
		return Range{} // not eaten yet
	}
	if len(v) < 2 {
		f := Finding{Kind: Leftovers, Weight: Note, Text: fmt.Sprintf("The cooling was not read, so nothing shows that leftovers went from %s to %s in two hours and to %s in four more. The time counts from when the meat falls below %s, not from the end of the meal.",
			p.temp(journal.SafeHold), p.temp(CoolHalf), p.temp(ColdHold), p.temp(journal.SafeHold)),
			Rests: "when it was chilled was not noted", Do: "Cool it in thin, open trays and read it. Throw out what misses either step.", Source: sourceCool}
		if left.Known {
			f.Rests = left.In(p.s.Units) + " left over; when it was chilled was not noted"
		}
		if wasChilled {
			f.Rests = "chilled at " + p.clock(chilled)
			if late := chilled.Sub(lastHot).Hours(); late > FirstCooling {
				if f.Weight = Ask; late > FourHours {
					f.Weight, f.Do = DoNow, "Throw it out, unless a reading shows that it was at "+p.temp(journal.SafeHold)+" or above until two hours before it was chilled."
				}
				f.Text = fmt.Sprintf("It was chilled %s after the last time it was known to be hot. Two hours are allowed from %s to %s. ", measure.FormatHours(late), p.temp(journal.SafeHold), p.temp(CoolHalf)) + f.Text
			}
		}
		p.caution(f)
		return Range{}
	}
	return p.cooled(v)
}

// fallen finds where a piece fell below the hot-hold limit after off. down starts at
// the last reading above the limit and ends at the coldest one before it was warm
// again, again starts there; again is nil if it stayed cold.
func (v curve) fallen(off time.Time) (down, again curve) {
	below := slices.IndexFunc(v, func(q point) bool { return q.at.After(off) && q.c < journal.SafeHold })
	if below < 0 {
		return nil, nil
	}
	down = v[max(0, below-1):]
	for k := range down {
		if down[k].at.After(v[below].at) && down[k].c >= journal.SafeHold {
			least := 0
			for i := range down[:k] {
				if down[i].c <= down[least].c {
					least = i
				}
			}
			return down[:least+1], down[least:]
		}
	}
	return down, nil
}

// cooled checks a cooling that has readings.
func (p *part) cooled(v curve) Range {
	readings := make([]journal.Reading, len(v))
	for k, q := range v {
		readings[k] = journal.Reading{Time: q.at, C: q.c}
	}
	last := v[len(v)-1]
	rests := fmt.Sprintf("%d readings from %s to %s", len(v), p.clock(v[0].at), p.clock(last.at))
	over := FoodCode.Overran(readings)
	for _, o := range over {
		text := fmt.Sprintf("From %s to %s it took %s; the limit is %s.", p.temp(o.Step.From), p.temp(o.Step.To), hourWords(o.Took), measure.FormatHours(o.Step.Within))
		if !o.Ended {
			text = fmt.Sprintf("%s after it fell below %s it was still at %s; it should have been at %s within %s.", hourWords(o.Took), p.temp(o.Step.From), p.temp(last.c), p.temp(o.Step.To), measure.FormatHours(o.Step.Within))
		}
		var also []string
		for _, k := range Stabilising {
			if !k.Cured && len(k.Overran(readings)) > 0 {
				also = append(also, k.Name)
			}
		}
		if len(also) > 0 {
			text += " It also missed the limits for meat plants: USDA-FSIS " + strings.Join(also, ", ") + "."
		}
		weight, do := DoNow, "Throw it out. Next time: small pieces, thin open trays, ice water under them."
		if o.InTime() {
			weight = Ask
			text += fmt.Sprintf(" Readings near %s and near %s would show whether it was in time.", p.temp(o.Step.From), p.temp(o.Step.To))
			do = "Without such a reading, throw it out."
		}
		p.caution(Finding{Kind: SlowCooling, Weight: weight, Text: text, Rests: rests, Do: do, Source: FoodCode.Source})
	}
	if last.c > ColdHold {
		p.caution(Finding{Kind: Leftovers, Weight: Note, Text: fmt.Sprintf("The cooling was last read at %s: when it reached %s was not read.", p.temp(last.c), p.temp(ColdHold)),
			Rests: rests, Do: fmt.Sprintf("Read on until %s.", p.temp(ColdHold)), Source: sourceCool})
	}
	g := GrowthIn(p.c.Cut)
	grown := v.growth(g)
	if grown.High >= growthLimit && len(over) > 0 {
		weight := Ask
		if slices.ContainsFunc(over, func(o Overrun) bool { return !o.InTime() }) {
			weight = DoNow
		}
		p.caution(Finding{Kind: Regrowth, Weight: weight, Text: fmt.Sprintf("While it cooled the bacterium Clostridium perfringens could have grown by %s log10 if it started at once (%s after a usual delay, in %s). One log10 is the most allowed.", rangeWords(grown), logWords(g.AfterLag(grown.High)), g.name),
			Rests: rests, Do: "Throw it out if either cooling step was missed. Reheating kills the bacteria but not their poisons.", Source: sourceGrowth})
	}
	return grown
}

// reheated checks meat that was warmed again after it fell below the hot-hold limit.
// The curve starts with the last reading before the warming.
func (p *part) reheated(v curve) {
	if len(v) < 2 {
		return
	}
	k := slices.IndexFunc(v, func(q point) bool { return q.c >= ReheatTo })
	if k > 0 && v[k].at.Sub(v[0].at).Hours() <= ReheatWithin {
		return
	}
	text := fmt.Sprintf("It was warmed again from %s and no reading shows %s.", p.temp(v[0].c), p.temp(ReheatTo))
	if k > 0 {
		text = fmt.Sprintf("It was warmed again from %s and took up to %s to reach %s.", p.temp(v[0].c), measure.FormatHours(v[k].at.Sub(v[0].at).Hours()), p.temp(ReheatTo))
	}
	weight := Ask
	if p.now.Sub(v[len(v)-1].at).Hours() <= FourHours {
		weight = DoNow
		text += " It counts as hot food only after that."
	}
	p.caution(Finding{Kind: Reheated, Weight: weight, Text: text, Rests: "the core readings from " + p.clock(v[0].at) + " on",
		Do: "Reheat only what was chilled in time: once, quickly and all through.", Source: sourceReheat})
}
