// Package app is what ashbook does, once: note, undo, correct, light, plan,
// taste, forecast, explain. Requests and results are plain values and errors are
// typed; it knows no flag, prints nothing and draws nothing. The commands and the
// screens both stand on it.
package app

import (
	"sync"

	"ashbook/cmd/ashbook/internal/lookup"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/journal/history"
)

// App is an open journal and everything that can be done with it. Several goroutines may
// call its methods. No method computes under a lock that Note waits for.
type App struct {
	*lookup.Finder
	journal *folder.Folder

	mu      sync.Mutex                 // guards what follows
	typed   map[string][]string        // by cook: the lines this run has written, oldest first
	undone  map[string][]journal.Entry // by cook: what this run has undone since its last note, oldest first
	changes map[string][]Changed       // by cook: what this run has corrected, oldest first
	settled map[string][]settled       // by cook: what this run has settled, oldest first
	lines   map[string][]string        // by file and commit: the lines that it brought
	pasts   map[string]*history.Past   // by file
	reading *reader                    // for the next Known; nil: none is expected
}

// New returns the use cases of a journal.
func New(j *folder.Folder) *App {
	return &App{Finder: lookup.In(j), journal: j, typed: map[string][]string{}, undone: map[string][]journal.Entry{}, changes: map[string][]Changed{}, settled: map[string][]settled{}, lines: map[string][]string{}, pasts: map[string]*history.Past{}}
}

// Folder is the journal itself.
func (a *App) Folder() *folder.Folder { return a.journal }

// Close commits what is not in history yet. It returns what the person should know about
// the files. waits reports whether something saved by this run is still not in history.
func (a *App) Close() (said []string, waits bool) {
	j := a.journal
	err := j.Close()
	if why := j.ReadOnly(); why != "" {
		said = append(said, why)
	}
	said = append(said, j.Happened()...)
	why := j.Waiting()
	if err != nil { // from history; the notes themselves are in their file
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

// Settings returns the settings in journal.md. List and Check report what is wrong in it.
func (a *App) Settings() journal.Settings {
	s, _ := a.journal.Settings()
	return s
}

// Aside leaves a cook out of reports and says why in its file, or lets it count
// again.
func (a *App) Aside(id, why string, aside bool) (cookfile.File, error) {
	if aside {
		return a.journal.Edit(id, func(f cookfile.File) (cookfile.File, error) { return f.PutAside(why) }, id+": left out of reports")
	}
	return a.journal.Edit(id, func(f cookfile.File) (cookfile.File, error) { return f.TakeBack() }, id+": back in reports")
}
