package screens

import (
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/charmbracelet/x/ansi"

	"ashbook/report/hindsight"
	"ashbook/report/page/text"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/layout"
)

// words returns the words of lines that a person reads: two letters or more, without
// the signs of a drawing around them.
func words(lines ...string) []string {
	return slices.DeleteFunc(strings.FieldsFunc(strings.Join(lines, "\n"), func(r rune) bool { return !unicode.IsLetter(r) }), func(w string) bool { return len([]rune(w)) < 2 })
}

// Every page, with each of its turns and each row opened, fits the three sizes of window
// and the lines of --plain: no line is too wide, and no word is cut.
func TestEveryPageFits(t *testing.T) {
	o := hall(t)
	for i := range o.replayed {
		o.replayed[i] = func() (hindsight.Report, error) { return hindsight.Report{}, nil }
	}
	const past, other = "2026-07-17-quiz-night", "2025-07-18-quiz-night"
	pages := 0
	for place := range intent.Places {
		for _, of := range [][]string{{night}, {past}, {past, other}} {
			if !place.IsPage() && place != intent.Hold || place == intent.Beside && len(of) < 2 {
				continue
			}
			turns := []string{""}
			for k := 0; k < len(turns); k++ {
				opened, err := o.Page(backend.Wanted{Kind: place, Of: of, Turn: turns[k]})
				if err != nil {
					t.Fatal(err)
				}
				if k == 0 && len(opened.Turns) > 0 {
					turns = append(turns, opened.Turns[1:]...)
				}
				pages++
				p := opened.Page
				every := words(append(text.Linear(p), text.Render(p, 0))...)
				for _, width := range []int{60, 80, 132} {
					for open := -1; ; open++ {
						set := text.Set(p, width-2, open) // as the reader sets it
						if open >= len(set.Stops) {
							break
						}
						var lines []string
						for _, l := range set.Lines {
							lines = append(lines, l.Text)
							if w := ansi.StringWidth(l.Text); w > width-2 {
								t.Errorf("%s at %d: %d cells: %q", p.Title, width, w, l.Text)
							}
						}
						if open >= 0 {
							continue
						}
						seen := words(lines...)
						for _, w := range seen {
							if !slices.Contains(every, w) {
								t.Errorf("%s at %d: %q is a part of a word", p.Title, width, w)
							}
						}
					}
					for _, line := range text.Linear(p) {
						broken := layout.Wrap(line, width-1)
						if got, want := words(broken...), words(line); !slices.Equal(got, want) {
							t.Errorf("%s read aloud at %d: %q, want %q", p.Title, width, broken, line)
						}
						for _, l := range broken {
							if w := ansi.StringWidth(l); w > width {
								t.Errorf("%s read aloud at %d: %d cells: %q", p.Title, width, w, l)
							}
						}
					}
				}
			}
		}
	}
	if pages < 20 {
		t.Errorf("%d pages tried, 20 wanted", pages)
	}
}
