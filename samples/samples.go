// Package samples carries one invented journal: a village hall that cooks for
// harvest, feast days, quizzes and shearing over a bit more than two years.
// Hall, people, suppliers, pits and cooks are all made up; samples/invent made
// them, and samples/journal-truth.csv says what was true behind them.
package samples

import (
	"embed"
	"io/fs"
	"time"
)

//go:generate go run generate.go

//go:embed all:journal
var files embed.FS

// FS is the journal; its root holds journal.md. It is read only.
func FS() fs.FS {
	sub, err := fs.Sub(files, "journal")
	if err != nil {
		panic(err) // the name is a constant and valid
	}
	return sub
}

// Running is the ID of the cook that is on the grate at Now, and Next that of
// the one planned after it.
const (
	Running = "2026-09-18-harvest-supper"
	Next    = "2026-10-02-michaelmas-supper"
)

// Now is the moment at which somebody looks at the journal: 01:08 in the night
// before the harvest supper, four minutes after the last entry.
func Now() time.Time {
	return time.Date(2026, 9, 19, 1, 8, 0, 0, time.FixedZone("", 3600))
}
