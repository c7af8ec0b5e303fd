package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/cmd/ashbook/internal/pages"
	"ashbook/journal/measure"
	"ashbook/report/drivers"
	"ashbook/report/page/html"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

const pageHelp = `Write a page as one HTML file, to send, print or keep. It has no script and loads
nothing from elsewhere. One COOK gives its own page, two to six are shown side by side,
and without a name it is the cook that is running.

The file goes into the current folder, under the name of the cook. It replaces a file
that ashbook wrote before, but any other file only if you say --force.

--all writes a page again only where its own cook has changed, or one beside it in the
list, a pit, the settings or the program. Each page says on which day it was read.
--force writes all of them again, with what other cooks have taught since.

Photographs are those that the notes name ("photo bark.jpg"), and those beside the
cook's file whose names begin with its name. They are stored in the page, at most
1,200 px wide or high, without the place, day and camera that their files may name.

--serve writes nothing. It shows the running cook to a phone: readings and acts, when
it is ready to take off, the curve and the last notes. The page loads itself again each
minute. With --notes a helper without a terminal can type entries there: the page shows
how it understands a line before it saves it, and the note carries the helper's name.
Only this machine can open the page unless you name its address, such as
--serve=192.168.1.20:8788. Then send the helper the whole address; nobody can guess its
path. It is plain http, so use it only on a network you trust: anyone on it can read
along. It ends with the cook, or when you press Ctrl-C.`

func (a *program) pageCommand() *cobra.Command {
	var w wanted
	cmd := &cobra.Command{
		Use:   "page [COOK …]",
		Short: "Write cooks, a year, why, what matters or the pits as a page for the browser or for paper",
		Long:  pageHelp,
		Example: `  ashbook page 2026-05-02
  ashbook page 2026-05-02 2025-05-03
  ashbook page --why 2026-05-02 -o why.html
  ashbook page --serve --notes`,
		RunE: func(_ *cobra.Command, args []string) error {
			return a.page(args, w)
		},
	}
	f := cmd.Flags()
	w.output.flags(f)
	f.StringVar(&w.paper, "paper", "", "the `SIZE` of paper to print on: A4, A5, letter (otherwise as the browser is set)")
	f.IntVar(&w.Year, "year", 0, "the `YEAR` in numbers")
	f.StringVar(&w.all, "all", "", "write every cook, every year, what matters and the pits into `DIR`, with an index; pages that did not change are left alone unless you say --force")
	f.StringVar(&w.serve, "serve", "", "show the running cook to a browser at `ADDRESS`; without one only to this machine")
	f.Lookup("serve").NoOptDefVal = serveAddress
	f.BoolVar(&w.notes, "notes", false, "with --serve: anyone who has the address of the page can note")
	f.BoolVar(&w.Plan, "plan", false, "the plan and the lists of a planned cook")
	f.BoolVar(&w.Why, "why", false, "why the cook was early or late")
	f.StringVar(&w.Matters, "matters", "", "what changes `TARGET`: "+strings.Join(drivers.Targets(), ", "))
	f.Lookup("matters").NoOptDefVal = drivers.Time.String()
	f.BoolVar(&w.Pits, "pit", false, "what the pits do")
	f.BoolVar(&w.private, "private", false, "leave out prose, words, suppliers, eaters' initials and photographs")
	f.BoolVar(&w.noPhotos, "no-photos", false, "leave out photographs")
	flags.Exclusive(cmd, "output", "serve", "all")
	flags.Exclusive(cmd, "open", "serve")
	flags.Exclusive(cmd, "why", "matters", "pit", "plan", "year", "all", "serve")
	return cmd
}

// output is where a page or a sheet is written.
type output struct {
	file        string
	force, open bool
}

func (o *output) flags(f *pflag.FlagSet) {
	f.StringVarP(&o.file, "output", "o", "", "the `FILE` to write; - is standard output")
	f.BoolVar(&o.force, "force", false, "replace the file even if ashbook did not write it")
	f.BoolVar(&o.open, "open", false, "open the page in the browser")
}

// wanted has the flags of page.
type wanted struct {
	output
	pages.Which
	all, serve, paper        string
	private, noPhotos, notes bool
}

func (a *program) page(args []string, w wanted) error {
	switch {
	case w.serve != "":
		return a.serve(args, w)
	case w.notes:
		return advice.With(usage("--notes works only with --serve"), "ashbook page --serve --notes")
	}
	size := "" // the browser's setting
	if w.paper != "" {
		s, err := paperSize(w.paper)
		if err != nil {
			return err
		}
		size = s.Name
	}
	j, now, err := a.openNow()
	if err != nil {
		return err
	}
	w.paper = size
	if w.all != "" {
		return a.allPages(j, now, a.path(w.all), w)
	}
	m, err := a.maker(j, now, w)
	if err != nil {
		return err
	}
	p, name, err := m.Make(a.ctx, args, w.Which)
	if err != nil {
		return err
	}
	return a.writeFile(html.Render(p, html.Options{Paper: size}), name, w.output)
}

// maker returns a Maker for the flags.
func (a *program) maker(j *app.App, now time.Time, w wanted) (*pages.Maker, error) {
	m, err := pages.New(a.ctx, j, now, w.private)
	if err != nil {
		return nil, err
	}
	m.NoPhotos = w.noPhotos
	m.Learning, m.Replaying, m.Shrinking = a.progress("reading past cooks"), a.progress("replaying"), a.progress("photographs")
	return m, nil
}

// allPages writes every page into a folder, and prints how many.
func (a *program) allPages(j *app.App, now time.Time, dir string, w wanted) error {
	wrote, left, err := pages.WriteAll(a.ctx, j, dir, pages.Options{
		Private: w.private, NoPhotos: w.noPhotos, Paper: w.paper, Build: machine.Build(), Anew: w.force, Writing: a.progress("writing pages"), Now: now,
		Make: func() (*pages.Maker, error) { return a.maker(j, now, w) },
	})
	if err != nil {
		return err
	}
	kept := ""
	if left > 0 {
		kept = fmt.Sprintf(", left %d as they were", left)
	}
	a.printf("wrote %s into %s%s\n", measure.Count(wrote, "page"), dir, kept)
	if w.open {
		return a.openFile(filepath.Join(dir, "index.html"))
	}
	return nil
}

// writeFile writes data to the file that was asked for, or to one with the given name
// in the current folder. It prints where, and opens the file if asked.
func (a *program) writeFile(data []byte, name string, w output) error {
	if w.file == "-" {
		if w.open {
			return usage("--open: -o - writes no file that could be opened")
		}
		_, err := a.out.Write(data)
		return err
	}
	if w.file != "" {
		name = w.file
	} else {
		name += ".html"
	}
	name = a.path(name)
	if err := pages.WriteOwn(name, data, html.First, w.force); err != nil {
		return err
	}
	a.printf("wrote %s\n", name)
	if w.open {
		return a.openFile(name)
	}
	return nil
}

// openFile opens a file in the system's browser.
func (a *program) openFile(name string) error {
	if err := machine.Open(a.ctx, name); err != nil {
		return advice.With(fmt.Errorf("written, but could not be opened: %w", err), "open "+name+" in a browser")
	}
	return nil
}
