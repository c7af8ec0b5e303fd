package jsonout

import (
	"slices"
	"time"

	"ashbook/cmd/ashbook/internal/app"
)

// Import is the output of import.
type Import struct {
	Columns []ImportColumn `json:"columns"` // empty for notes
	Asks    []string       `json:"asks"`
	Cooks   []ImportCook   `json:"cooks"`
}

// ImportColumn is one column of a table.
type ImportColumn struct {
	Name    string `json:"name"`
	As      string `json:"as,omitempty"` // left out if the column is kept as words
	Unit    string `json:"unit,omitempty"`
	Guessed bool   `json:"guessed"`
}

// ImportCook is one cook of a table or of notes.
type ImportCook struct {
	Line  int      `json:"line"`
	There bool     `json:"there"` // it was in the journal before
	Saved bool     `json:"saved"`
	Cook  Cook     `json:"cook"` // without an ID if it has no day
	Words []string `json:"words"`
	Asks  []string `json:"asks"`
}

// ImportOf converts an import. saved has the IDs of the new cooks.
func ImportOf(im app.Import, saved []string, now time.Time) Import {
	out := Import{Columns: []ImportColumn{}, Asks: append([]string{}, im.Asks...), Cooks: []ImportCook{}}
	for _, c := range im.Columns {
		out.Columns = append(out.Columns, ImportColumn(c))
	}
	for i, c := range im.Cooks {
		c.Cook.ID = im.Places[i].ID
		out.Cooks = append(out.Cooks, ImportCook{
			Line: c.Line, There: im.Places[i].There, Saved: c.Cook.ID != "" && slices.Contains(saved, c.Cook.ID),
			Cook: CookOf(&c.Cook, now), Words: append([]string{}, c.Left...), Asks: append([]string{}, c.Asks...),
		})
	}
	return out
}
