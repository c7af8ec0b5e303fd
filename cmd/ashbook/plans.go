package main

import (
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/report/page/text"
	"ashbook/report/provision/buffer"
)

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
	a.print(text.Render(buffer.Page(r), a.width()))
	return nil
}
