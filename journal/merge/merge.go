// Package merge merges two versions of a file of the journal by what they mean. A
// conflict never stops it: of two values for the same thing it keeps one in place and
// the other in the also list, and reports both. What does not differ is copied byte for
// byte.
//
// The result does not depend on which version is given first.
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

	// Set returns who last set a key of the front matter, and when. Nil means By and At
	// for every key. A row of a list is given by its name, such as {"pieces", "large",
	// "trimmed"}, and a cell of a table by its time, as written, and its column.
	Set func(path []string) (by string, at time.Time)
}

func (v *Version) setter(path []string) (string, time.Time) {
	if v.Set != nil {
		return v.Set(path)
	}
	return v.By, v.At
}

// Told is a conflict: a place that both versions changed.
type Told struct {
	Key    []string // path in the front matter; nil for text below it
	Stands string
	Other  string // the value that lost, or "taken out"
	By     string // who set the value that lost
	At     time.Time

	flow string // the value that lost, as YAML; "" if it is not added to the also list
	list int    // index in Key of a row's number; 0 for none
	name string // name of that row, as YAML
}

// String describes the conflict for the user: "serve: 14:00 stands; Ann wrote 12:30".
func (t Told) String() string {
	what := "text"
	if t.Key != nil {
		what = strings.Join(t.Key, " ")
	}
	who := t.By
	if who == "" {
		who = "the other version"
	}
	if t.Other == takenOut {
		return fmt.Sprintf("%s: %s stays; %s took it out", what, t.Stands, who)
	}
	return fmt.Sprintf("%s: %s is kept; %s wrote %s", what, t.Stands, who, t.Other)
}

const takenOut = "taken out"

type merger struct {
	first, second *Version
	told          []Told
}

func (m *merger) tell(t Told) { m.told = append(m.told, t) }

// Cook merges two versions of a cook's file. base is their common ancestor, or nil. If
// a version cannot be read as a cook or has conflict markers, it merges by lines.
func Cook(path string, base []byte, a, b Version, opt cookfile.Options) ([]byte, []Told) {
	m := inOrder(a, b)
	if same := m.trivial(base); same != nil {
		return same, nil
	}
	if text, ok := m.cook(path, base, opt); ok {
		return text, m.told
	}
	m.told = nil
	return m.plain(base), m.told
}

// Markdown merges two versions of any other Markdown file: front matter by keys, the
// rest by lines.
func Markdown(path string, base []byte, a, b Version) ([]byte, []Told) {
	m := inOrder(a, b)
	if same := m.trivial(base); same != nil {
		return same, nil
	}
	was, one, two, ok := m.documents(path, base)
	if ok {
		if doc, err := m.front(was, one, two); err == nil {
			lines, clashes := mergeLines(cut(bodyOf(was)), cut(bodyOf(doc)), cut(bodyOf(two)))
			m.clashed(clashes)
			return []byte(frontOf(doc) + join(ended(lines))), m.told
		}
	}
	m.told = nil
	return m.plain(base), m.told
}

// inOrder returns a merger with the two versions in order of their bytes, so that the
// result does not depend on which is given first.
func inOrder(a, b Version) *merger {
	if bytes.Compare(a.Text, b.Text) > 0 {
		a, b = b, a
	}
	return &merger{first: &a, second: &b}
}

// trivial returns the merge if at most one version differs from base; nil if both do.
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

// clashed records the places that both versions changed.
func (m *merger) clashed(clashes []clash) {
	for _, c := range clashes {
		t := Told{Stands: told(c.first), Other: told(c.second), By: m.second.By, At: m.second.At}
		switch {
		case t.Other == "":
			t.Other = takenOut
		case t.Stands == "":
			t.Stands, t.Other, t.By, t.At = t.Other, takenOut, m.first.By, m.first.At
		}
		m.tell(t)
	}
}

func told(lines []line) string { return fmt.Sprintf("%q", strings.TrimSpace(join(lines))) }

// ended adds a line end to every line but the last.
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

// cook merges a cook by meaning. ok is false if that is not possible.
func (m *merger) cook(path string, base []byte, opt cookfile.Options) (text []byte, ok bool) {
	was, one, two, ok := m.documents(path, base)
	if !ok {
		return nil, false
	}
	doc, err := m.front(was, one, two)
	if err != nil {
		return nil, false
	}
	// Each version's entries are parsed with its own front matter, since that names the
	// pieces. From here on the first version's body belongs to the merged front matter.
	var e entries
	for i, d := range []*front.Document{was, one, two} {
		if d == nil {
			continue
		}
		if e.files[i], err = cookfile.Parse(path, []byte(d.Text()), opt); err != nil {
			return nil, false
		}
	}
	corrected := len(m.told)
	e.merge(m)
	f := fields{merger: m, doc: doc}
	f.keep(m.told[corrected:], e.merged())
	if f.err != nil {
		return nil, false
	}
	doc = f.doc
	told := m.told
	for _, dated := range []dating{asWritten, besideChanges, all} {
		m.told = slices.Clip(told)
		body := e.body(m, was, one, two, dated)
		text := frontOf(doc) + body
		f, err := cookfile.Parse(path, []byte(text), opt)
		if err == nil && e.holds(f.Cook.Entries) {
			return m.asGiven(text, doc, []*front.Document{one, two}), true
		}
	}
	return nil, false
}

// asGiven returns the given version that equals the merge apart from the order of rows
// and lines, so that merging again changes nothing. If there is none, it returns text.
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
