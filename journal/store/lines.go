package store

import (
	"slices"
	"strings"
)

// hunk is one place where a save changed a file's lines. Lines carry their ends.
type hunk struct {
	Above  []string `json:"above,omitempty"`  // up to aboveLines lines before the place
	Old    []string `json:"old,omitempty"`    // lines taken out
	New    []string `json:"new,omitempty"`    // lines put in
	Beside []string `json:"beside,omitempty"` // lines of kin to New that were there before
}

const aboveLines = 4

// splitLines cuts text after each newline.
func splitLines(text []byte) []string {
	lines := strings.SplitAfter(string(text), "\n")
	if lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	return lines
}

// diff returns the hunks that lead from one text to another, in order.
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

// additions returns only what was put in on the way from one text to another.
func additions(from, to []byte) []hunk {
	var out []hunk
	for _, h := range diff(from, to) {
		if h.Old = nil; len(h.New) > 0 {
			out = append(out, h)
		}
	}
	return out
}

// common returns the pairs of a longest common subsequence; none where the texts
// are so long that looking would cost more than it is worth (chosen).
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

// kin reports whether b speaks of the same thing as our line a: front matter's line of
// the same key, or a timeline's line of the same time that has at least half of our
// words, which is what a corrected entry looks like.
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

// compose adds the hunks of a later save to those of earlier ones: what a later one
// took out or replaced is no longer looked for.
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

// join adds the hunks of another program, except lines that are already looked for.
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

// apply puts those lines of the hunks into the text that it lacks, takes those out that
// the hunks took out and put nothing in place of, and returns how many. A line is lacking that ours, the version of ours with all the hunks, has more
// often; ours is nil where it is not known. A text that has a line of kin instead knew
// of the line and changed it; it is left as it is.
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
			lost = slices.DeleteFunc(slices.Clone(h.New), func(n string) bool { // blank lines go along
				return strings.TrimSpace(n) != "" && !slices.Contains(lost, n)
			})
		} else {
			at, width = place(lines, h), 0
			for _, l := range h.Old { // what is left of the lines that were replaced
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

// count returns how often each line is there.
func count(lines []string) map[string]int {
	out := map[string]int{}
	for _, l := range lines {
		out[l]++
	}
	return out
}

// place finds where the new lines of a hunk belong: under as many of the lines that
// was above them as are still together, else under the nearest that is left, else
// at the end.
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

// search returns the last place where part is in lines, -1 if it does not.
func search(lines, part []string) int {
	for at := len(lines) - len(part); at >= 0; at-- {
		if slices.Equal(lines[at:at+len(part)], part) {
			return at
		}
	}
	return -1
}
