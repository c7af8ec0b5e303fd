// Package merge merges two versions of a file of the journal by their meaning. A
// conflict never stops it: if the versions have two values for one thing, it keeps one
// in place and the other in the also list, and reports both. Text that does not differ
// is copied byte for byte.
//
// The result does not depend on which version comes first.
package merge

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/cookfile/front"
)

const timeLayout = journal.TimeLayout

// Version is one version of a file.
type Version struct {
	Text []byte
	By   string    // who saved it; "" if not known
	At   time.Time // when it was saved; zero if not known

	// Set returns who last set a key of the front matter, and when. If it is nil, By
	// and At hold for every key. A row of a list is given by its name, such as
	// {"pieces", "large", "trimmed"}, and a cell of a table by its time, as written,
	// and its column.
	Set func(path []string) (by string, at time.Time)
}

func (v *Version) setter(path []string) (string, time.Time) {
	if v.Set != nil {
		return v.Set(path)
	}
	return v.By, v.At
}

// Conflict is a place that both versions changed.
type Conflict struct {
	Key   []string // path in the front matter; nil for text below it
	Kept  string   // the value that is in the merged file
	Other string   // the value that lost, or "removed"
	By    string   // who set the value that lost
	At    time.Time

	flow string // the value that lost, as YAML; "" if it is not added to the also list
	list int    // index in Key of the number of a row; 0 if there is none
	name string // name of that row, as YAML
}

// String describes the conflict for the user: "serve: 14:00 is kept; Ann wrote 12:30".
func (t Conflict) String() string {
	what := "text"
	if t.Key != nil {
		what = strings.Join(t.Key, " ")
	}
	who := t.By
	if who == "" {
		who = "the other version"
	}
	if t.Other == removedWord {
		return fmt.Sprintf("%s: %s stays; %s removed it", what, t.Kept, who)
	}
	return fmt.Sprintf("%s: %s is kept; %s wrote %s", what, t.Kept, who, t.Other)
}

// removedWord is Other if the version that lost removed the value.
const removedWord = "removed"

type merger struct {
	first, second *Version
	conflicts     []Conflict
}

func (m *merger) report(t Conflict) { m.conflicts = append(m.conflicts, t) }

// Cook merges two versions of a cook's file. base is their common ancestor, or nil. If
// a version cannot be read as a cook or has conflict markers, it merges by lines.
func Cook(path string, base []byte, a, b Version, opt cookfile.Options) ([]byte, []Conflict) {
	m := inOrder(a, b)
	if same := m.trivial(base); same != nil {
		return same, nil
	}
	if text, ok := m.cook(path, base, opt); ok {
		return text, m.conflicts
	}
	m.conflicts = nil
	return m.plain(base), m.conflicts
}

// Markdown merges two versions of any other Markdown file: front matter by keys, the
// rest by lines.
func Markdown(path string, base []byte, a, b Version) ([]byte, []Conflict) {
	m := inOrder(a, b)
	if same := m.trivial(base); same != nil {
		return same, nil
	}
	was, one, two, ok := m.documents(path, base)
	if ok {
		if doc, err := m.front(was, one, two); err == nil {
			lines, clashes := mergeLines(cut(bodyOf(was)), cut(bodyOf(doc)), cut(bodyOf(two)))
			m.clashed(clashes)
			return []byte(frontOf(doc) + join(ended(lines))), m.conflicts
		}
	}
	m.conflicts = nil
	return m.plain(base), m.conflicts
}

// inOrder returns a merger with the two versions in the order of their bytes, so that
// the result does not depend on which comes first.
func inOrder(a, b Version) *merger {
	if bytes.Compare(a.Text, b.Text) > 0 {
		a, b = b, a
	}
	return &merger{first: &a, second: &b}
}

// trivial returns the merge if at most one version differs from base, and nil if both
// do.
func (m *merger) trivial(base []byte) []byte {
	switch {
	case bytes.Equal(m.first.Text, m.second.Text), base != nil && bytes.Equal(m.second.Text, base):
		return m.first.Text
	case base != nil && bytes.Equal(m.first.Text, base):
		return m.second.Text
	}
	return nil
}

