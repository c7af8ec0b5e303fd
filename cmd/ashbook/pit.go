package main

import (
	"strings"

	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/report/pitbook"

	"github.com/spf13/cobra"
)

const pitHelp = `Say what a pit does, from all finished cooks on it: fuel per hour and how the weather
changes it, how long it takes to settle, what an open lid costs, how steady it is, how
it drifts over the night, and how far it runs from its aim. Without NAME it shows all
pits side by side.

Each figure has a range that covers 8 in 10 cooks, and the number of cooks behind it.
With few cooks the figure is partly what is usual for that kind of pit.`

func (a *program) pitCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "pit [NAME]",
		Short: "What a pit does: fuel, settling, lids, drift",
		Long:  pitHelp,
		RunE: func(_ *cobra.Command, args []string) error {
			j, known, err := a.openKnown()
			if err != nil {
				return err
			}
			name := strings.Join(args, " ")
			books, err := known.PitsNamed(name)
			if err != nil {
				return err
			}
			p := pitbook.Table(books, j.Settings())
			if name != "" {
				p = books[0].Page(j.Settings())
			}
			return a.show(jsonout.PitsOf(books), p)
		},
	}
}
