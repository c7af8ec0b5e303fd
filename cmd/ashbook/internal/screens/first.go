package screens

import (
	"time"

	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/tui/backend"
)

// Beginner answers the first run, while there is no journal. It is a backend.First.
type Beginner struct {
	Clock  func() time.Time
	Done   <-chan struct{}                    // closed: no more ticks are wanted
	Usual  string                             // where a journal is found without being named
	Units  measure.System                     // usual in the person's country
	Folder func(where string) (string, error) // makes ready the folder of a journal, and says which that is

	Made   string // the folder that was made; empty: none
	Sample bool   // the invented journal is wanted
}

func (b *Beginner) Now() time.Time { return b.Clock() }

func (b *Beginner) Wait(d time.Duration) (time.Time, bool) {
	select {
	case <-time.After(d):
		return b.Clock(), true
	case <-b.Done:
		return time.Time{}, false
	}
}

func (b *Beginner) Begin() backend.Beginning {
	return backend.Beginning{Where: b.Usual, Usual: b.Usual, Units: b.Units, Because: "There is no journal yet. Press Enter to begin one as shown below."}
}

func (b *Beginner) Make(as backend.Beginning) error {
	if as.Sample {
		b.Sample = true
		return nil
	}
	dir, err := b.Folder(as.Where)
	if err != nil {
		return err
	}
	if _, err := folder.Init(dir, as.Units, b.Clock()); err != nil {
		return err
	}
	b.Made = dir
	return nil
}
