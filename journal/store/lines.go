package store

import (
	"slices"
	"strings"
)

// hunk is one place where a save changed lines of a file. Lines include their line
// ends.
type hunk struct {
	Above []string `json:"above,omitempty"` // the lines before the place, at most aboveLines
	Old   []string `json:"old,omitempty"`   // lines removed
	New   []string `json:"new,omitempty"`   // lines added
	// lines that were already in the file and resemble one of New, see kin
	Beside []string `json:"beside,omitempty"`
}

const aboveLines = 4

// splitLines splits text after each newline.
func splitLines(text []byte) []string {
	lines := strings.SplitAfter(string(text), "\n")
	if lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	return lines
}

// diff returns the hunks that turn one text into the other, in order.
func diff(from, to []byte) []hunk {
	a, b := splitLines(from), splitLines(to)
	head := 0
	for head < len(a) && head < len(b) && a[head] == b[head] {
		head++
	}
	tail := 0
	for tail < len(a)-head && tail < len(b)-head && a[len(a)-1-tail] == b[len(b)-1-tail] {
		tail++
	}
	var hunks []hunk
	add := func(i, j, k, l int) { // a[i:j] became b[k:l]
		if i == j && k == l {
			return
		}
		h := hunk{Above: slices.Clone(b[max(0, k-aboveLines):k]), Old: slices.Clone(a[i:j]), New: slices.Clone(b[k:l])}
		for _, line := range a {
			if slices.ContainsFunc(h.New, func(n string) bool { return kin(n, line) }) && !slices.Contains(h.Old, line) {
				h.Beside = append(h.Beside, line)
			}
		}
		hunks = append(hunks, h)
	}
	i, k := head, head
	for _, m := range common(a[head:len(a)-tail], b[head:len(b)-tail]) {
		if m[0]+head > i || m[1]+head > k {
			add(i, m[0]+head, k, m[1]+head)
		}
		i, k = m[0]+head+1, m[1]+head+1
	}
	add(i, len(a)-tail, k, len(b)-tail)
	return hunks
}

// additions returns the hunks that turn from into to, but only their added lines.
func additions(from, to []byte) []hunk {
	var out []hunk
	for _, h := range diff(from, to) {
		if h.Old = nil; len(h.New) > 0 {
			out = append(out, h)
		}
	}
	return out
}

