package main

import (
	"time"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/pages"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page/paper"

	"github.com/spf13/cobra"
)

const sheetHelp = `Write the sheet of a planned cook, to print and fill in with a pencil: one row an hour
from lighting to the meal, the expected core drawn faintly down the page, and letters to
circle. --cards writes tasting cards for the eaters, four to a sheet (two on A5);
--blank writes a sheet without hours.

Next morning --type COOK asks for the sheet row by row. The hour is filled in; type the
minutes, then the line as you would note it: "10 112 71 68 w v b1 -- pale". Enter goes
to the next hour, "=" in front stays in that hour for a second look, "19:10 …" goes to
another hour, "undo" deletes the last line, and "done" ends it. You see all lines once
more, and they are saved as one change.`

func (a *program) sheetCommand() *cobra.Command {
	var w output
	var blank, cards, typed bool
	var size string
	cmd := &cobra.Command{
		Use:   "sheet [COOK]",
		Short: "Write a cook sheet or tasting cards for paper, or type in a filled sheet",
		Long:  sheetHelp,
		Example: `  ashbook sheet michaelmas
  ashbook sheet --cards michaelmas --paper letter
  ashbook sheet --type michaelmas`,
		RunE: func(_ *cobra.Command, args []string) error {
			if typed {
				return a.typeSheet(args)
			}
			return a.sheet(args, w, blank, cards, size)
		},
	}
	f := cmd.Flags()
	w.flags(f)
	f.BoolVar(&blank, "blank", false, "without hours and without a curve")
	f.BoolVar(&cards, "cards", false, "tasting cards")
	f.BoolVar(&typed, "type", false, "type in a filled sheet")
	f.StringVar(&size, "paper", "A4", "the `SIZE` of the paper: A4, A5, letter")
	flags.Exclusive(cmd, "blank", "cards", "type")
	return cmd
}

// paperSize returns the size of paper that was typed.
func paperSize(name string) (paper.Size, error) {
	size, ok := paper.SizeOf(name)
	if !ok {
		return size, advice.With(usage("--paper %q: there is no such size", name), "--paper A4, A5 or letter")
	}
	return size, nil
}

func (a *program) sheet(args []string, w output, blank, cards bool, paperName string) error {
	size, err := paperSize(paperName)
	if err != nil {
		return err
	}
	if blank && len(args) == 0 {
		j, err := a.open()
		if err != nil {
			return err
		}
		return a.writeFile(pages.BlankSheet(nil, j.Settings()).Render(size), "sheet", w)
	}
	j, now, c, err := a.plannedCook(args)
	switch {
	case err != nil:
		return err
	case cards:
		return a.writeFile(pages.Cards(c).Render(size), c.ID+"-cards", w)
	case blank:
		return a.writeFile(pages.BlankSheet(c, j.Settings()).Render(size), c.ID+"-sheet", w)
	}
	m, err := pages.New(a.ctx, j, now, false)
	if err != nil {
		return err
	}
	m.Learning = a.progress("reading past cooks")
	s, err := m.Sheet(a.ctx, c)
	if err != nil {
		return err
	}
	return a.writeFile(s.Render(size), c.ID+"-sheet", w)
}

// plannedCook reads the named cook, or the next planned one if none is named.
func (a *program) plannedCook(args []string) (*app.App, time.Time, *journal.Cook, error) {
	j, now, err := a.openNow()
	if err != nil {
		return nil, now, nil, err
	}
	s, err := j.NextToReady(a.ctx, args, now)
	if err != nil {
		return nil, now, nil, err
	}
	f, err := j.Load(s.ID)
	return j, now, &f.Cook, err
}

func (a *program) typeSheet(args []string) error {
	j, now, c, err := a.plannedCook(args)
	if err != nil {
		return err
	}
	start, err := pages.SheetStart(a.ctx, j, c, now)
	if err != nil {
		return err
	}
	sheet := typed.NewSheet(c, j.Settings(), start)
	if ok, err := sheet.Ask(a.in, a.printf); err != nil || !ok {
		return err
	}
	if _, err := j.TypeIn(c.ID, sheet.Entries); err != nil {
		return err
	}
	a.printf("saved: %s in %s\n", measure.Count(len(sheet.Entries), "line"), c.ID)
	return nil
}
