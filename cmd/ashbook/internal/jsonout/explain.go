package jsonout

import (
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report"
	"ashbook/report/attribution"
	"ashbook/report/baseline"
	"ashbook/report/drivers"
	"ashbook/report/frame"
)

// Beside is the output of beside.
type Beside struct {
	Cooks    []string  `json:"cooks"`
	Rows     []Row     `json:"rows"`
	Accounts []Account `json:"accounts"` // of each other cook, compared with the first
}

// Row is one column of cooks side by side.
type Row struct {
	Name    string `json:"name"`
	Group   string `json:"group"`
	Unit    string `json:"unit,omitempty"`
	Values  []any  `json:"values"` // number, word or null for each cook
	Differs bool   `json:"differs"`
}

// BesideOf converts cooks side by side.
func BesideOf(cooks []*journal.Cook, accounts []attribution.Account) Beside {
	r := Beside{Cooks: []string{}, Rows: []Row{}, Accounts: []Account{}}
	for _, a := range accounts {
		if a.Known {
			r.Accounts = append(r.Accounts, accountOf(a))
		}
	}
	for _, c := range cooks {
		r.Cooks = append(r.Cooks, c.ID)
	}
	for _, row := range report.SideBySide(cooks) {
		rec := Row{Name: row.Column.Name, Group: string(row.Column.Group), Unit: row.Column.Kind.Unit(), Values: []any{}, Differs: row.Differs}
		for _, v := range row.Values {
			rec.Values = append(rec.Values, valueOf(row.Column, v))
		}
		r.Rows = append(r.Rows, rec)
	}
	return r
}

func valueOf(col frame.Column, v frame.Value) any {
	switch {
	case !v.Known:
		return nil
	case col.Kind == frame.Word:
		return v.Word
	}
	return v.Number
}

// Why is the output of why.
type Why struct {
	Cook     string       `json:"cook"`
	Others   int          `json:"others"`
	Took     *Difference  `json:"took,omitempty"`
	Differs  []Difference `json:"differs"`
	Outcomes []Difference `json:"outcomes"`
	Same     []string     `json:"same"`
	Missing  []string     `json:"missing"`
	Guesses  []Guess      `json:"guesses"` // the user's own, from the notes
	Account  *Account     `json:"account,omitempty"`
}

// Account is a list of the causes of a difference in time. from_h × 60 plus the sum of
// their minutes is took_h × 60.
type Account struct {
	Cook        string    `json:"cook"`
	Against     string    `json:"against"`
	FromH       float64   `json:"from_h"`
	TookH       float64   `json:"took_h"`
	Lines       []Minutes `json:"lines"`
	Unexplained Minutes   `json:"unexplained"`
	Says        []string  `json:"says"`
	Alike       []string  `json:"alike"`
	Missing     []string  `json:"missing"`
}

// Minutes is the minutes of one cause.
type Minutes struct {
	Cause   string  `json:"cause"`
	Says    string  `json:"says"`
	Minutes float64 `json:"minutes"`
	Doubt   float64 `json:"doubt"`
}

// Guess is a guess of the user's in the notes.
type Guess struct {
	Where string `json:"where"`
	Words string `json:"words"`
}

// Difference is one difference from the usual cook.
type Difference struct {
	Name       string   `json:"name"`
	Unit       string   `json:"unit,omitempty"`
	This       any      `json:"this"`
	Usual      any      `json:"usual"`
	Low        *float64 `json:"low,omitempty"`
	High       *float64 `json:"high,omitempty"`
	Difference *float64 `json:"difference,omitempty"`
	Cooks      int      `json:"cooks"`
}

