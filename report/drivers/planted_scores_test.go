package drivers

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"ashbook/report/frame"
	"ashbook/samples/planted"
)

// TestPlantedScores weighs journals whose scores follow a known law, after their first 12
// cooks and later: ASHBOOK_PLANTED=FROM:TO, or wide:FROM:TO, takes other seeds.
func TestPlantedScores(t *testing.T) {
	journals, which, err := planted.Asked(os.Getenv("ASHBOOK_PLANTED"), 8)
	if err != nil {
		t.Fatal(err)
	}
	type causes struct {
		column, word, base string
		of                 func(planted.ScoreLaw) float64
	}
	none := func(planted.ScoreLaw) float64 { return 0 }
	asks := []causes{
		{"wrap", "foil", "bare", func(l planted.ScoreLaw) float64 { return l.Foil }},
		{"wrap", "paper", "bare", none},
		{"supplier", "south hall", "north hall", func(l planted.ScoreLaw) float64 { return l.Supplier }},
		{"wood", "apple", "oak", func(l planted.ScoreLaw) float64 { return l.Wood }},
		{"water pan", "hot", "none", func(l planted.ScoreLaw) float64 { return l.Pan }},
		{"core when it came off", "", "", func(l planted.ScoreLaw) float64 { return 5 * l.Off }},
		{"rub", "red", "brown", none},
		{"fuel", "lump", "briquettes", none},
		{"pit", "stone", "barrel", none},
		{"salt rate", "", "", none},
	}
	rows := []string{"| first cooks | lines | range held | of what is there | told | right sign | told where there is nothing | told is of truth |"}
	for _, n := range []int{12, 20, 35, 60} {
		lines, held, there, told, right, nothing, alarms := 0, 0, 0, 0, 0, 0, 0
		size, truth := 0.0, 0.0
		for _, j := range journals {
			cooks, err := j.Read()
			if err != nil {
				t.Fatal(err)
			}
			if n < 60 && len(cooks) < n {
				continue
			}
			for k, target := range []Target{Tenderness, Moisture, Bark} {
				r, err := Weigh(t.Context(), frame.Cooks(cooks[:min(n, len(cooks))]), target, Options{})
				if err != nil {
					t.Fatal(err)
				}
				for _, c := range r.Candidates {
					for _, l := range c.Lines {
						this, base, words := strings.Cut(l.Change, " instead of ")
						for _, a := range asks {
							sign := 1.0
							switch {
							case a.column != c.Column.Name:
								continue
							case words && this == a.base && base == a.word:
								sign = -1
							case words && (this != a.word || base != a.base), !words && a.word != "":
								continue
							}
							want := sign * a.of(j.Law.Scores[k])
							lines++
							inside := l.Lo <= want && want <= l.Hi
							if inside {
								held++
							}
							if want == 0 {
								nothing++
							} else if inside {
								there++
							}
							switch {
							case !l.Reads.Told():
							case want == 0:
								alarms++
							default:
								told++
								size, truth = size+math.Abs(l.Effect), truth+math.Abs(want)
								if l.Effect*want > 0 {
									right++
								}
							}
						}
					}
				}
			}
		}
		share := float64(there) / math.Max(1, float64(lines-nothing))
		rows = append(rows, fmt.Sprintf("| %d | %d | %.0f %% | %.0f %% of %d | %d | %d | %d of %d | %.2f |", n, lines, 100*float64(held)/math.Max(1, float64(lines)), 100*share, lines-nothing, told, right, alarms, nothing, size/math.Max(truth, .01)))
		if told > 0 && right*20 < told*19 || alarms*10 > nothing || lines-nothing > 40 && (share < .65 || share > .92) {
			t.Errorf("first %d cooks: %s", n, rows[len(rows)-1])
		}
	}
	t.Logf("%s\n%s", which, strings.Join(rows, "\n"))
}
