// Package cookfile reads and writes one cook as one Markdown file. It leaves what it
// does not know unchanged: unknown keys, comments, order and prose stay byte for byte.
// An edit replaces the bytes of one value or adds one line.
package cookfile

import (
	"bytes"
	"fmt"
	"path"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile/blocks"
	"ashbook/journal/cookfile/front"
)

// Options are what reading a file depends on besides the file.
type Options struct {
	Settings journal.Settings // units of numbers without a unit
	// zone of clock times without an offset, if it agrees with the line above; nil
	// means UTC
	Zone *time.Location
}

// File is a cook and the text it was read from. It is a value: an edit returns a new
// File and leaves the old one unchanged. The zero File has no text and cannot be
// edited.
type File struct {
	Cook     journal.Cook
	Problems []journal.Problem // warnings, sorted by place

	doc    *front.Document
	blocks *blocks.Structure // blocks of the text below the front matter
	opt    Options
	lines  timeline
}

// Parse reads a cook's file. Everything in it may be missing. What cannot be read is a
// warning in Problems, and the rest is read. It fails with a journal.Problem and a zero
// File if nothing can be relied on: the text is empty or not UTF-8, the front matter is
// not closed or not YAML, or a key is given twice.
func Parse(path string, data []byte, opt Options) (File, error) {
	if len(bytes.TrimSpace(bytes.TrimPrefix(data, []byte("\ufeff")))) == 0 {
		return File{}, journal.Problem{File: path, Line: 1, Col: 1, Text: "the file is empty; another program may be saving it, or has emptied it"}
	}
	doc, err := front.Read(path, string(data))
	if err != nil {
		return File{}, err
	}
	return newFile(doc, opt), nil
}

// newFile decodes the fields and the timeline of a document.
func newFile(doc *front.Document, opt Options) File {
	f := File{doc: doc, blocks: blocks.Read(doc.Text(), doc.Body()), opt: opt}
	r := &reader{doc: doc, units: opt.Settings.Units}
	c := &f.Cook
	c.ID = baseName(doc.Path())
	r.front(c)
	c.Altitude = opt.Settings.Altitude
	if strings.EqualFold(c.Aside, "false") || strings.EqualFold(c.Aside, "no") {
		c.Aside = ""
	}
	r.checkPieces(c)
	r.checkEaters(c)
	if len(c.Pieces) == 0 {
		c.Pieces = []journal.Piece{{}}
	}
	f.lines = r.timeline(f.blocks, c, opt)
	c.Others = r.others(c.Entries, "choose the right one with ashbook fix")
	if p, ok := doc.Conflict(); ok {
		r.problems = append(r.problems, p)
	}
	for _, o := range f.blocks.Open {
		line, col := doc.Place(o.At)
		r.warnAt(line, col, fmt.Sprintf("this block is not closed, so it is read as text; expected %s where it ends", o.Close))
	}
	f.Problems = r.sorted()
	return f
}

// checkPieces warns of pieces that a timeline line cannot tell apart.
func (r *reader) checkPieces(c *journal.Cook) {
	for i, p := range c.Pieces {
		n := r.row("pieces", i)
		switch {
		case p.Name == "":
		case c.PieceIndex(p.Name) != i:
			r.warn(n, "two pieces are named %q; give each its own name", p.Name)
		case strings.ContainsAny(p.Name, ",\n\r") || strings.Contains(" "+p.Name+" ", " -- ") || strings.Contains(" "+p.Name+" ", " — "):
			r.warn(n, "piece %q: a line of the timeline cannot name it; expected a name without comma or dash", p.Name)
		}
	}
}

// checkEaters warns of an eater with two rows.
func (r *reader) checkEaters(c *journal.Cook) {
	for i, t := range c.Tasting {
		if t.Eater != "" && eaterRow(c, t.Eater) != i {
			r.warn(r.row(tastingKey, i), "eater %q has two rows; keep one", t.Eater)
		}
	}
}

// eaterRow returns the index of an eater's row; −1 for none.
func eaterRow(c *journal.Cook, eater string) int {
	return slices.IndexFunc(c.Tasting, func(t journal.Taste) bool { return strings.EqualFold(t.Eater, eater) })
}

// Bytes returns exactly what was parsed; nil for the zero File.
func (f File) Bytes() []byte {
	if f.doc == nil {
		return nil
	}
	return []byte(f.doc.Text())
}

// Conflict returns the problem of the first merge conflict in the file, with its line;
// ok is false if there is none. In front matter the first version is read, in the
// timeline the entries of both are. Entries can still be added outside the conflict,
// and nothing between its markers can be changed.
func (f File) Conflict() (p journal.Problem, ok bool) {
	if f.doc == nil {
		return p, false
	}
	return f.doc.Conflict()
}

// ParseSettings reads journal.md. A hot hold below journal.SafeHold gives a warning and
// is ignored.
func ParseSettings(path string, data []byte) (journal.Settings, []journal.Problem, error) {
	var s journal.Settings
	r, err := readFront(path, data, &s)
	if err != nil {
		return journal.Settings{}, nil, err
	}
	if hold := s.HotHold; hold.Known && s.HoldLimit() > hold.Base {
		s.HotHold = journal.Settings{}.HotHold
		r.warn(r.row(holdKey, 0), "%s %q: below %g °C, the lowest the FDA Food Code allows; %g °C is used instead",
			holdKey, hold.Text, journal.SafeHold, s.HoldLimit())
	}
	return s, r.sorted(), nil
}

// ParsePit reads a pit's file. Numbers without a unit are metric.
func ParsePit(path string, data []byte) (journal.Pit, []journal.Problem, error) {
	p := journal.Pit{Name: baseName(path)}
	r, err := readFront(path, data, &p)
	if err != nil {
		return journal.Pit{}, nil, err
	}
	return p, r.sorted(), nil
}

// readFront reads a file of which only the front matter is used.
func readFront(path string, data []byte, p any) (*reader, error) {
	doc, err := front.Read(path, string(data))
	if err != nil {
		return nil, err
	}
	r := &reader{doc: doc}
	r.front(p)
	r.problems = append(r.problems, Unsettled(path, data)...)
	if p, ok := doc.Conflict(); ok {
		r.problems = append(r.problems, p)
	}
	return r, nil
}

// sorted returns the problems sorted by place.
func (r *reader) sorted() []journal.Problem {
	slices.SortStableFunc(r.problems, journal.ByPlace)
	return r.problems
}

// baseName returns the name of a file without its folder and extension.
func baseName(file string) string {
	base := path.Base(file)
	return strings.TrimSuffix(base, path.Ext(base))
}
