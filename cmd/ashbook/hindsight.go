package main

import (
	"fmt"
	"io"
	"os"
	"time"

	"ashbook/report"
	"ashbook/report/hindsight"
	"ashbook/report/numeric/score"
	"ashbook/report/page/text"

	"github.com/charmbracelet/x/term"
	"github.com/spf13/cobra"
)

func (a *program) hindsightCommand() *cobra.Command {
	var known struct{ others, alone, moments bool }
	cmd := &cobra.Command{
		Use:   "hindsight [DIR]",
		Short: "Replay finished cooks: how far off the forecasts would have been",
		Long: `Replay every finished cook at set parts of its course, with only what was
written down by then and only the cooks that were over before it began, and
compare the forecast with simple rules: the average of the cut, hours per kg, a
straight line, cooks that looked alike, what others took from that core. It
tells how far to trust COMES OFF. Replayed are equal parts of every course and
the moments at which somebody read a core (of a probe, every hour).`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				a.journal = args[0]
			}
			opt := hindsight.Options{Progress: a.progress("replaying")}
			switch {
			case known.others:
				opt.Known = hindsight.Others
			case known.alone:
				opt.Known = hindsight.Nobody
			}
			return a.hindsight(opt, known.moments)
		},
	}
	cmd.Flags().BoolVar(&known.others, "leave-one-out", false, "let each cook know all the others, later ones too")
	cmd.Flags().BoolVar(&known.alone, "alone", false, "let each cook know no other, as somebody's first")
	cmd.Flags().BoolVar(&known.moments, "moments", false, "with --json: every replayed moment too")
	cmd.MarkFlagsMutuallyExclusive("leave-one-out", "alone")
	return cmd
}

func (a *program) hindsight(opt hindsight.Options, moments bool) error {
	j, err := a.open()
	if err != nil {
		return err
	}
	r, err := j.Hindsight(a.ctx, opt, a.progress("reading the past"))
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(hindsightOf(r, moments))
	}
	a.printf("%s", text.Render(report.Hindsight(r), a.width()))
	return nil
}

// progress draws a line that is overwritten, where a person looks on.
func (a *program) progress(what string) func(done, of int) {
	if !isTerminal(a.err) {
		return nil
	}
	return func(done, of int) {
		fmt.Fprintf(a.err, "\r%s: %d of %d", what, done, of)
		if done == of {
			fmt.Fprint(a.err, eraseLine)
		}
	}
}

// eraseLine goes back to the beginning of a terminal's line and empties it
// (ECMA-48, EL).
const eraseLine = "\r\x1b[K"

// isTerminal reports whether what is written there is seen by a person.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(f.Fd())
}

type hindsightRecord struct {
	Known   string          `json:"known"` // "earlier", "others", "none"
	Cooks   int             `json:"cooks"`
	Tables  []tableRecord   `json:"tables"`
	Moments *[]momentRecord `json:"moments,omitempty"`
}

type momentRecord struct {
	Cook     string         `json:"cook"`
	At       string         `json:"at"`
	Look     bool           `json:"look"` // somebody read a core then; false: an equal part of the course
	Share    float64        `json:"share"`
	ElapsedH float64        `json:"elapsed_h"`
	LeftH    float64        `json:"left_h"` // in truth
	Past     int            `json:"past_cooks"`
	Readings int            `json:"core_readings"`
	Probe    bool           `json:"probe_series"`
	Why      string         `json:"why"`
	Answers  []answerRecord `json:"answers"`
}

type answerRecord struct {
	Method string   `json:"method"`
	ToGoH  float64  `json:"to_go_h"`
	LowH   *float64 `json:"low_h,omitempty"`
	HighH  *float64 `json:"high_h,omitempty"`
	CRPSH  *float64 `json:"crps_h,omitempty"`
}

func momentsOf(all []hindsight.Moment) *[]momentRecord {
	out := make([]momentRecord, 0, len(all))
	for i := range all {
		m := &all[i]
		r := momentRecord{Cook: m.Cook, At: m.At.Format(time.RFC3339), Look: m.Look, Share: m.Share, ElapsedH: m.Elapsed, LeftH: m.Left, Past: m.Past, Readings: m.Readings, Probe: m.Dense, Why: m.Why}
		for _, a := range m.Answers {
			rec := answerRecord{Method: string(a.Method), ToGoH: a.Hours}
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

type tableRecord struct {
	Moments string     `json:"moments"` // hindsight.Table.Name
	Rows    []hindsRow `json:"rows"`
}

type hindsRow struct {
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

func hindsightOf(r hindsight.Report, moments bool) hindsightRecord {
	out := hindsightRecord{Known: [...]string{"earlier", "others", "none"}[r.Known], Cooks: r.Cooks, Tables: []tableRecord{}}
	add := func(t hindsight.Table) {
		rec := tableRecord{Moments: t.Name, Rows: []hindsRow{}}
		for _, row := range t.Rows {
			if row.N == 0 {
				continue
			}
			h := hindsRow{Method: string(row.Method), N: row.N, MissH: row.Mean, MedianH: row.Median, WorstH: row.Worst, BiasH: row.Bias, OursH: row.OursThere}
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
