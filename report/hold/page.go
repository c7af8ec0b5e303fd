package hold

import (
	"fmt"
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page"
	"ashbook/report/safety"
)

// Page says until when the meat is hot, what that means for the meal and what to do; then
// what the forecast is based on, leftovers and cautions.
func Page(c *journal.Cook, past []journal.Cook, s journal.Settings, now time.Time) page.Page {
	h := Look(c, past, s, now)
	p := page.Page{Title: c.Name(), Aside: measure.FormatTime(now, measure.DayClock, s.Units) + " · " + string(h.Stage)}
	told := h.Tell(s, now)
	p.Lead = []string{told.Answer, told.Meal}
	p.Add(page.Section{Heading: "What to do", Facts: told.Do})
	p.Add(page.Section{Heading: "The box", Facts: told.Box, Lines: h.Notes})
	p.Add(page.Section{Heading: "Leftovers", Facts: told.Leftovers})
	r := safety.Look(c, s, now)
	p.Add(r.Section(&p, func(f safety.Finding) bool { return f.Weight > safety.Standing }))
	return p
}

// Told is a Hold in words, for a page or a screen.
type Told struct {
	Answer    string // until when it is hot
	Meal      string // what that means for the meal
	Do        []page.Fact
	Box       []page.Fact
	Leftovers []page.Fact
}

// Tell puts the hold into words at now.
func (h *Hold) Tell(s journal.Settings, now time.Time) Told {
	w := words{s: s, now: now}
	t := Told{Answer: w.answer(h), Meal: w.mealLine(h), Box: w.box(h), Leftovers: w.leftovers(h.Left)}
	for _, a := range h.Do {
		when := "now"
		switch {
		case a.By.IsZero():
			when = ""
		case a.By.After(now):
			when = "by " + w.at(a.By)
		}
		t.Do = append(t.Do, page.Fact{Name: when, Value: a.Text})
	}
	return t
}

// words formats for the units of s at now.
type words struct {
	s   journal.Settings
	now time.Time
}

// at prints a time, with the day if it is not today.
func (w words) at(t time.Time) string {
	t = t.In(w.now.Location())
	if t.YearDay() == w.now.YearDay() && t.Year() == w.now.Year() {
		return measure.FormatTime(t, measure.Clock, w.s.Units)
	}
	return measure.FormatTime(t, measure.DayClock, w.s.Units)
}

// until prints "13:40 (8 in 10: 13:10–14:20)".
func (w words) until(u Until) string {
	late := w.at(u.Late)
	if u.Open {
		late = "a day later"
	}
	likely := w.at(u.Likely)
	if u.Open && !u.Likely.Before(u.Late) {
		likely = "more than a day later"
	}
	return fmt.Sprintf("%s (8 in 10: %s–%s)", likely, w.at(u.Early), late)
}

func (w words) answer(h *Hold) string {
	limit := degrees(h.Limit, w.s)
	piece, unread := h.unread()
	switch {
	case h.Stage == StillOn:
		from := "in a usual box; no past cook shows how yours cools"
		if h.Loads > 0 {
			from = "based on " + measure.Count(h.Loads, "past hold")
		}
		return fmt.Sprintf("Still in the pit. Boxed at %s, it stays at or above %s for %s (8 in 10: %s–%s), %s.", degrees(boxedAt, w.s), limit,
			measure.FormatHours(h.Keeps[1]), measure.FormatHours(h.Keeps[0]), measure.FormatHours(h.Keeps[2]), from)
	case h.Stage == Out && h.Left != nil && h.Left.HasLast && !h.Left.Start.IsZero():
		return fmt.Sprintf("Out of the box. Last reading %s at %s; the time limits for leftovers count from %s.", degrees(h.Left.Last.C, w.s), w.at(h.Left.Last.Time), w.at(h.Left.Start))
	case h.Stage == Out:
		return "Out of the box, and no core was read since it came off the pit: read it now."
	case unread:
		text := fmt.Sprintf("Not in the box%s and not read for %s: read it now.", of(piece.Name), measure.FormatHours(piece.Unread.Hours()))
		if piece.Unread.Hours() > safety.FourHours {
			text += fmt.Sprintf(" Unless a reading shows %s or above, throw it out.", degrees(journal.SafeHold, w.s))
		}
		return text
	case h.Meal == Fallen:
		return fmt.Sprintf("Below %s since about %s.", degrees(journal.SafeHold, w.s), w.until(h.AtLaw))
	case !h.AtLimit.Known():
		return fmt.Sprintf("No core reading, so there is no forecast of how long it stays at or above %s.", limit)
	case h.Stage == Resting:
		return fmt.Sprintf("At or above %s until %s, if it is boxed now.", limit, w.until(h.AtLimit))
	case h.read(h.Limit):
		return fmt.Sprintf("Below %s since about %s; at or above %s until %s.", limit, w.until(h.AtLimit), degrees(journal.SafeHold, w.s), w.until(h.AtLaw))
	}
	return fmt.Sprintf("At or above %s until %s.", limit, w.until(h.AtLimit))
}

