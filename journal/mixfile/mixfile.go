// Package mixfile reads one mix as one Markdown file.
package mixfile

import (
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"

	"ashbook/journal"
	"ashbook/journal/cookfile/blocks"
	"ashbook/journal/cookfile/front"
	"ashbook/journal/measure"
)

// The keys of a mix.
const (
	forKey   = "for"
	partsKey = "parts"
)

// mostParts is how many parts are read (chosen: no kitchen needs so many). mostMass is
// the weight of a part, in kg, above which a typing slip is likely (chosen).
const (
	mostParts = 200
	mostMass  = 50.0
)

// reader collects problems while it reads.
type reader struct {
	doc      *front.Document
	problems []journal.Problem
}

// Parse reads a mix's file. What cannot be read gives a warning and the rest is read;
// if nothing can be relied on, it fails with a journal.Problem and a zero Mix. A weight
// without a unit is not accepted, since mixes are weighed in grams and read by people
// who think in pounds. A part may be a volume instead: "2 tbsp".
func Parse(file string, data []byte) (journal.Mix, []journal.Problem, error) {
	doc, err := front.Read(file, string(data))
	if err != nil {
		return journal.Mix{}, nil, err
	}
	base := path.Base(file)
	m := journal.Mix{Name: strings.TrimSuffix(base, path.Ext(base)), Prose: doc.Text()[doc.Body():]}
	m.Title = heading(doc.Text(), doc.Body())
	r := &reader{doc: doc}
	if p, ok := doc.Conflict(); ok {
		r.problems = append(r.problems, p)
	}
	if !doc.Fenced() {
		r.warn(nil, "no front matter; expected a line --- at the top, keys such as for: and parts:, and --- again")
	} else {
		r.read(&m)
	}
	slices.SortStableFunc(r.problems, journal.ByPlace)
	return m, r.problems, nil
}

// heading returns the title of the first heading of level 1; "" for none.
func heading(text string, from int) string {
	for _, h := range blocks.Read(text, from).Headings {
		if h.Level == 1 {
			return h.Title
		}
	}
	return ""
}

func (r *reader) warn(n *yaml.Node, format string, args ...any) {
	p := journal.Problem{File: r.doc.Path(), Line: 1, Warning: true, Text: fmt.Sprintf(format, args...)}
	if n != nil {
		p.Line, p.Col = r.doc.Place(r.doc.At(n))
	}
	r.problems = append(r.problems, p)
}

func (r *reader) read(m *journal.Mix) {
	value := func(key string) *yaml.Node {
		if r.doc.Root() == nil {
			return nil
		}
		n := front.Value(r.doc.Root(), key)
		if front.IsNull(n) {
			return nil
		}
		return n
	}
	if n := value(front.VersionKey); n != nil {
		if v, err := strconv.Atoi(n.Value); err != nil || v < 1 || v > front.Version {
			r.warn(n, "%s %q: expected the version of the format, %d", front.VersionKey, n.Value, front.Version)
		}
	}
	if n := value(forKey); n == nil {
		r.warn(r.doc.Root(), "%s: missing; expected the amount that the parts are enough for, such as 1 kg meat, 1 head or 1 l", forKey)
	} else if p, err := journal.ParsePortion(n.Value, measure.Metric); err != nil {
		r.warn(n, "%s %v", forKey, err)
	} else {
		m.For = p
	}
	r.parts(value(partsKey), m)
	for _, stated := range []struct {
		key string
		to  *measure.Mass
	}{{"salt", &m.Salt}, {"sugar", &m.Sugar}, {"acid", &m.Acid}} {
		if n := value(stated.key); n != nil {
			if mass, why := weigh(n); why != "" {
				r.warn(n, "%s %s", stated.key, why)
			} else {
				*stated.to = mass
			}
		}
	}
}

