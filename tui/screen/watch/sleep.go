package watch

import (
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/tui/component/alarm"
	"ashbook/tui/component/entry"
	"ashbook/tui/intent"
	"ashbook/tui/layout"
)

// sleep is the rest of the user who looks after the cook. Until its end, only calls
// that wake ring. It ends with the screen.
type sleep struct {
	from, until time.Time
	// when they lay down, the forecast was that the meat is off before the end of the
	// sleep
	early bool
}

// lieDown asks when to wake the user, or ends the sleep.
func (s *Screen) lieDown() {
	switch {
	case s.bed != nil:
		s.getUp()
	case s.state != nil && s.state.on:
		s.bedding = true
	default:
		s.entry.Tell(entry.Answer{Head: "NOTHING IS ON", Text: "there is nothing to be woken for"})
	}
}

// bedtime carries out intents while the time to wake is typed.
func (s *Screen) bedtime(in intent.Intent) tea.Cmd {
	switch in.Do {
	case intent.Enter:
		at, err := alarm.WakeTime(s.bedLine.Text(), s.now.In(s.state.zone))
		if err != nil {
			return nil // the mistake is shown above the line
		}
		likely := s.state.Forecast.Likely
		s.bed = &sleep{from: s.now, until: at, early: !likely.IsZero() && likely.Before(at)}
		s.bedding = false
		s.bedLine.Set("")
		s.bell.Hush()
	case intent.Back:
		s.bedding = false
	default:
		s.bedLine.Edit(in)
	}
	return nil
}

// getUp ends the sleep and shows once what became due meanwhile.
func (s *Screen) getUp() {
	text := "after " + measure.FormatDuration(s.now.Sub(s.bed.from))
	s.bed = nil
	if s.state.owed && !s.state.check.Due.After(s.now) {
		text += "; " + s.state.check.For + " has been due since " + measure.FormatTime(s.state.check.Due.In(s.state.zone), measure.Clock, s.state.units)
	}
	s.entry.Tell(entry.Answer{Head: "UP AGAIN", Text: text})
	s.bell.Attend(s.now, s.standing(), false, true)
}

// bedLines says what may happen if the user sleeps until the typed time.
func (s *Screen) bedLines(width int) []string {
	text := strings.TrimSpace(s.bedLine.Text())
	if text == "" {
		return layout.Wrap("Wake at what time? Type one such as 04:30, or 3 for three hours. The risk of that is shown here.", width)
	}
	at, err := alarm.WakeTime(text, s.now.In(s.state.zone))
	if err != nil {
		return layout.Wrap("not yet: "+err.Error(), width)
	}
	lines := layout.Wrap("Sleep until "+measure.FormatTime(at, measure.Clock, s.state.units)+", "+measure.FormatDuration(at.Sub(s.now))+" from now.", width)
	return append(lines, layout.Wrap(s.risk(at), width)...)
}

// risk says in a sentence what may happen until then while nobody looks.
func (s *Screen) risk(until time.Time) string {
	st := s.state
	clock := func(t time.Time) string { return measure.FormatTime(t.In(st.zone), measure.Clock, s.state.units) }
	var parts []string
	if chance, ok := st.Forecast.OffBy(until); ok {
		parts = append(parts, "done before "+clock(until)+": "+alarm.InTen(chance))
	}
	if at, ok := st.touched(s.now); ok {
		part := "fire last touched " + clock(at)
		if every := st.Forecast.Hand; every > 0 {
			part += ", your fires usually need you every " + measure.FormatDuration(every)
		}
		parts = append(parts, part)
	}
	if st.owed && st.check.Due.Before(until) {
		does := "rings"
		if !st.check.Due.After(s.now) {
			does = "rings again"
		}
		if st.fed(s.now) {
			does = "waits until then"
		}
		parts = append(parts, "the check due "+clock(st.check.Due)+" ("+st.check.For+") "+does)
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.ToUpper(parts[0][:1]) + strings.Join(parts, "; ")[1:] + "."
}

// touched returns when somebody last worked on the fire.
func (s *state) touched(now time.Time) (time.Time, bool) {
	entries := s.Cook.Cook.Entries
	for i := len(entries) - 1; i >= 0; i-- {
		if entries[i].Time.After(now) {
			continue
		}
		for _, act := range []journal.Act{journal.Vent, journal.AddFuel, journal.AddWood, journal.Lit} {
			if _, ok := entries[i].Item(act); ok {
				return entries[i].Time, true
			}
		}
	}
	return time.Time{}, false
}

// fedFor is how old a probe's last row may be for the probe to count as working
// (chosen: probes write every few minutes, and folders are copied with a delay).
const fedFor = 30 * time.Minute

// fed reports whether a probe writes into this cook. Without one, the screen sees only
// what the user types.
func (s *state) fed(now time.Time) bool {
	times := s.Cook.Cook.Series.Times
	return len(times) > 0 && now.Sub(times[len(times)-1]) <= fedFor
}

// wise says how long nobody needs to look, without a probe: half of the four hours that
// food may be out of temperature control (Food Code 3-501.19), or all four once every
// core is above the hot-holding limit, since then hours are left after the fire goes
// out.
func (s *state) wise() string {
	for _, c := range s.cores {
		if !c.off && (c.at.IsZero() || c.c < journal.SafeHold) {
			return "At a core under " + measure.FormatTemperature(journal.SafeHold, s.units) + " look again within 2 h: nothing here would show that the fire went down."
		}
	}
	return "Look again within 4 h: nothing here would show that the fire went down."
}

// asleepLines is asleep wrapped at width.
func (s *Screen) asleepLines(width int) []string { return layout.Wrap(s.asleep(), width) }

// asleep says how long the user sleeps and until when, the most important first.
func (s *Screen) asleep() string {
	until := measure.FormatTime(s.bed.until.In(s.state.zone), measure.Clock, s.state.units)
	text := "ASLEEP until " + until + ", " + measure.FormatDuration(s.bed.until.Sub(s.now)) + " from now. "
	if s.state.fed(s.now) {
		return text + "Checks are quiet. The fire, a core at its aim, an early end or a lost probe wake you, but only while this window is open."
	}
	return text + "No probe: only the clock and the checks wake you. " + s.state.wise() + " They wake you only while this window is open."
}