func (w words) mealLine(h *Hold) string {
	at := w.at(h.MealAt)
	switch h.Meal {
	case Lasts:
		return fmt.Sprintf("The meal is at %s, %s before the early end of that range. This is a forecast: check with a probe.", at, measure.FormatHours(h.AtLimit.Early.Sub(h.MealAt).Hours()))
	case May:
		return fmt.Sprintf("The meal is at %s: the meat may not stay hot until then. Have another way to keep it hot ready before %s.", at, w.at(h.AtLimit.Early))
	case Short:
		return fmt.Sprintf("The meal is at %s: the meat will not stay hot until then; it is likely to be too cool %s before. Keep it hot another way from %s on.", at, measure.FormatHours(h.MealAt.Sub(h.AtLimit.Likely).Hours()), w.at(h.AtLimit.Early))
	case Fallen:
		return "It is no longer hot enough to hold for the meal."
	case NoMeal:
		return "No serving hour is noted, so ashbook cannot say whether the meat stays hot until the meal."
	}
	if h.MealAt.IsZero() {
		return "No serving hour is noted."
	}
	return "The meal is at " + at + "."
}

func (w words) box(h *Hold) []page.Fact {
	if len(h.Pieces) == 0 {
		return nil
	}
	var out []page.Fact
	add := func(name, value string) { out = append(out, page.Fact{Name: name, Value: value}) }
	add("hot-hold limit", fmt.Sprintf("%s; the Food Code's limit is %s", degrees(h.Limit, w.s), degrees(journal.SafeHold, w.s)))
	if h.AtLaw.Known() {
		add(degrees(journal.SafeHold, w.s)+" until", w.until(h.AtLaw))
	}
	for _, p := range h.Pieces {
		name := "core"
		if p.Name != "" {
			name = "core " + p.Name
		}
		if !p.HasLast {
			add(name, "not read")
			continue
		}
		value := fmt.Sprintf("%s at %s; now %s to %s", degrees(p.Last.C, w.s), w.at(p.Last.Time), degrees(p.Now[0], w.s), degrees(p.Now[1], w.s))
		if p.Readings > 0 {
			value += fmt.Sprintf("; loses %.1f %% an hour of the gap to room temperature (8 in 10: %.1f–%.1f)", percent(p.Rate[1]), percent(p.Rate[0]), percent(p.Rate[2]))
		}
		add(name, value)
	}
	add("cools towards", degrees(h.Room, w.s)+", "+h.RoomFrom)
	switch {
	case h.Heated:
		add("based on", "the core and air readings in the box")
	case h.Loads == 0:
		add("based on", "the readings in the box; no past hold was noted, so the range covers slow and fast boxes")
	default:
		add("based on", "the readings in the box and "+measure.Count(h.Loads, "past hold"))
	}
	return out
}

// percent returns the share lost in an hour at a rate per hour, %.
func percent(rate float64) float64 { return 100 * (1 - math.Exp(-rate)) }

func (w words) leftovers(l *Leftovers) []page.Fact {
	if l == nil {
		return nil
	}
	law := degrees(journal.SafeHold, w.s)
	if l.Start.IsZero() {
		if !l.Forecast.Known() {
			return nil
		}
		return []page.Fact{{Name: "time limits count", Value: fmt.Sprintf("from when the meat falls below %s, about %s, even if it is still in the box; not from the end of the meal", law, w.until(l.Forecast))}}
	}
	step := func(to float64, by, at time.Time) page.Fact {
		maybe := slices.ContainsFunc(l.Over, func(o safety.Overrun) bool { return o.Step.To == to && o.InTime() })
		left := by.Sub(w.now)
		value := fmt.Sprintf("by %s, in %s", w.at(by), measure.FormatHours(left.Hours()))
		switch {
		case !at.IsZero() && at.After(by) && maybe:
			value = fmt.Sprintf("by %s; first read at %s: it may have been in time. Only an earlier reading near %s could show that; without one, throw it out", w.at(by), w.at(at), law)
		case !at.IsZero() && at.After(by):
			value = fmt.Sprintf("by %s; first read at %s, %s late: throw it out", w.at(by), w.at(at), measure.FormatHours(at.Sub(by).Hours()))
		case !at.IsZero():
			value = fmt.Sprintf("by %s; first read at %s", w.at(by), w.at(at))
		case left < 0:
			value = fmt.Sprintf("by %s, %s ago, but no such reading is noted: throw it out unless you know it was", w.at(by), measure.FormatHours(-left.Hours()))
		}
		return page.Fact{Name: "at or below " + degrees(to, w.s), Value: value}
	}
	facts := []page.Fact{
		{Name: "counted from", Value: fmt.Sprintf("%s: %s", w.at(l.Start), l.Rests)},
		step(safety.CoolHalf, l.HalfBy, l.HalfAt),
		step(safety.ColdHold, l.ColdBy, l.ColdAt),
	}
	if l.HasLast {
		facts = append(facts, page.Fact{Name: "last read", Value: fmt.Sprintf("%s at %s", degrees(l.Last.C, w.s), w.at(l.Last.Time))})
	}
	return facts
}
