package app

import (
	"slices"
	"time"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/shorthand"
)

// HearHelper reads an entry line that a helper without the journal typed. It saves
// nothing; says is how the line was understood. It fails with BadLine, also for a line
// that would change older entries, since the helper did not write those.
func (a *App) HearHelper(id, line string, now time.Time) (says string, l shorthand.Line, err error) {
	l, _, err = a.hear(id, line, now)
	switch {
	case err != nil:
	case l.Undo || l.Redo:
		err = typed.Mistaken(typed.BadLine, line, "undo and redo work only on the machine that keeps the cook")
	case slices.ContainsFunc(l.Entries(), func(e journal.Entry) bool { _, by := e.Item(journal.By); return by }):
		err = typed.Mistaken(typed.BadLine, line, "by: your name is added already")
	}
	return l.Understood(a.Settings().Units), l, err
}

// SaveHelper saves a line that was read, with the helper's name. It fails with Invalid.
func (a *App) SaveHelper(id string, l shorthand.Line, name string, now time.Time) (Noted, error) {
	who := initials(name)
	if who == "" {
		return Noted{}, typed.Mistaken(typed.Invalid, "", "%q is not a name; expected one letter or more", name)
	}
	by := journal.Item{Act: journal.By, Detail: who}
	l.Entry.Items = append(slices.Clone(l.Entry.Items), by)
	l.Also = slices.Clone(l.Also)
	for i := range l.Also {
		l.Also[i].Items = append(slices.Clone(l.Also[i].Items), by)
	}
	return a.save(id, l, now)
}
