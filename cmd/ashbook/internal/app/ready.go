package app

import (
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal/cookfile"
)

// TurnTasks ticks the tasks of a cook with these numbers, or unticks those that are
// ticked, and returns all tasks. It fails with NoSuchTask.
func (a *App) TurnTasks(id string, numbers []int) ([]cookfile.Task, error) {
	f, err := a.journal.Load(id)
	if err != nil {
		return nil, err
	}
	tasks := f.Tasks()
	var ticks []Tick
	for _, n := range numbers {
		if n < 1 || n > len(tasks) {
			return nil, typed.Mistaken(typed.NoSuchTask, id, "task %d: the list of %s has only %d", n, id, len(tasks))
		}
		ticks = append(ticks, Tick{tasks[n-1], !tasks[n-1].Done})
	}
	if len(ticks) > 0 {
		if f, err = a.SetTasks(id, ticks...); err != nil {
			return nil, err
		}
	}
	return f.Tasks(), nil
}

// Tick is a task and whether it is to be ticked.
type Tick struct {
	Task cookfile.Task
	Done bool
}

// SetTasks ticks or unticks tasks of a cook in one edit.
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
