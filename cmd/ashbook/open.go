package main

import (
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/journal/cookfile"
)

// ticker returns a channel that ticks every d; stop ends it.
func (e environment) ticker(d time.Duration) (ticks <-chan time.Time, stop func()) {
	if e.ticks != nil {
		return e.ticks, func() {}
	}
	t := time.NewTicker(d)
	return t.C, t.Stop
}

// moving returns a clock that runs, from --now if that is given.
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

// openOnce opens the journal for a command that ends soon. The screens stay open all
// night, and large pages take more memory.
func (a *program) openOnce() (*app.App, error) {
	machine.LargePages()
	return a.open()
}

// openNow opens the journal and returns the time taken as now.
func (a *program) openNow() (*app.App, time.Time, error) {
	now, err := a.nowTime()
	if err != nil {
		return nil, now, err
	}
	j, err := a.openOnce()
	return j, now, err
}

// openCook opens the journal and reads the cook that the words name, or the running one
// if there are no words.
func (a *program) openCook(words []string) (j *app.App, now time.Time, f cookfile.File, err error) {
	if j, now, err = a.openNow(); err == nil {
		f, err = j.Cook(a.ctx, words, now)
	}
	return j, now, f, err
}

// openCompared does what openCook does, for a command that will call Known.
func (a *program) openCompared(words []string) (j *app.App, now time.Time, f cookfile.File, err error) {
	if j, now, err = a.openNow(); err == nil {
		j.ExpectKnown()
		f, err = j.Cook(a.ctx, words, now)
	}
	return j, now, f, err
}

// openKnown opens the journal and returns what the finished cooks show.
func (a *program) openKnown() (*app.App, *app.Known, error) {
	j, err := a.openOnce()
	if err != nil {
		return nil, nil, err
	}
	known, err := j.Known(a.ctx)
	return j, known, err
}
