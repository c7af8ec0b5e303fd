package merge

import (
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/cookfile"
)

// corrections merges the changes to entry g of the base, which each version corrected
// or deleted. newOne and newTwo are the entries that each version added. It returns
// them without the entries that it has merged.
func (s *entries) corrections(m *merger, g entry, newOne, newTwo []entry) (one, two []entry) {
	x, y := s.corrected(g, inFirst, newOne), s.corrected(g, inSecond, newTwo)
	switch {
	case len(x) == 0 && len(y) == 0:
		return newOne, newTwo
	case len(x) == 0: // one version corrected it, the other deleted it
		m.report(Conflict{Kept: y[0].String(), Other: removedWord, By: m.first.By, At: m.first.At})
		return newOne, newTwo
	case len(y) == 0:
		m.report(Conflict{Kept: x[0].String(), Other: removedWord, By: m.second.By, At: m.second.At})
		return newOne, newTwo
	}
	var lines []entry
	seconds := map[string]bool{} // keys of the lines that come from the second version
	add := func(e journal.Entry, second bool) {
		is := entry{Entry: e, from: made}
		if i := slices.IndexFunc(lines, is.says); i >= 0 {
			return
		}
		for _, o := range slices.Concat(x, y) { // the entry as its own version wrote it
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
			if !ok { // both changed the same item: a second line with the other value
				both, _ = joined(g.Entry, b.Entry, a.Entry)
				add(both, true)
			}
		}
	}
	rest := func(all, taken []entry) []entry {
		return slices.DeleteFunc(slices.Clone(all), func(e entry) bool { return slices.ContainsFunc(taken, e.says) })
	}
	one = rest(newOne, x)
	// a version added the same entry independently
	lines = slices.DeleteFunc(lines, func(e entry) bool { return slices.ContainsFunc(one, e.says) })
	if len(lines) == 0 {
		return one, rest(newTwo, y)
	}
	slices.SortStableFunc(lines, func(a, b entry) int { return strings.Compare(b.String(), a.String()) })
	// the order must depend on the bytes alone, not on which version is first
	if len(lines) > 1 && !sameEntries(lines, x) && !sameEntries(lines, y) {
		for i := range lines {
			lines[i].from = made
		}
	}
	for _, o := range lines[1:] {
		t := Conflict{Kept: lines[0].String(), Other: o.String(), By: m.first.By, At: m.first.At, flow: cookfile.EntryRow(lines[0].Entry, o.Entry)}
		if seconds[o.key()] {
			t.By, t.At = m.second.By, m.second.At
		}
		m.report(t)
	}
	return append(one, lines...), rest(newTwo, y)
}

// sameEntries reports whether two lists have the same entries in any order.
func sameEntries(a, b []entry) bool {
	return len(a) == len(b) && !slices.ContainsFunc(a, func(e entry) bool { return !slices.ContainsFunc(b, e.says) })
}

// corrected returns the entries of a version that replace gone. There are several if an
// earlier merge kept two people's corrections.
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

// corrected returns the index in added of the entry that replaced gone: the most
// similar entry with the same time and an act in common, or an entry with the same
// words at another time. It returns −1 if there is none.
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

// alike returns how many items two entries have in common. The same free words count as
// one item.
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

// about identifies an item within an entry: the nth item with this act and this piece.
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

// joined merges two corrections of one entry, item by item. If both changed the same
// item, it takes the item of the entry one, and ok is false.
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

// text returns the text of the item that a identifies, "" if there is none.
func text(said map[about]journal.Item, a about) string {
	if it, is := said[a]; is {
		return it.String()
	}
	return ""
}
