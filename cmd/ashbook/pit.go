package main

import (
	"slices"
	"strings"

	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/journal/shorthand"
	"ashbook/report/pitbook"

	"github.com/spf13/cobra"
)

const pitHelp = `Say what a pit does, from all finished cooks on it: fuel an hour and what the
weather does to it, how long it takes to settle, what an open lid costs, how
steady it stands, how it drifts over the night, how far off its aim it runs.
Without NAME all pits stand beside each other.

Each figure has the range that holds 8 in 10 cooks and the cooks it rests on.
While those are few it is drawn towards what is usual of the kind of pit.`

func (a *program) pitCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "pit [NAME]",
		Short: "What a pit does: fuel, settling, lids, drift",
		Long:  pitHelp,
		RunE: func(_ *cobra.Command, args []string) error {
			return a.pit(strings.Join(args, " "))
		},
	}
}

func (a *program) pit(name string) error {
	j, err := a.open()
	if err != nil {
		return err
	}
	past, err := j.Past(a.ctx)
	if err != nil {
		return err
	}
	books := pitbook.All(past, j.Pits())
	var names []string
	for _, b := range books {
		names = append(names, b.Name)
	}
	if name != "" {
		i := indexFold(names, name)
		if i < 0 {
			return unknownName("pit", name, names)
		}
		books = books[i : i+1]
	}
	switch s := j.Settings(); {
	case a.json:
		return a.printJSON(jsonout.PitsOf(books))
	case name != "":
		a.printPage(books[0].Page(s))
	default:
		a.printPage(pitbook.Table(books, s))
	}
	return nil
}

// indexFold finds a name in any case, with blanks or hyphens, or the only name that
// contains the word; −1 for none.
func indexFold(names []string, name string) int {
	word := fileName(name)
	found := holding(names, word)
	for i, n := range names {
		if fileName(n) == word || len(found) == 1 && n == found[0] {
			return i
		}
	}
	return -1
}

// fileName is a name as files write it: small letters, hyphens for blanks.
func fileName(s string) string {
	return strings.ToLower(strings.ReplaceAll(strings.TrimSpace(s), " ", "-"))
}

// holding are the names that hold a word, its case aside.
func holding(names []string, word string) []string {
	return slices.DeleteFunc(slices.Clone(names), func(n string) bool { return !strings.Contains(strings.ToLower(n), word) })
}

// unknownName says that there is no pit, or mix, of that name, and which was
// perhaps meant.
func unknownName(what, name string, names []string) error {
	err := usage("no %s is called %q", what, name)
	word := fileName(name)
	near := holding(names, word)
	if len(near) == 0 {
		near = shorthand.Nearest(word, names)
	}
	if len(near) == 0 {
		near = names[:min(5, len(names))]
	}
	if len(near) == 0 {
		return err
	}
	return hint(err, "ashbook "+what+" "+strings.Join(near, ", or "))
}
