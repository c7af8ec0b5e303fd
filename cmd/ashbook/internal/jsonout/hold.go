package jsonout

import (
	"ashbook/journal"
	"ashbook/report/hold"
	"ashbook/report/safety"
)

// Hold is the shape of hold.
type Hold struct {
	Cook     string    `json:"cook"`
	Stage    string    `json:"stage"`
	LimitC   float64   `json:"limit_c"`
	AtLimit  *Until    `json:"at_limit,omitempty"` // at or above the person's limit until
	AtLaw    *Until    `json:"at_law,omitempty"`   // at or above 57 °C until
	Meal     string    `json:"meal"`
	Do       []Action  `json:"do"`
	Notes    []string  `json:"notes"`
	Cautions []Caution `json:"cautions"`
	Closing  string    `json:"closing"`
}

// Until is a moment, with its range of 8 in 10.
type Until struct {
	Early  string `json:"early"`
	Likely string `json:"likely"`
	Late   string `json:"late"`
	Open   bool   `json:"open"` // late is as far as is foretold
}

// Action is something to do.
type Action struct {
	By   string `json:"by,omitempty"`
	Text string `json:"text"`
}

// Caution is a caution, with its source.
type Caution struct {
	Kind   string `json:"kind"`
	Weight string `json:"weight"`
	Piece  string `json:"piece,omitempty"`
	Text   string `json:"text"`
	Rests  string `json:"rests_on"`
	Do     string `json:"do"`
	Source string `json:"source"`
}

// HoldOf returns how the box does.
func HoldOf(c *journal.Cook, h hold.Hold, r safety.Review) Hold {
	out := Hold{
		Cook: c.ID, Stage: string(h.Stage), LimitC: h.Limit, AtLimit: untilOf(h.AtLimit), AtLaw: untilOf(h.AtLaw), Meal: string(h.Meal),
		Do: []Action{}, Notes: List(h.Notes), Cautions: []Caution{}, Closing: r.Closing,
	}
	for _, d := range h.Do {
		out.Do = append(out.Do, Action{Time(d.By), d.Text})
	}
	for _, f := range r.Findings {
		out.Cautions = append(out.Cautions, Caution{string(f.Kind), f.Weight.String(), f.Piece, f.Text, f.Rests, f.Do, f.Source})
	}
	return out
}

func untilOf(u hold.Until) *Until {
	if !u.Known() {
		return nil
	}
	return &Until{Time(u.Early), Time(u.Likely), Time(u.Late), u.Open}
}
