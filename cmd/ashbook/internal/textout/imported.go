package textout

import (
	"fmt"
	"strings"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal/measure"
)

// Import returns how a text of past cooks is understood: its columns, its cooks, and
// what is not clear.
func Import(file string, found app.Import, sys measure.System) []string {
	out := lines{fmt.Sprintf("%s: notes, %s", file, measure.Count(len(found.Cooks), "cook"))}
	if len(found.Columns) > 0 {
		out[0] = fmt.Sprintf("%s: a table, %s, %s", file, measure.Count(len(found.Columns), "column"), measure.Count(len(found.Cooks), "cook"))
	}
	for i, c := range found.Columns {
		as := c.As
		switch {
		case as == "":
			as = "words"
		case c.Unit != "":
			as += ", " + c.Unit
		}
		if c.Guessed {
			as += " (guessed from its cells)"
		}
		out.add("  %d %s: %s", i+1, c.Name, as)
	}
	out.each("  ? %s", found.Asks)
	for i, c := range found.Cooks {
		p := found.Places[i]
		name := p.ID
		switch {
		case name == "":
			name = "no day, so it cannot be saved"
		case p.There:
			name += ", there already"
		}
		out.add("")
		out.add("%d  %s", i+1, name)
		out.add("   %s", strings.Join(c.Gist(sys), " · "))
		if len(c.Left) > 0 {
			out.add("   words: %s", strings.Join(c.Left, "; "))
		}
		out.each("   ? %s", c.Asks)
	}
	return out
}

// Imported says which of the chosen cooks were saved, by their IDs. left is the number
// of cooks without a day.
func Imported(found app.Import, chosen []int, saved []string) (out []string, left int) {
	there := 0
	for _, i := range chosen {
		switch p := found.Places[i]; {
		case p.ID == "":
			left++
		case p.There:
			there++
		}
	}
	said := "saved: " + measure.Count(len(saved), "cook")
	if there > 0 {
		said += fmt.Sprintf("; there already: %d", there)
	}
	if left > 0 {
		said += fmt.Sprintf("; not saved, because they name no day: %d", left)
	}
	out = []string{said}
	if len(saved) > 0 {
		out = append(out, "next: ashbook show "+saved[0])
	}
	return out, left
}
