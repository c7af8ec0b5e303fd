package jsonout

import "ashbook/cmd/ashbook/internal/intake"

// Probed is the output of probe.
type Probed struct {
	Cook    string    `json:"cook"`
	File    string    `json:"file"`
	Looked  bool      `json:"looked"` // nothing was saved
	Read    int       `json:"read"`
	Kept    int       `json:"kept"`
	Added   int       `json:"added"`
	Changed int       `json:"changed"`
	Same    int       `json:"same"`
	Late    int       `json:"out_of_order"`
	Twice   int       `json:"repeated"`
	PutBack int       `json:"put_back"`
	Hot     int       `json:"cores_too_hot"` // cores that may be in °F and were read as °C
	From    string    `json:"from,omitempty"`
	To      string    `json:"to,omitempty"`
	Columns []Mapped  `json:"columns"`
	Left    []LeftOut `json:"left_out"`
}

// Mapped is how one column was read.
type Mapped struct {
	Name    string `json:"name"`
	As      string `json:"as,omitempty"`
	Unit    string `json:"unit,omitempty"`
	Guessed bool   `json:"guessed"`
}

// LeftOut is the rows left out for one reason.
type LeftOut struct {
	Why    string    `json:"why"`
	Count  int       `json:"count"`
	Places []Problem `json:"places"`
}

// ProbedOf converts the outcome of an input. looked means that nothing was saved.
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
