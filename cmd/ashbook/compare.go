package main

import (
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/report"
	"ashbook/report/attribution"
	"ashbook/report/baseline"
	"ashbook/report/frame"
	"ashbook/report/page"
	"ashbook/report/page/text"

	"github.com/spf13/cobra"
)

func (a *program) openNow() (*app.App, time.Time, error) {
	now, err := a.nowTime()
	if err != nil {
		return nil, now, err
	}
	j, err := a.open()
	return j, now, err
}

// openCook opens the journal and reads the cook that the words name, without
// words the running one.
func (a *program) openCook(words []string) (j *app.App, now time.Time, f cookfile.File, err error) {
	if j, now, err = a.openNow(); err != nil {
		return j, now, f, err
	}
	var s folder.Summary
	if len(words) == 0 {
		s, err = j.Running(a.ctx, now)
	} else {
		s, err = j.Resolve(a.ctx, words)
	}
	if err == nil {
		f, err = j.Load(s.ID)
	}
	return j, now, f, err
}

// load reads several cooks whole.
func load(j *app.App, found []folder.Summary) ([]*journal.Cook, error) {
	var out []*journal.Cook
	for _, s := range found {
		f, err := j.Load(s.ID)
		if err != nil {
			return nil, err
		}
		out = append(out, &f.Cook)
	}
	return out, nil
}

// resolveEach finds one cook an argument.
func (a *program) resolveEach(j *app.App, args []string) ([]folder.Summary, error) {
	var out []folder.Summary
	for _, arg := range args {
		s, err := j.Resolve(a.ctx, strings.Fields(arg))
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

func (a *program) besideCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "beside COOK COOK …",
		Short: "Set two or more cooks beside each other",
		Long: `Set cooks beside each other: set-up, times, readings and scores, what differs
marked; then what made the others take longer or shorter than the first, in
minutes that add up. Quote a name of several words.`,
		Example: "  ashbook beside 2026-09-18 \"harvest 2025\"",
		Args:    atLeast(2),
		RunE: func(_ *cobra.Command, args []string) error {
			j, err := a.open()
			if err != nil {
				return err
			}
			found, err := a.resolveEach(j, args)
			if err != nil {
				return err
			}
			cooks, err := load(j, found)
			if err != nil {
				return err
			}
			past, err := j.Past(a.ctx)
			if err != nil {
				return err
			}
			accounts, err := j.FromFirst(a.ctx, cooks, past)
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(besideOf(cooks, accounts))
			}
			a.printf("%s", text.Render(report.Beside(cooks, accounts, j.Settings()), a.width()))
			return nil
		},
	}
}

type besideRecord struct {
	Cooks    []string        `json:"cooks"`
	Rows     []rowRecord     `json:"rows"`
	Accounts []accountRecord `json:"accounts"` // of the others, held against the first
}

type rowRecord struct {
	Name    string `json:"name"`
	Group   string `json:"group"`
	Unit    string `json:"unit,omitempty"`
	Values  []any  `json:"values"` // number, word or null for each cook
	Differs bool   `json:"differs"`
}

func besideOf(cooks []*journal.Cook, accounts []attribution.Account) besideRecord {
	r := besideRecord{Cooks: []string{}, Rows: []rowRecord{}, Accounts: []accountRecord{}}
	for _, a := range accounts {
		if a.Known {
			r.Accounts = append(r.Accounts, accountOf(a))
		}
	}
	for _, c := range cooks {
		r.Cooks = append(r.Cooks, c.ID)
	}
	for _, row := range report.SideBySide(cooks) {
		rec := rowRecord{Name: row.Column.Name, Group: string(row.Column.Group), Unit: row.Column.Kind.Unit(), Values: []any{}, Differs: row.Differs}
		for _, v := range row.Values {
			rec.Values = append(rec.Values, valueRecord(row.Column, v))
		}
		r.Rows = append(r.Rows, rec)
	}
	return r
}

func valueRecord(col frame.Column, v frame.Value) any {
	switch {
	case !v.Known:
		return nil
	case col.Kind == frame.Word:
		return v.Word
	}
	return v.Number
}

func (a *program) whyCommand() *cobra.Command {
	var against string
	var plan bool
	cmd := &cobra.Command{
		Use:   "why COOK",
		Short: "Why a cook was early or late, in minutes that add up",
		Long: `Hold a cook against your usual one of that cut: what each difference made of the
time, in minutes that add up, each with its doubt, and what nothing explains as a
line of its own. Under it every difference in its own unit. Your own guess in
the notes is quoted, not adopted.`,
		Example: `  ashbook why 2026-07-17
  ashbook why 2026-07-17 --against 2025-07-18`,
		Args: atLeast(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.why(args, against, plan) },
	}
	cmd.Flags().StringVar(&against, "against", "", "hold it against this `COOK` instead of the usual one")
	cmd.Flags().BoolVar(&plan, "plan", false, "hold it against its own plan")
	return cmd
}

