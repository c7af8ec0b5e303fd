package app

import (
	"context"
	"fmt"
	"net/url"
	"slices"

	"ashbook/journal/folder"
	"ashbook/report/drivers"
	"ashbook/report/page"
)

// Link leads from one page of a folder to another.
type Link struct{ Name, Words string }

// All makes every page: of each finished cook and each year, of what matters and the
// pits, and an index. put gets each page with its name and the links on it.
func (p *Pages) All(ctx context.Context, put func(name string, out page.Page, links []Link) error, done Progress) error {
	all, _, err := p.app.journal.List(ctx)
	if err != nil {
		return err
	}
	all = slices.DeleteFunc(all, func(s folder.Summary) bool { return s.Broken || s.Finish.IsZero() })
	home := Link{"index", "all cooks"}
	index, byYear := page.Page{Title: "Cooks"}, page.Section{}
	var links []Link // of the index
	for i, s := range all {
		f, err := p.app.Load(s.ID)
		if err != nil {
			continue
		}
		out, err := p.Cook(ctx, f)
		if err != nil {
			return err
		}
		var near []Link
		if i+1 < len(all) {
			near = append(near, Link{all[i+1].ID, "before: " + all[i+1].Name()})
		}
		if i > 0 {
			near = append(near, Link{all[i-1].ID, "after: " + all[i-1].Name()})
		}
		if err := put(s.ID, out, append(near, home)); err != nil {
			return err
		}
		if year := fmt.Sprint(s.Date.Year()); year != byYear.Heading {
			index.Add(byYear)
			byYear = page.Section{Heading: year}
			byYear.Table.Columns = []page.Column{{Title: "day"}, {Title: "cook"}, {Title: "cut"}, {Title: "liked", Right: true}}
			if out, err = p.Year(ctx, s.Date.Year()); err != nil {
				return err
			}
			if err := put(year, out, []Link{home}); err != nil {
				return err
			}
			links = append(links, Link{year, "the year " + year})
		}
		liked := "–"
		if s.Eaters > 0 {
			liked = fmt.Sprintf("%.1f", s.Score)
		}
		byYear.Table.Rows = append(byYear.Table.Rows, page.Row{Link: url.PathEscape(s.ID) + ".html", Cells: []string{s.Date.Format("2 Jan"), s.Name(), s.Cut, liked}})
		if done != nil {
			done(i+1, len(all))
		}
	}
	index.Add(byYear)
	matters, err := p.Matters(ctx, drivers.Time)
	if err != nil {
		return err
	}
	for _, last := range []struct {
		name  string
		page  page.Page
		links []Link
	}{
		{"matters", matters, []Link{home}},
		{"pits", p.Pits(), []Link{home}},
		{home.Name, index, append(links, Link{"matters", "what moves time"}, Link{"pits", "the pits"})},
	} {
		if err := put(last.name, last.page, last.links); err != nil {
			return err
		}
	}
	return nil
}
