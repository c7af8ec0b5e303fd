package main

import (
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/report/provision/buffer"
)

// replayPlans says how often plans would have been in time.
func (a *program) replayPlans(leaveOneOut bool) error {
	j, err := a.open()
	if err != nil {
		return err
	}
	r, err := j.ReplayPlans(a.ctx, leaveOneOut, a.progress("reading the past"), a.progress("replaying"))
	if err != nil {
		return err
	}
	return a.show(jsonout.ReplayOf(leaveOneOut, r), buffer.Page(r))
}
