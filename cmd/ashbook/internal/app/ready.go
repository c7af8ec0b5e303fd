package app

import (
	"context"
	"time"

	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
)

// NextToReady finds the cook whose lists are to be worked off: the next one
// planned, else the one that is running. It fails with NonePlanned.
func (a *App) NextToReady(ctx context.Context, now time.Time) (folder.Summary, error) {
	all, _, err := a.journal.List(ctx)
	if err != nil {
		return folder.Summary{}, err
	}
	var next folder.Summary
	for _, s := range all {
		if StateOf(s, now) == Planned && !s.Broken && s.Serve.After(now) && (next.ID == "" || s.Serve.Before(next.Serve)) {
			next = s
		}
	}
	for _, s := range all {
		if next.ID == "" && s.Running(now) {
			next = s
		}
	}
	if next.ID == "" {
		return next, mistake(NonePlanned, "", "no cook is planned")
	}
	return next, nil
}

// Tick is a task and whether it is done.
type Tick struct {
	Task cookfile.Task
	Done bool
}

// SetTasks ticks tasks of a cook, or unticks them, in one edit.
func (a *App) SetTasks(id string, ticks ...Tick) (cookfile.File, error) {
	return a.journal.Edit(id, func(f cookfile.File) (cookfile.File, error) {
		var err error
		for _, t := range ticks {
			if f, err = f.SetTask(t.Task, t.Done); err != nil {
				return cookfile.File{}, err
			}
		}
		return f, nil
	}, id+": made ready")
}
