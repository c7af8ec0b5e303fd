package app

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/journal/shorthand"
)

// Noted is the outcome of an entry line.
type Noted struct {
	Cook   journal.Cook // as saved
	Text   string       // how the line was understood, or the entry that was undone or restored
	Line   string       // the entry's line in the file
	Flags  []string     // warnings: "core 17, last was 71?"
	Left   []string     // parts that were not understood and are saved as words
	Asks   []string     // parts in question that are saved as words, since nobody could answer
	Undone bool         // the line undid the last entry
	Redone bool         // the line restored the entry that was undone
}

// Note reads an entry line of a cook and saves it, with parts it does not understand as
// words. When it returns without an error, the entry is on disk. The user has seen how
// the line is understood. It fails with BadLine.
func (a *App) Note(id, line string, now time.Time) (Noted, error) {
	return a.note(id, line, now, func(l shorthand.Line) shorthand.Line { return l })
}

// NoteUnseen does what Note does if nobody can answer a question: parts in question are
// saved as words.
func (a *App) NoteUnseen(id, line string, now time.Time) (Noted, error) {
	return a.note(id, line, now, shorthand.Line.Sure)
}

func (a *App) note(id, line string, now time.Time, take func(shorthand.Line) shorthand.Line) (Noted, error) {
	heard, c, err := a.hear(id, line, now)
	switch {
	case err != nil:
		return Noted{}, err
	case heard.Undo:
		return a.Undo(id)
	case heard.Redo:
		return a.Redo(id)
	}
	l := take(heard)
	a.sign(&l, &c)
	out, err := a.save(id, l, now)
	if len(l.Asks) == 0 {
		out.Asks = heard.Asks
	}
	return out, err
}

// hear reads an entry line of a cook. It fails with BadLine.
func (a *App) hear(id, line string, now time.Time) (shorthand.Line, journal.Cook, error) {
	f, err := a.journal.Load(id)
	if err != nil {
		return shorthand.Line{}, journal.Cook{}, err
	}
	l, err := shorthand.Parse(line, shorthand.Context{Now: now, Settings: a.Settings(), Cook: &f.Cook})
	if err != nil {
		return shorthand.Line{}, journal.Cook{}, typed.Mistaken(typed.BadLine, line, "%v", err)
	}
	return l, f.Cook, nil
}

// save saves a line that was read.
func (a *App) save(id string, l shorthand.Line, now time.Time) (Noted, error) {
	entries := l.Entries()
	f, err := a.addEntries(id, entries)
	if err != nil {
		return Noted{}, err
	}
	out := Noted{Cook: f.Cook, Text: l.Understood(a.Settings().Units), Flags: l.Flags, Left: l.Left}
	if was, ok := f.Cook.LastEntry(); ok && len(entries) > 0 && !entries[0].Time.Before(now.Add(-time.Minute)) && was.Sub(now) > clockBack {
		out.Flags = append(out.Flags, fmt.Sprintf("the clock says %s, but the last entry is from %s: is the clock right?", measure.FormatTime(now, measure.Clock, a.Settings().Units), measure.FormatTime(was.In(now.Location()), measure.Clock, a.Settings().Units)))
	}
	if p, ok := f.Conflict(); ok {
		out.Flags = append(out.Flags, p.Error())
	}
	out.Flags = append(out.Flags, a.askedBy(&f.Cook, entries, now)...)
	a.mu.Lock()
	defer a.mu.Unlock()
	a.undone[id] = nil
	for _, e := range entries {
		out.Line = e.String()
		a.typed[id] = append(a.typed[id], out.Line)
	}
	return out, nil
}

// sign adds the initials of git's user to a line if the cook names other people. If one
// person notes alone, it adds nothing.
func (a *App) sign(l *shorthand.Line, c *journal.Cook) {
	repo := a.journal.History()
	if repo == nil || !names(c, func(string) bool { return true }) {
		return
	}
	me := initials(repo.Author())
	if _, said := l.Entry.Item(journal.By); said || me == "" || len(l.Entry.Items) == 0 || !names(c, func(who string) bool { return who != me }) {
		return
	}
	l.Entry.Items = append(slices.Clone(l.Entry.Items), journal.Item{Act: journal.By, Detail: me})
}

// names reports whether want is true for any person who, by the cook's file, notes in
// it.
func names(c *journal.Cook, want func(who string) bool) bool {
	return slices.ContainsFunc(c.Entries, func(e journal.Entry) bool {
		return slices.ContainsFunc(e.Items, func(it journal.Item) bool {
			who, _ := it.Keeper()
			return (it.Act == journal.By || it.Act == journal.Watch) && want(who)
		})
	})
}

// initials returns the first letters of the words of a name, in capitals: MB for "Mara
// Berg". A single word stays whole.
func initials(name string) string {
	words := strings.FieldsFunc(name, func(r rune) bool { return !unicode.IsLetter(r) })
	if len(words) == 1 {
		return upperFirst(words[0])
	}
	var b strings.Builder
	for _, w := range words {
		first, _ := utf8.DecodeRuneInString(w)
		b.WriteRune(unicode.ToUpper(first))
	}
	return b.String()
}

// clockBack is how far the clock may be behind the last entry without a warning: two
// people's clocks differ by minutes (chosen).
const clockBack = 15 * time.Minute

// addEntry saves an entry. Its clock time and body are the commit message.
func (a *App) addEntry(id string, e journal.Entry) (cookfile.File, error) {
	return a.addEntries(id, []journal.Entry{e})
}

