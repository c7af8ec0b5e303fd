package watch

import (
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/tui/component/alarm"
	"ashbook/tui/layout"
)

// When a cook is certainly done: the chance of that, and how far ahead it is computed
// (chosen).
const (
	surelyOff  = .9
	surelySoon = 15 * time.Minute
)

// standing returns the current calls, most urgent first.
func (s *Screen) standing() []alarm.Call {
	st := s.state
	var all []alarm.Call
	add := func(key, text string, wakes, nags bool) {
		all = append(all, alarm.Call{Key: key, Text: text, Wakes: wakes, Nags: nags})
	}
	clock := func(t time.Time) string { return measure.FormatTime(t.In(st.zone), measure.Clock, st.units) }
	if b := s.bed; b != nil {
		tonight := " " + b.until.Format(time.RFC3339)
		if !s.now.Before(b.until) {
			add("wake"+tonight, clock(b.until)+": time to get up", true, false)
		}
		if likely := st.Forecast.Likely; !b.early && !likely.IsZero() && likely.Before(b.until) && st.off.IsZero() {
			add("early"+tonight, "likely off at "+clock(likely)+", before you are to be woken", true, false)
		}
	}
	if f := st.Forecast.Fire; f.Alert && st.on {
		add("fire "+f.Kind, "fire: "+f.Says, f.Wake, true)
	}
	if care := layout.Sentence(st.Forecast.Care); care != "" && st.on && st.Forecast.CareNow {
		add("care "+care, care, true, false)
	}
	aimed := false
	for i, p := range st.cores {
		if p.off || p.at.IsZero() || !st.on {
			continue
		}
		temp := strings.TrimSpace(p.piece + " " + measure.FormatTemperature(p.c, st.units))
		if st.aimCore != "" && p.c >= st.aimC {
			add("aim "+p.piece, temp+": at its aim, probe it", true, true)
			aimed = true
		} else if w := st.Cook.Cook.Aim.Wrap; w.Kind != journal.NoWrap && w.At.Known && p.c >= w.At.Base && st.bare[i] {
			add("wrap "+p.piece, temp+": time to wrap in "+string(w.Kind), true, false)
		}
	}
	if chance, ok := st.Forecast.OffBy(s.now.Add(surelySoon)); ok && chance >= surelyOff && st.on && !aimed {
		add("done", "probably done by now (9 in 10): probe it", true, false)
	}
	for _, silent := range st.Forecast.Silent {
		add("probe "+silent.Probe, "nothing from the "+silent.Probe+" probe since "+clock(silent.Since), true, false)
	}
	if st.owed && !st.check.Due.After(s.now) {
		add("check "+st.check.Due.Format(time.RFC3339), "check due: "+st.check.For, !st.fed(s.now), true)
	}
	return all
}

// attend rings for the current calls. It does not ring for those that were there when
// the screen was opened or when the user got up.
func (s *Screen) attend() tea.Cmd {
	if s.state == nil {
		return nil
	}
	say := s.bell.Attend(s.now, s.standing(), s.bed != nil, s.present)
	if len(say) == 0 {
		return nil
	}
	return s.client.Alert(strings.Join(say, " · "))
}

// unheard returns the calls for which it rings.
func (s *Screen) unheard() []alarm.Call {
	if s.state == nil {
		return nil
	}
	return s.bell.Unheard(s.standing(), s.bed != nil)
}

// hush takes a key as a sign that somebody is there. woken is true if that ended the
// sleep of a user who was being called.
func (s *Screen) hush() (woken bool) {
	if woken = s.bed != nil && len(s.unheard()) > 0; woken {
		s.getUp()
	}
	s.bell.Hush()
	return woken
}

// callLines returns the calls that nobody has answered, for reading from a distance.
func (s *Screen) callLines(width int) []string {
	var lines []string
	for _, c := range s.unheard() {
		lines = append(lines, layout.Wrap(layout.Tie("COME  ")+c.Text, width)...)
	}
	return lines
}
