// Package merge merges two versions of a file of the journal by what they mean. It never
// stops for a conflict: of two values for the same thing it keeps one in place and the
// other beside it, and reports both. What does not differ stays byte for byte.
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
	By   string    // who saved it; may be empty
	At   time.Time // when it was saved; zero where that is not known

	// Set tells who last set a key of the front matter, and when; nil: By and At. A row
	// of a list is called by its name, such as {"pieces", "large", "trimmed"}; a cell of
	// a table by its time, as it is written, and its column.
	Set func(path []string) (by string, at time.Time)
}

func (v *Version) setter(path []string) (string, time.Time) {
	if v.Set != nil {
		return v.Set(path)
	}
	return v.By, v.At
}

// Told is a place that both versions changed.
type Told struct {
	Key    []string // of the front matter; nil: of the text below
	Stands string
	Other  string // kept beside it, or "taken out"
	By     string // who set the other value
	At     time.Time

	flow string // the other as YAML; empty: it is not kept under also
	list int    // place in Key of the number of a row; 0 for none
	name string // of that row, as YAML
}

// String describes it in words, such as "serve: 14:00 stands; Ann wrote 12:30".
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
	return fmt.Sprintf("%s: %s stands; %s wrote %s", what, t.Stands, who, t.Other)
}

const takenOut = "taken out"

type merger struct {
	first, second *Version
	told          []Told
}

func (m *merger) tell(t Told) { m.told = append(m.told, t) }

// Cook merges two versions of a cook's file; base is their common version, or nil. A
// version that cannot be read as a cook, or that has conflict markers, is merged by lines.
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

// Markdown merges two versions of any other Markdown file: front matter by its
// keys, the rest by its lines.
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

// inOrder puts two versions in order of their bytes, so that it does not matter
// which is given first.
func inOrder(a, b Version) *merger {
	if bytes.Compare(a.Text, b.Text) > 0 {
		a, b = b, a
	}
	return &merger{first: &a, second: &b}
}

// trivial returns the merge where only one version differs; nil where both do.
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

// clashed reports the lines that both versions changed.
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

// ended gives every line but the last an end.
func ended(lines []line) []line {
	for i := range lines {
		if i+1 < len(lines) && !strings.HasSuffix(lines[i].text, "\n") {
			lines[i].text += "\n"
		}
	}
	return lines
}

// documents reads the three versions; a base that is missing is nil.
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

// cook merges a cook; ok is false where that cannot be done by meaning.
func (m *merger) cook(path string, base []byte, opt cookfile.Options) (text []byte, ok bool) {
	was, one, two, ok := m.documents(path, base)
	if !ok {
		return nil, false
	}
	doc, err := m.front(was, one, two)
	if err != nil {
		return nil, false
	}
	// The entries are read with the front matter they are under: it names the
	// pieces. The body of the first is under the merged one from here on.
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

// asGiven returns the version that already is the merge but for the order of its
// rows and lines, so that merging once more changes nothing; else the text.
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
