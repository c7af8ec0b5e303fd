package screens

import (
	"time"

	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/tui/backend"
)

// Beginner is the backend.First of the first run, while there is no journal.
type Beginner struct {
	Clock  func() time.Time
	Done   <-chan struct{}                    // closed when the ticks should end
	Usual  string                             // folder in which ashbook finds a journal by itself
	Units  measure.System                     // units of the user's country
	Folder func(where string) (string, error) // prepares the folder of a journal and returns its path

	Made   string // the folder that was made; "" for none
	Sample bool   // the user chose the invented journal
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
