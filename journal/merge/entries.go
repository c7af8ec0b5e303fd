package merge

import (
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/cookfile/front"
)

// entry is an entry of one of the three versions, or one made from two corrections.
type entry struct {
	journal.Entry
	from int // where it is from: 0 the base, 1 the first version, 2 the second, 3 the merge itself
	at   int // its index in that version
}

const (
	inBase = iota
	inFirst
	inSecond
	made
)

// key identifies an entry by its time and its text.
func (e entry) key() string { return e.Time.UTC().Format(time.RFC3339) + " " + e.Body() }

// entries merges three timelines as sets of entries.
type entries struct {
	files [3]cookfile.File // the base, the first and the second version
	want  []entry          // the merged timeline, ordered by time
}

func (s *entries) of(version int) (all []entry) {
	for i, e := range s.files[version].Cook.Entries {
		all = append(all, entry{e, version, i})
	}
	return all
}

// merge computes the merged timeline. It leaves out entries that either version
// removed, and includes entries that either added; an entry that both added is there
// once.
func (s *entries) merge(m *merger) {
	was, one, two := s.of(inBase), s.of(inFirst), s.of(inSecond)
	goneOne, newOne := apart(was, one)
	goneTwo, newTwo := apart(was, two)
	out := map[int]bool{} // indexes in was of the entries to leave out
	for _, g := range append(slices.Clone(goneOne), goneTwo...) {
		out[g.at] = true
	}
	for _, g := range goneOne {
		if slices.ContainsFunc(goneTwo, func(o entry) bool { return o.at == g.at }) {
			newOne, newTwo = s.corrections(m, g, newOne, newTwo)
		}
	}
	// An entry that is in the base and in the first version keeps the first version's
	// text.
	for _, pair := range kept(was, one) {
		if !out[pair[0]] {
			s.want = append(s.want, one[pair[1]])
		}
	}
	s.want = append(s.want, newOne...)
	_, fresh := apart(newOne, newTwo)
	s.want = append(s.want, fresh...)
	slices.SortStableFunc(s.want, func(a, b entry) int { return a.Time.Compare(b.Time) })
}

// merged returns the entries of the merged timeline.
func (s *entries) merged() []journal.Entry {
	all := make([]journal.Entry, len(s.want))
	for i, e := range s.want {
		all[i] = e.Entry
	}
	return all
}

// says reports whether two entries have the same time and text.
func (e entry) says(o entry) bool { return e.key() == o.key() }

// kept returns the pairs of indexes of entries that are in both timelines. Each entry
// is in one pair.
func kept(was, is []entry) (pairs [][2]int) {
	free := map[string][]int{}
	for i, e := range is {
		free[e.key()] = append(free[e.key()], i)
	}
	for i, e := range was {
		if at := free[e.key()]; len(at) > 0 {
			pairs = append(pairs, [2]int{i, at[0]})
			free[e.key()] = at[1:]
		}
	}
	return pairs
}

// apart returns the entries that are only in was, and those that are only in is.
func apart(was, is []entry) (gone, added []entry) {
	old, now := map[int]bool{}, map[int]bool{}
	for _, p := range kept(was, is) {
		old[p[0]], now[p[1]] = true, true
	}
	for i, e := range was {
		if !old[i] {
			gone = append(gone, e)
		}
	}
	for i, e := range is {
		if !now[i] {
			added = append(added, e)
		}
	}
	return gone, added
}

// holds reports whether the cook read has the same entries as the merged timeline.
func (s *entries) holds(read []journal.Entry) bool {
	if len(read) != len(s.want) {
		return false
	}
	left := map[string]int{}
	for _, e := range s.want {
		left[e.key()]++
	}
	for _, e := range read {
		k := entry{Entry: e}.key()
		if left[k]--; left[k] < 0 {
			return false
		}
	}
	return true
}

// dating says which entries get a date in front of their clock time.
type dating int

const (
	asWritten     dating = iota
	besideChanges        // added entries, and the entry after a change
	all
)

// chunk is one line or one entry of the merged body.
type chunk struct {
	line
	entry *entry
}

