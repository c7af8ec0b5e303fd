package merge

import (
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/cookfile/front"
)

// entry is an entry of one of three versions, or one made of two corrections.
type entry struct {
	journal.Entry
	from int // version: 0 the base, 1 the first, 2 the second, 3 made
	at   int // its place in that version
}

const (
	inBase = iota
	inFirst
	inSecond
	made
)

// key is what an entry is known by: its moment and what it says.
func (e entry) key() string { return e.Time.UTC().Format(time.RFC3339) + " " + e.Body() }

// entries merges three timelines as sets.
type entries struct {
	files [3]cookfile.File // base, first, second
	want  []entry          // the merged timeline in order of time
}

func (s *entries) of(version int) (all []entry) {
	for i, e := range s.files[version].Cook.Entries {
		all = append(all, entry{e, version, i})
	}
	return all
}

// merge finds what the merged timeline holds. What either version took out is
// out, what either put in is in, what both put in is one.
func (s *entries) merge(m *merger) {
	was, one, two := s.of(inBase), s.of(inFirst), s.of(inSecond)
	goneOne, newOne := apart(was, one)
	goneTwo, newTwo := apart(was, two)
	out := map[int]bool{} // places in was
	for _, g := range append(slices.Clone(goneOne), goneTwo...) {
		out[g.at] = true
	}
	for _, g := range goneOne {
		if slices.ContainsFunc(goneTwo, func(o entry) bool { return o.at == g.at }) {
			newOne, newTwo = s.corrections(m, g, newOne, newTwo)
		}
	}
	// Of an entry that is in the base and in the first, the first's line stays.
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

// corrections merges what became of an entry that is gone from both versions: they
// corrected it, or one took it out. What is left of each version's new entries comes
// back.
func (s *entries) corrections(m *merger, g entry, newOne, newTwo []entry) (one, two []entry) {
	x, y := s.corrected(g, inFirst, newOne), s.corrected(g, inSecond, newTwo)
	switch {
	case len(x) == 0 && len(y) == 0:
		return newOne, newTwo
	case len(x) == 0: // corrected by one, taken out by the other
		m.tell(Told{Stands: y[0].String(), Other: takenOut, By: m.first.By, At: m.first.At})
		return newOne, newTwo
	case len(y) == 0:
		m.tell(Told{Stands: x[0].String(), Other: takenOut, By: m.second.By, At: m.second.At})
		return newOne, newTwo
	}
	var lines []entry
	seconds := map[string]bool{} // those that are the second version's
	add := func(e journal.Entry, second bool) {
		is := entry{Entry: e, from: made}
		if i := slices.IndexFunc(lines, is.says); i >= 0 {
			return
		}
		for _, o := range slices.Concat(x, y) { // as it is written there
			if o.says(is) {
				is = o
				break
			}
		}
		lines, seconds[is.key()] = append(lines, is), second
	}
	for _, a := range x {
		for _, b := range y {
			both, ok := joined(g.Entry, a.Entry, b.Entry)
			add(both, false)
			if !ok { // with the other's value where both changed one thing
				both, _ = joined(g.Entry, b.Entry, a.Entry)
				add(both, true)
			}
		}
	}
	slices.SortStableFunc(lines, func(a, b entry) int { return strings.Compare(b.String(), a.String()) })
	if len(lines) > 1 && !sameEntries(lines, x) && !sameEntries(lines, y) { // in this order, whichever was there first
		for i := range lines {
			lines[i].from = made
		}
	}
	for _, o := range lines[1:] {
		t := Told{Stands: lines[0].String(), Other: o.String(), By: m.first.By, At: m.first.At, flow: cookfile.EntryRow(lines[0].Entry, o.Entry)}
		if seconds[o.key()] {
			t.By, t.At = m.second.By, m.second.At
		}
		m.tell(t)
	}
	rest := func(all, taken []entry) []entry {
		return slices.DeleteFunc(slices.Clone(all), func(e entry) bool { return slices.ContainsFunc(taken, e.says) })
	}
	return append(rest(newOne, x), lines...), rest(newTwo, y)
}

// sameEntries reports whether two lists say the same, in whatever order.
func sameEntries(a, b []entry) bool {
	return len(a) == len(b) && !slices.ContainsFunc(a, func(e entry) bool { return !slices.ContainsFunc(b, e.says) })
}

// corrected returns the entries of a version that correct one that is gone: one, or
// several where two people's corrections both stayed before.
func (s *entries) corrected(gone entry, version int, added []entry) (all []entry) {
	i := corrected(gone, added)
	if i < 0 {
		return nil
	}
	all = []entry{added[i]}
	for grown := true; grown; {
		grown = false
		for _, o := range s.files[version].Cook.Others {
			for k := range o.Entries {
				one, other := o.Entries[k], o.Entries[1-k]
				at := func(n int) func(entry) bool { return func(e entry) bool { return e.at == n } }
				if i := slices.IndexFunc(added, at(other)); o.OfEntry() && i >= 0 && slices.ContainsFunc(all, at(one)) && !slices.ContainsFunc(all, at(other)) {
					all, grown = append(all, added[i]), true
				}
			}
		}
	}
	return all
}

// merged are the entries of the merged timeline.
func (s *entries) merged() []journal.Entry {
	all := make([]journal.Entry, len(s.want))
	for i, e := range s.want {
		all[i] = e.Entry
	}
	return all
}

// says reports whether another entry is the same.
func (e entry) says(o entry) bool { return e.key() == o.key() }

// kept pairs the entries that two timelines both hold, each once.
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

// apart returns what is only in the one and only in the other of two timelines.
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

// corrected returns the place of the entry that stands for one that is gone: at its time
// about the same act, the most alike of several, or of the same words at another time;
// −1 for none.
func corrected(gone entry, added []entry) int {
	best, most := -1, -1
	for i, a := range added {
		if a.Time.Equal(gone.Time) && sharesAct(a.Entry, gone.Entry) {
			if n := alike(a.Entry, gone.Entry); n > most {
				best, most = i, n
			}
		}
	}
	if best >= 0 {
		return best
	}
	return slices.IndexFunc(added, func(a entry) bool { return a.Body() == gone.Body() })
}

// alike is how many items two entries have in common, the words counting as one.
func alike(a, b journal.Entry) (n int) {
	for _, it := range a.Items {
		if slices.ContainsFunc(b.Items, func(o journal.Item) bool { return o.String() == it.String() }) {
			n++
		}
	}
	if a.Words == b.Words {
		n++
	}
	return n
}

func sharesAct(a, b journal.Entry) bool {
	if len(a.Items) == 0 && len(b.Items) == 0 {
		return true
	}
	return slices.ContainsFunc(a.Items, func(it journal.Item) bool {
		return slices.ContainsFunc(b.Items, func(o journal.Item) bool { return o.Act == it.Act })
	})
}

// about is what an item of an entry is about: the same act on the same piece,
// for the nth time in the entry.
type about struct {
	act   journal.Act
	piece string
	nth   int
}

func things(e journal.Entry) (order []about, said map[about]journal.Item) {
	said = map[about]journal.Item{}
	for _, it := range e.Items {
		a := about{act: it.Act, piece: it.Piece}
		for {
			if _, taken := said[a]; !taken {
				break
			}
			a.nth++
		}
		order, said[a] = append(order, a), it
	}
	return order, said
}

// joined merges two corrections of one entry, item by item; where both changed one
// thing the first one's is taken, and ok is false.
func joined(was, one, two journal.Entry) (e journal.Entry, ok bool) {
	ok = true
	choose := func(was, one, two string) (takeTwo bool) {
		ok = ok && (one == two || one == was || two == was)
		return one == was
	}
	e = one
	if choose(was.Words, one.Words, two.Words) {
		e.Words = two.Words
	}
	if choose(journal.FormatTime(was.Time), journal.FormatTime(one.Time), journal.FormatTime(two.Time)) {
		e.Time = two.Time
	}
	_, before := things(was)
	first, left := things(one)
	second, right := things(two)
	e.Items = nil
	for _, a := range second {
		if _, both := left[a]; !both {
			first = append(first, a)
		}
	}
	for _, a := range first {
		it := left[a]
		if choose(text(before, a), text(left, a), text(right, a)) {
			it = right[a]
		}
		if it.Act != journal.NoAct {
			e.Items = append(e.Items, it)
		}
	}
	return e, ok
}

// text is what is said about a thing; empty where nothing is.
func text(said map[about]journal.Item, a about) string {
	if it, is := said[a]; is {
		return it.String()
	}
	return ""
}

// holds reports whether a timeline that was read is the merged one.
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

// dating says which bare clock times are written in full.
type dating int

const (
	asWritten     dating = iota
	besideChanges        // those put in, and those below a change
	all
)

// chunk is a line of text, or an entry, of the merged body.
type chunk struct {
	line
	entry *entry
}

// body lays out the merged text below the front matter: that of the first
// version with what the second put in and took out.
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

// chunks parts the body of a version into entries and other lines, and returns
// the latter by themselves too, numbered by their chunk.
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

// place puts merged lines among the entries that stay of the first version. A
// line of the second is below the line it was below there: an entry, where
// that stays, else the merged line above.
func (s *entries) place(first, second []chunk, lines []line) []chunk {
	stays := map[int]*entry{} // by place in the first
	byKey := map[string]*entry{}
	for i := range s.want {
		if e := &s.want[i]; e.from == inFirst {
			stays[e.at], byKey[e.key()] = e, e
		}
	}
	above := map[int][]line{} // lines of the second by the chunk of the first they are below; −1 the top
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

// insert puts in the entries that are not of the first version, each below the
// last entry that is not later; where there is none, above the first one, or
// below the heading.
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
