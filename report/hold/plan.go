package hold

import (
	"fmt"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/safety"
)

// Times of the ways to keep meat hot (common practice, no source), and when to warn.
const (
	ovenHot   = 40 * time.Minute // heat the oven
	moving    = 10 * time.Minute // move the meat
	pitHot    = 75 * time.Minute // light the pit and let it settle
	pitWarmed = 15 * time.Minute // put the meat back on
	warnAt    = 63.0             // °C: three above the usual hold limit (chosen)
	nextLook  = time.Hour        // time until the next reading
)

// plan fills in Do.
func (h *Hold) plan(s journal.Settings, now time.Time) {
	do := func(by time.Time, format string, args ...any) {
		h.Do = append(h.Do, Action{by, fmt.Sprintf(format, args...)})
	}
	limit, law := degrees(h.Limit, s), degrees(journal.SafeHold, s)
	switch h.Stage {
	case StillOn, Out:
		return
	case Resting:
		do(time.Time{}, "Leave it uncovered until the core stops rising and the steam is gone, 10 to 20 min: in a closed box it would go on cooking. Then wrap it, box it, and read the core as it goes in.")
	}
	if p, ok := h.unread(); ok {
		text := "Read the core of every piece now, in the thickest part."
		if p.Unread.Hours() > safety.FourHours {
			text = fmt.Sprintf("Read it now. Unless a reading shows %s or above, throw it out.", law)
		}
		do(now, "%s", text)
		return
	}
	switch h.Meal {
	case Fallen:
		do(time.Time{}, "It was read below %s: serve it or throw it away within four hours of when it fell below that. Do not hold it again. Your local food code may allow less time.", law)
		return
	case NoAnswer:
		do(now, "Read the core of every piece in the box now; two readings an hour apart show how fast it cools.")
		return
	case NoMeal, Lasts:
		h.lookAgain(do, now)
	case May, Short:
		h.takeOver(do, limit, law, s, now)
		h.lookAgain(do, now)
	}
	if piece, near := h.Near(); near {
		do(now, "The core%s is near %s: decide now what to do, not at %s.", of(piece), degrees(warnAt, s), limit)
	}
	slices.SortStableFunc(h.Do, func(a, b Action) int { return a.By.Compare(b.By) })
}

// Near returns the first piece whose 10th percentile has fallen to warnAt.
func (h *Hold) Near() (piece string, near bool) {
	for _, p := range h.Pieces {
		if p.HasLast && p.Now[0] <= warnAt {
			return p.Name, true
		}
	}
	return "", false
}

// lookAgain asks for the next reading: in an hour, or halfway to the early end if that is
// sooner.
func (h *Hold) lookAgain(do func(time.Time, string, ...any), now time.Time) {
	next := now.Add(nextLook)
	if half := now.Add(h.AtLimit.Early.Sub(now) / 2); half.Before(next) {
		next = half
	}
	if next.Before(now) {
		next = now
	}
	do(next.Truncate(time.Minute), "Read the core again. Each reading narrows the range.")
}

// takeOver adds the ways to keep the meat hot or to chill and reheat it, each with the
// latest time to begin.
func (h *Hold) takeOver(do func(time.Time, string, ...any), limit, law string, s journal.Settings, now time.Time) {
	early := h.AtLimit.Early
	by := func(before time.Duration) time.Time {
		t := early.Add(-before)
		if t.Before(now) {
			return now
		}
		return t
	}
	do(by(ovenHot+moving), "Low oven: heat it to %s and put the meat in by %s. Keep a probe in the meat; the core must not fall below %s.", degrees(90, s), measure.FormatTime(by(moving), measure.Clock, s.Units), limit)
	do(by(pitHot+pitWarmed), "The pit again: light it, bring it to %s or above, and put the meat back on by %s.", degrees(105, s), measure.FormatTime(by(pitWarmed), measure.Clock, s.Units))
	whole := time.Duration((safety.WholeCooling + safety.ReheatWithin) * float64(time.Hour))
	cut := h.MealAt.Add(-whole)
	if h.AtLaw.Early.Before(cut) {
		cut = h.AtLaw.Early
	}
	if cut.Before(now) {
		h.note("It is too late to chill and reheat for this meal: cooling may take %.0f h and reheating %.0f h.", safety.WholeCooling, safety.ReheatWithin)
		return
	}
	reheat := h.MealAt.Add(-time.Duration(safety.ReheatWithin * float64(time.Hour)))
	do(cut, "Chill and reheat: take it out of the box while it is above %s and cut it small into open trays. It must be at %s within two hours and at %s within six. From %s on, reheat it to %s within two hours.",
		law, degrees(safety.CoolHalf, s), degrees(safety.ColdHold, s), measure.FormatTime(reheat, measure.Clock, s.Units), degrees(safety.ReheatTo, s))
}
