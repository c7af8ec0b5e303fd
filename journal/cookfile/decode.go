package cookfile

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"

	"ashbook/journal"
	"ashbook/journal/cookfile/front"
	"ashbook/journal/measure"
)

// reader decodes YAML nodes into fields and collects problems.
type reader struct {
	doc      *front.Document
	units    measure.System
	problems []journal.Problem
}

func (r *reader) warn(n *yaml.Node, format string, args ...any) {
	line, col := 1, 0
	if n != nil {
		line, col = r.doc.Place(r.doc.At(n))
	}
	r.warnAt(line, col, fmt.Sprintf(format, args...))
}

func (r *reader) warnAt(line, col int, text string) {
	r.problems = append(r.problems, journal.Problem{File: r.doc.Path(), Line: line, Col: col, Warning: true, Text: text})
}

// front decodes the whole front matter into p.
func (r *reader) front(p any) {
	root := r.doc.Root()
	if !r.doc.Fenced() {
		r.warn(nil, "no front matter; expected a line --- at the top, keys such as title:, and --- again")
	}
	if root == nil {
		return
	}
	if n := front.Value(root, front.VersionKey); !front.IsNull(n) {
		switch v, err := strconv.Atoi(n.Value); {
		case err != nil || v < 1:
			r.warn(n, "%s %q: expected the version of the format, %d", front.VersionKey, n.Value, front.Version)
		case v > front.Version:
			r.warn(n, "format version %d is newer than %d, the newest known here; some of it may be read wrongly", v, front.Version)
		}
	}
	r.mapping(root, "front matter", keysOf(p))
}

// keysOf returns the keys of what p points to, in the order they are written; nil if it
// has none. If the first key is text, a single scalar in place of the mapping is read
// as that key.
func keysOf(p any) []journal.Key {
	if k, ok := p.(interface{ Keys() []journal.Key }); ok {
		return k.Keys()
	}
	return nil
}

// mapping decodes the keys of a node into their fields.
func (r *reader) mapping(n *yaml.Node, key string, into []journal.Key) {
	switch {
	case front.IsNull(n):
		return
	case n.Kind == yaml.ScalarNode:
		if words, ok := into[0].To.(*string); ok {
			*words = n.Value
			return
		}
	case n.Kind == yaml.MappingNode:
		for _, m := range into {
			if v := front.Value(n, m.Name); !front.IsNull(v) {
				r.value(v, m)
			}
		}
		return
	}
	keys := make([]string, len(into))
	for i, m := range into {
		keys[i] = m.Name
	}
	r.warn(n, "%s %s: expected keys in braces, such as {%s: …}; known are %s", key, shown(n), keys[0], strings.Join(keys, ", "))
}

// longest is how many items of a list are read: far more than a cook has, and few
// enough to compare all pairs (chosen).
const longest = 200

// list decodes a sequence. A single item may be written without brackets.
func list[T any](r *reader, n *yaml.Node, key string, to *[]T) {
	items := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		items = n.Content
	}
	if len(items) > longest {
		r.warn(items[longest], "%s: list of %d; only the first %d are read", key, len(items), longest)
		items = items[:longest]
	}
	*to = make([]T, len(items))
	for i, item := range items {
		r.mapping(item, key, keysOf(&(*to)[i]))
	}
}

// value decodes a node that is not null into the field of key m.
func (r *reader) value(n *yaml.Node, m journal.Key) {
	switch to := m.To.(type) {
	case *[]journal.Piece:
		list(r, n, m.Name, to)
		return
	case *[]journal.Wood:
		list(r, n, m.Name, to)
		return
	case *[]journal.Taste:
		list(r, n, m.Name, to)
		return
	case *map[journal.Act]measure.Span:
		r.recheck(n, m, to)
		return
	}
	if into := keysOf(m.To); into != nil {
		r.mapping(n, m.Name, into)
		return
	}
	if n.Kind != yaml.ScalarNode {
		r.warn(n, "%s %s: expected one value", m.Name, shown(n))
		return
	}
	if n.Value == "" {
		return
	}
	if err := r.scalar(n, m); err != nil {
		r.warn(n, "%s: %v", m.Name, err)
	}
}

// scalar decodes a scalar node into the field of key m.
func (r *reader) scalar(n *yaml.Node, m journal.Key) (err error) {
	s := n.Value
	if q, err := readQuantity(m.To, s, r.units); q != nil {
		if err == nil {
			r.judge(n, m, q)
		}
		return err
	}
	switch to := m.To.(type) {
	case *string:
		*to = s
	case *int:
		*to, err = readCount(s)
	case *time.Time:
		var t time.Time
		if t, err = journal.ParseTime(s); err == nil {
			*to = fixed(t)
		}
	case *journal.WrapPlan:
		if *to, err = journal.ParseWrapPlan(s, r.units); to.At.Known {
			r.judge(n, m, (*plain)(&to.At))
		}
	case *journal.Grate:
		if *to, err = journal.ParseGrate(s, r.units); err == nil {
			r.judge(n, m, (*plain)(&to.Across))
			if to.Deep.Known {
				r.judge(n, m, (*plain)(&to.Deep))
			}
		}
	case *journal.Fits:
		if *to, err = journal.ParseFits(s, r.units); err == nil {
			r.judge(n, m, (*plain)(&to.Each))
		}
	case *journal.Score:
		*to, err = journal.ParseScore(s)
	case *measure.System:
		*to, err = measure.ParseSystem(s)
		r.units = *to
	case *journal.PitKind:
		kind := journal.PitKind(strings.ToLower(s))
		if !slices.Contains(journal.PitKinds, kind) {
			return fmt.Errorf("%q: expected one of %v", s, journal.PitKinds)
		}
		*to = kind
	case *journal.PitIs:
		*to = journal.PitIs(strings.EqualFold(s, pitSetting))
		if !bool(*to) && !strings.EqualFold(s, pitMeasured) {
			return fmt.Errorf("%q: expected %s or %s", s, pitMeasured, pitSetting)
		}
	}
	return err
}

