package merge

import (
	"slices"
	"strings"

	"github.com/sergi/go-diff/diffmatchpatch"
)

// line is one line of a version, with its line end.
type line struct {
	text   string
	second bool // only the second version has it
	at     int  // its index in the version it is from
	heads  bool // it is the last line of the timeline's heading
}

func (l line) bare() string { return strings.TrimRight(l.text, "\r\n") }

// cut splits a text into its lines.
func cut(text string) []line {
	var lines []line
	for t := range strings.Lines(text) {
		lines = append(lines, line{text: t, at: len(lines)})
	}
	return lines
}

func join(lines []line) string {
	var b strings.Builder
	for _, l := range lines {
		b.WriteString(l.text)
	}
	return b.String()
}

// matches pairs the lines that two versions have in common, by Myers' shortest edit
// (1986): line i of a is line at[i] of b, or at[i] is −1 if b lacks it.
func matches(a, b []line) (at []int) {
	number := map[string]rune{}
	runes := func(lines []line) []rune {
		out := make([]rune, len(lines))
		for i, l := range lines {
			n, ok := number[l.bare()]
			if !ok {
				if n = rune(len(number)) + 1; n >= 0xd800 { // surrogates are not valid runes
					n += 0x800
				}
				number[l.bare()] = n
			}
			out[i] = n
		}
		return out
	}
	one, two := runes(a), runes(b)
	d := diffmatchpatch.New()
	d.DiffTimeout = 0
	i, j := 0, 0
	at = make([]int, len(a))
	for _, piece := range d.DiffMainRunes(one, two, false) {
		for range []rune(piece.Text) {
			switch piece.Type {
			case diffmatchpatch.DiffEqual:
				at[i] = j
				i, j = i+1, j+1
			case diffmatchpatch.DiffDelete:
				at[i] = -1
				i++
			default:
				j++
			}
		}
	}
	settle(at, a, b)
	return at
}

// settle moves each change as far up as it can go. A change can often be described in
// several ways: if a blank line is added beside another, either may be the new one.
// settle makes sure that the result is always the same.
func settle(at []int, a, b []line) {
	for i := len(a); i > 0; i-- {
		next := len(b)
		if i < len(a) {
			next = at[i]
		}
		if next > 0 && at[i-1] >= 0 && at[i-1] < next-1 && a[i-1].bare() == b[next-1].bare() {
			at[i-1] = next - 1
		}
	}
	for i := len(a) - 1; i > 0; i-- {
		if at[i] >= 0 {
			continue
		}
		from := i
		for from > 0 && at[from-1] < 0 {
			from--
		}
		if from > 0 && a[from-1].bare() == a[i].bare() {
			at[i], at[from-1] = at[from-1], -1
		}
	}
}

// clash is a place where both versions changed the same lines of the base.
type clash struct{ base, first, second []line }

// hunk is one change: the lines of the base with the indexes from up to, but not
// including, to become lines. If from equals to, the lines are inserted.
type hunk struct {
	from, to int // range of lines of the base
	lines    []line
}

// hunks returns the changes of a version in order, and the version's own copy of each
// line of the base that it kept.
func hunks(base, is []line) (all []hunk, kept []line) {
	at := matches(base, is)
	kept = make([]line, len(base))
	b, j := 0, 0
	for i := 0; i <= len(base); i++ {
		if i < len(base) && at[i] < 0 {
			continue
		}
		to := len(is)
		if i < len(base) {
			to = at[i]
			kept[i] = is[to]
		}
		if i > b || to > j {
			all = append(all, hunk{b, i, is[j:to]})
		}
		b, j = i+1, to+1
	}
	return all, kept
}

// meets reports whether two changes conflict: they replace a common line of the base,
// insert at the same place, or are adjacent and add the same line.
func (h hunk) meets(o hunk) bool {
	if h.from == h.to && o.from == o.to {
		return h.from == o.from
	}
	if h.from < o.to && o.from < h.to {
		return true
	}
	return h.from <= o.to && o.from <= h.to && slices.ContainsFunc(h.lines, func(l line) bool {
		return !blank(l) && slices.ContainsFunc(o.lines, func(x line) bool { return x.bare() == l.bare() })
	})
}

