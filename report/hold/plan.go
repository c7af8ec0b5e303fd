package hold

import (
	"fmt"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/safety"
)

// How long what takes over takes to be ready (common practice, no source), and
// at how many degrees the person is warned (three over the usual limit, chosen).
const (
	ovenHot   = 40 * time.Minute // heating up, and the door
	moving    = 10 * time.Minute
	pitHot    = 75 * time.Minute // lit, settled
	pitWarmed = 15 * time.Minute
	warnAt    = 63.0
	nextLook  = time.Hour
)

// plan fills in what to do.
func (h *Hold) plan(s journal.Settings, now time.Time) {
	do := func(by time.Time, format string, args ...any) {
		h.Do = append(h.Do, Action{by, fmt.Sprintf(format, args...)})
	}
	limit, law := degrees(h.Limit, s), degrees(journal.SafeHold, s)
	switch h.Stage {
	case StillOn, Out:
		return
	case Resting:
		do(time.Time{}, "Let it stand uncovered until the core stops rising and the steam is gone, 10 to 20 minutes; a closed box goes on cooking it. Then wrap, box, and read the core as it goes in.")
	}
	if p, ok := h.unread(); ok {
		text := "Read it now: the core of every piece, in the thickest part."
		if p.Unread.Hours() > safety.FourHours {
			text = fmt.Sprintf("Read it now. Unless a reading shows %s or above, throw it out.", law)
		}
		do(now, "%s", text)
		return
	}
	switch h.Meal {
	case Fallen:
		do(time.Time{}, "It was read below %s: serve it or throw it away within four hours of when it fell, and do not put it back to hold. The local code may give less.", law)
		return
	case NoAnswer:
		do(now, "Read the core of every piece in the box now; two readings an hour apart tell how it cools.")
		return
	case NoMeal, Lasts:
		h.lookAgain(do, now)
	case May, Short:
		h.takeOver(do, limit, law, s, now)
		h.lookAgain(do, now)
	}
	if piece, near := h.Near(); near {
		do(now, "It is near %s%s: decide now, not at %s.", degrees(warnAt, s), of(piece), limit)
	}
	slices.SortStableFunc(h.Do, func(a, b Action) int { return a.By.Compare(b.By) })
}

// Near reports the first piece that may have come down to where the person is
// warned, three degrees over the usual limit.
func (h *Hold) Near() (piece string, near bool) {
	for _, p := range h.Pieces {
		if p.HasLast && p.Now[0] <= warnAt {
			return p.Name, true
		}
	}
	return "", false
}

// lookAgain asks for the next reading: in an hour, or halfway to the early end.
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

// takeOver says what can take the meat over before the early end of the range,
// and until when there is time for it.
func (h *Hold) takeOver(do func(time.Time, string, ...any), limit, law string, s journal.Settings, now time.Time) {
	early := h.AtLimit.Early
	by := func(before time.Duration) time.Time {
		t := early.Add(-before)
		if t.Before(now) {
			return now
		}
		return t
	}
	do(by(ovenHot+moving), "Low oven: light it, at %s, for the meat to be in it by %s. Keep a probe in; it must not fall below %s.", degrees(90, s), measure.FormatTime(by(moving), measure.Clock, s.Units), limit)
	do(by(pitHot+pitWarmed), "The pit again: light it, for the meat to be on again by %s at %s or over.", measure.FormatTime(by(pitWarmed), measure.Clock, s.Units), degrees(105, s))
	whole := time.Duration((safety.WholeCooling + safety.ReheatWithin) * float64(time.Hour))
	cut := h.MealAt.Add(-whole)
	if h.AtLaw.Early.Before(cut) {
		cut = h.AtLaw.Early
	}
	if cut.Before(now) {
		h.note("It is too late to chill and reheat for this meal: cooling may take %.0f h and reheating %.0f.", safety.WholeCooling, safety.ReheatWithin)
		return
	}
	reheat := h.MealAt.Add(-time.Duration(safety.ReheatWithin * float64(time.Hour)))
	do(cut, "Chill and reheat: out of the box while it is over %s, cut small into open trays; %s two hours later, %s six hours later; from %s on reheat to %s, within two hours.",
		law, degrees(safety.CoolHalf, s), degrees(safety.ColdHold, s), measure.FormatTime(reheat, measure.Clock, s.Units), degrees(safety.ReheatTo, s))
}
