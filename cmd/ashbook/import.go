package main

import (
	"os"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/cmd/ashbook/internal/typed"

	"github.com/spf13/cobra"
)

const importHelp = `Add past cooks to the journal, from a table or from notes in free words.

A table has one row for each cook. Its columns are separated by commas, semicolons,
tabs or bars. ashbook guesses what each column means from its name or its cells, and
prints the guess. To correct it, type --column weight=3 or --column "weight=Start wt".
--column words=5 keeps a column as words.

Notes begin with the day: "4 July 2023, 8 lb butt on at 10pm, 165 at 4, foiled, 203
by 11, rested till 2". A cook begins at each line that starts with a day, and at each
paragraph that names meat. --day sets the day of cooks that name none.

Nothing is saved until you say --save, which saves all, or --save=1,3-5, which saves
some. What ashbook does not understand stays in the cook as words, with its whole row
or note. Importing the same table again changes nothing: a cook of the same day and
title is left as it is. For the readings of one cook use ashbook probe.`

// importing has the flags of import.
type importing struct {
	save, day, dates string
	columns          []string
}

func (a *program) importCommand() *cobra.Command {
	var im importing
	cmd := &cobra.Command{
		Use:   "import FILE | import -",
		Short: "Add past cooks from a table or notes",
		Long:  importHelp,
		Example: `  ashbook import cooks.csv
  ashbook import cooks.csv --column weight=3 --save=1,3-5
  ashbook import notes.txt --save`,
		Args: flags.AtLeast(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return advice.With(usage("import takes one file, %d given; to save some of the cooks type --save=1,3-5", len(args)), "ashbook import --help")
			}
			return a.importCooks(args[0], im)
		},
	}
	f := cmd.Flags()
	f.StringVar(&im.save, "save", "", "save all, or some such as =1,3-5")
	f.Lookup("save").NoOptDefVal = "all"
	f.StringArrayVar(&im.columns, "column", nil, "`FIELD=COLUMN`: what a column means, by its name or number; once for each")
	f.StringVar(&im.day, "day", "", "the `DAY` of cooks that name none, such as 2023-07-04")
	flags.Choice(cmd, &im.dates, "dates", typed.DayOrders, ": which comes first in 4/7/2023")
	return cmd
}

func (a *program) importCooks(file string, im importing) error {
	j, now, err := a.openNow()
	if err != nil {
		return err
	}
	opt, err := typed.ImportOptions(im.day, im.columns, im.dates, j.Settings().Units, now)
	if err != nil {
		return err
	}
	in := a.in
	if file != "-" {
		f, err := os.Open(a.path(file))
		if err != nil {
			return err
		}
		defer f.Close()
		in = f
	}
	found, err := j.LookImport(in, file, opt)
	if err != nil {
		return err
	}
	var chosen []int
	if im.save != "" {
		if chosen, err = typed.Numbers(im.save, len(found.Cooks)); err != nil {
			return usage("--save %v", err)
		}
	}
	saved, err := j.SaveImport(a.ctx, found, chosen)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(jsonout.ImportOf(found, saved, now))
	}
	a.printLines(append(textout.Import(file, found, j.Settings().Units), ""))
	if im.save == "" {
		a.printf("nothing is saved yet\n")
		a.printf("next: ashbook import %s --save, or some: --save=1\n", file)
		return nil
	}
	said, left := textout.Imported(found, chosen, saved)
	a.printLines(said)
	if left > 0 {
		return errWarnings
	}
	return nil
}