// common returns the lines that two texts have in common and in the same order, as
// pairs of indexes. It returns none if the texts are so long that the search is not
// worth it (chosen).
func common(a, b []string) [][2]int {
	if len(a)*len(b) == 0 || len(a)*len(b) > 1<<21 {
		return nil
	}
	long := make([][]int32, len(a)+1)
	for i := range long {
		long[i] = make([]int32, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for j := len(b) - 1; j >= 0; j-- {
			if a[i] == b[j] {
				long[i][j] = long[i+1][j+1] + 1
			} else {
				long[i][j] = max(long[i+1][j], long[i][j+1])
			}
		}
	}
	var pairs [][2]int
	for i, j := 0, 0; i < len(a) && j < len(b); {
		switch {
		case a[i] == b[j]:
			pairs = append(pairs, [2]int{i, j})
			i, j = i+1, j+1
		case long[i+1][j] >= long[i][j+1]:
			i++
		default:
			j++
		}
	}
	return pairs
}

// kin reports whether line b is likely a changed version of our line a: a line of front
// matter with the same key, or a timeline line of the same time with at least half of
// a's words.
func kin(a, b string) bool {
	x, y := strings.Fields(a), strings.Fields(b)
	if len(x) == 0 || len(y) == 0 {
		return false
	}
	if x[0] != "-" {
		return strings.HasSuffix(x[0], ":") && x[0] == y[0]
	}
	if len(x) < 3 || len(y) < 3 || y[0] != "-" || x[1] != y[1] {
		return false
	}
	same := 0
	for _, word := range x[2:] {
		if slices.Contains(y[2:], word) {
			same++
		}
	}
	return 2*same >= len(x)-2
}

// compose adds the hunks of a later save to those of earlier ones. Lines that the later
// save removed or replaced leave the earlier hunks.
func compose(earlier, later []hunk) []hunk {
	for _, h := range later {
		merged := false
		for i := range earlier {
			e := &earlier[i]
			at := slices.IndexFunc(e.New, func(n string) bool { return slices.Contains(h.Old, n) })
			if at < 0 {
				continue
			}
			rest := slices.DeleteFunc(slices.Clone(e.New), func(n string) bool { return slices.Contains(h.Old, n) })
			if !merged {
				rest = slices.Insert(rest, min(at, len(rest)), h.New...)
				merged = true
			}
			e.New = rest
			e.Old = slices.Concat(e.Old, h.Old)
			e.Beside = slices.Concat(e.Beside, h.Beside)
		}
		if !merged {
			earlier = append(earlier, h)
		}
	}
	return earlier
}

// join adds the hunks of another program's save, except lines that hunks already adds.
func join(hunks, theirs []hunk) []hunk {
	known := map[string]bool{}
	for _, h := range hunks {
		for _, n := range h.New {
			known[n] = true
		}
	}
	for _, h := range theirs {
		h.New = slices.DeleteFunc(slices.Clone(h.New), func(n string) bool { return known[n] })
		if len(h.New) > 0 {
			hunks = append(hunks, h)
		}
	}
	return hunks
}

// apply adds the lines of hunks that text lacks, removes the lines that hunks only
// removed, and returns the number of lines changed. A line is lacking if it is in text
// less often than in ours, our version with all hunks (nil if unknown). If text has a
// line that resembles it (see kin), somebody changed the line, so it is left alone.
func apply(hunks []hunk, ours, text []byte) ([]byte, int) {
	lines := splitLines(text)
	have, held, put := count(lines), count(splitLines(ours)), map[string]int{}
	for _, h := range hunks {
		for _, n := range h.New {
			put[n]++
		}
	}
	lacking := map[string]int{}
	for n := range put {
		lacking[n] = max(put[n], held[n]) - have[n]
	}
	total := 0
	for _, h := range hunks {
		for _, l := range h.Old {
			if len(h.New) == 0 && ours != nil && have[l] > held[l] && strings.TrimSpace(l) != "" {
				i := search(lines, []string{l})
				lines = slices.Delete(lines, i, i+1)
				have[l]--
				total++
			}
		}
		var lost []string
		for _, n := range h.New {
			if lacking[n] > 0 && strings.TrimSpace(n) != "" {
				lacking[n]--
				lost = append(lost, n)
			}
		}
		if len(lost) == 0 || slices.ContainsFunc(lines, func(l string) bool {
			return put[l] == 0 && !slices.Contains(h.Beside, l) && !slices.Contains(h.Old, l) &&
				slices.ContainsFunc(lost, func(n string) bool { return kin(n, l) })
		}) {
			continue
		}
		at, width := search(lines, h.Old), len(h.Old)
		if width > 0 && at >= 0 {
			// blank lines are added with their neighbours
			lost = slices.DeleteFunc(slices.Clone(h.New), func(n string) bool {
				return strings.TrimSpace(n) != "" && !slices.Contains(lost, n)
			})
		} else {
			at, width = place(lines, h), 0
			for _, l := range h.Old { // remove what is left of the replaced lines
				if i := search(lines, []string{l}); i >= 0 && have[l] > held[l] && strings.TrimSpace(l) != "" {
					lines = slices.Delete(lines, i, i+1)
					have[l]--
					at = i
				}
			}
		}
		if at > 0 && !strings.HasSuffix(lines[at-1], "\n") {
			lines[at-1] += "\n"
		}
		lines = slices.Replace(lines, at, at+width, lost...)
		total += len(lost)
	}
	if total == 0 {
		return text, 0
	}
	return []byte(strings.Join(lines, "")), total
}

// count returns how often each line occurs.
func count(lines []string) map[string]int {
	out := map[string]int{}
	for _, l := range lines {
		out[l]++
	}
	return out
}

// place returns the index at which to insert the new lines of a hunk: below as many as
// possible of the lines that were above them, or below the nearest of those that is
// still there, or at the end.
func place(lines []string, h hunk) int {
	for k := range h.Above {
		if part := h.Above[k:]; strings.TrimSpace(strings.Join(part, "")) != "" {
			if at := search(lines, part); at >= 0 {
				return at + len(part)
			}
		}
	}
	for _, l := range slices.Backward(h.Above) {
		if at := search(lines, []string{l}); at >= 0 && strings.TrimSpace(l) != "" {
			return at + 1
		}
	}
	return len(lines)
}

// search returns the last index at which lines contains part, −1 if it does not.
func search(lines, part []string) int {
	for at := len(lines) - len(part); at >= 0; at-- {
		if slices.Equal(lines[at:at+len(part)], part) {
			return at
		}
	}
	return -1
}
