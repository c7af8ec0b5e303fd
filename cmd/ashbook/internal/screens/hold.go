package screens

import (
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/hold"
	"ashbook/report/safety"
	"ashbook/tui/backend"
)

func (o *Backend) Hold(id string, now time.Time) (backend.Hold, error) {
	f, err := o.load(id)
	if err != nil {
		return backend.Hold{}, err
	}
	past, err := o.pastCooks()
	if err != nil {
		return backend.Hold{}, err
	}
	settings := o.app.Settings()
	h := hold.Look(&f.Cook, past, settings, now)
	out := holdTold(&h, settings, now)
	out.Title, out.Unsure = f.Cook.Name(), backend.Why(f.Cook.Unsure(now))
	return out, nil
}

// holdTones are the tones for what a hold means for the meal.
var holdTones = map[hold.Meal]backend.Tone{hold.Lasts: backend.Good, hold.May: backend.Careful, hold.Short: backend.Bad, hold.Fallen: backend.Bad}

// holdTold returns what the screen of the box shows: the large text and the lines.
func holdTold(h *hold.Hold, settings journal.Settings, now time.Time) backend.Hold {
	told := h.Tell(settings, now)
	_, near := h.Near()
	out := backend.Hold{
		Stage: string(h.Stage), Units: settings.Units, Answer: told.Answer, Meal: told.Meal, MealTone: holdTones[h.Meal],
		Leftovers: told.Leftovers, Box: told.Box, Near: near,
	}
	for i, f := range told.Do {
		out.Do = append(out.Do, backend.Step{Fact: f, By: h.Do[i].By})
	}
	limit, law := measure.FormatTemperature(h.Limit, settings.Units), measure.FormatTemperature(journal.SafeHold, settings.Units)
	clock := func(t time.Time) string {
		return measure.FormatTime(t.In(now.Location()), measure.Clock, settings.Units)
	}
	hours := measure.FormatHours
	u := h.AtLimit
	switch {
	case h.Stage == hold.StillOn:
		out.Label = "ONCE BOXED, " + limit + " FOR"
		lasting(&out, time.Duration(h.Keeps[1]*float64(time.Hour)))
		rests := "a usual box, since yours has not been used yet"
		if h.Loads > 0 {
			rests = "from " + measure.Count(h.Loads, "past load")
		}
		out.Beside = append(out.Beside, hours(h.Keeps[0])+" – "+hours(h.Keeps[2]), rests)
	case h.Meal == hold.Fallen && h.AtLaw.Known():
		out.Label, out.Large, out.Tone = "BELOW "+law+" SINCE ABOUT", clock(h.AtLaw.Likely), backend.Bad
		out.Beside = []string{clock(h.AtLaw.Early) + " – " + clock(h.AtLaw.Late)}
	case h.Stage == hold.Out:
		holdLeft(&out, h.Left, settings, now)
	case !u.Known():
		out.Label = "NO CORE WAS READ"
	case u.Open && !u.Likely.Before(u.Late):
		out.Label, out.Large = "AT OR ABOVE "+limit+" AT LEAST UNTIL", clock(u.Early)
		out.Beside = []string{u.Early.In(now.Location()).Format("Mon"), "likely a day or more"}
	default:
		out.Label, out.Large, out.Tone = "AT OR ABOVE "+limit+" UNTIL", clock(u.Likely), holdTones[h.Meal]
		late := clock(u.Late)
		if u.Open {
			late = "a day on"
		}
		out.Beside = []string{"± " + hours(max(u.Late.Sub(u.Likely), u.Likely.Sub(u.Early)).Hours()), clock(u.Early) + " – " + late}
		if near {
			out.Tone = backend.Bad
		}
	}
	return out
}

// holdLeft sets the large text for leftovers: the next cooling limit, and the time that
// is left until then.
func holdLeft(out *backend.Hold, l *hold.Leftovers, settings journal.Settings, now time.Time) {
	if l == nil || l.Start.IsZero() {
		out.Label = "NO CORE WAS READ"
		return
	}
	to, by, at := safety.CoolHalf, l.HalfBy, l.HalfAt
	if !at.IsZero() {
		to, by, at = safety.ColdHold, l.ColdBy, l.ColdAt
	}
	out.Label = "AT OR BELOW " + measure.FormatTemperature(to, settings.Units) + " IN"
	left := by.Sub(now)
	switch {
	case !at.IsZero():
		out.Label, out.Large, out.Tone = "COLD SINCE", measure.FormatTime(at.In(now.Location()), measure.Clock, settings.Units), backend.Good
	case left < 0:
		out.Label = "AT OR BELOW " + measure.FormatTemperature(to, settings.Units) + " WAS DUE"
		out.Large, out.Tone = measure.FormatTime(by.In(now.Location()), measure.Clock, settings.Units), backend.Bad
		out.Beside = []string{measure.FormatHours(-left.Hours()) + " ago", "read the core"}
	default:
		lasting(out, left)
		out.Beside = append(out.Beside, "by "+measure.FormatTime(by.In(now.Location()), measure.Clock, settings.Units))
		if left < time.Hour/2 {
			out.Tone = backend.Careful
		}
	}
}

// lasting sets a duration as the large text.
func lasting(out *backend.Hold, d time.Duration) {
	figure, unit := measure.FormatLarge(d)
	out.Large = figure
	if unit != "" {
		out.Beside = []string{unit}
	}
}