// WhyOf converts one cook compared with another.
func WhyOf(c baseline.Comparison, acc attribution.Account) Why {
	r := Why{Cook: c.Cook.ID, Others: len(c.With), Differs: []Difference{}, Outcomes: []Difference{}, Same: List(c.Same), Missing: List(c.Missing), Guesses: []Guess{}}
	for _, f := range report.Guesses(c.Cook, measure.Metric) {
		r.Guesses = append(r.Guesses, Guess{f.Name, f.Value})
	}
	if acc.Known {
		rec := accountOf(acc)
		r.Account = &rec
	}
	if c.Took.This.Known && c.Took.N > 0 {
		d := differenceOf(c.Took)
		r.Took = &d
	}
	for _, d := range c.Differs {
		r.Differs = append(r.Differs, differenceOf(d))
	}
	for _, d := range c.Outcomes {
		r.Outcomes = append(r.Outcomes, differenceOf(d))
	}
	return r
}

func accountOf(acc attribution.Account) Account {
	r := Account{acc.Cook.ID, acc.Against, acc.From, acc.Took, []Minutes{}, Minutes(acc.Unexplained), []string{}, List(acc.Alike), List(acc.Missing)}
	if acc.Verdict != "" {
		r.Says = append(r.Says, acc.Verdict)
	}
	r.Says = append(r.Says, acc.Says...)
	for _, l := range acc.Lines {
		r.Lines = append(r.Lines, Minutes(l))
	}
	return r
}

func differenceOf(d baseline.Difference) Difference {
	r := Difference{Name: d.Column.Name, Unit: d.Column.Kind.Unit(), This: valueOf(d.Column, d.This), Cooks: d.N}
	if d.Column.Kind == frame.Word {
		r.Usual = d.Word
		return r
	}
	r.Usual, r.Low, r.High, r.Difference = d.Median, &d.Low, &d.High, &d.By
	return r
}

// Matters is the output of matters.
type Matters struct {
	Target     string      `json:"target"`
	Cooks      int         `json:"cooks"`
	Scatter    float64     `json:"scatter"` // in minutes, points, or per cent of weight
	Candidates []Candidate `json:"candidates"`
	Silent     []Silent    `json:"silent"`
	Says       []string    `json:"says"`
	Next       string      `json:"next,omitempty"`
}

// Candidate is something that may matter.
type Candidate struct {
	Name      string   `json:"name"`
	Unit      string   `json:"unit,omitempty"`
	Inclusion float64  `json:"inclusion"`
	Reads     string   `json:"reads"`
	Known     int      `json:"known"`
	More      int      `json:"more_cooks,omitempty"`
	SameAs    []string `json:"same_as"`
	Tangles   []string `json:"tangles"`
	Effects   []Effect `json:"effects"`
}

// Effect is the effect of one change, in the target's unit.
type Effect struct {
	Change  string  `json:"change"`
	Effect  float64 `json:"effect"`
	Low     float64 `json:"low"`
	High    float64 `json:"high"`
	With    int     `json:"with"`
	Without int     `json:"without"`
	Reads   string  `json:"reads"`
	More    int     `json:"more_cooks,omitempty"`
}

// Silent is a column that shows no effect yet, and why.
type Silent struct {
	Name string `json:"name"`
	Why  string `json:"why"`
}

// MattersOf converts a report of what changes a target.
func MattersOf(r drivers.Report) Matters {
	out := Matters{Target: r.Target.String(), Cooks: r.Cooks, Scatter: r.Scatter, Candidates: []Candidate{}, Silent: []Silent{}, Says: List(r.Says), Next: r.Next}
	for _, c := range r.Candidates {
		rec := Candidate{Name: c.Column.Name, Inclusion: c.Inclusion, Reads: c.Reads.String(), Known: c.Known, More: c.More(), SameAs: List(c.SameAs), Tangles: []string{}, Effects: []Effect{}}
		if c.Column.Kind != frame.Word {
			rec.Unit = c.Column.Kind.Unit()
		}
		for _, t := range c.Tangles {
			rec.Tangles = append(rec.Tangles, t.Says)
		}
		for _, l := range c.Lines {
			rec.Effects = append(rec.Effects, Effect{l.Change, l.Effect, l.Lo, l.Hi, l.With, l.Without, l.Reads.String(), l.More})
		}
		out.Candidates = append(out.Candidates, rec)
	}
	for _, s := range r.Silent {
		out.Silent = append(out.Silent, Silent(s))
	}
	return out
}
