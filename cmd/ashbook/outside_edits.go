package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/history"
	"ashbook/journal/measure"
	"ashbook/journal/shorthand"
	"ashbook/report"
	"ashbook/report/frame"
	"ashbook/report/hold"
	"ashbook/report/page"
	"ashbook/report/safety"
	"ashbook/tui/backend"

	tea "github.com/charmbracelet/bubbletea"
)

func (o *outside) Mending(id string, old journal.Entry, now time.Time, line string) backend.Understood {
	c := o.remembered(id)
	if c == nil {
		return backend.Understood{}
	}
	settings := o.use.Settings()
	l, err := shorthand.Mend(line, old, shorthand.Context{Now: now, Settings: settings, Cook: c})
	if err != nil {
		return backend.Understood{Err: err}
	}
	at := l.Entry.Time.Format("15:04")
	if l.Entry.Time.Format(time.DateOnly) != old.Time.Format(time.DateOnly) {
		at = l.Entry.Time.Format("Mon 2 Jan 15:04")
	}
	return backend.Understood{Text: at + "  " + l.Understood(settings.Units), Flags: l.Flags}
}

func (o *outside) Mend(id string, old journal.Entry, line string) (backend.Mended, error) {
	defer o.writing()()
	return o.mended(o.use.Mend(id, old, line, o.clock()))
}

func (o *outside) Drop(id string, old journal.Entry) (backend.Mended, error) {
	defer o.writing()()
	return o.mended(o.use.Drop(id, old))
}

// mended remembers a cook as it was saved.
func (o *outside) mended(c app.Changed, err error) (backend.Mended, error) {
	if err != nil {
		return backend.Mended{}, err
	}
	o.remember(&c.Cook)
	return backend.Mended{Was: c.Was, Is: c.Is, Flags: c.Flags}, nil
}

func (o *outside) Unmend(id string) (backend.Mended, error) {
	defer o.writing()()
	c, err := o.use.Unmend(id)
	return backend.Mended{Was: c.Was, Is: c.Is}, err
}

func (o *outside) Tasks(id string) (backend.Tasks, error) {
	f, err := o.load(id)
	if err != nil {
		return backend.Tasks{}, err
	}
	out := backend.Tasks{Title: f.Cook.Name(), Serve: f.Cook.Serve}
	for _, t := range f.Tasks() {
		out.All = append(out.All, backend.Task{Section: t.Section, Text: t.Text, Done: t.Done, Line: t.Line})
	}
	return out, nil
}

func (o *outside) SetTask(id string, t backend.Task, done bool) error {
	defer o.writing()()
	task := cookfile.Task{Section: t.Section, Text: t.Text, Line: t.Line}
	_, err := o.use.SetTasks(id, app.Tick{Task: task, Done: done})
	return err
}

func (o *outside) Hold(id string, now time.Time) (backend.Hold, error) {
	f, err := o.load(id)
	if err != nil {
		return backend.Hold{}, err
	}
	past, err := o.pastCooks()
	if err != nil {
		return backend.Hold{}, err
	}
	settings := o.use.Settings()
	h := hold.Look(&f.Cook, past, settings, now)
	out := holdTold(&h, settings, now)
	out.Title = f.Cook.Name()
	return out, nil
}

// tones of what a hold means for the meal.
var holdTones = map[hold.Meal]backend.Tone{hold.Lasts: backend.Good, hold.May: backend.Careful, hold.Short: backend.Bad, hold.Fallen: backend.Bad}

