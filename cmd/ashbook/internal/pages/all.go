package pages

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"path"
	"slices"
	"strings"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal/folder"
	"ashbook/report/drivers"
	"ashbook/report/page"
	"ashbook/report/page/html"
	"ashbook/report/photo"
)

// Options say how a folder of pages is written.
type Options struct {
	Private, NoPhotos bool
	Paper             string // the size of paper; "": as the browser is set
	Build             string // names the program: another one makes every page again
	Anew              bool   // every page is made again
	Make              func() (*Maker, error)
	Writing           app.Progress // may be nil
}

// WriteAll writes every page into a folder, with an index and links from each to the
// next, and returns how many it wrote and how many it left: what was made from the same
// before is left as it is. Make is called when the first page is to be made. It fails
// with NotOurs on a file of such a name that ashbook did not write.
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
		cooks: slices.DeleteFunc(cooks, func(s folder.Summary) bool { return s.Broken || s.Finish.IsZero() }),
	}
	if err := all.write(); err != nil {
		return 0, 0, errors.Join(err, set.stop())
	}
	return set.wrote, set.pages() - set.wrote, set.close()
}

// allPages is one run of WriteAll.
type allPages struct {
	Options
	ctx   context.Context
	app   *app.App
	set   *ownFiles
	cooks []folder.Summary // finished, the latest first

	maker *Maker // once a page is to be made
}

// from makes pages from what the journal says, which is read when the first is made.
func (p *allPages) from(make func(*Maker) (page.Page, error), foot ...string) func() ([]byte, error) {
	return func() ([]byte, error) {
		if p.maker == nil {
			m, err := p.Make()
			if err != nil {
				return nil, err
			}
			p.maker = m
		}
		out, err := make(p.maker)
		return html.Render(out, p.foot(foot...)), err
	}
}

func (p *allPages) write() error {
	general := key(p.Build, p.app.Settings(), p.app.Pits(), p.Private, p.NoPhotos, p.Paper)
	marks := make([]string, len(p.cooks))
	pictures := map[string]string{} // by folder
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
	}
	index := page.Page{Title: "Cooks"}
	var years []string
	for i := 0; i < len(p.cooks); {
		year, from := p.cooks[i].Date.Year(), i
		for ; i < len(p.cooks) && p.cooks[i].Date.Year() == year; i++ {
			if err := p.cook(i, general, marks); err != nil {
				return err
			}
			if p.Writing != nil {
				p.Writing(i+1, len(p.cooks))
			}
		}
		index.Add(listed(year, p.cooks[from:i]))
		years = append(years, fmt.Sprint(year))
		if err := p.set.page(fmt.Sprint(year), key(general, marks[from:i]), p.from(func(m *Maker) (page.Page, error) {
			return m.Year(p.ctx, year)
		}, link("index", "all cooks"))); err != nil {
			return err
		}
	}
	return p.rest(index, years, key(general, marks))
}

// cook writes the page of the i-th cook.
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

// rest writes what is made from all cooks.
func (p *allPages) rest(index page.Page, years []string, from string) error {
	home := link("index", "all cooks")
	links := []string{}
	for _, y := range years {
		links = append(links, link(y, "the year "+y))
	}
	links = append(links, link("matters", "what moves time"), link("pits", "the pits"))
	for _, one := range []struct {
		name string
		make func() ([]byte, error)
	}{
		{"matters", p.from(func(m *Maker) (page.Page, error) { return m.Matters(p.ctx, drivers.Time) }, home)},
		{"pits", p.from(func(m *Maker) (page.Page, error) { return m.Pits(), nil }, home)},
		{"index", func() ([]byte, error) { return html.Render(index, p.foot(links...)), nil }},
	} {
		if err := p.set.page(one.name, from, one.make); err != nil {
			return err
		}
	}
	return nil
}

// listed are the cooks of a year as the index lists them.
func listed(year int, cooks []folder.Summary) page.Section {
	out := page.Section{Heading: fmt.Sprint(year)}
	out.Table.Columns = []page.Column{{Title: "day"}, {Title: "cook"}, {Title: "cut"}, {Title: "liked", Right: true}}
	for _, s := range cooks {
		liked := "–"
		if s.Eaters > 0 {
			liked = fmt.Sprintf("%.1f", s.Score)
		}
		out.Table.Rows = append(out.Table.Rows, page.Row{Link: url.PathEscape(s.ID) + ".html", Cells: []string{s.Date.Format("2 Jan"), s.Name(), s.Cut, liked}})
	}
	return out
}

// link is a link to another page of the folder.
func link(name, words string) string {
	return `<a href="` + html.Text(url.PathEscape(name)) + `.html">` + html.Text(words) + "</a>"
}

// foot is the foot of a page with links to others.
func (p *allPages) foot(links ...string) html.Options {
	return html.Options{Paper: p.Paper, Foot: []string{"<nav><p>" + strings.Join(links, " · ") + "</p></nav>"}}
}
