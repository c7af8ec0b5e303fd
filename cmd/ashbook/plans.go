package main

import (
	"strings"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/journal"
	"ashbook/report/mix"
	"ashbook/report/page/text"
	"ashbook/report/provision"
	"ashbook/report/provision/buffer"
	"ashbook/report/provision/runsheet"
)

// mixesFor weighs out the mixes of the journal for a plan: the rub that past cooks
// name, as much as is to be bought, and the sauce and the slaw for the heads where
// there is one of it, so that none has to be chosen.
func mixesFor(j *app.App, p *provision.Plan) runsheet.Mixes {
	mixes, _ := j.Folder().Mixes()
	line := func(m *journal.Mix, w mix.Want) string {
		b, err := mix.Scale(*m, w, p.Settings.Units)
		if err != nil || len(b.Lines) == 0 {
			return ""
		}
		return b.Line(p.Settings.Units)
	}
	rub := func() string {
		for i := range mixes {
			m := &mixes[i]
			if m.For.Of != journal.ForMeat || !mix.Named(m, p.Salt.Mix) {
				continue
			}
			if one, err := mix.Scale(*m, mix.Want{Meat: 1}, p.Settings.Units); err == nil && one.Grams > 0 {
				return line(m, mix.Want{Meat: p.Salt.RubG / one.Grams})
			}
		}
		return ""
	}
	only := func(what string) string {
		found := ""
		for i := range mixes {
			m := &mixes[i]
			if m.For.Of == journal.ForMeat || !strings.Contains(strings.ToLower(m.Name+" "+m.Title), what) {
				continue
			}
			if found != "" {
				return ""
			}
			found = line(m, mix.Want{Heads: float64(p.Request.Party.Heads)})
		}
		return found
	}
	return runsheet.Mixes{Rub: rub(), Sauce: only("sauce"), Slaw: only("slaw")}
}

// replayPlans tells how often plans would have been in time.
func (a *program) replayPlans(leaveOneOut bool) error {
	j, err := a.open()
	if err != nil {
		return err
	}
	r, err := j.ReplayPlans(a.ctx, leaveOneOut, a.progress("reading the past"), a.progress("replaying"))
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(jsonout.ReplayOf(leaveOneOut, r))
	}
	a.printf("%s", text.Render(buffer.Page(r), a.width()))
	return nil
}
