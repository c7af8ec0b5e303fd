package screens

import (
	"fmt"
	"slices"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/history"
	"ashbook/journal/measure"
	"ashbook/journal/shorthand"
	"ashbook/report"
	"ashbook/report/page"
	"ashbook/tui/backend"

	tea "github.com/charmbracelet/bubbletea"
)

func (o *Backend) Mending(id string, old journal.Entry, now time.Time, line string) backend.Understood {
	c := o.remembered(id)
	if c == nil {
		return backend.Understood{}
	}
	settings := o.app.Settings()
	l, err := shorthand.Mend(line, old, shorthand.Context{Now: now, Settings: settings, Cook: c})
	if err != nil {
		return backend.Understood{Err: err}
	}
	at := measure.FormatTime(l.Entry.Time, measure.Clock, settings.Units)
	if l.Entry.Time.Format(time.DateOnly) != old.Time.Format(time.DateOnly) {
		at = measure.FormatTime(l.Entry.Time, measure.DayDateClock, settings.Units)
	}
	return backend.Understood{Text: at + "  " + l.Understood(settings.Units), Flags: l.Flags, Left: l.Left}
}

func (o *Backend) Mend(id string, old journal.Entry, line string) (backend.Mended, error) {
	defer o.writing()()
	return o.mended(o.app.Mend(id, old, line, o.machine.Now()))
}

func (o *Backend) Drop(id string, old journal.Entry) (backend.Mended, error) {
	defer o.writing()()
	return o.mended(o.app.Drop(id, old))
}

func (o *Backend) Settle(id string, other journal.Other, take bool) (backend.Noted, error) {
	defer o.writing()()
	return o.noted(o.app.Settle(id, other, take))
}

// mended remembers the corrected cook, which is needed to read the next entry line, and
// returns what changed.
func (o *Backend) mended(c app.Changed, err error) (backend.Mended, error) {
	if err != nil {
		return backend.Mended{}, err
	}
	o.remember(&c.Cook)
	return backend.Mended{Was: c.Was, Is: c.Is, Flags: c.Flags}, nil
}

func (o *Backend) Unmend(id string) (backend.Mended, error) {
	defer o.writing()()
	c, err := o.app.Unmend(id)
	return backend.Mended{Was: c.Was, Is: c.Is}, err
}

func (o *Backend) Tasks(id string) (backend.Tasks, error) {
	f, err := o.load(id)
	if err != nil {
		return backend.Tasks{}, err
	}
	out := backend.Tasks{Title: f.Cook.Name(), Serve: f.Cook.Serve, Units: o.app.Settings().Units}
	for _, t := range f.Tasks() {
		out.All = append(out.All, backend.Task{Section: t.Section, Text: t.Text, Done: t.Done, Line: t.Line})
	}
	return out, nil
}

func (o *Backend) SetTask(id string, t backend.Task, done bool) error {
	defer o.writing()()
	task := cookfile.Task{Section: t.Section, Text: t.Text, Line: t.Line}
	_, err := o.app.SetTasks(id, app.Tick{Task: task, Done: done})
	return err
}

func (o *Backend) Aside(id string, aside bool) error {
	defer o.writing()()
	_, err := o.app.Aside(id, "", aside)
	return err
}

func (o *Backend) Versions(id string) ([]backend.Version, error) {
	found, err := o.app.Versions(id, o.machine.Now().Location())
	if err != nil {
		return nil, err
	}
	var out []backend.Version
	for i, v := range found.Told {
		out = append(out, backend.Version{N: v.N, Hash: found.All[i].Hash, When: v.When, Who: v.Who, What: v.What, Gone: v.Gone})
	}
	if len(out) > 0 && found.Joined {
		out[0].Now = found.Now
	}
	return out, nil
}

func (o *Backend) VersionPage(id string, v backend.Version) (page.Page, error) {
	found, err := o.app.Versions(id, o.machine.Now().Location())
	if err != nil {
		return page.Page{}, err
	}
	i := slices.IndexFunc(found.All, func(o history.Version) bool { return o.Hash == v.Hash })
	if i < 0 {
		return page.Page{}, fmt.Errorf("version %d: %w", v.N, history.ErrNoVersion)
	}
	changed, back, err := o.app.VersionChanges(id, found, i)
	if err != nil {
		return page.Page{}, err
	}
	return report.OneVersion(id, found.Told[i], changed, back), nil
}

func (o *Backend) Bring(id string, v backend.Version) error {
	defer o.writing()()
	return o.app.Bring(id, v.Hash, "as of "+v.When.Format(measure.FullClock))
}

// Edit opens a cook's file in the user's editor.
func (o *Backend) Edit(id string, done func(backend.Edited, error) tea.Msg) tea.Cmd {
	return func() tea.Msg {
		e, err := o.app.Edit(id)
		if err != nil {
			return done(backend.Edited{}, err)
		}
		run, err := o.machine.Editor(e.File)
		if err != nil {
			return done(backend.Edited{}, err)
		}
		return tea.ExecProcess(run, func(ended error) tea.Msg {
			defer o.writing()()
			got, err := e.Done(run.Args[0], ended)
			out := backend.Edited{Changed: got.Changed, Broken: got.Broken}
			for _, p := range got.Problems { // the user knows which file
				out.Problems = append(out.Problems, p.Within())
			}
			return done(out, err)
		})()
	}
}
