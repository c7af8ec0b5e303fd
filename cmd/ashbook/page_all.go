package main

import (
	"net/url"
	"strings"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/journal/measure"
	"ashbook/report/page"
	"ashbook/report/page/html"
)

// allPages writes every page into a folder, with an index and links from each to
// the next.
func (a *program) allPages(pages *app.Pages, dir, paper string) error {
	files, err := machine.OpenOwn(dir, html.First)
	if err != nil {
		return err
	}
	err = pages.All(a.ctx, func(name string, p page.Page, links []app.Link) error {
		var foot []string
		for _, l := range links {
			foot = append(foot, `<a href="`+html.Text(url.PathEscape(l.Name))+`.html">`+html.Text(l.Words)+"</a>")
		}
		nav := "<nav><p>" + strings.Join(foot, " · ") + "</p></nav>"
		return files.Write(name+".html", html.Render(p, html.Options{Paper: paper, Foot: []string{nav}}))
	}, a.progress("writing pages"))
	if err == nil {
		err = files.Close()
	}
	if err != nil {
		return notOurs(err)
	}
	a.printf("wrote %s into %s\n", measure.Count(len(files.Wrote), "page"), dir)
	return nil
}
