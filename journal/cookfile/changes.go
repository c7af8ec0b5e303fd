package cookfile

import (
	"slices"
	"strings"

	"ashbook/journal"
)

// Change is one difference between two texts of a cook's file: a line or an entry of
// the timeline.
type Change struct {
	// the line without its line end; Was is "" for an added line, Is for a removed one
	Was, Is string
	Old     *journal.Entry // the entry on line Was; nil for another line
	New     *journal.Entry // the entry on line Is; nil for another line
}

// Changes returns the lines that differ between two texts of one file, in order. A
// removed and an added line are one change if both are entries of the same time, have
// the same words at different times, or set the same key. Blank lines and moved lines
// are ignored. If a text cannot be read as a cook, both are compared by lines alone.
func Changes(path string, was, is []byte, opt Options) []Change {
	gone, added := differ(toldLines(path, was, opt), toldLines(path, is, opt))
	var out []Change
	for _, g := range gone {
		if i := slices.IndexFunc(added, func(a toldLine) bool { return a.text == g.text }); i >= 0 {
			added = slices.Delete(added, i, i+1)
			continue
		}
		c := Change{Was: g.text, Old: g.entry}
		if i := slices.IndexFunc(added, g.follows); i >= 0 {
			c.Is, c.New = added[i].text, added[i].entry
			added = slices.Delete(added, i, i+1)
		}
		out = append(out, c)
	}
	for _, a := range added {
		out = append(out, Change{Is: a.text, New: a.entry})
	}
	return out
}

// toldLine is a line of a file and its entry, if it has one.
type toldLine struct {
	text  string
	entry *journal.Entry
}

func toldLines(path string, data []byte, opt Options) []toldLine {
	var lines []toldLine
	at := map[int]int{} // index in lines by line number
	for i, l := range strings.Split(string(data), "\n") {
		if l = strings.TrimRight(l, " \t\r"); l != "" {
			at[i+1] = len(lines)
			lines = append(lines, toldLine{text: l})
		}
	}
	if f, err := Parse(path, data, opt); err == nil {
		for i, e := range f.Cook.Entries {
			lines[at[e.Line]].entry = &f.Cook.Entries[i]
		}
	}
	return lines
}

// follows reports whether an added line replaces a removed one.
func (g toldLine) follows(a toldLine) bool {
	if g.entry != nil && a.entry != nil {
		return g.entry.Time.Equal(a.entry.Time) || g.entry.Body() == a.entry.Body()
	}
	key, _, isKey := strings.Cut(g.text, ": ")
	other, _, _ := strings.Cut(a.text, ": ")
	return g.entry == nil && a.entry == nil && isKey && key == other && !strings.ContainsAny(key, "-*#{")
}

// mostCompared is the largest number of cells in the table for comparing lines. Beyond
// it, all lines between the first and the last difference count as removed and added
// (chosen: two cooks of two thousand lines).
const mostCompared = 4 << 20

// differ returns the lines that only was has and those that only is has, by a longest
// common subsequence.
func differ(was, is []toldLine) (gone, added []toldLine) {
	for len(was) > 0 && len(is) > 0 && was[0].text == is[0].text {
		was, is = was[1:], is[1:]
	}
	for len(was) > 0 && len(is) > 0 && was[len(was)-1].text == is[len(is)-1].text {
		was, is = was[:len(was)-1], is[:len(is)-1]
	}
	n, m := len(was), len(is)
	if n == 0 || m == 0 || n*m > mostCompared {
		return was, slices.Clone(is)
	}
	common := make([]int, (n+1)*(m+1)) // length of the common subsequence from i, j on
	for i := n - 1; i >= 0; i-- {
		for j := m - 1; j >= 0; j-- {
			c := &common[i*(m+1)+j]
			if was[i].text == is[j].text {
				*c = common[(i+1)*(m+1)+j+1] + 1
			} else {
				*c = max(common[(i+1)*(m+1)+j], common[i*(m+1)+j+1])
			}
		}
	}
	i, j := 0, 0
	for i < n || j < m {
		switch {
		case i < n && j < m && was[i].text == is[j].text:
			i, j = i+1, j+1
		case j == m || i < n && common[(i+1)*(m+1)+j] >= common[i*(m+1)+j+1]:
			gone = append(gone, was[i])
			i++
		default:
			added = append(added, is[j])
			j++
		}
	}
	return gone, added
}
