package watch

import (
	"fmt"
	"time"

	"ashbook/journal/measure"
	"ashbook/tui/backend"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// quietFor is how long a remote may be silent before the screen says so (chosen: ten
// syncs).
const quietFor = 10 * time.Minute

// companySaid returns what the others noted last and when the remote last answered, the
// most important first.
func (s *Screen) companySaid() (parts []string) {
	c := s.state.Company
	link := s.linkSaid(c)
	if c.Problem != "" {
		parts = append(parts, link...)
	}
	if len(c.Noted) > 0 {
		parts = append(parts, s.notingSaid(c.Noted[0]))
	}
	for _, k := range c.Clocks {
		parts = append(parts, k.Who+"'s clock is about "+measure.FormatDuration(k.Ahead.Round(time.Minute))+" ahead")
	}
	if c.Problem == "" {
		parts = append(parts, link...)
	}
	return parts
}

// companyLines returns at most most lines about the others. It leaves out what does not
// fit.
func (s *Screen) companyLines(width, most int) (lines []string) {
	const apart = " · "
	for _, p := range s.companySaid() {
		n := len(lines)
		switch {
		case n > 0 && layout.Width(lines[n-1]+apart+p) <= width:
			lines[n-1] += apart + p
		case n < most:
			lines = append(lines, p)
		}
	}
	return lines
}

// notingSaid returns what another person noted and how long ago.
func (s *Screen) notingSaid(n backend.Noting) string {
	ago := "just now"
	if d := s.now.Sub(n.At).Truncate(time.Minute); d > 0 {
		ago = measure.FormatDuration(d) + " ago"
	}
	return n.Who + " " + ago + ": " + n.What
}

// linkSaid returns how much was not sent and when the remote last answered.
func (s *Screen) linkSaid(c backend.Company) (parts []string) {
	if !c.Remote {
		return nil
	}
	clock := func(t time.Time) string { return measure.FormatTime(t.In(s.state.zone), measure.Clock, s.state.units) }
	why := ""
	if c.Problem != "" {
		why = ": " + c.Problem
	}
	if c.NotSent > 0 {
		said := fmt.Sprintf("%d not sent", c.NotSent)
		if why != "" && !c.Since.IsZero() {
			said += " since " + clock(c.Since)
		}
		parts, why = append(parts, said+why), ""
	}
	switch old := s.now.Sub(c.Heard); {
	case c.Heard.IsZero():
		parts = append(parts, "not reached yet"+why)
	case old > quietFor:
		parts = append(parts, "not reached since "+clock(c.Heard)+why)
	default:
		parts = append(parts, "last heard "+clock(c.Heard)+why)
	}
	return parts
}

// companyStyle returns a quiet style unless there is a problem.
func (s *Screen) companyStyle() style.Style {
	if c := s.state.Company; c.Problem != "" || len(c.Clocks) > 0 || c.Remote && s.now.Sub(c.Heard) > quietFor {
		return style.Mind
	}
	return style.Quiet
}

// companyRows returns the largest number of rows for companyLines.
func (s *Screen) companyRows() int {
	if s.h >= 24 || s.companyStyle() == style.Mind {
		return 2
	}
	return 1
}

// SayCompany returns all of companySaid as lines, to be heard.
func SayCompany(c backend.Cook, now time.Time) []string {
	s := &Screen{now: now, state: &state{Cook: c, zone: zone(c, now)}}
	return s.companySaid()
}
