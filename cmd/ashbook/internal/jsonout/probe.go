package jsonout

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

// Mapped is one column, and what it was taken for.
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
