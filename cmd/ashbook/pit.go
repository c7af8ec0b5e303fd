package main

import (
	"slices"
	"strings"

	"ashbook/journal/shorthand"
	"ashbook/report/page/text"
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
		return a.printJSON(pitsOf(books))
	case name != "":
		a.printf("%s", text.Render(books[0].Page(s), a.width()))
	default:
		a.printf("%s", text.Render(pitbook.Table(books, s), a.width()))
	}
	return nil
}

// indexFold finds a name, whatever its case, blanks written as hyphens or not,
// or the only one that holds the word; −1 for none.
func indexFold(names []string, name string) int {
	plain := func(s string) string { return strings.ToLower(strings.ReplaceAll(strings.TrimSpace(s), " ", "-")) }
	found := holding(names, plain(name))
	for i, n := range names {
		if plain(n) == plain(name) || len(found) == 1 && n == found[0] {
			return i
		}
	}
	return -1
}

// holding are the names that hold a word, its case aside.
func holding(names []string, word string) []string {
	return slices.DeleteFunc(slices.Clone(names), func(n string) bool { return !strings.Contains(strings.ToLower(n), word) })
}

// unknownName says that there is no pit, or mix, of that name, and which was
// perhaps meant.
func unknownName(what, name string, names []string) error {
	err := usage("no %s is called %q", what, name)
	word := strings.ToLower(strings.ReplaceAll(name, " ", "-"))
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

type pitRecord struct {
	Name    string         `json:"name"`
	Kind    string         `json:"kind,omitempty"`
	Cooks   int            `json:"cooks"`
	Hours   float64        `json:"usual_h,omitempty"`
	Fuel    string         `json:"fuel,omitempty"`
	Figures []figureRecord `json:"figures"`
	Cold    weatherRecord  `json:"air_10_c_colder"`
	Wind    weatherRecord  `json:"wind_1_m_per_s_more"`
	OffsetC *float64       `json:"gauge_offset_c,omitempty"`
	Next    []string       `json:"note_next"`
	Notes   []string       `json:"notes"`
}

type figureRecord struct {
	Name   string  `json:"name"`
	Likely float64 `json:"likely"`
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
	N      int     `json:"n"`
	From   string  `json:"rests_on"`
}

type weatherRecord struct {
	Likely float64 `json:"fuel_share"`
	Low    float64 `json:"low_share"`
	High   float64 `json:"high_share"`
	N      int     `json:"n"`
	Told   bool    `json:"told"`
}

func pitsOf(books []pitbook.Book) map[string][]pitRecord {
	out := []pitRecord{}
	for i := range books {
		b := &books[i]
		r := pitRecord{
			Name: b.Name, Kind: string(b.Pit.Kind), Cooks: b.Cooks, Hours: b.Hours, Fuel: b.Fuel, Figures: []figureRecord{},
			Cold: weatherRecord(b.Cold), Wind: weatherRecord(b.Wind), OffsetC: known(b.Pit.Offset.Base, b.Pit.Offset.Known),
			Next: notNil(b.Next), Notes: notNil(b.Notes),
		}
		for _, f := range b.Figures() {
			r.Figures = append(r.Figures, figureRecord{f.Key, f.Likely, f.Low, f.High, f.N, f.From})
		}
		out = append(out, r)
	}
	return map[string][]pitRecord{"pits": out}
}
