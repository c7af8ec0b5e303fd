package main

import (
	"strings"

	"ashbook/report"
	"ashbook/report/drivers"
	"ashbook/report/frame"
	"ashbook/report/page/text"

	"github.com/spf13/cobra"
)

func (a *program) mattersCommand() *cobra.Command {
	targets := drivers.Targets()
	return &cobra.Command{
		Use:   "matters [TARGET]",
		Short: "What moves time and eating over your cooks, and what cannot be told yet",
		Long: `Weigh everything the notes hold against one target: ` + strings.Join(targets, ", ") + `
(time, if none is named). For each: the effect of a stated change, its 80 % range,
the cooks on each side, and whether that is enough to tell it from chance.`,
		Args:      cobra.MaximumNArgs(1),
		ValidArgs: targets,
		RunE: func(_ *cobra.Command, args []string) error {
			target := drivers.Time
			if len(args) == 1 {
				var err error
				if target, err = drivers.ParseTarget(args[0]); err != nil {
					return usage("%v", err)
				}
			}
			return a.matters(target)
		},
	}
}

func (a *program) matters(target drivers.Target) error {
	j, err := a.open()
	if err != nil {
		return err
	}
	past, err := j.Past(a.ctx)
	if err != nil {
		return err
	}
	r, err := j.Matters(a.ctx, past, target)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(mattersOf(r))
	}
	a.printf("%s", text.Render(report.Matters(r, j.Settings()), a.width()))
	return nil
}

type mattersRecord struct {
	Target     string            `json:"target"`
	Cooks      int               `json:"cooks"`
	Scatter    float64           `json:"scatter"` // minutes, points, or per cent of weight
	Candidates []candidateRecord `json:"candidates"`
	Silent     []silentRecord    `json:"silent"`
	Says       []string          `json:"says"`
	Next       string            `json:"next,omitempty"`
}

type candidateRecord struct {
	Name      string         `json:"name"`
	Unit      string         `json:"unit,omitempty"`
	Inclusion float64        `json:"inclusion"`
	Reads     string         `json:"reads"`
	Known     int            `json:"known"`
	More      int            `json:"more_cooks,omitempty"`
	SameAs    []string       `json:"same_as"`
	Tangles   []string       `json:"tangles"`
	Effects   []effectRecord `json:"effects"`
}

type effectRecord struct {
	Change  string  `json:"change"`
	Effect  float64 `json:"effect"`
	Low     float64 `json:"low"`
	High    float64 `json:"high"`
	With    int     `json:"with"`
	Without int     `json:"without"`
}

type silentRecord struct {
	Name string `json:"name"`
	Why  string `json:"why"`
}

func mattersOf(r drivers.Report) mattersRecord {
	out := mattersRecord{Target: r.Target.String(), Cooks: r.Cooks, Scatter: r.Scatter, Candidates: []candidateRecord{}, Silent: []silentRecord{}, Says: notNil(r.Says), Next: r.Next}
	for _, c := range r.Candidates {
		rec := candidateRecord{Name: c.Column.Name, Inclusion: c.Inclusion, Reads: c.Reads.String(), Known: c.Known, More: c.More, SameAs: notNil(c.SameAs), Tangles: []string{}, Effects: []effectRecord{}}
		if c.Column.Kind != frame.Word {
			rec.Unit = c.Column.Kind.Unit()
		}
		for _, t := range c.Tangles {
			rec.Tangles = append(rec.Tangles, t.Says)
		}
		for _, l := range c.Lines {
			rec.Effects = append(rec.Effects, effectRecord{l.Change, l.Effect, l.Lo, l.Hi, l.With, l.Without})
		}
		out.Candidates = append(out.Candidates, rec)
	}
	for _, s := range r.Silent {
		out.Silent = append(out.Silent, silentRecord(s))
	}
	return out
}
