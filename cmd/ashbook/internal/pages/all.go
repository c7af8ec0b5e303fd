package pages

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"path"
	"slices"
	"strings"
	"sync"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/report/drivers"
	"ashbook/report/forecast"
	"ashbook/report/page"
	"ashbook/report/page/html"
	"ashbook/report/photo"
)

// Options are the settings of a folder of pages.
type Options struct {
	Private, NoPhotos bool
	Paper             string // size of paper; "" for the browser's
	Build             string // identifies the program; another build makes every page again
	Anew              bool   // make every page again
	Now               time.Time
	Make              func() (*Maker, error)
	Writing           app.Progress // may be nil
}

// WriteAll writes every page into a folder, with an index and links between them. It
// leaves a page unchanged if its sources have not changed. It returns how many pages it
// wrote and how many it left. It calls Make once, before the first page it writes. It
// fails with NotOurs if a file of such a name exists that ashbook did not write.
func WriteAll(ctx context.Context, a *app.App, dir string, o Options) (wrote, left int, err error) {
	cooks, _, err := a.Folder().List(ctx)
	if err != nil {
		return 0, 0, err
	}
	set, err := openOwn(dir, html.First)
	if err != nil {
		return 0, 0, err
	}
	set.anew = o.Anew
	all := &allPages{
		Options: o, ctx: ctx, app: a, set: set,
		cooks: slices.DeleteFunc(cooks, func(s folder.Summary) bool { return s.Broken || s.Finish.IsZero() && s.OpenTo.IsZero() }),
	}
	all.Make = sync.OnceValues(o.Make)
	if err := all.write(); err != nil {
		return 0, 0, errors.Join(err, set.stop())
	}
	wrote, kept := set.counts()
	return wrote, kept, set.close()
}

// allPages is one run of WriteAll.
type allPages struct {
	Options
	ctx   context.Context
	app   *app.App
	set   *ownFiles
	cooks []folder.Summary // finished, running, or with no end noted; newest first
}

// from returns a function that makes a page; the first call reads the journal.
func (p *allPages) from(make func(*Maker) (page.Page, error), foot ...string) func() ([]byte, error) {
	return func() ([]byte, error) {
		m, err := p.Make()
		if err != nil {
			return nil, err
		}
		out, err := make(m)
		return html.Render(out, p.foot(foot...)), err
	}
}

func (p *allPages) write() error {
	general := key(p.Build, p.app.Settings(), p.app.Pits(), p.Private, p.NoPhotos, p.Paper)
	marks := make([]string, len(p.cooks))
	pictures := map[string]string{} // mark of its pictures, by folder
	for i, s := range p.cooks {
		mark, err := p.app.Folder().Mark(s.ID)
		if err != nil {
			return err
		}
		dir := path.Dir(s.Path)
		if _, ok := pictures[dir]; !ok && !p.NoPhotos {
			pictures[dir] = p.app.Folder().PicturesMark(dir, photo.Named)
		}
		marks[i] = key(mark, s.ID, s.Name(), pictures[dir])
		if s.Running(p.Now) {
			marks[i] = key(marks[i], p.Now.Format(measure.FullClock)) // its page shows how far it is
		}
	}
	if err := forecast.Each(p.ctx, len(p.cooks), p.Writing, func(i int) error { return p.cook(i, general, marks) }); err != nil {
		return err
	}
	index := page.Page{Title: "Cooks", Lead: []string{p.span()}}
	index.Add(p.running())
	var years, finished []string // years and marks of finished cooks
	for i := 0; i < len(p.cooks); {
		year, from, before := p.cooks[i].Date.Year(), i, len(finished)
		for ; i < len(p.cooks) && p.cooks[i].Date.Year() == year; i++ {
			if !p.cooks[i].Finish.IsZero() {
				finished = append(finished, marks[i])
			}
		}
		index.Add(p.listed(year, p.cooks[from:i]))
		if len(finished) == before {
			continue
		}
		years = append(years, fmt.Sprint(year))
		if err := p.set.page(fmt.Sprint(year), key(general, finished[before:]), p.from(func(m *Maker) (page.Page, error) {
			return m.Year(p.ctx, year)
		}, link("index", "all cooks"))); err != nil {
			return err
		}
	}
	return p.rest(index, years, key(general, finished))
}

