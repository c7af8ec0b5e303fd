package cookfile

import (
	"strings"

	"ashbook/journal"
	"ashbook/journal/cookfile/blocks"
)

// Timeline returns the offset after the timeline's heading; 0 if there is no timeline.
func (f File) Timeline() int { return f.lines.heading }

// EntryAt returns the range of the lines of entry i with their line ends. bare is true
// if the line has only a clock time.
func (f File) EntryAt(i int) (from, to int, bare bool) {
	r := f.lines.at[i]
	return r.from, r.to, r.bare
}

// EntryText returns the lines of entry i as written. If dated is set, its time gets its
// date.
func (f File) EntryText(i int, dated bool) string {
	r := f.lines.at[i]
	text := f.doc.Text()[r.from:r.to]
	if !dated || !r.bare {
		return text
	}
	line, _ := blocks.LineAt(text, 0)
	item, _ := cutBullet(line)
	token, _ := cutTime(item)
	at := len(line) - len(item)
	return text[:at] + journal.FormatTime(f.Cook.Entries[i].Time) + strings.TrimPrefix(text[at:], token)
}
