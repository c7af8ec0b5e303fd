package screens

import (
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/report/fire"
	"ashbook/report/forecast"
	"ashbook/report/pitbook"
	"ashbook/tui/backend"
)

// Mark returns the state of the cook's files without reading them.
func (o *Backend) Mark(id string) (backend.Mark, error) {
	m, err := o.app.Folder().Mark(id)
	return backend.Mark(m + o.app.Folder().Waiting() + o.app.CompanyMark()), err
}

// companyOf returns in words what is known about the other people who note in a cook.
func (o *Backend) companyOf(f cookfile.File, now time.Time) backend.Company {
	c := o.app.Company(f, now)
	out := backend.Company{Remote: c.Remote, Heard: c.Sync.LastHeard, NotSent: c.Sync.NotSent, Since: c.Sync.Since, Problem: c.Sync.Problem}
	for _, n := range c.Noted {
		signed := func(it journal.Item) bool { return it.Act == journal.By } // a name is shown already
		n.Entry.Items = slices.DeleteFunc(slices.Clone(n.Entry.Items), signed)
		out.Noted = append(out.Noted, backend.Noting{Who: n.Who, At: n.Entry.Time, What: n.Entry.Body()})
	}
	for _, k := range c.Clocks {
		out.Clocks = append(out.Clocks, backend.Clocked{Who: k.Who, Ahead: k.Ahead})
	}
	return out
}

// usualFire is how the user's fires in a pit usually behave.
type usualFire struct {
	fire.Usual
	book pitbook.Book
}

// usualFire learns, once a run, how the user's fires in a pit usually behave.
func (o *Backend) usualFire(x *forecast.Experience, p journal.Pit) usualFire {
	o.mu.Lock()
	u, ok := o.fires[p.Name]
	o.mu.Unlock()
	if ok {
		return u
	}
	past := x.Cooks()
	file := map[string]journal.Pit{p.Name: p}
	u = usualFire{fire.UsualOf(past, p), pitbook.Of(pitbook.ReadAll(past, file), file, p.Name)}
	if back := u.book.Recovery; back.Own() {
		u.Back = time.Duration(back.High * float64(time.Minute))
	}
	o.mu.Lock()
	o.fires[p.Name] = u
	o.mu.Unlock()
	return u
}

// pit returns the pit of a cook; if the journal has no file for it, one with only its
// name.
func (o *Backend) pit(c *journal.Cook) journal.Pit {
	if p, ok := o.app.Pits()[c.Pit]; ok {
		return p
	}
	return journal.Pit{Name: c.Pit}
}
