package lookup

import (
	"context"
	"time"

	"ashbook/journal"
	"ashbook/journal/folder"
)

// Unread is the error for a file that may be the running cook and cannot be read, or
// has less than before: another program may be saving it.
type Unread struct {
	Cook    string // its ID
	Problem journal.Problem
}

func (u Unread) Error() string {
	return "a file that cannot be read may be a running cook: " + u.Problem.Error()
}

// unreadFor is how old a file that cannot be read may be to count as the running cook.
// A file's name gives only the day, and long cooks run into the next day (chosen).
const unreadFor = 2 * 24 * time.Hour

// Unread returns an Unread for the newest such file, or nil.
func (f *Finder) Unread(ctx context.Context, now time.Time) error {
	all, problems, err := f.journal.List(ctx)
	if err != nil {
		return err
	}
	return f.UnreadAmong(all, problems, now)
}

// UnreadAmong does what Unread does, for a journal that was already listed.
func (f *Finder) UnreadAmong(all []folder.Summary, problems []journal.Problem, now time.Time) error {
	for _, s := range all {
		if now.Sub(s.Date) > unreadFor+24*time.Hour || s.Date.Sub(now) > 24*time.Hour {
			continue // only its day is known, and that begins at midnight
		}
		switch {
		case s.Broken:
			u := Unread{s.ID, journal.Problem{File: s.Path, Text: "cannot be read"}}
			for _, p := range problems {
				if p.File == s.Path && !p.Warning {
					u.Problem = p
					break
				}
			}
			return u
		case s.Stage == journal.Planned && f.ranInHistory(s, now):
			return Unread{s.ID, journal.Problem{File: s.Path,
				Text: "its entries are missing, but history has them; another program may be saving it"}}
		}
	}
	return nil
}

// lostVersions is how many versions of a cook are searched for the one that had the
// entries: each command in between may have committed a partly saved file (chosen).
const lostVersions = 10

// ranInHistory reports whether a cook without entries had several in history a short
// time ago and would be running. Undo is no such case, since it removes entries one by
// one.
func (f *Finder) ranInHistory(s folder.Summary, now time.Time) bool {
	repo := f.journal.History()
	if repo == nil || !s.Last.IsZero() {
		return false
	}
	versions, err := repo.Versions(s.Path, lostVersions)
	if err != nil {
		return false
	}
	for _, v := range versions {
		data, err := repo.At(v.Hash, s.Path)
		if err != nil {
			continue
		}
		if was, err := f.journal.ParseCook(s.ID, data); err == nil && len(was.Cook.Entries) > 1 && was.Cook.Running(now) {
			return true
		}
	}
	return false
}