// mergeLines merges two versions of a text. Where only one version changed the base, it
// takes that version. Where both did, it keeps the paragraphs of both, those of the
// first version first, and reports a clash if a paragraph of the base is in neither.
func mergeLines(base, first, second []line) (out []line, clashes []clash) {
	second = slices.Clone(second)
	for i := range second {
		second[i].second = true
	}
	one, keptOne := hunks(base, first)
	two, keptTwo := hunks(base, second)
	b := 0
	stable := func(to int) {
		for ; b < to; b++ {
			out = append(out, keptOne[b])
		}
	}
	for len(one) > 0 || len(two) > 0 {
		switch {
		case len(two) == 0 || len(one) > 0 && before(one[0], two[0]):
			stable(one[0].from)
			out = append(out, one[0].lines...)
			b, one = one[0].to, one[1:]
		case len(one) == 0 || before(two[0], one[0]):
			stable(two[0].from)
			out = append(out, two[0].lines...)
			b, two = two[0].to, two[1:]
		default:
			p, q := one[0], two[0]
			one, two = one[1:], two[1:]
			// collect all changes that conflict with one of the other version
			for grown := true; grown; {
				grown = false
				if len(one) > 0 && one[0].meets(q) {
					p, one, grown = widened(p, one[0], keptOne), one[1:], true
				}
				if len(two) > 0 && two[0].meets(p) {
					q, two, grown = widened(q, two[0], keptTwo), two[1:], true
				}
			}
			from, to := min(p.from, q.from), max(p.to, q.to)
			p = widened(widened(hunk{from: from, to: from}, p, keptOne), hunk{from: to, to: to}, keptOne)
			q = widened(widened(hunk{from: from, to: from}, q, keptTwo), hunk{from: to, to: to}, keptTwo)
			stable(from)
			b = to
			was := base[from:to]
			if sameLines(p.lines, q.lines) {
				out = append(out, p.lines...)
				continue
			}
			alone := len(was) > 0 && (from == 0 || blank(base[from-1])) && (to == len(base) || blank(base[to]))
			out = append(out, union(was, p.lines, q.lines, alone)...)
			first, second := paragraphs(p.lines), paragraphs(q.lines)
			if slices.ContainsFunc(paragraphs(was), func(w []line) bool { return !among(first, w) && !among(second, w) }) {
				clashes = append(clashes, clash{was, p.lines, q.lines})
			}
		}
	}
	stable(len(base))
	return out, clashes
}

// before reports whether change h is entirely above change o.
func before(h, o hunk) bool {
	return !h.meets(o) && (h.to < o.to || h.to == o.to && h.from < o.from || h.to <= o.from)
}

// widened joins two changes of one version and the kept lines between them into one
// change.
func widened(h, next hunk, kept []line) hunk {
	lines := slices.Concat(h.lines, kept[h.to:next.from], next.lines)
	return hunk{h.from, next.to, lines}
}

func sameLines(a, b []line) bool {
	return slices.EqualFunc(a, b, func(x, y line) bool { return x.bare() == y.bare() })
}

// union merges the paragraphs of two versions of one place: those of the first, then
// those that only the second has. It leaves out a paragraph that one version removed
// and the other left unchanged. It separates paragraphs by blank lines if either
// version has one, or if alone says that the place is a paragraph by itself.
func union(was, one, two []line, alone bool) (out []line) {
	before, first, second := paragraphs(was), paragraphs(one), paragraphs(two)
	fresh := func(is, other [][]line) (all [][]line) {
		for _, p := range is {
			if !among(before, p) && !among(other, p) {
				all = append(all, p)
			}
		}
		return all
	}
	stay := slices.DeleteFunc(slices.Clone(first), func(p []line) bool { return among(before, p) && !among(second, p) })
	added := fresh(second, first)
	switch {
	case len(added) == 0 && len(stay) == len(first):
		return one
	case len(fresh(first, second)) == 0 && len(stay) == len(second)-len(added):
		return two
	}
	gap := alone || slices.ContainsFunc(one, blank) || slices.ContainsFunc(two, blank)
	part := func() {
		if gap && (len(out) == 0 || !blank(out[len(out)-1])) {
			out = append(out, line{text: "\n", second: true})
		}
	}
	for i, p := range append(stay, added...) {
		if i > 0 || len(one) > 0 && blank(one[0]) || len(two) > 0 && blank(two[0]) {
			part()
		}
		out = append(out, p...)
	}
	if len(out) > 0 && len(one) > 0 && blank(one[len(one)-1]) && len(two) > 0 && blank(two[len(two)-1]) {
		part()
	}
	return out
}

func among(all [][]line, p []line) bool {
	return slices.ContainsFunc(all, func(o []line) bool { return sameLines(o, p) })
}

func blank(l line) bool { return strings.TrimSpace(l.text) == "" }

// paragraphs splits lines at blank lines, which it drops.
func paragraphs(lines []line) (all [][]line) {
	for i, l := range lines {
		switch {
		case blank(l):
		case i > 0 && !blank(lines[i-1]):
			all[len(all)-1] = append(all[len(all)-1], l)
		default:
			all = append(all, []line{l})
		}
	}
	return all
}
