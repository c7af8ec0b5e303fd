package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/journal/history"
	"ashbook/journal/syncer"
)

// Company is what is known about the other people who note in a cook.
type Company struct {
	Noted  []Noting // recent entries, newest first
	Clocks []Clocked
	Remote bool // the journal has a remote; Sync has its state
	Sync   syncer.State
}

// Noting is an entry and the person who committed it.
type Noting struct {
	Who   string
	Entry journal.Entry
}

// Clocked is a person whose clock is ahead of this machine's.
type Clocked struct {
	Who   string
	Ahead time.Duration
}

const (
	// lately is how long another person's entry counts as recent (chosen).
	lately = 2 * time.Hour
	// companyBack is how many versions of a cook are searched for who added an entry:
	// more than several people make in that time (chosen).
	companyBack = 200
	// aheadFrom is how far ahead a clock must be to be reported; notes have only
	// minutes (chosen).
	aheadFrom = time.Minute
)

// Company finds the other people who note in a cook. For each recent entry it finds who
// committed it. A clock is ahead if an entry or a commit is in the future.
func (a *App) Company(f cookfile.File, now time.Time) (out Company) {
	repo := a.journal.History()
	if repo == nil {
		return out
	}
	if remote, err := repo.Remote(""); err == nil && remote.URL != "" {
		out.Remote, out.Sync = true, syncer.ReadState(repo.State())
	}
	path := folder.Path(f.Cook.ID)
	versions, err := a.past(path).Versions(now.Add(-lately), companyBack)
	if err != nil {
		return out
	}
	me, lines := repo.Author(), timelineLines(f)
	ahead := map[string]time.Duration{}
	for _, v := range versions {
		if v.Who == me || v.Who == history.Unnamed {
			continue
		}
		ahead[v.Who] = max(ahead[v.Who], v.When.Sub(now))
		for _, l := range a.brought(path, v.Hash, v.Before) {
			i := slices.Index(lines, l)
			if i < 0 {
				continue
			}
			e := f.Cook.Entries[i]
			ahead[v.Who] = max(ahead[v.Who], e.Time.Sub(now))
			if now.Sub(e.Time) < lately {
				out.Noted = append(out.Noted, Noting{v.Who, e})
			}
		}
	}
	slices.SortStableFunc(out.Noted, func(x, y Noting) int { return y.Entry.Time.Compare(x.Entry.Time) })
	for who, d := range ahead {
		if d >= aheadFrom {
			out.Clocks = append(out.Clocks, Clocked{who, d})
		}
	}
	slices.SortFunc(out.Clocks, func(x, y Clocked) int { return cmp.Compare(x.Who, y.Who) })
	return out
}

// past returns the history of a file. It reads each history once, since Watch asks for
// it after each note.
func (a *App) past(path string) *history.Past {
	a.mu.Lock()
	defer a.mu.Unlock()
	p := a.pasts[path]
	if p == nil {
		p = a.journal.History().Past(path)
		a.pasts[path] = p
	}
	return p
}

// brought returns the lines of a file that a commit added since the version before, or
// all its lines if before is "". It reads each commit once a run.
func (a *App) brought(path, hash, before string) []string {
	a.mu.Lock()
	key := strings.Join([]string{path, hash, before}, " ")
	lines, known := a.lines[key]
	a.mu.Unlock()
	if known {
		return lines
	}
	repo := a.journal.History()
	read := func(commit string) []string {
		data, err := repo.At(commit, path)
		if err != nil {
			return nil // the file did not exist
		}
		return strings.Split(strings.ReplaceAll(string(data), "\r\n", "\n"), "\n")
	}
	old := map[string]bool{}
	for _, l := range read(before) {
		old[l] = true
	}
	lines = slices.DeleteFunc(read(hash), func(l string) bool { return old[l] })
	a.mu.Lock()
	defer a.mu.Unlock()
	a.lines[key] = lines
	return lines
}

// CompanyMark returns a text that identifies the state of everything that Company
// reads, except the cook's own file.
func (a *App) CompanyMark() string {
	repo := a.journal.History()
	if repo == nil {
		return ""
	}
	tip, _ := repo.Tip()
	return fmt.Sprint(tip, syncer.ReadState(repo.State()))
}
