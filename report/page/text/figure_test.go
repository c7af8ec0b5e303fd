package text

import (
	"math"
	"strings"
	"testing"

	"ashbook/report/page"

	"github.com/charmbracelet/x/ansi"
)

func drawn(f page.Figure, width int) []string {
	return lines(page.Page{Title: "t", Sections: []page.Section{{Figure: f}}}, width)[2:]
}

func TestFigure(t *testing.T) {
	f := page.Figure{Title: "Rising", XTitle: "hours", YTitle: "core, °C", Lines: []page.Series{
		{Name: "one", X: []float64{0, 4}, Y: []float64{0, 40}},
		{Name: "other", X: []float64{2, 4}, Y: []float64{40, 40}},
	}}
	const want = `  Rising
  core, °C
  40 ┤          ○○○○○○○○○○
     │                 ●●
     │                ●
  30 ┤              ●●
     │            ●●
     │           ●
  20 ┤         ●●
     │        ●
     │      ●●
  10 ┤    ●●
     │   ●
     │ ●●
   0 ┤●
     └┬─────────┬────────┬
      0         2        4
      hours
  ● one
  ○ other`
	got := strings.Join(drawn(f, 26), "\n")
	if got != want {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
}

func TestFigureCountsPointsInOnePlace(t *testing.T) {
	f := page.Figure{Points: true, Lines: []page.Series{{Name: "one cook", X: []float64{0, 0, 0, 1}, Y: []float64{5, 5, 5, 9}}}}
	got := strings.Join(drawn(f, 40), "\n")
	if !strings.Contains(got, "3") || !strings.Contains(got, "number of points in one place") || strings.Contains(got, "0.2") {
		t.Errorf("got:\n%s", got)
	}
}

// No line is wider than the page, and text from a file does not act on the terminal.
func TestFigureKeepsWithinThePage(t *testing.T) {
	for _, y := range [][]float64{{0, 0}, {-1e9, 1e9}, {math.NaN(), 1}, {math.Inf(1), math.Inf(-1)}, {-1e308, 1e308}, {1e-9, 2e-9}} {
		for _, points := range []bool{false, true} {
			f := page.Figure{Title: "a\x1b[31m", XTitle: "x\x07", YTitle: "y\n", Points: points,
				Lines: []page.Series{{Name: strings.Repeat("long\u202e ", 20), X: []float64{-3, 2.5}, Y: y}}}
			for _, width := range []int{14, 20, 40, 76, 132} {
				for _, l := range drawn(f, width) {
					if w := ansi.StringWidth(l); w > width || strings.ContainsAny(l, "\x1b\x07\u202e\n") {
						t.Errorf("%v at %d: %d cells: %q", y, width, w, l)
					}
				}
			}
		}
	}
}
