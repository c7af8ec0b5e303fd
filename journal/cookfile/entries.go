package cookfile

import (
	"errors"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile/blocks"
)

// AddEntry writes a new line into the timeline after the entry before it in time, or at
// the end if the lines below would otherwise be read differently. It adds a heading if
// there is no timeline. It never writes between the markers of a conflict, but below or
// above it. The line has its full date. It fails if the entry would not be read back
// unchanged.
func (f File) AddEntry(e journal.Entry) (File, error) {
	if f.doc == nil {
		return File{}, errZero
	}
	if e = tidy(e); blank(e) {
		return File{}, errBlank
	}
	n := f.following(e.Time)
	want := slices.Insert(slices.Clone(f.Cook.Entries), n, e)
	var first error
	try := func(off int, text string) (File, bool) {
		added, err := f.spliceEntries(off, off, text, want)
		if first == nil {
			first = err
		}
		return added, err == nil
	}
	if len(f.lines.at) > 0 {
		near, last := f.lines.at[max(n-1, 0)], f.lastLine()
		off := near.from
		if n > 0 {
			off = near.to
		}
		for _, off := range f.outside(off, last.to) {
			if added, ok := try(off, f.entryAt(off, near, e)); ok {
				return added, nil
			}
		}
	} else if f.lines.heading > 0 {
		for _, off := range f.outside(f.lines.heading) {
			if added, ok := try(off, f.firstEntry(off, e)); ok {
				return added, nil
			}
		}
	}
	if len(f.lines.at) == 0 || f.doc.Conflicted() {
		off := len(f.doc.Text())
		if added, ok := try(off, f.newTimeline(e)); ok {
			return added, nil
		}
	}
	return File{}, first
}

// outside returns the offsets to try for a line, in order: those given, and for one
// inside a conflict those below and above the conflict.
func (f File) outside(at ...int) (places []int) {
	for _, off := range at {
		places = append(places, f.doc.Outside(off)...)
	}
	return places
}

// ReplaceEntry replaces entry i of the cook by e. If its time is beyond a neighbour's,
// the line moves.
func (f File) ReplaceEntry(i int, e journal.Entry) (File, error) {
	if err := f.checkIndex(i); err != nil {
		return File{}, err
	}
	if e = tidy(e); blank(e) {
		return File{}, errBlank
	}
	entries := f.Cook.Entries
	if i > 0 && e.Time.Before(entries[i-1].Time) || i+1 < len(entries) && e.Time.After(entries[i+1].Time) {
		without, err := f.RemoveEntry(i)
		if err != nil {
			return File{}, err
		}
		return without.AddEntry(e)
	}
	at := f.lines.at[i]
	want := slices.Clone(entries)
	want[i] = e
	to := len(strings.TrimRight(f.doc.Text()[:at.to], "\r\n"))
	return f.spliceEntries(at.from, to, f.entryLine(at, e), want)
}

// RemoveEntry removes entry i of the cook: its line and its continuation lines.
func (f File) RemoveEntry(i int) (File, error) {
	if err := f.checkIndex(i); err != nil {
		return File{}, err
	}
	at := f.lines.at[i]
	return f.spliceEntries(at.from, at.to, "", slices.Delete(slices.Clone(f.Cook.Entries), i, i+1))
}

var errBlank = errors.New("entry: expected a time and something done, read or seen")

func blank(e journal.Entry) bool { return e.Time.IsZero() || len(e.Items) == 0 && e.Words == "" }

func (f File) checkIndex(i int) error {
	switch {
	case f.doc == nil:
		return errZero
	case i < 0 || i >= len(f.lines.at):
		return f.doc.Fail(f.doc.Body(), "entry %d: the timeline has %d", i, len(f.lines.at))
	}
	return nil
}

// following returns how many entries are at or before t.
func (f File) following(t time.Time) int {
	n, _ := slices.BinarySearchFunc(f.Cook.Entries, t, func(e journal.Entry, t time.Time) int {
		if e.Time.After(t) {
			return 1
		}
		return -1
	})
	return n
}

// lastLine returns the entry that comes last in the file.
func (f File) lastLine() region {
	return slices.MaxFunc(f.lines.at, func(a, b region) int { return a.to - b.to })
}

// entryLine returns the line of e with the bullet of another line.
func (f File) entryLine(like region, e journal.Entry) string {
	line, _ := blocks.LineAt(f.doc.Text(), like.from)
	item, _ := cutBullet(line)
	return line[:len(line)-len(item)] + strings.TrimPrefix(e.String(), "- ")
}

// entryAt returns the line of e as it must be written at off. If the line below has
// only a clock time, e is written in that line's zone; otherwise the line below would
// be read differently.
func (f File) entryAt(off int, like region, e journal.Entry) string {
	for i, r := range f.lines.at {
		if r.bare && r.from == off {
			e.Time = e.Time.In(f.Cook.Entries[i].Time.Location())
		}
	}
	text, nl := f.entryLine(like, e), f.doc.Newline(off)
	if off > 0 && f.doc.Text()[off-1] != '\n' {
		return nl + text
	}
	return text + nl
}

// firstEntry returns the line of the first entry of a timeline as written at off, below
// the heading.
func (f File) firstEntry(off int, e journal.Entry) string {
	d := f.doc
	text := "\n" + e.String() + "\n"
	if line, _ := blocks.LineAt(d.Text(), off); strings.TrimSpace(line) != "" {
		text += "\n"
	}
	if d.Text()[off-1] != '\n' {
		text = "\n" + text
	}
	return strings.ReplaceAll(text, "\n", d.Newline(off))
}

// newTimeline returns a timeline of one entry as written at the end of the text.
func (f File) newTimeline(e journal.Entry) string {
	all := f.doc.Text()
	text := timelineHeading + "\n\n" + e.String()
	if body := all[f.doc.Body():]; strings.HasSuffix(body, "\n\n") || strings.HasSuffix(body, "\n\r\n") {
		text += "\n"
	} else {
		text = "\n" + text + "\n"
	}
	if all != "" && all[len(all)-1] != '\n' {
		text = "\n" + text
	}
	return strings.ReplaceAll(text, "\n", f.doc.Newline(len(all)))
}

// spliceEntries edits the timeline and parses the file again. It fails unless the file
// has the wanted entries and nothing else has changed.
func (f File) spliceEntries(from, to int, text string, want []journal.Entry) (File, error) {
	doc, err := f.doc.Splice(from, to, text)
	if err != nil {
		return File{}, err
	}
	edited := newFile(doc, f.opt)
	got := edited.Cook.Entries
	for i, e := range want {
		switch {
		case i < len(got) && sameEntry(got[i], e):
		case e.Line == 0:
			return File{}, f.doc.Fail(from, "entry %q would not be read back as it is; check its pieces, and commas and dashes within an item", e.Body())
		default:
			return File{}, f.doc.Fail(from, "the edit would change how line %d is read; give that line its date first", e.Line)
		}
	}
	if len(got) != len(want) || doc.Fenced() != f.doc.Fenced() || edited.Cook.Prose != f.Cook.Prose {
		return File{}, f.doc.Fail(from, "the edit would change more than the one entry; make it by hand")
	}
	return edited, nil
}

func sameEntry(a, b journal.Entry) bool {
	return a.Time.Equal(b.Time) && a.Words == b.Words &&
		slices.EqualFunc(a.Items, b.Items, func(x, y journal.Item) bool { return x == y || x.String() == y.String() })
}