// body returns the merged text below the front matter: the first version's text with
// the second version's additions and removals.
func (s *entries) body(m *merger, was, one, two *front.Document, dated dating) string {
	base, _ := s.chunks(inBase, was)
	first, firstText := s.chunks(inFirst, one)
	second, secondText := s.chunks(inSecond, two)
	lines, clashes := mergeLines(texts(base), firstText, secondText)
	m.clashed(clashes)

	list := s.place(first, second, lines)
	list = s.insert(list)
	var b strings.Builder
	changed := false
	for i, c := range list {
		text := c.text
		if e := c.entry; e != nil {
			put := e.from != inFirst
			if e.from == made {
				text = e.String() + "\n"
			} else {
				text = s.files[e.from].EntryText(e.at, dated == all || dated == besideChanges && (put || changed))
				changed = put || i > 0 && list[i-1].entry != nil && list[i-1].entry.at+1 != e.at
			}
		}
		if i+1 < len(list) && !strings.HasSuffix(text, "\n") {
			text += "\n"
		}
		b.WriteString(text)
	}
	return b.String()
}

// chunks splits the body of a version into entries and other lines. other has the other
// lines; the at of a line is the index of its chunk.
func (s *entries) chunks(version int, d *front.Document) (all []chunk, other []line) {
	if d == nil {
		return nil, nil
	}
	starts := map[int]entry{}
	for _, e := range s.of(version) {
		from, _, _ := s.files[version].EntryAt(e.at)
		starts[from] = e
	}
	text := d.Text()
	for off := d.Body(); off < len(text); {
		to := len(text)
		if i := strings.IndexByte(text[off:], '\n'); i >= 0 {
			to = off + i + 1
		}
		c := chunk{line: line{at: len(all)}}
		if e, ok := starts[off]; ok {
			c.entry = &e
			_, to, _ = s.files[version].EntryAt(e.at)
		} else {
			c.text, c.heads = text[off:to], to == s.files[version].Timeline()
			other = append(other, c.line)
		}
		all = append(all, c)
		off = to
	}
	return all, other
}

func texts(all []chunk) (lines []line) {
	for _, c := range all {
		if c.entry == nil {
			lines = append(lines, c.line)
		}
	}
	return lines
}

// place puts the merged lines among the entries of the first version that stay. A line
// from the second version goes below the same entry as in that version if the entry
// stays, and otherwise below the merged line above it.
func (s *entries) place(first, second []chunk, lines []line) []chunk {
	stays := map[int]*entry{} // by index in the first version
	byKey := map[string]*entry{}
	for i := range s.want {
		if e := &s.want[i]; e.from == inFirst {
			stays[e.at], byKey[e.key()] = e, e
		}
	}
	// lines of the second version, by the index of the first version's chunk that they
	// go below; −1 means at the top
	above := map[int][]line{}
	keep := map[int]bool{}
	cursor := -1
	for _, l := range lines {
		if !l.second {
			keep[l.at], cursor = true, l.at
			continue
		}
		if l.at > 0 && second[l.at-1].entry != nil {
			if e := byKey[second[l.at-1].entry.key()]; e != nil {
				for i, c := range first {
					if c.entry != nil && c.entry.at == e.at && i > cursor {
						cursor = i
					}
				}
			}
		}
		above[cursor] = append(above[cursor], l)
	}
	var list []chunk
	add := func(i int) {
		for _, l := range above[i] {
			list = append(list, chunk{line: l})
		}
	}
	add(-1)
	for i, c := range first {
		switch {
		case c.entry == nil && keep[i]:
			list = append(list, c)
		case c.entry != nil && stays[c.entry.at] != nil:
			list = append(list, chunk{entry: stays[c.entry.at]})
		}
		add(i)
	}
	return list
}

// insert adds the entries that are not in the first version, each below the last entry
// that is not later. If there is none, it goes above the first entry, or below the
// timeline's heading.
func (s *entries) insert(list []chunk) []chunk {
	for i := range s.want {
		e := &s.want[i]
		if e.from == inFirst {
			continue
		}
		at, heading := -1, -1
		var best time.Time
		earliest := -1
		for j, c := range list {
			switch {
			case c.entry != nil && !c.entry.Time.After(e.Time) && (at < 0 || !c.entry.Time.Before(best)):
				at, best = j, c.entry.Time
			case c.entry != nil && earliest < 0:
				earliest = j
			case c.entry == nil && heading < 0 && c.heads:
				heading = j
			}
		}
		switch {
		case at >= 0:
			at++
		case earliest >= 0:
			at = earliest
		case heading >= 0:
			at = heading + 1
			if at < len(list) && blank(list[at].line) {
				at++
			}
		default:
			list = append(list, chunk{line: line{text: "\n## Timeline\n", heads: true}}, chunk{line: line{text: "\n"}})
			at = len(list)
		}
		list = slices.Insert(list, at, chunk{entry: e})
	}
	return list
}
