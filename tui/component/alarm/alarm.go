// Package alarm decides when a call rings: once when it begins, and again until
// somebody is there. While the user sleeps, only calls that wake ring.
package alarm

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// Call is something for which the user should come.
type Call struct {
	Key   string // identifies the call while it lasts
	Text  string
	Wakes bool // it is worth waking somebody
	Nags  bool // it rings again while it lasts, even after it was heard
}

// How often a call rings (chosen: hard to miss, and quiet as soon as somebody is
// there).
const (
	every   = 5 * time.Minute  // until a key is pressed
	asleep  = time.Minute      // the same while the user sleeps
	nagging = 30 * time.Minute // after it was heard, while nothing is done
	forget  = 30 * time.Minute // a call that ended longer ago counts as new when it comes back
)

// Bell remembers the calls that rang. The zero Bell has not rung yet.
type Bell struct{ rung map[string]*rung }

// rung is a call that rang.
type rung struct {
	at    time.Time // when it last rang
	heard bool      // somebody has been there since
	gone  time.Time // when it ended; zero while it lasts
}

// Attend takes the current calls and returns the texts for which to ring. For a
// sleeper, only calls that wake ring. A call that begins while somebody is present does
// not ring, since they can see it.
func (b *Bell) Attend(now time.Time, calls []Call, sleeping, present bool) []string {
	if b.rung == nil {
		b.rung = map[string]*rung{}
	}
	var say []string
	stands := map[string]bool{}
	for _, c := range calls {
		if sleeping && !c.Wakes {
			continue
		}
		stands[c.Key] = true
		r, known := b.rung[c.Key]
		if !known {
			b.rung[c.Key] = &rung{at: now, heard: present}
			if !present {
				say = append(say, c.Text)
			}
			continue
		}
		r.gone = time.Time{}
		wait := every
		switch {
		case r.heard && !c.Nags:
			continue
		case r.heard:
			wait = nagging
		case sleeping:
			wait = asleep
		}
		if now.Sub(r.at) >= wait {
			r.at, r.heard = now, present
			if !present {
				say = append(say, c.Text)
			}
		}
	}
	for key, r := range b.rung {
		switch {
		case stands[key]:
		case r.gone.IsZero():
			r.gone = now
		case now.Sub(r.gone) >= forget:
			delete(b.rung, key)
		}
	}
	return say
}

// Unheard returns the calls for which it still rings.
func (b *Bell) Unheard(calls []Call, sleeping bool) []Call {
	var all []Call
	for _, c := range calls {
		if r, ok := b.rung[c.Key]; ok && !r.heard && (!sleeping || c.Wakes) {
			all = append(all, c)
		}
	}
	return all
}

// Hush records that somebody is there.
func (b *Bell) Hush() {
	for _, r := range b.rung {
		r.heard = true
	}
}

// longestSleep is longer than anyone leaves a fire (chosen).
const longestSleep = 16 * time.Hour

// WakeTime parses when to wake somebody: a time of day ("04:30", "430"), or a duration
// ("90 min"; a bare number is in hours). It must be at least a minute and at most
// sixteen hours after now.
func WakeTime(text string, now time.Time) (time.Time, error) {
	text = strings.ToLower(strings.TrimSpace(text))
	var at time.Time
	if h, m, ok := clockOf(text); ok {
		at = journal.ClockAfter(now, h, m, now.Location())
	} else {
		if n, err := strconv.ParseFloat(text, 64); err == nil && !math.IsNaN(n) {
			text += " h"
		}
		d, err := measure.ParseSpan(text)
		if err != nil || d.Base <= 0 {
			return at, fmt.Errorf("%q: expected a time such as 04:30, or 3 for three hours", text)
		}
		at = now.Add(measure.Duration(d))
	}
	switch d := at.Sub(now); {
	case d > longestSleep:
		return at, fmt.Errorf("%q: expected at most %d h from now; no fire is left alone for longer", text, int(longestSleep.Hours()))
	case d < time.Minute:
		return at, fmt.Errorf("%q: expected a time in the future", text)
	}
	return at, nil
}

// clockOf parses a time of day with or without a colon.
func clockOf(text string) (h, m int, ok bool) {
	text = strings.Replace(text, ".", ":", 1)
	if n := len(text); (n == 3 || n == 4) && !strings.Contains(text, ":") {
		text = text[:n-2] + ":" + text[n-2:]
	}
	if strings.HasSuffix(text, "m") || strings.Contains(text, ":") && len(text) > 3 {
		return journal.ReadClock(text)
	}
	return 0, 0, false
}

// InTen puts a chance, 0 to 1, into words.
func InTen(chance float64) string {
	switch n := int(math.Round(10 * chance)); {
	case chance < .05:
		return "under 1 in 20"
	case n >= 10:
		return "nearly sure"
	default:
		return fmt.Sprintf("%d in 10", max(1, n))
	}
}
