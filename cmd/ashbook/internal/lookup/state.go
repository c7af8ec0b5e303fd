package lookup

import (
	"time"

	"ashbook/journal"
	"ashbook/journal/folder"
)

// State groups the stages of a cook into the states that a person can search for.
type State string

// The states, in words.
const (
	Planned  State = "planned"
	Running  State = "running"
	Finished State = "finished"
	Open     State = "open" // its end was never noted
)

// States lists them.
var States = []State{Planned, Running, Finished, Open}

// StateOf is the state of a cook at a time.
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
