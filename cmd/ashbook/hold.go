package main

import (
	"ashbook/journal"
	"ashbook/report/hold"
	"ashbook/report/page/text"
	"ashbook/report/safety"

	"github.com/spf13/cobra"
)

const holdHelp = `Say until when the box keeps the meat hot enough, give or take, what that means
for the meal, and what to do if it will not last; then the clock of the
leftovers, and every caution the notes give reason for.

Two core readings after "boxed" suffice; before that it goes by how your box
kept before. The limit is the one of journal.md, never below 57 °C (135 °F, FDA
Food Code 2022, 3-501.16). Nothing here says that food is safe: follow your
local food code.`

func (a *program) holdCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "hold [COOK]",
		Short: "Until when the box keeps it hot, and the leftovers",
		Long:  holdHelp,
		RunE: func(_ *cobra.Command, args []string) error {
			j, now, f, err := a.openCook(args)
			if err != nil {
				return err
			}
			past, err := j.Past(a.ctx)
			if err != nil {
				return err
			}
			settings := j.Settings()
			if a.json {
				return a.printJSON(holdOf(&f.Cook, hold.Look(&f.Cook, past, settings, now), safety.Look(&f.Cook, settings, now)))
			}
			a.printf("%s", text.Render(hold.Page(&f.Cook, past, settings, now), a.width()))
			return nil
		},
	}
}

type holdRecord struct {
	Cook     string          `json:"cook"`
	Stage    string          `json:"stage"`
	LimitC   float64         `json:"limit_c"`
	AtLimit  *untilRecord    `json:"at_limit,omitempty"` // at or above the person's limit until
	AtLaw    *untilRecord    `json:"at_law,omitempty"`   // at or above 57 °C until
	Meal     string          `json:"meal"`
	Do       []actionRecord  `json:"do"`
	Notes    []string        `json:"notes"`
	Cautions []cautionRecord `json:"cautions"`
	Closing  string          `json:"closing"`
}

type untilRecord struct {
	Early  string `json:"early"`
	Likely string `json:"likely"`
	Late   string `json:"late"`
	Open   bool   `json:"open"` // late is as far as is foretold
}

type actionRecord struct {
	By   string `json:"by,omitempty"`
	Text string `json:"text"`
}

type cautionRecord struct {
	Kind   string `json:"kind"`
	Weight string `json:"weight"`
	Piece  string `json:"piece,omitempty"`
	Text   string `json:"text"`
	Rests  string `json:"rests_on"`
	Do     string `json:"do"`
	Source string `json:"source"`
}

func holdOf(c *journal.Cook, h hold.Hold, r safety.Review) holdRecord {
	out := holdRecord{
		Cook: c.ID, Stage: string(h.Stage), LimitC: h.Limit, AtLimit: untilOf(h.AtLimit), AtLaw: untilOf(h.AtLaw), Meal: string(h.Meal),
		Do: []actionRecord{}, Notes: notNil(h.Notes), Cautions: []cautionRecord{}, Closing: r.Closing,
	}
	for _, d := range h.Do {
		out.Do = append(out.Do, actionRecord{timeRecord(d.By), d.Text})
	}
	for _, f := range r.Findings {
		out.Cautions = append(out.Cautions, cautionRecord{string(f.Kind), f.Weight.String(), f.Piece, f.Text, f.Rests, f.Do, f.Source})
	}
	return out
}

func untilOf(u hold.Until) *untilRecord {
	if !u.Known() {
		return nil
	}
	return &untilRecord{timeRecord(u.Early), timeRecord(u.Likely), timeRecord(u.Late), u.Open}
}
