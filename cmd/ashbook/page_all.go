package main

import (
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/report/drivers"
	"ashbook/report/page"
	"ashbook/report/page/html"
)

// pagesList names the file in which --all keeps what it wrote: only that is ever
// replaced or taken away.
const pagesList = ".ashbook-pages"

// allPages writes every page into a folder, with an index and links from each to
// the next.
func (a *program) allPages(j *app.App, pages *app.Pages, dir, paper string) error {
	all, _, err := j.Folder().List(a.ctx)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	old, err := os.ReadFile(filepath.Join(dir, pagesList))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	set := &pageSet{dir: dir, paper: paper, old: strings.Split(strings.TrimSpace(string(old)), "\n")}
	progress := a.progress("writing pages")
	index := page.Page{Title: "Cooks"}
	all = slices.DeleteFunc(all, func(s folder.Summary) bool { return s.Broken || s.Finish.IsZero() })
	year := 0
	var section page.Section
	for i, s := range all {
		f, err := j.Load(s.ID)
		if err != nil {
			continue
		}
		p, err := pages.Cook(a.ctx, f)
		if err != nil {
			return err
		}
		var links []string
		if i+1 < len(all) {
			links = append(links, link(all[i+1].ID, "before: "+all[i+1].Name()))
		}
		if i > 0 {
			links = append(links, link(all[i-1].ID, "after: "+all[i-1].Name()))
		}
		if err := set.write(s.ID, html.Render(p, set.foot(append(links, link("index", "all cooks"))...))); err != nil {
			return err
		}
		if y := s.Date.Year(); y != year {
			index.Add(section)
			year, section = y, page.Section{Heading: fmt.Sprint(y)}
			section.Table.Columns = []page.Column{{Title: "day"}, {Title: "cook"}, {Title: "cut"}, {Title: "liked", Right: true}}
			yearly, err := pages.Year(a.ctx, y)
			if err != nil {
				return err
			}
			if err := set.write(fmt.Sprint(y), html.Render(yearly, set.foot(link("index", "all cooks")))); err != nil {
				return err
			}
			set.years = append(set.years, fmt.Sprint(y))
		}
		liked := "–"
		if s.Eaters > 0 {
			liked = fmt.Sprintf("%.1f", s.Score)
		}
		section.Table.Rows = append(section.Table.Rows, page.Row{Link: url.PathEscape(s.ID) + ".html", Cells: []string{s.Date.Format("2 Jan"), s.Name(), s.Cut, liked}})
		if progress != nil {
			progress(i+1, len(all))
		}
	}
	index.Add(section)
	matters, err := pages.Matters(a.ctx, drivers.Time)
	if err != nil {
		return err
	}
	links := []string{}
	for _, y := range set.years {
		links = append(links, link(y, "the year "+y))
	}
	links = append(links, link("matters", "what moves time"), link("pits", "the pits"))
	err = errors.Join(
		set.write("matters", html.Render(matters, set.foot(link("index", "all cooks")))),
		set.write("pits", html.Render(pages.Pits(), set.foot(link("index", "all cooks")))),
		set.write("index", html.Render(index, set.foot(links...))),
		set.finish())
	if err != nil {
		return err
	}
	a.printf("wrote %s into %s\n", measure.Count(len(set.wrote), "page"), dir)
	return nil
}

// link is a link to another page of the folder.
func link(name, words string) string {
	return `<a href="` + html.Text(url.PathEscape(name)) + `.html">` + html.Text(words) + "</a>"
}

// foot is the foot of a page with links to others.
func (s *pageSet) foot(links ...string) html.Options {
	return html.Options{Paper: s.paper, Foot: []string{"<nav><p>" + strings.Join(links, " · ") + "</p></nav>"}}
}

// pageSet is a folder of pages.
type pageSet struct {
	dir, paper string
	old, wrote []string // names of files
	years      []string
}

// write writes a page. A file that an earlier run did not write is left alone.
func (s *pageSet) write(name string, data []byte) error {
	name += ".html"
	s.wrote = append(s.wrote, name)
	return writeOwn(filepath.Join(s.dir, name), data, false)
}

// finish takes away the pages of earlier runs that are no more, and keeps the list.
func (s *pageSet) finish() error {
	for _, name := range s.old {
		if name == "" || name != filepath.Base(name) || !strings.HasSuffix(name, ".html") || slices.Contains(s.wrote, name) {
			continue
		}
		if err := os.Remove(filepath.Join(s.dir, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return os.WriteFile(filepath.Join(s.dir, pagesList), []byte(strings.Join(s.wrote, "\n")+"\n"), 0o644)
}
