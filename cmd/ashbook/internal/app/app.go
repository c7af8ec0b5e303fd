// Package app has what ashbook does, once for the commands and the screens: note, undo,
// correct, light, plan, taste, forecast, explain. Requests and results are plain values
// and errors are typed. It reads no flags, prints nothing and draws nothing.
package app

import (
	"sync"

	"ashbook/cmd/ashbook/internal/lookup"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/journal/history"
)

// App is an open journal and everything that can be done with it. Several goroutines
// may call its methods. No method computes while it holds a lock that Note needs.
type App struct {
	*lookup.Finder
	journal *folder.Folder

	mu    sync.Mutex          // protects the fields below
	typed map[string][]string // by cook: lines written in this run, oldest first
	// by cook: entries undone since the last note of this run, oldest first
	undone  map[string][]journal.Entry
	changes map[string][]Changed     // by cook: corrections made in this run, oldest first
	settled map[string][]settled     // by cook: conflicts decided in this run, oldest first
	lines   map[string][]string      // by file and commit: the lines that the commit added
	pasts   map[string]*history.Past // history by file
	reading *reader                  // prepares the next Known; nil if none is expected
}

// New returns the App of a journal.
func New(j *folder.Folder) *App {
	return &App{Finder: lookup.In(j), journal: j, typed: map[string][]string{}, undone: map[string][]journal.Entry{}, changes: map[string][]Changed{}, settled: map[string][]settled{}, lines: map[string][]string{}, pasts: map[string]*history.Past{}}
}

// Folder returns the journal.
func (a *App) Folder() *folder.Folder { return a.journal }

// Close commits what is not committed yet. It returns what the user should know about
// the files. waits reports whether something saved in this run is still not committed.
func (a *App) Close() (said []string, waits bool) {
	j := a.journal
	err := j.Close()
	if why := j.ReadOnly(); why != "" {
		said = append(said, why)
	}
	said = append(said, j.Happened()...)
	why := j.Waiting()
	if err != nil { // the commit failed; the notes themselves are saved
		why = history.Reason(err)
	}
	switch {
	case why == "":
	case j.Saved():
		return append(said, "noted, but not in history yet: "+why), true
	case j.ReadOnly() == "":
		said = append(said, "an earlier note is not in history yet: "+why)
	}
	return said, false
}

// Settings returns the settings in journal.md. List and Check report what is wrong in
// them.
func (a *App) Settings() journal.Settings {
	s, _ := a.journal.Settings()
	return s
}

// Aside leaves a cook out of reports and writes why into its file, or brings it back.
func (a *App) Aside(id, why string, aside bool) (cookfile.File, error) {
	if aside {
		return a.journal.Edit(id, func(f cookfile.File) (cookfile.File, error) { return f.PutAside(why) }, id+": left out of reports")
	}
	return a.journal.Edit(id, func(f cookfile.File) (cookfile.File, error) { return f.TakeBack() }, id+": back in reports")
}
