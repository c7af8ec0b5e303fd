// Package alarm decides when to ring for a call: once when it begins, and again until
// somebody is there. While the person sleeps, only calls that wake ring.
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

// Call is something the person must come for.
type Call struct {
	Key   string // the same for as long as it is the same thing
	Text  string
	Wakes bool // worth a night's sleep
	Nags  bool // rings again while it lasts, although it was heard
}

// How often a call rings (chosen: reliable, and quiet as soon as somebody is there).
const (
	every   = 5 * time.Minute  // until a key is pressed
	asleep  = time.Minute      // the same for a sleeper
	nagging = 30 * time.Minute // heard, and still nothing done
	forget  = 30 * time.Minute // gone for so long it is a new one when it comes back
)

// Bell remembers what it has rung for. The zero Bell has rung for nothing.
type Bell struct{ rung map[string]*rung }

// rung is a call that was rung for.
type rung struct {
	at    time.Time // last
	heard bool      // somebody has been there since
	gone  time.Time // when it ended; zero: it lasts
}

// Attend takes the current calls and returns the texts to ring for. Only calls that wake
// ring for a sleeper. A call that begins while somebody is present does not ring: they can
// see it.
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

// Unheard are the calls that ring.
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

// WakeTime reads when to wake somebody: a time of day ("04:30", "430"), or a length of
// time ("90 min"; a bare number is hours). It must be at least a minute and at most
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
			return at, fmt.Errorf("%q: expected such as 04:30, or 3 for three hours", text)
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

// clockOf reads a time of day, the colon left out or not.
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

// InTen says a chance, 0 to 1, the way it is felt.
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
