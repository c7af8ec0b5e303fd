package main

import (
	"time"

	"ashbook/journal"
)

// parseNow reads --now. Where the machine's own zone has the offset that was
// typed at that moment, the zone is kept: its next change of clocks then counts.
func parseNow(s string) (time.Time, error) {
	t, err := journal.ParseTime(s)
	if err != nil {
		return time.Time{}, err
	}
	_, typed := t.Zone()
	if _, own := t.Local().Zone(); own == typed {
		return t.Local(), nil
	}
	return t, nil
}

// ticker ticks every d; stop ends it.
func (e environment) ticker(d time.Duration) (ticks <-chan time.Time, stop func()) {
	if e.ticks != nil {
		return e.ticks, func() {}
	}
	t := time.NewTicker(d)
	return t.C, t.Stop
}

// moving is a clock that runs, from --now if that is given.
func (a *program) moving() (func() time.Time, error) {
	if a.clock == "" {
		return a.now, nil
	}
	fixed, err := a.nowTime()
	if err != nil {
		return nil, err
	}
	started := a.now()
	return func() time.Time { return fixed.Add(a.now().Sub(started)) }, nil
}