// Words for what pit temperatures are.
const (
	pitSetting  = "setting"
	pitMeasured = "measured"
)

func readCount(s string) (int, error) {
	n, err := strconv.Atoi(s)
	if err != nil || n < 0 || n > 1e6 {
		return 0, fmt.Errorf("%q: expected a whole number", s)
	}
	return n, nil
}

// plain is a quantity of any dimension.
type plain measure.Temperature

// readQuantity parses s into the quantity that to points to. It returns nil if to
// points to something else.
func readQuantity(to any, s string, units measure.System) (*plain, error) {
	switch q := to.(type) {
	case *measure.Temperature:
		return (*plain)(q), measure.Read(q, s, units)
	case *measure.Mass:
		return (*plain)(q), measure.Read(q, s, units)
	case *measure.Length:
		return (*plain)(q), measure.Read(q, s, units)
	case *measure.Span:
		return (*plain)(q), measure.Read(q, s, units)
	case *measure.Speed:
		return (*plain)(q), measure.Read(q, s, units)
	case *measure.Share:
		return (*plain)(q), measure.Read(q, s, units)
	case *measure.Rate:
		return (*plain)(q), measure.Read(q, s, units)
	case *journal.Difference:
		err := measure.Read((*measure.Temperature)(q), s, units)
		q.Base += q.Unit.Shift * q.Unit.Factor
		q.Unit.Shift = 0
		return (*plain)(q), err
	}
	return nil, nil
}

// judge adds a warning for a quantity without a unit or outside its likely range.
func (r *reader) judge(n *yaml.Node, m journal.Key, q *plain) {
	if text := doubt(m.Likely, q); text != "" {
		r.warn(n, "%s %s", m.Name, text)
	}
}

// doubt says what is odd about a quantity; "" for nothing.
func doubt(likely journal.Range, q *plain) string {
	switch {
	case q.Assumed:
		return fmt.Sprintf("%q: no unit; read as %s", strings.TrimSuffix(q.Text, " "+q.Unit.Symbol), q.Unit.Symbol)
	case outside(likely, q):
		return fmt.Sprintf("%q: likely a slip; expected %s to %s %s", q.Text, typed(likely.Low, q.Unit), typed(likely.High, q.Unit), q.Unit.Symbol)
	}
	return ""
}

// outside reports whether a quantity is outside its range, and allows for rounding at
// the limits.
func outside(likely journal.Range, q *plain) bool {
	const slack = 1e-9
	return likely != journal.Range{} && (q.Base < likely.Low-slack || q.Base > likely.High+slack)
}

// typed formats a limit in the unit in which the value was typed.
func typed(base float64, u measure.Unit) string {
	return strconv.FormatFloat(math.Round(u.From(base)*1000)/1000, 'f', -1, 64)
}

// recheck decodes the user's own intervals for looking again.
func (r *reader) recheck(n *yaml.Node, m journal.Key, to *map[journal.Act]measure.Span) {
	if n.Kind != yaml.MappingNode {
		r.warn(n, "%s %s: expected acts and times, such as {vent: 20 min}", m.Name, shown(n))
		return
	}
	for i := 0; i < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		act, ok := journal.ActByWord(key.Value)
		if !ok {
			r.warn(key, "%s %q: expected an act such as vent, wood or bark", m.Name, key.Value)
			continue
		}
		var every measure.Span
		r.value(value, journal.Key{Name: m.Name + " " + act.Word(), To: &every, Likely: m.Likely})
		if !every.Known || every.Base <= 0 {
			continue
		}
		if *to == nil {
			*to = map[journal.Act]measure.Span{}
		}
		(*to)[act] = every
	}
}

// row returns the node of item i of a list, or of the whole list, or nil.
func (r *reader) row(key string, i int) *yaml.Node {
	n := front.Value(r.doc.Root(), key)
	if n != nil && n.Kind == yaml.SequenceNode && i < len(n.Content) {
		return n.Content[i]
	}
	return n
}

// shown quotes a node for a message: its text, or what kind of node it is.
func shown(n *yaml.Node) string {
	switch n.Kind {
	case yaml.SequenceNode:
		return "is a list"
	case yaml.MappingNode:
		return "has keys of its own"
	}
	return strconv.Quote(n.Value)
}

// fixed gives a time the fixed zone of its own offset, so that the result does not depend
// on the zone of the machine.
func fixed(t time.Time) time.Time {
	_, offset := t.Zone()
	if offset == 0 {
		return t.UTC()
	}
	return t.In(time.FixedZone("", offset))
}
