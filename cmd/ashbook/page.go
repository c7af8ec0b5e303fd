package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/cmd/ashbook/internal/pages"
	"ashbook/journal/measure"
	"ashbook/report/drivers"
	"ashbook/report/page/html"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

const pageHelp = `Write a page as one HTML file: no script, nothing fetched, to be sent, printed or
kept. One COOK gives its own page, two to six set them beside each other, and
without a name it is the cook that is running.

The file is written into the current folder, under the cook's own name. A file that
ashbook wrote before is replaced; any other is left alone unless you say --force.

With --all a page is made again when its own cook changed, or one beside it in the
list, a pit, the settings or the program; each says on which day it was read. --force
makes all again, with what other cooks have taught since.

Photographs are those that the cook's notes name ("photo bark.jpg") and those beside
its file that begin with its name. They go into the page itself, at most 1,200 px
wide or high, without the place, day and camera that their files may tell.

With --serve nothing is written: the running cook is shown to a phone, with what is
read and done, when it is ready to take off, the curve and the last notes, and the
page loads itself again each minute. With --notes a helper without a terminal can
write the entry line there: the page shows how it is understood before it is saved,
and the note carries the helper's name. Only this machine can open the page unless
you name its address, such as --serve=192.168.1.20:8788; then send the helper the
whole address, whose path nobody can guess. It is plain http: anyone on your network
can read along, so leave it to a network you trust. It ends with the cook, or with
Ctrl-C.`

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
	f.StringVar(&w.paper, "paper", "", "the `SIZE` of paper to print on: A4, A5, letter (else as the browser is set)")
	f.IntVar(&w.Year, "year", 0, "the `YEAR` in figures")
	f.StringVar(&w.all, "all", "", "every cook, every year, what matters and the pits into `DIR`, with an index; what did not change is left as it is unless you say --force")
	f.StringVar(&w.serve, "serve", "", "show the running cook to a browser at `ADDRESS`, for this machine alone unless one is named")
	f.Lookup("serve").NoOptDefVal = serveAddress
	f.BoolVar(&w.notes, "notes", false, "with --serve: take notes from whoever has the address of the page")
	f.BoolVar(&w.Plan, "plan", false, "the plan and the lists of a planned cook")
	f.BoolVar(&w.Why, "why", false, "why the cook was early or late")
	f.StringVar(&w.Matters, "matters", "", "what moves `TARGET`: "+strings.Join(drivers.Targets(), ", "))
	f.Lookup("matters").NoOptDefVal = drivers.Time.String()
	f.BoolVar(&w.Pits, "pit", false, "what the pits do")
	f.BoolVar(&w.private, "private", false, "leave out prose, words, suppliers, eaters' letters and photographs")
	f.BoolVar(&w.noPhotos, "no-photos", false, "leave out photographs")
	cmd.MarkFlagsMutuallyExclusive("output", "serve", "all")
	cmd.MarkFlagsMutuallyExclusive("open", "serve")
	cmd.MarkFlagsMutuallyExclusive("why", "matters", "pit", "plan", "year", "all", "serve")
	return cmd
}

// output says where a page or a sheet goes.
type output struct {
	file        string
	force, open bool
}

func (o *output) flags(f *pflag.FlagSet) {
	f.StringVarP(&o.file, "output", "o", "", "the `FILE` to write; - is standard output")
	f.BoolVar(&o.force, "force", false, "replace a file that ashbook did not write")
	f.BoolVar(&o.open, "open", false, "open what was written in the browser")
}

// wanted are the flags of page.
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
		return advice.With(usage("--notes: only with --serve"), "ashbook page --serve --notes")
	}
	size := "" // as the browser is set
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

// maker reads what pages are made from.
func (a *program) maker(j *app.App, now time.Time, w wanted) (*pages.Maker, error) {
	m, err := pages.New(a.ctx, j, now, w.private)
	if err != nil {
		return nil, err
	}
	m.NoPhotos = w.noPhotos
	m.Learning, m.Replaying, m.Shrinking = a.progress("reading the past"), a.progress("replaying"), a.progress("photographs")
	return m, nil
}

// allPages writes every page into a folder, and says how many.
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

// writeFile writes what was drawn to the file wanted, else under its own name where
// the person is, says where, and opens it if that is wanted.
func (a *program) writeFile(data []byte, name string, w output) error {
	if w.file == "-" {
		if w.open {
			return usage("--open: with -o - there is no file to open")
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

// openFile opens what was written in the system's browser.
func (a *program) openFile(name string) error {
	if err := machine.Open(a.ctx, name); err != nil {
		return advice.With(fmt.Errorf("written, but not opened: %w", err), "open "+name+" in a browser")
	}
	return nil
}
