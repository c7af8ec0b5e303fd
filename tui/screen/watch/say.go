package watch

import (
	"strings"
	"time"

	"ashbook/journal/measure"
	"ashbook/tui/backend"
	"ashbook/tui/component/curve"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// Say returns what the screen shows as lines to be heard: the cook, then pit, core,
// when it is ready to take off, next check and last done, then the fire.
func Say(l backend.Loaded, f backend.Forecast) []string {
	s := &Screen{now: l.Now, state: workOut(l, f, curve.Thinned{})}
	st := s.state
	lines := []string{sentence(st.title(wide), measure.FormatTime(s.now.In(st.zone), measure.DayClock, st.units), st.status.String())}

	pit, core, off, check, done := s.pitThing(), s.coreThing(), s.offThing(), s.checkThing(), s.doneThing()
	p := st.cores[st.slowest]
	for _, i := range st.others() {
		o := st.cores[i]
		text := o.piece + " " + s.degrees(o.reading)
		if o.off {
			text += " off"
		}
		core.second = append(core.second, layout.Span{Style: style.Plain, Text: text})
	}
	lines = append(lines, pit.said("Pit "+s.degrees(st.pit), ", "), core.said("Core "+p.piece+" "+s.degrees(p.reading), ", "))

	head := capital(off.label)
	switch early, late, ranged := strings.Cut(off.large, "–"); {
	case off.large == notRead:
	case late == "?":
		head += " from " + early + " on"
	case ranged:
		head += " between " + early + " and " + late
	default:
		head += " " + off.large
	}
	lines = append(lines, off.said(head, ", "))

	head = capital(check.label)
	if left := st.check.Due.Sub(s.now); st.owed && left > 0 {
		head += " " + measure.FormatDuration((left + time.Minute - 1).Truncate(time.Minute))
	} else if st.owed && left <= -time.Minute {
		head += " by " + measure.FormatDuration((-left).Truncate(time.Minute))
	}
	if st.acted {
		done.second = append(done.second, layout.Span{Style: style.Plain, Text: measure.FormatDuration(max(0, s.now.Sub(st.done.Time))) + " ago"})
	}
	lines = append(lines, check.said(head, ": "), done.said("Last done", ": "))
	if f.Care != "" {
		call := "Look: "
		if f.CareNow {
			call = "Do now: "
		}
		lines = append(lines, call+f.Care)
	}
	if f.Fire.Says != "" && st.on {
		lines = append(lines, strings.TrimRight("Fire: "+f.Fire.Says+". "+f.Fire.Caution, ". "))
	}
	if f.Fuel != "" {
		lines = append(lines, "Fuel "+f.Fuel)
	}
	if st.event.Name != "" {
		lines = append(lines, st.told(st.event)+" "+st.event.Usual)
	}
	if st.Waiting != "" {
		lines = append(lines, waiting(st.Waiting))
	}
	return lines
}

// wide has room for any title.
const wide = 1 << 10

func (s *Screen) degrees(r reading) string {
	if r.at.IsZero() {
		return "not read yet"
	}
	return s.number(r.c) + " " + s.unit()
}

// capital returns a label with only its first letter as a capital, to begin a sentence.
func capital(label string) string { return label[:1] + strings.ToLower(label[1:]) }

// said joins a heading and the text rows of a figure into one sentence.
func (t thing) said(head, then string) string {
	var parts []string
	for _, span := range t.second {
		parts = append(parts, span.Text)
	}
	if rest := sentence(parts...); rest != "" {
		head += then + rest
	}
	return sentence(head)
}

// sentence joins the parts that are not empty.
func sentence(parts ...string) string {
	var kept []string
	for _, p := range parts {
		if p = strings.Join(strings.Fields(p), " "); p != "" {
			kept = append(kept, p)
		}
	}
	return strings.Join(kept, "; ")
}
