package app

import (
	"bytes"
	"fmt"
	"slices"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/cookfile"
)

// settled is a conflict that was decided in a cook's file.
type settled struct {
	text          string // "serve 12:30, not 14:00"
	before, after []byte // content of the file
	typed         int    // number of lines that this run had written before the decision
}

// Settle decides between two values that two people set. If take is false, the one that
// is in its place in the file stays; if it is true, the other one replaces it. It fails
// with ErrEntryGone.
func (a *App) Settle(id string, o journal.Other, take bool) (Noted, error) {
	return a.settle(id, func(others []journal.Other) (int, bool, error) {
		at := slices.IndexFunc(others, func(x journal.Other) bool { return x.String() == o.String() })
		if at < 0 {
			return 0, false, fmt.Errorf("%s: %w", o.Name(), ErrEntryGone)
		}
		return at, take, nil
	}, false)
}

// SettleBy settles a conflict by words such as "serve 12:30", which name the right
// value. All other values for the same key are removed. It fails with
// typed.NoSuchEntry.
func (a *App) SettleBy(id, words string) (Noted, error) {
	return a.settle(id, func(others []journal.Other) (int, bool, error) {
		at, take, err := journal.Choose(others, words)
		if err != nil {
			m := typed.Mistaken(typed.NoSuchEntry, words, "%v", err)
			m.Cooks = []string{id}
			err = m
		}
		return at, take, err
	}, true)
}

// settle decides the pair that pick returns; if all is set, also the other pairs of the
// same key.
func (a *App) settle(id string, pick func([]journal.Other) (at int, take bool, err error), all bool) (Noted, error) {
	var done settled
	change := func(f cookfile.File) (cookfile.File, error) {
		at, take, err := pick(f.Cook.Others)
		if err != nil {
			return cookfile.File{}, err
		}
		o := f.Cook.Others[at]
		right, wrong := o.Both()
		if take {
			right, wrong = wrong, right
		}
		done.text, done.before = right+", not "+wrong, f.Bytes()
		if !o.OfEntry() {
			done.text = o.Name() + " " + done.text
		}
		if f, err = f.Settle(at, take); err != nil {
			return cookfile.File{}, err
		}
		for i := len(f.Cook.Others) - 1; all && !o.OfEntry() && i >= 0; i-- {
			if f.Cook.Others[i].Name() == o.Name() {
				if f, err = f.Settle(i, false); err != nil {
					return cookfile.File{}, err
				}
			}
		}
		done.after = f.Bytes()
		return f, nil
	}
	// The commit message can only be made once the file was read.
	f, err := a.journal.Load(id)
	if err == nil {
		_, err = change(f)
	}
	if err == nil {
		f, err = a.journal.Edit(id, change, id+": settled: "+done.text)
	}
	if err != nil {
		return Noted{}, err
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	done.typed = len(a.typed[id])
	a.settled[id] = append(a.settled[id], done)
	return Noted{Cook: f.Cook, Text: done.text}, nil
}

// lastSettled returns the conflict that this run decided last, unless it has noted
// something since that is still there.
func (a *App) lastSettled(f cookfile.File) (settled, bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	all := a.settled[f.Cook.ID]
	if len(all) == 0 {
		return settled{}, false
	}
	last, there := all[len(all)-1], timelineLines(f)
	since := a.typed[f.Cook.ID][last.typed:]
	return last, !slices.ContainsFunc(since, func(line string) bool { return slices.Contains(there, line) })
}

// unsettle undoes a decision. Later changes of the file stay.
func (a *App) unsettle(id string, s settled) (Noted, error) {
	f, err := a.journal.Edit(id, func(f cookfile.File) (cookfile.File, error) {
		data := s.before
		if !bytes.Equal(f.Bytes(), s.after) {
			var err error
			if data, err = a.journal.MergeCook(id, s.after, f.Bytes(), s.before); err != nil {
				return cookfile.File{}, err
			}
		}
		return a.journal.ParseCook(id, data)
	}, id+": undone: settled: "+s.text)
	if err != nil {
		return Noted{}, err
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	a.settled[id] = a.settled[id][:len(a.settled[id])-1]
	return Noted{Cook: f.Cook, Text: s.text, Undone: true}, nil
}
