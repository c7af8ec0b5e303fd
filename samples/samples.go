// Package samples contains one invented journal: a village hall that cooks for harvest,
// feast days, quizzes and shearing over slightly more than two years. Hall, people,
// suppliers, pits and cooks are all made up. samples/invent generates them, and
// samples/journal-truth.csv has the true effects behind them.
package samples

import (
	"embed"
	"io/fs"
	"time"
)

//go:generate go run generate.go

//go:embed all:journal
var files embed.FS

// FS returns the journal, read only; journal.md is at its root.
func FS() fs.FS {
	sub, err := fs.Sub(files, "journal")
	if err != nil {
		panic(err) // the name is a constant and valid
	}
	return sub
}

// Running is the ID of the cook that is on at Now, and Next the ID of the one planned
// after it.
const (
	Running = "2026-09-18-harvest-supper"
	Next    = "2026-10-02-michaelmas-supper"
)

// Now is the moment for which the journal is shown: 01:08 in the night before the
// harvest supper, four minutes after the last entry.
func Now() time.Time {
	return time.Date(2026, 9, 19, 1, 8, 0, 0, time.FixedZone("", 3600))
}