// holdTold is a hold for the screen: its figure, and what the page says.
func holdTold(h *hold.Hold, settings journal.Settings, now time.Time) backend.Hold {
	told := h.Tell(settings, now)
	_, near := h.Near()
	out := backend.Hold{
		Stage: string(h.Stage), Answer: told.Answer, Meal: told.Meal, MealTone: holdTones[h.Meal],
		Leftovers: told.Leftovers, Box: told.Box, Near: near,
	}
	for i, f := range told.Do {
		out.Do = append(out.Do, backend.Step{Fact: f, By: h.Do[i].By})
	}
	limit, law := measure.FormatTemperature(h.Limit, settings.Units), measure.FormatTemperature(journal.SafeHold, settings.Units)
	clock := func(t time.Time) string { return t.In(now.Location()).Format("15:04") }
	hours := func(v float64) string { return frame.FormatHours(v) }
	u := h.AtLimit
	switch {
	case h.Stage == hold.StillOn:
		out.Label, out.Large = "ONCE BOXED, "+limit+" FOR", figureHours(h.Keeps[1])
		rests := "any box; yours has no history"
		if h.Loads > 0 {
			rests = "from " + page.Count(h.Loads, "past load")
		}
		out.Beside = []string{hours(h.Keeps[0]) + " – " + hours(h.Keeps[2]), rests}
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

// holdLeft is the figure of what is left over: the next limit of cooling, and how
// long there is until then.
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
		out.Label, out.Large, out.Tone = "COLD SINCE", at.In(now.Location()).Format("15:04"), backend.Good
	case left < 0:
		out.Label = "AT OR BELOW " + measure.FormatTemperature(to, settings.Units) + " WAS DUE"
		out.Large, out.Tone = by.In(now.Location()).Format("15:04"), backend.Bad
		out.Beside = []string{frame.FormatHours(-left.Hours()) + " ago", "read the core"}
	default:
		out.Large = figureHours(left.Hours())
		out.Beside = []string{"by " + by.In(now.Location()).Format("15:04")}
		if left < time.Hour/2 {
			out.Tone = backend.Careful
		}
	}
}

// figureHours prints hours for a large figure: "1h20".
func figureHours(h float64) string {
	m := int(math.Round(h * 60))
	return fmt.Sprintf("%dh%02d", m/60, m%60)
}

func (o *outside) Aside(id string, aside bool) error {
	defer o.writing()()
	_, err := o.use.Aside(id, "", aside)
	return err
}

func (o *outside) Versions(id string) ([]backend.Version, error) {
	found, err := o.use.Versions(id, o.clock().Location())
	if err != nil {
		return nil, err
	}
	var out []backend.Version
	for i, v := range found.Told {
		out = append(out, backend.Version{N: v.N, Hash: found.All[i].Hash, When: v.When, Who: v.Who, What: v.What, Gone: v.Gone})
	}
	return out, nil
}

func (o *outside) VersionPage(id string, v backend.Version) (page.Page, error) {
	found, err := o.use.Versions(id, o.clock().Location())
	if err != nil {
		return page.Page{}, err
	}
	i := slices.IndexFunc(found.All, func(o history.Version) bool { return o.Hash == v.Hash })
	if i < 0 {
		return page.Page{}, fmt.Errorf("version %d: %w", v.N, history.ErrNoVersion)
	}
	changed, back, err := o.use.VersionChanges(id, found, i)
	if err != nil {
		return page.Page{}, err
	}
	return report.OneVersion(id, found.Told[i], changed, back), nil
}

func (o *outside) Bring(id string, v backend.Version) error {
	defer o.writing()()
	return o.use.Bring(id, v.Hash, v.When)
}

func (o *outside) Edit(id string, done func(backend.Edited, error) tea.Msg) tea.Cmd {
	return func() tea.Msg {
		run, err := openEditor(o.program.getenv, o.use, id)
		if err != nil {
			return done(backend.Edited{}, err)
		}
		run.cmd.Stdin = o.program.in // the terminal itself, not what the screens read it through
		return tea.ExecProcess(run.cmd, func(err error) tea.Msg {
			defer o.writing()()
			got, err := run.takeIn(o.use, err)
			for i, p := range got.Problems { // the person knows which file
				if _, place, ok := strings.Cut(p, ".md:"); ok {
					got.Problems[i] = "line " + place
				}
			}
			return done(got, err)
		})()
	}
}