func (a *program) why(args []string, against string, plan bool) error {
	if against != "" && plan {
		return usage("--against and --plan: one of the two")
	}
	j, _, f, err := a.openCook(args)
	if err != nil {
		return err
	}
	past, err := j.Past(a.ctx)
	if err != nil {
		return err
	}
	opt := attribution.Options{Plan: plan}
	if against != "" {
		_, _, other, err := a.openCook(strings.Fields(against))
		if err != nil {
			return err
		}
		opt.Against = &other.Cook
	}
	e, err := j.Explain(a.ctx, &f.Cook, past, opt)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(whyOf(e.Comparison, e.Account))
	}
	a.printf("%s", text.Render(report.Why(e.Comparison, e.Account, e.Over, j.Settings()), a.width()))
	return nil
}

type whyRecord struct {
	Cook     string             `json:"cook"`
	Others   int                `json:"others"`
	Took     *differenceRecord  `json:"took,omitempty"`
	Differs  []differenceRecord `json:"differs"`
	Outcomes []differenceRecord `json:"outcomes"`
	Same     []string           `json:"same"`
	Missing  []string           `json:"missing"`
	Guesses  []guessRecord      `json:"guesses"` // the cook's own, from the notes
	Account  *accountRecord     `json:"account,omitempty"`
}

// accountRecord adds up: from_h × 60 and the minutes give took_h × 60.
type accountRecord struct {
	Cook        string         `json:"cook"`
	Against     string         `json:"against"`
	FromH       float64        `json:"from_h"`
	TookH       float64        `json:"took_h"`
	Lines       []minuteRecord `json:"lines"`
	Unexplained minuteRecord   `json:"unexplained"`
	Says        []string       `json:"says"`
	Alike       []string       `json:"alike"`
	Missing     []string       `json:"missing"`
}

type minuteRecord struct {
	Cause   string  `json:"cause"`
	Says    string  `json:"says"`
	Minutes float64 `json:"minutes"`
	Doubt   float64 `json:"doubt"`
}

type guessRecord struct {
	Where string `json:"where"`
	Words string `json:"words"`
}

type differenceRecord struct {
	Name       string   `json:"name"`
	Unit       string   `json:"unit,omitempty"`
	This       any      `json:"this"`
	Usual      any      `json:"usual"`
	Low        *float64 `json:"low,omitempty"`
	High       *float64 `json:"high,omitempty"`
	Difference *float64 `json:"difference,omitempty"`
	Cooks      int      `json:"cooks"`
}

func whyOf(c baseline.Comparison, acc attribution.Account) whyRecord {
	r := whyRecord{Cook: c.Cook.ID, Others: len(c.With), Differs: []differenceRecord{}, Outcomes: []differenceRecord{}, Same: notNil(c.Same), Missing: notNil(c.Missing), Guesses: []guessRecord{}}
	for _, f := range report.Guesses(c.Cook) {
		r.Guesses = append(r.Guesses, guessRecord{f.Name, f.Value})
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

func accountOf(acc attribution.Account) accountRecord {
	r := accountRecord{acc.Cook.ID, acc.Against, acc.From, acc.Took, []minuteRecord{}, minuteRecord(acc.Unexplained), []string{}, notNil(acc.Alike), notNil(acc.Missing)}
	if acc.Verdict != "" {
		r.Says = append(r.Says, acc.Verdict)
	}
	r.Says = append(r.Says, acc.Says...)
	for _, l := range acc.Lines {
		r.Lines = append(r.Lines, minuteRecord(l))
	}
	return r
}

func differenceOf(d baseline.Difference) differenceRecord {
	r := differenceRecord{Name: d.Column.Name, Unit: d.Column.Kind.Unit(), This: valueRecord(d.Column, d.This), Cooks: d.N}
	if d.Column.Kind == frame.Word {
		r.Usual = d.Word
		return r
	}
	r.Usual, r.Low, r.High, r.Difference = d.Median, &d.Low, &d.High, &d.By
	return r
}

type checkRecord struct {
	Cooks    int             `json:"cooks"`
	Problems []problemRecord `json:"problems"`
	Notices  []string        `json:"notices"`
}

func (a *program) checkCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "check [DIR]",
		Short: "Read every file and say what is wrong",
		Long:  "Read every file of the journal and list what could not be read as meant, each\nwith its file, line and column. Nothing is changed. Exit code 3 when there is\nanything to look at.",
		Args:  cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				a.journal = args[0]
			}
			j, err := a.open()
			if err != nil {
				return err
			}
			n, problems, err := j.Folder().Check(a.ctx)
			if err != nil {
				return err
			}
			notices := append(j.Folder().Notices(), j.Folder().Remarks()...)
			if a.json {
				err = a.printJSON(checkRecord{n, problemRecords(problems), notNil(notices)})
			} else {
				for _, p := range problems {
					kind := "error"
					if p.Warning {
						kind = "warning"
					}
					a.printf("%s (%s)\n", page.Clean(p.Error()), kind)
				}
				for _, notice := range notices {
					a.printf("%s\n", page.Clean(notice))
				}
				a.printf("%s read, %s\n", page.Count(n, "cook"), page.Count(len(problems), "line")+" to look at")
			}
			if err == nil && len(problems) > 0 {
				err = errWarnings
			}
			return err
		},
	}
}
