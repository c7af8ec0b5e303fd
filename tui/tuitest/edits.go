package tuitest

import (
	"errors"
	"fmt"
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/journal/shorthand"
	"ashbook/report/page"
	"ashbook/tui/port"
)

// Mending reads a line as the program does.
func (p *Port) Mending(id string, old journal.Entry, now time.Time, line string) port.Understood {
	c, err := p.find(id)
	if err != nil {
		return port.Understood{Err: err}
	}
	l, err := shorthand.Mend(line, old, shorthand.Context{Now: now, Settings: p.Settings, Cook: c})
	if err != nil {
		return port.Understood{Err: err}
	}
	return port.Understood{Text: l.Entry.Time.Format("15:04") + "  " + l.Understood(p.Settings.Units), Flags: l.Flags}
}

// change makes a change to the entries of a cook that Unmend takes back.
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
func (p *Port) Mend(id string, old journal.Entry, line string) (port.Mended, error) {
	m := port.Mended{Was: old}
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

// Drop takes an entry out.
func (p *Port) Drop(id string, old journal.Entry) (port.Mended, error) {
	return port.Mended{Was: old}, p.change(id, old, func(c *journal.Cook, at int) error {
		c.Entries = slices.Delete(c.Entries, at, at+1)
		return nil
	})
}

// Unmend takes the last change back.
func (p *Port) Unmend(id string) (port.Mended, error) {
	c, err := p.find(id)
	n := len(p.changes[id])
	switch {
	case err != nil:
		return port.Mended{}, err
	case n == 0:
		return port.Mended{}, errors.New("nothing was changed here")
	}
	before := p.changes[id][n-1]
	p.changes[id] = p.changes[id][:n-1]
	var m port.Mended
	for _, e := range before {
		if !slices.ContainsFunc(c.Entries, func(o journal.Entry) bool { return o.String() == e.String() }) {
			m.Is = e
		}
	}
	c.Entries = before
	return m, nil
}

// Aside puts a cook aside.
func (p *Port) Aside(id string, aside bool) error {
	c, err := p.find(id)
	if err != nil || p.Fails != nil {
		return errors.Join(err, p.Fails)
	}
	c.Aside = map[bool]string{true: "true"}[aside]
	return nil
}

// Edit answers at once with Edited.
func (p *Port) Edit(id string, done func(port.Edited, error) tea.Msg) tea.Cmd {
	return func() tea.Msg {
		p.Opened = append(p.Opened, id)
		return done(p.Edited, p.Fails)
	}
}

// Versions are those of Past.
func (p *Port) Versions(id string) ([]port.Version, error) {
	_, err := p.find(id)
	return p.Past, err
}

// VersionPage names the version.
func (p *Port) VersionPage(id string, v port.Version) (page.Page, error) {
	changed := page.Section{Heading: "What it changed"}
	for i := range 30 {
		changed.Facts = append(changed.Facts, page.Fact{Name: "in", Value: fmt.Sprintf("change %d of version %d", i+1, v.N)})
	}
	out := page.Page{Title: fmt.Sprintf("%s, version %d", id, v.N), Lead: []string{v.Who + ": " + v.What}}
	out.Add(changed)
	return out, nil
}

// Bring adds a version.
func (p *Port) Bring(_ string, v port.Version) error {
	if p.Fails != nil {
		return p.Fails
	}
	p.Brought = append(p.Brought, v.N)
	n := len(p.Past) + 1
	p.Past = append([]port.Version{{N: n, Hash: fmt.Sprint(n), When: p.Clock, Who: "RT", What: "brought back as of " + v.When.Format("2 Jan 2006 15:04")}}, p.Past...)
	return nil
}

// Hold is Box, with the title of the cook.
func (p *Port) Hold(id string, _ time.Time) (port.Hold, error) {
	c, err := p.find(id)
	if err != nil {
		return port.Hold{}, err
	}
	h := p.Box
	h.Title = c.Name()
	return h, nil
}

// Tasks are Lists.
func (p *Port) Tasks(id string) (port.Tasks, error) {
	c, err := p.find(id)
	if err != nil {
		return port.Tasks{}, err
	}
	return port.Tasks{Title: c.Name(), Serve: c.Serve, All: slices.Clone(p.Lists)}, nil
}

// SetTask ticks a task of Lists.
func (p *Port) SetTask(_ string, t port.Task, done bool) error {
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
