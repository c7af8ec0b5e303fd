package jsonout

import "ashbook/report/pitbook"

// Pit is what is known about a pit.
type Pit struct {
	Name    string   `json:"name"`
	Kind    string   `json:"kind,omitempty"`
	Cooks   int      `json:"cooks"`
	Hours   float64  `json:"usual_h,omitempty"`
	Fuel    string   `json:"fuel,omitempty"`
	Figures []Figure `json:"figures"`
	Cold    Weather  `json:"air_10_c_colder"`
	Wind    Weather  `json:"wind_1_m_per_s_more"`
	OffsetC *float64 `json:"gauge_offset_c,omitempty"`
	Next    []string `json:"note_next"`
	Notes   []string `json:"notes"`
}

// Figure is a number with its range of 8 in 10 cases. Its key ends in its unit.
type Figure struct {
	Name   string  `json:"name"`
	Likely float64 `json:"likely"`
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
	N      int     `json:"n"`
	From   string  `json:"rests_on"`
}

// Weather is the effect of weather on the fuel.
type Weather struct {
	Likely float64 `json:"fuel_share"`
	Low    float64 `json:"low_share"`
	High   float64 `json:"high_share"`
	N      int     `json:"n"`
	Told   bool    `json:"told"`
}

// PitsOf converts what is known about pits.
func PitsOf(books []pitbook.Book) map[string][]Pit {
	out := []Pit{}
	for i := range books {
		b := &books[i]
		r := Pit{
			Name: b.Name, Kind: string(b.Pit.Kind), Cooks: b.Cooks, Hours: b.Hours, Fuel: b.Fuel, Figures: []Figure{},
			Cold: Weather(b.Cold), Wind: Weather(b.Wind), OffsetC: known(b.Pit.Offset.Base, b.Pit.Offset.Known),
			Next: List(b.Next), Notes: List(b.Notes),
		}
		for _, f := range b.Figures() {
			r.Figures = append(r.Figures, Figure{f.Key, f.Likely, f.Low, f.High, f.N, f.From})
		}
		out = append(out, r)
	}
	return map[string][]Pit{"pits": out}
}
