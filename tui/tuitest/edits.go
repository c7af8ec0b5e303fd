package tuitest

import (
	"errors"
	"fmt"
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/shorthand"
	"ashbook/report/page"
	"ashbook/tui/backend"
)

// Mending parses a line as the program does.
func (p *Port) Mending(id string, old journal.Entry, now time.Time, line string) backend.Understood {
	c, err := p.find(id)
	if err != nil {
		return backend.Understood{Err: err}
	}
	l, err := shorthand.Mend(line, old, shorthand.Context{Now: now, Settings: p.Settings, Cook: c})
	if err != nil {
		return backend.Understood{Err: err}
	}
	return backend.Understood{Text: measure.FormatTime(l.Entry.Time, measure.Clock, p.Settings.Units) + "  " + l.Understood(p.Settings.Units), Flags: l.Flags, Left: l.Left}
}

// change changes the entries of a cook. Unmend can undo it.
func (p *Port) change(id string, old journal.Entry, to func(c *journal.Cook, at int) error) error {
	if p.Fails != nil {
		return p.Fails
	}
	c, err := p.find(id)
	if err != nil {
		return err
	}
	at := slices.IndexFunc(c.Entries, func(e journal.Entry) bool { return e.String() == old.String() })
	if at < 0 {
		return errors.New("the entry is not there any more")
	}
	before := slices.Clone(c.Entries)
	if err := to(c, at); err != nil {
		return err
	}
	journal.SortEntries(c.Entries)
	if p.changes == nil {
		p.changes = map[string][][]journal.Entry{}
	}
	p.changes[id] = append(p.changes[id], before)
	return nil
}

// Mend corrects an entry.
func (p *Port) Mend(id string, old journal.Entry, line string) (backend.Mended, error) {
	m := backend.Mended{Was: old}
	err := p.change(id, old, func(c *journal.Cook, at int) error {
		l, err := shorthand.Mend(line, old, shorthand.Context{Now: p.Clock, Settings: p.Settings, Cook: c})
		if err == nil {
			m.Is, m.Flags = l.Entry, l.Flags
			c.Entries[at] = l.Entry
		}
		return err
	})
	return m, err
}

// Drop deletes an entry.
func (p *Port) Drop(id string, old journal.Entry) (backend.Mended, error) {
	return backend.Mended{Was: old}, p.change(id, old, func(c *journal.Cook, at int) error {
		c.Entries = slices.Delete(c.Entries, at, at+1)
		return nil
	})
}

// Unmend undoes the last change.
func (p *Port) Unmend(id string) (backend.Mended, error) {
	c, err := p.find(id)
	n := len(p.changes[id])
	switch {
	case err != nil:
		return backend.Mended{}, err
	case n == 0:
		return backend.Mended{}, errors.New("nothing was changed here")
	}
	before := p.changes[id][n-1]
	p.changes[id] = p.changes[id][:n-1]
	var m backend.Mended
	for _, e := range before {
		if !slices.ContainsFunc(c.Entries, func(o journal.Entry) bool { return o.String() == e.String() }) {
			m.Is = e
		}
	}
	c.Entries = before
	return m, nil
}

// Aside leaves a cook out of reports, or brings it back.
func (p *Port) Aside(id string, aside bool) error {
	c, err := p.find(id)
	if err != nil || p.Fails != nil {
		return errors.Join(err, p.Fails)
	}
	c.Aside = map[bool]string{true: "true"}[aside]
	return nil
}

// Edit answers at once with Edited.
func (p *Port) Edit(id string, done func(backend.Edited, error) tea.Msg) tea.Cmd {
	return func() tea.Msg {
		p.Opened = append(p.Opened, id)
		return done(p.Edited, p.Fails)
	}
}

// Versions returns Past.
func (p *Port) Versions(id string) ([]backend.Version, error) {
	_, err := p.find(id)
	return p.Past, err
}

// VersionPage returns a page that names the version.
func (p *Port) VersionPage(id string, v backend.Version) (page.Page, error) {
	changed := page.Section{Heading: "What it changed"}
	for i := range 30 {
		changed.Facts = append(changed.Facts, page.Fact{Name: "in", Value: fmt.Sprintf("change %d of version %d", i+1, v.N)})
	}
	out := page.Page{Title: fmt.Sprintf("%s, version %d", id, v.N), Lead: []string{v.Who + ": " + v.What}}
	out.Add(changed)
	return out, nil
}

// Bring adds a version.
func (p *Port) Bring(_ string, v backend.Version) error {
	if p.Fails != nil {
		return p.Fails
	}
	p.Brought = append(p.Brought, v.N)
	n := len(p.Past) + 1
	p.Past = append([]backend.Version{{N: n, Hash: fmt.Sprint(n), When: p.Clock, Who: "RT", What: "brought back as of " + measure.FormatTime(v.When, measure.FullClock, p.Settings.Units)}}, p.Past...)
	return nil
}

// Hold returns Box, with the title of the cook.
func (p *Port) Hold(id string, _ time.Time) (backend.Hold, error) {
	c, err := p.find(id)
	if err != nil {
		return backend.Hold{}, err
	}
	h := p.Box
	h.Title, h.Units, h.Unsure = c.Name(), p.Settings.Units, backend.Why(c.Unsure(p.Clock))
	return h, nil
}

// Tasks returns Lists.
func (p *Port) Tasks(id string) (backend.Tasks, error) {
	c, err := p.find(id)
	if err != nil {
		return backend.Tasks{}, err
	}
	return backend.Tasks{Title: c.Name(), Serve: c.Serve, Units: p.Settings.Units, All: slices.Clone(p.Lists)}, nil
}

// SetTask ticks a task of Lists.
func (p *Port) SetTask(_ string, t backend.Task, done bool) error {
	if p.Fails != nil {
		return p.Fails
	}
	for i := range p.Lists {
		if p.Lists[i].Line == t.Line {
			p.Lists[i].Done = done
		}
	}
	return nil
}
