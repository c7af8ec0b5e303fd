package workback

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/tui/backend"
)

var names = [backend.Fields]string{backend.Serve: "serve", backend.Heads: "heads", backend.Cut: "cut", backend.Pit: "pit", backend.AimPit: "pit at", backend.Wrap: "wrap"}

// value returns a field as it is typed.
func (s *Screen) value(f backend.Field) string {
	m := s.meal
	switch f {
	case backend.Serve:
		return measure.FormatTime(m.Serve, measure.Stamp, s.kitchen.Units)
	case backend.Heads:
		return m.Heads
	case backend.Cut:
		return m.Cut
	case backend.Pit:
		return m.Pit
	case backend.AimPit:
		return m.AimPit
	}
	return m.Wrap
}

// shown returns a field as it is displayed.
func (s *Screen) shown(f backend.Field) string {
	switch text := s.value(f); {
	case f == backend.Serve:
		return measure.FormatTime(s.meal.Serve, measure.DayDateClock, s.kitchen.Units)
	case text != "":
		return text
	case f == backend.AimPit && s.worked != nil:
		at := measure.FormatTemperature(s.worked.AimPit, s.kitchen.Units)
		if s.worked.Usual {
			return at + ", as usual"
		}
		return at + ", a guess"
	case f == backend.AimPit:
		return "as usual"
	case f == backend.Pit:
		return "any"
	case f == backend.Wrap:
		return "none"
	}
	return ""
}

// serveStep is how far one key moves the meal.
const serveStep = 30 * time.Minute

// step returns the meal with the chosen field one step down or up.
func (s *Screen) step(by int) backend.Meal {
	m := s.meal
	switch s.field {
	case backend.Serve:
		m.Serve = m.Serve.Add(time.Duration(by) * serveStep)
	case backend.Heads:
		first, rest, more := strings.Cut(m.Heads, ",")
		n, _ := strconv.Atoi(strings.TrimSpace(first))
		m.Heads = strconv.Itoa(max(1, n+by))
		if more {
			m.Heads += "," + rest
		}
	case backend.Cut:
		m.Cut = next(s.kitchen.Cuts, m.Cut, by)
	case backend.Pit:
		m.Pit, m.Fits = next(s.kitchen.Pits, m.Pit, by), ""
	case backend.AimPit:
		m.AimPit = s.warmer(by)
	case backend.Wrap:
		kinds := []string{""}
		for _, w := range journal.Wraps {
			kinds = append(kinds, string(w))
		}
		kind, _, _ := strings.Cut(m.Wrap, " ")
		m.Wrap = next(kinds, kind, by)
	}
	return m
}

// next returns the neighbour of a word in a list whose end leads to its start.
func next(all []string, now string, by int) string {
	if len(all) == 0 {
		return now
	}
	i := slices.Index(all, now)
	if i < 0 {
		return all[0]
	}
	return all[(i+by+len(all))%len(all)]
}

// warmer returns the pit temperature by steps of 5 °C, or of 10 °F.
func (s *Screen) warmer(by int) string {
	sys := s.kitchen.Units
	celsius := 110.0
	if s.worked != nil {
		celsius = s.worked.AimPit
	}
	if t, err := measure.ParseTemperature(s.meal.AimPit, sys); err == nil && s.meal.AimPit != "" {
		celsius = t.Base
	}
	u, each := measure.Degrees(0, sys).Unit, 5.0
	if sys == measure.US {
		each = 10
	}
	n := u.From(celsius) / each
	up := math.Floor(n+1e-6) + 1
	if by < 0 {
		up = math.Ceil(n-1e-6) - 1
	}
	return fmt.Sprintf("%.0f %s", up*each, u.Symbol)
}