func (r *reader) parts(n *yaml.Node, m *journal.Mix) {
	switch {
	case n == nil:
		r.warn(r.doc.Root(), "%s: missing; expected names and weights, such as {salt: 12 g}", partsKey)
		return
	case n.Kind != yaml.MappingNode:
		r.warn(n, "%s: expected names and weights, such as {salt: 12 g}", partsKey)
		return
	}
	for i := 0; i < len(n.Content); i += 2 {
		key, v := n.Content[i], n.Content[i+1]
		if len(m.Parts) == mostParts {
			r.warn(key, "%s: list of %d; only the first %d are read", partsKey, len(n.Content)/2, mostParts)
			return
		}
		if key.Kind != yaml.ScalarNode {
			r.warn(key, "%s: expected a name", partsKey)
			continue
		}
		p := journal.Part{Name: key.Value, Text: v.Value}
		if q, ok := spooned(v); ok {
			p.Volume = q
			m.Parts = append(m.Parts, p)
			continue
		}
		switch mass, why := weigh(v); {
		case why != "":
			r.warn(v, "%s %s", key.Value, why)
		case mass.Base == 0:
			r.warn(v, "%s %q: no weight; expected a weight above zero, or delete it", key.Value, v.Value)
		default:
			p.Mass = mass
			if mass.Base > mostMass {
				r.warn(v, "%s %q: likely a slip; expected at most %g kg", key.Value, v.Value, mostMass)
			}
		}
		m.Parts = append(m.Parts, p)
	}
}

// pinch is the volume of a pinch: a sixteenth of a teaspoon (common practice, no source).
const pinch = ".0625 tsp"

// spooned parses a volume above zero: "2 tbsp", "1/2 cup", "1½ tsp", "a pinch".
func spooned(n *yaml.Node) (measure.Volume, bool) {
	var sum measure.Volume
	for _, part := range strings.Split(n.Value, "+") { // "1 tbsp + 1 tsp"
		if word := strings.TrimSpace(strings.ToLower(part)); word == "pinch" || word == "a pinch" {
			part = pinch
		}
		q, err := measure.ParseVolume(decimals(part), measure.Metric)
		if n.Kind != yaml.ScalarNode || err != nil || q.Assumed || q.Base <= 0 {
			return measure.Volume{}, false
		}
		q.Base += sum.Base
		sum = q
	}
	sum.Text = n.Value
	return sum, true
}

// decimals writes the fractions of kitchen measures as decimals: "1½ tsp", "1 1/2 tsp" and
// "1 lb ½ oz".
func decimals(text string) string {
	for _, f := range [...][3]string{{"½", "1/2", ".5"}, {"¼", "1/4", ".25"}, {"¾", "3/4", ".75"}, {"⅓", "1/3", ".333"}, {"⅔", "2/3", ".667"}, {"⅛", "1/8", ".125"}} {
		for _, sign := range f[:2] {
			head, rest, ok := strings.Cut(text, sign)
			if whole := strings.TrimRight(head, " "); ok && whole != "" && strings.IndexByte("0123456789", whole[len(whole)-1]) >= 0 {
				return whole + f[2] + rest
			} else if ok {
				return head + f[2] + rest
			}
		}
	}
	return text
}

// weigh parses a weight of zero or more. why is the reason if it cannot, "" if it can.
func weigh(n *yaml.Node) (m measure.Mass, why string) {
	const want = "expected a weight such as 12 g"
	if n.Kind != yaml.ScalarNode {
		return m, "has more than one value; " + want
	}
	m, err := measure.ParseMass(decimals(n.Value), measure.Metric)
	switch _, poured := measure.ParseVolume(n.Value, measure.Metric); {
	case front.IsNull(n):
		why = "has no weight; " + want
	case err != nil && poured == nil:
		why = fmt.Sprintf("%q: a volume, and what it weighs depends on how it is filled; %s", n.Value, want)
	case err != nil:
		return measure.Mass{}, err.Error()
	case m.Assumed:
		why = fmt.Sprintf("%q: no unit; %s", n.Value, want)
	case m.Base < 0:
		why = fmt.Sprintf("%q: below zero; %s", n.Value, want)
	default:
		return m, ""
	}
	return measure.Mass{}, why
}
