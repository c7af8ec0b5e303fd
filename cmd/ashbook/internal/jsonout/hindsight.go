package jsonout

import (
	"time"

	"ashbook/report/hindsight"
	"ashbook/report/numeric/score"
)

// Hindsight is the output of hindsight.
type Hindsight struct {
	Known   string    `json:"known"` // one of the values of replayKnown
	Cooks   int       `json:"cooks"`
	Tables  []Table   `json:"tables"`
	Moments *[]Moment `json:"moments,omitempty"`
}

// Moment is one replayed moment of a cook.
type Moment struct {
	Cook string `json:"cook"`
	At   string `json:"at"`
	// somebody read a core then; if false, it is an equal part of the cook
	Look     bool     `json:"look"`
	Share    float64  `json:"share"`
	ElapsedH float64  `json:"elapsed_h"`
	LeftH    float64  `json:"left_h"` // the time that was really left
	Past     int      `json:"past_cooks"`
	Readings int      `json:"core_readings"`
	Probe    bool     `json:"probe_series"`
	Why      string   `json:"why"`
	Answers  []Answer `json:"answers"`
}

// Answer is the forecast of one method at a moment.
type Answer struct {
	Method string   `json:"method"`
	ToGoH  float64  `json:"to_go_h"`
	LowH   *float64 `json:"low_h,omitempty"`
	HighH  *float64 `json:"high_h,omitempty"`
	CRPSH  *float64 `json:"crps_h,omitempty"`
}

func momentsOf(all []hindsight.Moment) *[]Moment {
	out := make([]Moment, 0, len(all))
	for i := range all {
		m := &all[i]
		r := Moment{Cook: m.Cook, At: m.At.Format(time.RFC3339), Look: m.Look, Share: m.Share, ElapsedH: m.Elapsed, LeftH: m.Left, Past: m.Past, Readings: m.Readings, Probe: m.Dense, Why: m.Why}
		for _, a := range m.Answers {
			rec := Answer{Method: string(a.Method), ToGoH: a.Hours}
			if len(a.Sample) > 0 {
				crps := score.CRPS(a.Sample, m.Left)
				rec.LowH, rec.HighH, rec.CRPSH = &a.Lo, &a.Hi, &crps
			}
			r.Answers = append(r.Answers, rec)
		}
		out = append(out, r)
	}
	return &out
}

// Table is how well the methods did in one group of moments.
type Table struct {
	Moments string         `json:"moments"` // name of the group, as hindsight.Table.Name
	Rows    []HindsightRow `json:"rows"`
}

// HindsightRow is how well one method did.
type HindsightRow struct {
	Method   string   `json:"method"`
	N        int      `json:"n"`
	MissH    float64  `json:"miss_h"`
	MedianH  float64  `json:"median_miss_h"`
	WorstH   float64  `json:"worst_miss_h"`
	BiasH    float64  `json:"bias_h"`
	OursH    float64  `json:"forecast_miss_there_h"`
	Covered  *float64 `json:"covered,omitempty"`
	WidthH   *float64 `json:"width_h,omitempty"`
	CRPSH    *float64 `json:"crps_h,omitempty"`
	PinballH *float64 `json:"pinball_h,omitempty"`
}

// HindsightOf converts a report of forecasts in hindsight. If moments is set, it has
// each moment too.
func HindsightOf(r hindsight.Report, moments bool) Hindsight {
	out := Hindsight{Known: replayKnown[r.Known], Cooks: r.Cooks, Tables: []Table{}}
	add := func(t hindsight.Table) {
		rec := Table{Moments: t.Name, Rows: []HindsightRow{}}
		for _, row := range t.Rows {
			if row.N == 0 {
				continue
			}
			h := HindsightRow{Method: string(row.Method), N: row.N, MissH: row.Mean, MedianH: row.Median, WorstH: row.Worst, BiasH: row.Bias, OursH: row.OursThere}
			if banded := row.Banded > 0; banded {
				h.Covered, h.WidthH, h.CRPSH, h.PinballH = &row.Covered, &row.Width, &row.CRPS, &row.Pinball
			}
			rec.Rows = append(rec.Rows, h)
		}
		out.Tables = append(out.Tables, rec)
	}
	for _, t := range r.Tables {
		add(t)
	}
	for _, t := range []hindsight.Table{r.During, r.DuringHand, r.DuringDense, r.Looks} {
		add(t)
	}
	for _, p := range r.Parts {
		add(hindsight.Table{Name: p.Name, Rows: []hindsight.Row{p.Row}})
	}
	if moments {
		out.Moments = momentsOf(r.Moments)
	}
	return out
}

// replayKnown has the words for the values of forecast.Known.
var replayKnown = [...]string{"earlier", "others", "none"}
