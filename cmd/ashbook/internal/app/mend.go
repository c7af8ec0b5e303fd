package app

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/journal/shorthand"
)

// EntryAt finds the entry with a clock time such as 23:40, or on a line of the file. It
// fails with NoSuchEntry.
func EntryAt(c *journal.Cook, name string) (journal.Entry, error) {
	hour, minute, isClock := journal.ReadClock(name)
	number, err := strconv.Atoi(name)
	fail := func(format string, args ...any) (journal.Entry, error) {
		m := typed.Mistaken(typed.NoSuchEntry, name, format, args...)
		m.Cooks = []string{c.ID}
		return journal.Entry{}, m
	}
	if !isClock && err != nil {
		return fail("entry %q: expected its clock time such as 23:40, or its line in the file", name)
	}
	var found []journal.Entry
	var lines []string
	for _, e := range c.Entries {
		if isClock && e.Time.Hour() == hour && e.Time.Minute() == minute || !isClock && e.Line == number {
			found = append(found, e)
			lines = append(lines, strconv.Itoa(e.Line))
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return fail("%s has no entry at %s", c.ID, name)
	}
	return fail("%d entries are at %s: lines %s; give the line of the one you mean", len(found), name, strings.Join(lines, ", "))
}

// Changed is a correction of an entry.
type Changed struct {
	Cook    journal.Cook  // as saved
	Was, Is journal.Entry // Is has no time if the entry was deleted
	Flags   []string      // warnings
	Dropped bool

	before, after []byte // content of the file
}

// Mend replaces an entry by a new line. The user has seen how the line is understood.
// It fails with BadLine or ErrEntryGone.
func (a *App) Mend(id string, old journal.Entry, line string, now time.Time) (Changed, error) {
	return a.mend(id, old, line, now, true)
}

// MendUnseen does what Mend does for a user who has not seen how the line is
// understood. It fails with BadLine if the line has parts that are not understood.
func (a *App) MendUnseen(id string, old journal.Entry, line string, now time.Time) (Changed, error) {
	return a.mend(id, old, line, now, false)
}

func (a *App) mend(id string, old journal.Entry, line string, now time.Time, seen bool) (Changed, error) {
	out := Changed{Was: old}
	settings := a.Settings()
	err := a.change(id, &out, "corrected", func(f cookfile.File, at int) (cookfile.File, error) {
		l, err := shorthand.Mend(line, f.Cook.Entries[at], shorthand.Context{Now: now, Settings: settings, Cook: &f.Cook})
		if err != nil {
			return cookfile.File{}, typed.Mistaken(typed.BadLine, line, "%v", err)
		}
		if len(l.Left) > 0 && !seen {
			return cookfile.File{}, typed.Mistaken(typed.BadLine, line, "I don't know %q; put words after --", l.Left[0])
		}
		out.Is, out.Flags = l.Entry, l.Flags
		return f.ReplaceEntry(at, l.Entry)
	})
	return out, err
}

// Drop deletes an entry of a cook. It fails with ErrEntryGone.
func (a *App) Drop(id string, old journal.Entry) (Changed, error) {
	out := Changed{Was: old, Dropped: true}
	err := a.change(id, &out, "deleted", func(f cookfile.File, at int) (cookfile.File, error) { return f.RemoveEntry(at) })
	return out, err
}

func (a *App) change(id string, c *Changed, did string, change func(cookfile.File, int) (cookfile.File, error)) error {
	f, err := a.journal.Edit(id, func(f cookfile.File) (cookfile.File, error) {
		at, err := indexOf(&f.Cook, c.Was)
		if err != nil {
			return cookfile.File{}, err
		}
		edited, err := change(f, at)
		if err == nil {
			edited, err = edited.WithoutSettled()
		}
		c.before, c.after = f.Bytes(), edited.Bytes()
		return edited, err
	}, id+": "+did+": "+Clock(c.Was, measure.Metric))
	if err != nil {
		return err
	}
	c.Cook = f.Cook
	a.mu.Lock()
	defer a.mu.Unlock()
	a.changes[id] = append(a.changes[id], *c)
	return nil
}

// ErrNothingToUndo means that this run has corrected nothing in the cook.
var ErrNothingToUndo = errors.New("nothing in this cook was corrected since ashbook was opened; all its versions are in its history")

// Unmend undoes the last Mend or Drop of this run. If the file has not changed since,
// every byte is as before; if it has, only the entry is restored. It fails with
// ErrNothingToUndo.
func (a *App) Unmend(id string) (Changed, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	n := len(a.changes[id])
	if n == 0 {
		return Changed{}, ErrNothingToUndo
	}
	c := a.changes[id][n-1]
	err := a.journal.EditBytes(id, func(now []byte) ([]byte, error) {
		if bytes.Equal(now, c.after) {
			return c.before, nil
		}
		f, err := a.journal.ParseCook(id, now)
		if err != nil {
			return nil, err
		}
		if c.Dropped {
			f, err = f.AddEntry(c.Was)
			return f.Bytes(), err
		}
		at, err := indexOf(&f.Cook, c.Is)
		if err != nil {
			return nil, err
		}
		f, err = f.ReplaceEntry(at, c.Was)
		return f.Bytes(), err
	}, id+": as it was: "+Clock(c.Was, measure.Metric))
	if err != nil {
		return Changed{}, err
	}
	a.changes[id] = a.changes[id][:n-1]
	return Changed{Was: c.Is, Is: c.Was}, nil
}

// ErrEntryGone means that the entry is not in the file any more.
var ErrEntryGone = errors.New("somebody changed it in the meantime; look again")

// indexOf returns the index of an entry: the one on its line, or else one with the same
// text.
func indexOf(c *journal.Cook, e journal.Entry) (int, error) {
	found := -1
	for i, o := range c.Entries {
		if o.String() != e.String() || !o.Time.Equal(e.Time) {
			continue
		}
		if found < 0 || o.Line == e.Line {
			found = i
		}
	}
	if found < 0 {
		return 0, fmt.Errorf("entry %q: %w", Clock(e, measure.Metric), ErrEntryGone)
	}
	return found, nil
}