// cook writes the page of cook i.
func (p *allPages) cook(i int, general string, marks []string) error {
	var links []string
	near := []string{general, marks[i]}
	if i+1 < len(p.cooks) {
		links = append(links, link(p.cooks[i+1].ID, "before: "+p.cooks[i+1].Name()))
		near = append(near, p.cooks[i+1].ID, p.cooks[i+1].Name())
	}
	if i > 0 {
		links = append(links, link(p.cooks[i-1].ID, "after: "+p.cooks[i-1].Name()))
		near = append(near, p.cooks[i-1].ID, p.cooks[i-1].Name())
	}
	return p.set.page(p.cooks[i].ID, key(near), p.from(func(m *Maker) (page.Page, error) {
		f, err := p.app.Load(p.cooks[i].ID)
		if err != nil {
			return page.Page{}, err
		}
		return m.Cook(p.ctx, f)
	}, append(links, link("index", "all cooks"))...))
}

// rest writes the pages about all finished cooks, and the index.
func (p *allPages) rest(index page.Page, years []string, from string) error {
	home := link("index", "all cooks")
	if err := p.set.page("matters", from, p.from(func(m *Maker) (page.Page, error) { return m.Matters(p.ctx, drivers.Time) }, home)); err != nil {
		return err
	}
	if err := p.set.page("pits", from, p.from(func(m *Maker) (page.Page, error) { return m.Pits(), nil }, home)); err != nil {
		return err
	}
	var links []string
	for _, y := range years {
		links = append(links, link(y, "the year "+y))
	}
	links = append(links, link("matters", "what changes the time"), link("pits", "the pits"))
	data := html.Render(index, html.Options{Paper: p.Paper, Top: []string{nav(links)}})
	return p.set.page("index", key(data), func() ([]byte, error) { return data, nil })
}

// span says how many cooks there are and from which years.
func (p *allPages) span() string {
	n := len(p.cooks)
	out := measure.Count(n, "cook")
	if n > 0 {
		last, first := p.cooks[0].Date.Year(), p.cooks[n-1].Date.Year()
		if out += fmt.Sprintf(", %d", first); last > first {
			out += fmt.Sprintf(" to %d", last)
		}
	}
	return out + "."
}

// running returns the section of running cooks, the first of the index.
func (p *allPages) running() page.Section {
	out := page.Section{Heading: "On the fire"}
	out.Table.Columns = []page.Column{{Title: "since"}, {Title: "cook"}, {Title: "cut"}, {Title: "meal", Right: true}}
	for _, s := range p.cooks {
		if !s.Running(p.Now) {
			continue
		}
		since, meal := "lit", "–"
		if !s.On.IsZero() {
			since = measure.FormatTime(s.On, measure.DayClock, p.app.Settings().Units)
		}
		if !s.Serve.IsZero() {
			meal = measure.FormatTime(s.Serve, measure.DayClock, p.app.Settings().Units)
		}
		out.Table.Rows = append(out.Table.Rows, row(s, since, s.Name(), s.Cut, meal))
	}
	return out
}

// listed returns the index's section of a year, without running cooks.
func (p *allPages) listed(year int, cooks []folder.Summary) page.Section {
	out := page.Section{Heading: fmt.Sprint(year)}
	out.Table.Columns = []page.Column{{Title: "day"}, {Title: "cook"}, {Title: "cut"}, {Title: "liked", Right: true}}
	for _, s := range cooks {
		name, liked := s.Name(), "–"
		switch {
		case s.Running(p.Now):
			continue
		case s.Finish.IsZero():
			name += " (end not noted)"
		case s.Eaters > 0:
			liked = fmt.Sprintf("%.1f", s.Score)
		}
		out.Table.Rows = append(out.Table.Rows, row(s, s.Date.Format("2 Jan"), name, s.Cut, liked))
	}
	return out
}

// row returns a line of the index with a link to the page of a cook.
func row(s folder.Summary, cells ...string) page.Row {
	return page.Row{Link: url.PathEscape(s.ID) + ".html", Cells: cells}
}

// link returns a link to another page of the folder.
func link(name, words string) string {
	return `<a href="` + html.Text(url.PathEscape(name)) + `.html">` + html.Text(words) + "</a>"
}

// foot returns the options for a page with links to others at its foot.
func (p *allPages) foot(links ...string) html.Options {
	return html.Options{Paper: p.Paper, Foot: []string{nav(links)}}
}

func nav(links []string) string { return "<nav><p>" + strings.Join(links, " · ") + "</p></nav>" }
