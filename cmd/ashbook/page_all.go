package main

import (
	"errors"
	"fmt"
	"net/url"
	"path"
	"slices"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/report/drivers"
	"ashbook/report/page"
	"ashbook/report/page/html"
)

// allPages writes every page into a folder, with an index and links from each to the
// next. What was made from the same before is left as it is.
func (a *program) allPages(j *app.App, now time.Time, dir string, w wanted) error {
	cooks, _, err := j.Folder().List(a.ctx)
	if err != nil {
		return err
	}
	set, err := machine.OpenOwn(dir, html.First)
	if err != nil {
		return err
	}
	all := &allPages{
		program: a, j: j, now: now, w: w, set: set, progress: a.progress("writing pages"),
		cooks: slices.DeleteFunc(cooks, func(s folder.Summary) bool { return s.Broken || s.Finish.IsZero() }),
	}
	if err := all.write(); err != nil {
		return errors.Join(err, set.Stop())
	}
	if err := set.Close(); err != nil {
		return err
	}
	left := ""
	if n := set.Pages() - set.Wrote; n > 0 {
		left = fmt.Sprintf(", left %d as they were", n)
	}
	a.printf("wrote %s into %s%s\n", measure.Count(set.Wrote, "page"), dir, left)
	return nil
}

// allPages is one run of page --all.
type allPages struct {
	*program
	j        *app.App
	now      time.Time
	w        wanted
	set      *machine.OwnFiles
	cooks    []folder.Summary // finished, the latest first
	progress func(done, of int)

	made *app.Pages // once one is to be made
}

// from makes pages from what the journal says, which is read when the first is made.
func (p *allPages) from(make func(*app.Pages) (page.Page, error), foot ...string) func() ([]byte, error) {
	return func() ([]byte, error) {
		if p.made == nil {
			made, err := p.pages(p.j, p.now, p.w)
			if err != nil {
				return nil, err
			}
			p.made = made
		}
		out, err := make(p.made)
		return html.Render(out, p.foot(foot...)), err
	}
}

func (p *allPages) write() error {
	general := machine.Key(machine.Build(), p.j.Settings(), p.j.Pits(), p.w.private, p.w.noPhotos, p.w.paper)
	p.set.Anew = p.w.force
	marks := make([]string, len(p.cooks))
	pictures := map[string]string{} // by folder
	for i, s := range p.cooks {
		mark, err := p.j.Folder().Mark(s.ID)
		if err != nil {
			return err
		}
		dir := path.Dir(s.Path)
		if _, ok := pictures[dir]; !ok && !p.w.noPhotos {
			pictures[dir] = p.j.PicturesMark(dir)
		}
		marks[i] = machine.Key(mark, s.ID, s.Name(), pictures[dir])
	}
	index := page.Page{Title: "Cooks"}
	var years []string
	for i := 0; i < len(p.cooks); {
		year, from := p.cooks[i].Date.Year(), i
		for ; i < len(p.cooks) && p.cooks[i].Date.Year() == year; i++ {
			if err := p.cook(i, general, marks); err != nil {
				return err
			}
			if p.progress != nil {
				p.progress(i+1, len(p.cooks))
			}
		}
		index.Add(listed(year, p.cooks[from:i]))
		years = append(years, fmt.Sprint(year))
		if err := p.set.Page(fmt.Sprint(year), machine.Key(general, marks[from:i]), p.from(func(pages *app.Pages) (page.Page, error) {
			return pages.Year(p.ctx, year)
		}, link("index", "all cooks"))); err != nil {
			return err
		}
	}
	return p.rest(index, years, machine.Key(general, marks))
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
	return p.set.Page(p.cooks[i].ID, machine.Key(near), p.from(func(pages *app.Pages) (page.Page, error) {
		f, err := p.j.Load(p.cooks[i].ID)
		if err != nil {
			return page.Page{}, err
		}
		return pages.Cook(p.ctx, f)
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
		{"matters", p.from(func(pages *app.Pages) (page.Page, error) { return pages.Matters(p.ctx, drivers.Time) }, home)},
		{"pits", p.from(func(pages *app.Pages) (page.Page, error) { return pages.Pits(), nil }, home)},
		{"index", func() ([]byte, error) { return html.Render(index, p.foot(links...)), nil }},
	} {
		if err := p.set.Page(one.name, from, one.make); err != nil {
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
	return html.Options{Paper: p.w.paper, Foot: []string{"<nav><p>" + strings.Join(links, " · ") + "</p></nav>"}}
}
