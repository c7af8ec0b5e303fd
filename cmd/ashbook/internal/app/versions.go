package app

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal/cookfile"
	"ashbook/journal/history"
	"ashbook/journal/measure"
	"ashbook/report"
)

// Versions has the versions of a cook, newest first.
type Versions struct {
	All  []history.Version
	Told []report.Version // the same versions, as printed
	Now  string           // hash of the commit with the current file

	Joined bool // the current file was merged from two people's versions and is not in All
}

// versionsTold is how many versions are listed: more than a cook of a long night gets,
// written entry by entry (chosen).
const versionsTold = 1000

// Versions returns the versions of a cook, with their times in a zone.
func (a *App) Versions(id string, zone *time.Location) (Versions, error) {
	all, err := a.journal.Versions(id, versionsTold)
	if err != nil {
		return Versions{}, err
	}
	p := Versions{All: all}
	if p.Now, err = a.journal.Tip(); err != nil {
		return Versions{}, err
	}
	if len(all) > 0 {
		is, _ := a.journal.Version(id, p.Now)
		last, _ := a.journal.Version(id, all[0].Hash)
		p.Joined = !bytes.Equal(is, last)
	}
	for i, v := range all {
		p.Told = append(p.Told, report.Version{
			N: len(all) - i, Of: len(all), When: v.When.In(zone), Who: v.Who, What: whatOf(id, v.Message), Gone: v.Removed,
		})
	}
	return p, nil
}

// whatOf returns a commit message without the name of the cook.
func whatOf(id, message string) string {
	head, _, _ := strings.Cut(message, "\n")
	name, rest, named := strings.Cut(head, ": ")
	if named && (name == id || strings.HasSuffix(id, "-"+name)) {
		return rest
	}
	return head
}

// Number returns the index of the version with a number; it fails with Invalid.
func (p Versions) Number(n int) (int, error) {
	if n < 1 || n > len(p.All) {
		return 0, typed.Mistaken(typed.Invalid, "", "version %d: expected 1 to %d", n, len(p.All))
	}
	return len(p.All) - n, nil
}

// VersionChanges returns what version i changed, and what bringing it back would
// change.
func (a *App) VersionChanges(id string, p Versions, i int) (changed, back []cookfile.Change, err error) {
	if p.All[i].Removed {
		return nil, nil, nil
	}
	is, err := a.journal.Version(id, p.All[i].Hash)
	if err != nil {
		return nil, nil, err
	}
	var was []byte
	if before := p.All[i].Before; before != "" {
		if was, err = a.journal.Version(id, before); err != nil && !errors.Is(err, history.ErrNoVersion) {
			return nil, nil, err
		}
	}
	now, err := a.journal.Version(id, p.Now)
	if err != nil && !errors.Is(err, history.ErrNoVersion) {
		return nil, nil, err
	}
	if changed, err = a.journal.Changes(id, was, is); err != nil {
		return nil, nil, err
	}
	back, err = a.journal.Changes(id, now, is)
	return changed, back, err
}

// BringBack brings back version n or, if before is set, the version before it. It
// returns version n, and in words what was brought back. It fails with Invalid.
func (a *App) BringBack(id string, p Versions, n int, before bool) (v report.Version, what string, err error) {
	i, err := p.Number(n)
	if err != nil {
		return report.Version{}, "", err
	}
	hash, what, as := p.All[i].Hash, "version", "as of "
	if before {
		hash, what, as = p.All[i].Before, "the version before", "as before "
	}
	if hash == "" {
		return report.Version{}, "", typed.Mistaken(typed.Invalid, "", "version %d is the first: there is none before it", n)
	}
	return p.Told[i], what, a.Bring(id, hash, as+p.Told[i].When.Format(measure.FullClock))
}

// Bring replaces a cook's file with an older version, as a new version. as describes
// the older version in the commit message, such as "as of 1 May 2026 19:31". It fails
// for a version that cannot be read as a cook.
func (a *App) Bring(id, hash, as string) error {
	data, err := a.journal.Version(id, hash)
	if err != nil {
		return err
	}
	if _, err := a.journal.ParseCook(id, data); err != nil {
		return fmt.Errorf("that version cannot be read: %w", err)
	}
	if err := a.journal.Replace(id, data, id+": brought back "+as); err != nil {
		return err
	}
	return a.journal.Flush()
}
