package main

import (
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/report/forecast"
	"ashbook/report/provision/buffer"
)

// replayPlans prints how often plans would have been in time.
func (a *program) replayPlans(known forecast.Known) error {
	j, err := a.openOnce()
	if err != nil {
		return err
	}
	r, err := j.ReplayPlans(a.ctx, known, a.progress("reading past cooks"), a.progress("replaying"))
	if err != nil {
		return err
	}
	return a.show(jsonout.ReplayOf(r), buffer.Page(r))
}
