package folder

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestQueryFindsWhatPlainSearchFinds compares with the simplest way: everything in
// lower case, line by line.
func TestQueryFindsWhatPlainSearchFinds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		piece := rapid.StringOfN(rapid.RuneFrom([]rune("aAbBkKzZ1 -°äÄ—")), 0, 4, -1)
		text := strings.Join(rapid.SliceOfN(rapid.OneOf(piece, rapid.SampledFrom([]string{"\n", "\r\n", "ab", "BA"})), 0, 24).Draw(t, "text"), "")
		words := rapid.SliceOfN(piece, 0, 3).Draw(t, "words")
		wantLine, wantText := plainly(words, text)
		q := newQuery(words)
		if len(q.words) == 0 {
			return // Search without words finds nothing
		}
		if line, found := q.in([]byte(text)); line != wantLine || found != wantText {
			t.Errorf("%q in %q: line %d %q, want %d %q", words, text, line, found, wantLine, wantText)
		}
	})
}

func plainly(words []string, text string) (line int, found string) {
	most := 0
	var folded []string
	for _, w := range words {
		if w = strings.ToLower(strings.TrimSpace(w)); w == "" {
			continue
		}
		if folded = append(folded, w); !strings.Contains(strings.ToLower(text), w) {
			return 0, ""
		}
	}
	for i, l := range strings.Split(text, "\n") {
		n := 0
		for _, w := range folded {
			if strings.Contains(strings.ToLower(l), w) {
				n++
			}
		}
		if n > most {
			line, found, most = i+1, strings.TrimSuffix(l, "\r"), n
		}
	}
	return line, found
}