// plain merges by lines alone.
func (m *merger) plain(base []byte) []byte {
	lines, clashes := mergeLines(cut(string(base)), cut(string(m.first.Text)), cut(string(m.second.Text)))
	m.clashed(clashes)
	return []byte(join(ended(lines)))
}

// clashed records as conflicts the places that both versions changed.
func (m *merger) clashed(clashes []clash) {
	for _, c := range clashes {
		t := Conflict{Kept: quoted(c.first), Other: quoted(c.second), By: m.second.By, At: m.second.At}
		switch {
		case t.Other == "":
			t.Other = removedWord
		case t.Kept == "":
			t.Kept, t.Other, t.By, t.At = t.Other, removedWord, m.first.By, m.first.At
		}
		m.report(t)
	}
}

func quoted(lines []line) string { return fmt.Sprintf("%q", strings.TrimSpace(join(lines))) }

// ended adds a missing line end to every line except the last.
func ended(lines []line) []line {
	for i := range lines {
		if i+1 < len(lines) && !strings.HasSuffix(lines[i].text, "\n") {
			lines[i].text += "\n"
		}
	}
	return lines
}

// documents parses the three versions; a missing base gives nil. ok is false if one
// cannot be parsed or has conflict markers.
func (m *merger) documents(path string, base []byte) (was, one, two *front.Document, ok bool) {
	read := func(text []byte) *front.Document {
		d, err := front.Read(path, string(text))
		ok = ok && err == nil && !d.Conflicted()
		return d
	}
	ok = true
	if base != nil {
		was = read(base)
	}
	one, two = read(m.first.Text), read(m.second.Text)
	return was, one, two, ok
}

func bodyOf(d *front.Document) string {
	if d == nil {
		return ""
	}
	return d.Text()[d.Body():]
}

// cook merges two versions of a cook by their meaning. ok is false if that is not
// possible.
func (m *merger) cook(path string, base []byte, opt cookfile.Options) (text []byte, ok bool) {
	was, one, two, ok := m.documents(path, base)
	if !ok {
		return nil, false
	}
	doc, err := m.front(was, one, two)
	if err != nil {
		return nil, false
	}
	// The entries of each version are parsed with its own front matter, since that
	// names the pieces. From here on, the first version's body is used with the merged
	// front matter.
	var e entries
	for i, d := range []*front.Document{was, one, two} {
		if d == nil {
			continue
		}
		if e.files[i], err = cookfile.Parse(path, []byte(d.Text()), opt); err != nil {
			return nil, false
		}
	}
	corrected := len(m.conflicts)
	e.merge(m)
	f := fields{merger: m, doc: doc}
	f.keep(m.conflicts[corrected:], e.merged())
	if f.err != nil {
		return nil, false
	}
	doc = f.doc
	conflicts := m.conflicts
	for _, dated := range []dating{asWritten, besideChanges, all} {
		m.conflicts = slices.Clip(conflicts)
		body := e.body(m, was, one, two, dated)
		text := frontOf(doc) + body
		f, err := cookfile.Parse(path, []byte(text), opt)
		if err == nil && e.holds(f.Cook.Entries) {
			return m.asGiven(text, doc, []*front.Document{one, two}), true
		}
	}
	return nil, false
}

// asGiven returns the version that equals the merged text except for the order of rows
// and lines, so that merging again changes nothing. If neither does, it returns text.
func (m *merger) asGiven(text string, doc *front.Document, given []*front.Document) []byte {
	sorted := func(text string) []string {
		var lines []string
		for _, l := range cut(text) {
			if !blank(l) {
				lines = append(lines, l.bare())
			}
		}
		slices.Sort(lines)
		return lines
	}
	for _, d := range given {
		if same(d.Root(), doc.Root()) && slices.Equal(sorted(bodyOf(d)), sorted(text[doc.Body():])) {
			return []byte(d.Text())
		}
	}
	return []byte(text)
}
