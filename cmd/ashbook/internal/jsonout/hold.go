package jsonout

import (
	"ashbook/journal"
	"ashbook/report/hold"
	"ashbook/report/safety"
)

// Hold is the output of hold.
type Hold struct {
	Cook     string    `json:"cook"`
	Stage    string    `json:"stage"`
	LimitC   float64   `json:"limit_c"`
	AtLimit  *Until    `json:"at_limit,omitempty"` // when the meat falls below the user's limit
	AtLaw    *Until    `json:"at_law,omitempty"`   // when the meat falls below 57 °C
	Meal     string    `json:"meal"`
	Do       []Action  `json:"do"`
	Notes    []string  `json:"notes"`
	Cautions []Caution `json:"cautions"`
	Closing  string    `json:"closing"`
}

// Until is a time, with the range of 8 in 10 cases.
type Until struct {
	Early  string `json:"early"`
	Likely string `json:"likely"`
	Late   string `json:"late"`
	Open   bool   `json:"open"` // late is the end of the forecast, and may be later still
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

// HoldOf converts the state of the box.
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
