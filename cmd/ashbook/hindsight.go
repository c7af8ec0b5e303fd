package main

import (
	"fmt"
	"os"

	"ashbook/report"
	"ashbook/report/hindsight"
	"ashbook/report/page/text"

	"github.com/charmbracelet/x/term"
	"github.com/spf13/cobra"
)

func (a *app) hindsightCommand() *cobra.Command {
	var leaveOneOut bool
	cmd := &cobra.Command{
		Use:   "hindsight [DIR]",
		Short: "Replay finished cooks: how far off the forecasts would have been",
		Long: `Replay every finished cook at set parts of its course, with only what was
written down by then and only the cooks that were over before it began, and
compare the forecast with simple rules: the average of the cut, hours per kg, a
straight line, cooks that looked alike. It tells how far to trust COMES OFF.`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				a.journal = args[0]
			}
			return a.hindsight(leaveOneOut)
		},
	}
	cmd.Flags().BoolVar(&leaveOneOut, "leave-one-out", false, "let each cook know all the others, later ones too")
	return cmd
}

func (a *app) hindsight(leaveOneOut bool) error {
	j, err := a.open()
	if err != nil {
		return err
	}
	x := experience(j, a.progress("reading the past"))
	r := hindsight.Replay(x, hindsight.Options{LeaveOneOut: leaveOneOut, Progress: a.progress("replaying")})
	if a.json {
		return a.printJSON(hindsightOf(r))
	}
	a.printf("%s", text.Render(report.Hindsight(r), a.width()))
	return nil
}

// progress draws a line that is overwritten, where a person looks on.
func (a *app) progress(what string) func(done, of int) {
	f, ok := a.err.(*os.File)
	if !ok || !term.IsTerminal(f.Fd()) {
		return nil
	}
	return func(done, of int) {
		fmt.Fprintf(f, "\r%s: %d of %d", what, done, of)
		if done == of {
			fmt.Fprint(f, "\r\x1b[K")
		}
	}
}

type hindsightRecord struct {
	LeaveOneOut bool          `json:"leave_one_out"`
	Cooks       int           `json:"cooks"`
	Tables      []tableRecord `json:"tables"`
}

type tableRecord struct {
	Moments string     `json:"moments"` // "0 %" … "90 %", "during", "during, hand notes", "during, probe series"
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

func hindsightOf(r hindsight.Report) hindsightRecord {
	out := hindsightRecord{LeaveOneOut: r.LeaveOneOut, Cooks: r.Cooks, Tables: []tableRecord{}}
	add := func(name string, t hindsight.Table) {
		rec := tableRecord{Moments: name, Rows: []hindsRow{}}
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
		add(fmt.Sprintf("%.0f %%", 100*t.Share), t)
	}
	add("during", r.During)
	add("during, hand notes", r.DuringHand)
	add("during, probe series", r.DuringDense)
	return out
}