// addEntries saves the entries of one line at once.
func (a *App) addEntries(id string, entries []journal.Entry) (cookfile.File, error) {
	said := make([]string, len(entries))
	for i, e := range entries {
		said[i] = Clock(e, measure.Metric)
	}
	return a.journal.Edit(id, func(f cookfile.File) (cookfile.File, error) {
		var err error
		for _, e := range entries {
			if f, err = f.AddEntry(e); err != nil {
				break
			}
		}
		return f, err
	}, id+": "+strings.Join(said, "; "))
}

// Clock formats an entry for a sentence: "01:04 pit 104 °C, vent".
func Clock(e journal.Entry, sys measure.System) string {
	return measure.FormatTime(e.Time, measure.Clock, sys) + " " + e.Body()
}

// versionsBack is how many versions of a cook are searched for the entry written last:
// more than a long night makes (chosen).
const versionsBack = 200

// Undo removes the entry that was written last and is still in the file. That need not
// be the latest entry in time. It first looks among the lines of this run, then in
// history. If a conflict was decided after the last entry, it undoes that first.
func (a *App) Undo(id string) (Noted, error) {
	f, err := a.journal.Load(id)
	if err != nil {
		return Noted{}, err
	}
	if s, ok := a.lastSettled(f); ok {
		return a.unsettle(id, s)
	}
	line := a.lastWritten(f)
	find := func(f cookfile.File) (int, error) {
		if len(f.Cook.Entries) == 0 {
			return 0, fmt.Errorf("cook %q: there is no entry to undo", id)
		}
		at := slices.Index(timelineLines(f), line)
		if at < 0 {
			at = len(f.Cook.Entries) - 1
		}
		return at, nil
	}
	at, err := find(f)
	if err != nil {
		return Noted{}, err
	}
	gone := f.Cook.Entries[at]
	f, err = a.journal.Edit(id, func(f cookfile.File) (cookfile.File, error) {
		at, err := find(f)
		if err != nil {
			return cookfile.File{}, err
		}
		gone = f.Cook.Entries[at]
		return f.RemoveEntry(at)
	}, id+": undone: "+Clock(gone, measure.Metric))
	if err != nil {
		return Noted{}, err
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	a.undone[id] = append(a.undone[id], gone)
	return Noted{Cook: f.Cook, Text: Clock(gone, a.Settings().Units), Line: gone.String(), Undone: true}, nil
}

// Redo restores the entry that Undo removed last, if this run has noted nothing since.
// It fails with NothingUndone.
func (a *App) Redo(id string) (Noted, error) {
	a.mu.Lock()
	stack := a.undone[id]
	a.mu.Unlock()
	if len(stack) == 0 {
		return Noted{}, typed.Mistaken(typed.NothingUndone, id, "nothing was undone here since the last note")
	}
	back := stack[len(stack)-1]
	back.Line = 0
	f, err := a.addEntry(id, back)
	if err != nil {
		return Noted{}, err
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	a.undone[id] = stack[:len(stack)-1]
	a.typed[id] = append(a.typed[id], back.String())
	return Noted{Cook: f.Cook, Text: Clock(back, a.Settings().Units), Line: back.String(), Redone: true}, nil
}

// OwnLast reports whether this run has noted an entry that is still in the cook, or has
// decided a conflict. Then Undo removes nothing older.
func (a *App) OwnLast(c *journal.Cook) bool {
	a.mu.Lock()
	typed, settled := a.typed[c.ID], len(a.settled[c.ID]) > 0
	a.mu.Unlock()
	return settled || slices.ContainsFunc(c.Entries, func(e journal.Entry) bool { return slices.Contains(typed, e.String()) })
}

// timelineLines returns the line of the file behind each entry.
func timelineLines(f cookfile.File) []string {
	lines := bytes.Split(f.Bytes(), []byte("\n"))
	out := make([]string, len(f.Cook.Entries))
	for i, e := range f.Cook.Entries {
		out[i] = strings.TrimRight(string(lines[e.Line-1]), "\r")
	}
	return out
}

// lastWritten returns the line of the entry that was written last and is still in the
// file; "" if neither this run nor history shows it.
func (a *App) lastWritten(f cookfile.File) string {
	there := timelineLines(f)
	a.mu.Lock()
	typed := a.typed[f.Cook.ID]
	a.mu.Unlock()
	for _, l := range slices.Backward(typed) {
		if slices.Contains(there, l) {
			return l
		}
	}
	repo := a.journal.History()
	if repo == nil {
		return ""
	}
	path := folder.Path(f.Cook.ID)
	versions, err := repo.Versions(path, versionsBack)
	if err != nil {
		return ""
	}
	if tip, err := repo.Tip(); err == nil {
		saved := a.brought(path, tip, "")
		for _, l := range slices.Backward(there) {
			if !slices.Contains(saved, l) {
				return l
			}
		}
	}
	for _, v := range versions {
		for _, l := range slices.Backward(a.brought(path, v.Hash, v.Before)) {
			if slices.Contains(there, l) {
				return l
			}
		}
	}
	return ""
}

// TypeIn adds the entries of a paper sheet to a cook in one save.
func (a *App) TypeIn(id string, entries []journal.Entry) (journal.Cook, error) {
	f, err := a.journal.Edit(id, func(f cookfile.File) (cookfile.File, error) {
		var err error
		for _, e := range entries {
			if f, err = f.AddEntry(e); err != nil {
				return cookfile.File{}, err
			}
		}
		return f, nil
	}, id+": a sheet typed in, "+measure.Count(len(entries), "line"))
	return f.Cook, err
}
