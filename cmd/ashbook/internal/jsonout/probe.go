package jsonout

import "ashbook/cmd/ashbook/internal/intake"

// Probed is the shape of probe.
type Probed struct {
	Cook    string    `json:"cook"`
	File    string    `json:"file"`
	Looked  bool      `json:"looked"` // only looked at: nothing was kept
	Read    int       `json:"read"`
	Kept    int       `json:"kept"`
	Added   int       `json:"added"`
	Changed int       `json:"changed"`
	Same    int       `json:"same"`
	Late    int       `json:"out_of_order"`
	Twice   int       `json:"repeated"`
	PutBack int       `json:"put_back"`
	Hot     int       `json:"cores_too_hot"` // perhaps °F taken for °C
	From    string    `json:"from,omitempty"`
	To      string    `json:"to,omitempty"`
	Columns []Mapped  `json:"columns"`
	Left    []LeftOut `json:"left_out"`
}

// Mapped is the shape of one column and how it was read.
type Mapped struct {
	Name    string `json:"name"`
	As      string `json:"as,omitempty"`
	Unit    string `json:"unit,omitempty"`
	Guessed bool   `json:"guessed"`
}

// LeftOut is rows that were not taken, and why.
type LeftOut struct {
	Why    string    `json:"why"`
	Count  int       `json:"count"`
	Places []Problem `json:"places"`
}

// ProbedOf returns what became of an input; looked: it was only looked at.
func ProbedOf(t intake.Taken, cook, file string, looked bool) Probed {
	r := Probed{
		Cook: cook, File: file, Looked: looked, Read: t.Read, Kept: t.Kept, Added: t.Merged.Added, Changed: t.Merged.Changed, Same: t.Merged.Same,
		Late: t.Late, Twice: t.Twice, PutBack: t.PutBack, Hot: t.Hot, From: Time(t.First), To: Time(t.Last), Columns: []Mapped{}, Left: []LeftOut{},
	}
	for _, c := range t.Columns {
		r.Columns = append(r.Columns, Mapped{Name: c.Name, As: c.As, Unit: c.Unit, Guessed: c.Guessed})
	}
	for _, l := range t.Left {
		what, why := l.Kind.Words()
		r.Left = append(r.Left, LeftOut{Why: what + " " + why, Count: l.Count, Places: ProblemsOf(l.Places)})
	}
	return r
}
