package jsonout

import (
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/mix"
)

// Mix is a mix, weighed out.
type Mix struct {
	Name   string   `json:"name"`
	Title  string   `json:"title,omitempty"`
	For    *For     `json:"for,omitempty"`
	Parts  []Part   `json:"parts"`
	TotalG float64  `json:"total_g"`
	SaltG  float64  `json:"salt_g"`
	SugarG float64  `json:"sugar_g"`
	AcidG  float64  `json:"acid_g"`
	Wrong  []string `json:"disagrees"`
}

// For is the amount for which a mix is made. One of its three fields is set.
type For struct {
	MeatKg  float64 `json:"meat_kg,omitempty"`
	Heads   float64 `json:"heads,omitempty"`
	VolumeL float64 `json:"volume_l,omitempty"`
}

// Part is one part of a mix.
type Part struct {
	Name    string   `json:"name"`
	G       *float64 `json:"g,omitempty"`
	Measure string   `json:"measure,omitempty"`
}

// Batch is the output of mix NAME.
type Batch struct {
	Mix      Mix      `json:"mix"`
	Cook     string   `json:"cook,omitempty"`
	AheadG   float64  `json:"salt_ahead_g_per_kg,omitempty"`
	Says     []string `json:"says"`
	Cautions []string `json:"cautions"`
	Cooks    int      `json:"cooks"`
	Rates    []Rate   `json:"salt_rates"`
	Remarks  []Remark `json:"remarks"`

	Problems []Problem `json:"problems"`
}

// Rate is how one rate of salt was liked.
type Rate struct {
	GPerKg *float64 `json:"salt_g_per_kg,omitempty"`
	Cooks  int      `json:"cooks"`
	Liked  float64  `json:"liked"`
	Scores int      `json:"scores"`
	Little int      `json:"too_little"`
	Much   int      `json:"too_much"`
}

// Remark is what was said about a mix after a cook.
type Remark struct {
	Cook string `json:"cook"`
	Kind string `json:"kind"`
	Text string `json:"text"`
}

func mixOf(b mix.Batch, sys measure.System) Mix {
	r := Mix{
		Name: b.Mix.Name, Title: b.Mix.Title, Parts: []Part{}, TotalG: b.Grams,
		SaltG: b.Content.Salt, SugarG: b.Content.Sugar, AcidG: b.Content.Acid, Wrong: List(mix.Disagreements(&b.Mix)),
	}
	switch b.Mix.For.Of {
	case journal.ForMeat:
		r.For = &For{MeatKg: b.Amount}
	case journal.ForHeads:
		r.For = &For{Heads: b.Amount}
	case journal.ForVolume:
		r.For = &For{VolumeL: b.Amount}
	}
	for _, l := range b.Lines {
		r.Parts = append(r.Parts, Part{l.Name, known(l.Grams, l.Grams > 0), mix.Spooned(l, sys)})
	}
	return r
}

// MixesOf converts the mixes of a journal.
func MixesOf(mixes []journal.Mix, problems []journal.Problem) any {
	out := struct {
		Mixes    []Mix     `json:"mixes"`
		Problems []Problem `json:"problems"`
	}{[]Mix{}, ProblemsOf(problems)}
	for _, m := range mixes {
		out.Mixes = append(out.Mixes, mixOf(mix.Written(m), measure.Metric))
	}
	return out
}

// BatchOf converts one mix, weighed out.
func BatchOf(b mix.Batch, t mix.Tasted, sys measure.System, problems []journal.Problem) Batch {
	r := Batch{Problems: ProblemsOf(problems), Mix: mixOf(b, sys), AheadG: b.Ahead, Says: List(b.Says), Cautions: List(b.Cautions(sys)), Cooks: t.Cooks, Rates: []Rate{}, Remarks: []Remark{}}
	if b.Cook != nil {
		r.Cook = b.Cook.ID
	}
	for _, s := range t.Rates {
		r.Rates = append(r.Rates, Rate{known(s.GPerKg, s.Known), s.Cooks, s.Liked, s.Scores, s.Little, s.Much})
	}
	for _, m := range t.Remarks {
		r.Remarks = append(r.Remarks, Remark{m.Cook, m.Kind, m.Text})
	}
	return r
}
