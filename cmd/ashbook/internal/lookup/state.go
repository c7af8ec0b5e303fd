package lookup

import (
	"time"

	"ashbook/journal"
	"ashbook/journal/folder"
)

// State is a group of stages of a cook for which one can search.
type State string

// The states, in words.
const (
	Planned  State = "planned"
	Running  State = "running"
	Finished State = "finished"
	Open     State = "open" // its end was never noted
)

// States lists all states.
var States = []State{Planned, Running, Finished, Open}

// StateOf returns the state of a cook at a time.
func StateOf(s *folder.Summary, now time.Time) State {
	switch {
	case s.LeftOpen(now):
		return Open
	case s.Running(now):
		return Running
	case s.Stage == journal.Planned:
		return Planned
	}
	return Finished
}
