package cells

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ashbook/report/chart"
)

var start = time.Date(2026, 9, 18, 20, 0, 0, 0, time.UTC)

func text(rows [][]Cell) string {
	var b strings.Builder
	for _, row := range rows {
		line := make([]rune, len(row))
		for i, c := range row {
			if line[i] = c.Rune; c.Rune == 0 {
				line[i] = ' '
			}
		}
		b.WriteString(strings.TrimRight(string(line), " ") + "\n")
	}
	return b.String()
}

func TestDraw(t *testing.T) {
	c := chart.Chart{X: chart.Axis{Zero: start, Zone: time.UTC}, To: 10, Rules: []chart.Rule{{X: 5, Now: true}},
		Lines: []chart.Line{
			{Kind: chart.Setting, Points: []chart.Point{{X: 0, Y: 110}, {X: 10, Y: 110}}},
			{Kind: chart.Fire, Points: []chart.Point{{X: 0, Y: 95}, {X: 1, Y: 115}, {X: 5, Y: 100}}},
			{Kind: chart.Other, Points: []chart.Point{{X: 0, Y: 15}, {X: 5, Y: 75}}},
			{Kind: chart.Main, Points: []chart.Point{{X: 0, Y: 5}, {X: 3, Y: 60}, {X: 5, Y: 65}}},
		},
		Band:   []chart.Interval{{X: 5, Low: 65, High: 65}, {X: 9, Low: 75, High: 95}},
		Doubts: []chart.Point{{X: 1.5, Y: 60}, {X: 4, Y: 400}},
		Marks:  []chart.Mark{{X: 0, Word: "on"}, {X: 2, Word: "wood"}, {X: 4.5, Word: "vent"}, {X: 4.6, Word: "lid"}, {X: 9.9, Word: "wrap"}},
	}
	want := strings.TrimPrefix(`
    │╌╌╌▁──────▁▁▁▁▁▁╌╌╌?╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌
100 ┤▁─▔             ▔▔▔▔▔▔───                  ░
    │                        ┊         ░░░░░░░░░░
    │                     ..·· ░░░░░░░░░░░░░░░░░░
    │       ?     ▂▄▅▅▅▆▆▆▇▇▇▇░░░
 50 ┤         ▁▃▅█·˙˙        ┊
    │     .▂▄▇˙              ┊
    │.·▁▃▆█                  ┊
  0 ┤▅▇                      ┊
    └on───────wood─────────vl┴───────────────────────w
     20:00  22:00     00:00     02:00     04:00
`, "\n")
	got := text(Draw(c, 54, 11))
	if got != want {
		t.Errorf("\n%swant\n%s", got, want)
	}
}

func TestNothingToDraw(t *testing.T) {
	line := []chart.Line{{Points: []chart.Point{{X: 0, Y: 5}, {X: 1, Y: 6}}}}
	for name, rows := range map[string][][]Cell{
		"empty":    Draw(chart.Chart{From: 0, To: 1}, 60, 10),
		"no time":  Draw(chart.Chart{From: 0, To: 0, Lines: line}, 60, 10),
		"narrow":   Draw(chart.Chart{From: 0, To: 1, Lines: line}, MinWidth-1, 10),
		"low":      Draw(chart.Chart{From: 0, To: 1, Lines: line}, 60, MinHeight-1),
		"negative": Draw(chart.Chart{From: 0, To: 1, Lines: line}, -5, -5),
	} {
		if rows != nil {
			t.Errorf("%s: %d rows", name, len(rows))
		}
	}
}

// The picture has the size asked for, whatever the curve.
func TestSize(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hour := rapid.Float64Range(-30, 60)
		c := chart.Chart{X: chart.Axis{Zero: start}, From: hour.Draw(t, "from"), To: hour.Draw(t, "to"), Rules: []chart.Rule{{X: hour.Draw(t, "now"), Now: true}}}
		h := 0.0
		var points []chart.Point
		for range rapid.IntRange(0, 20).Draw(t, "n") {
			h += rapid.Float64Range(0, 4).Draw(t, "step")
			points = append(points, chart.Point{X: h, Y: rapid.Float64Range(-60, 900).Draw(t, "v")})
			c.Marks = append(c.Marks, chart.Mark{X: h, Word: rapid.StringMatching(`[a-zé]{0,9}`).Draw(t, "word")})
			c.Band = append(c.Band, chart.Interval{X: h, Low: -1e3, High: 1e3})
		}
		for k := range 4 {
			c.Lines = append(c.Lines, chart.Line{Kind: chart.Kind(k), Points: points})
		}
		w, height := rapid.IntRange(-1, 140).Draw(t, "w"), rapid.IntRange(-1, 40).Draw(t, "h")
		rows := Draw(c, w, height)
		if rows == nil {
			return
		}
		if len(rows) != height {
			t.Fatalf("%d rows, want %d", len(rows), height)
		}
		for _, r := range rows {
			if len(r) != w {
				t.Fatalf("%d columns, want %d", len(r), w)
			}
		}
	})
}

// A single reading is drawn, over the band and beside the line of the present.
func TestOneReading(t *testing.T) {
	c := chart.Chart{X: chart.Axis{Zero: start, Zone: time.UTC}, To: 10, Rules: []chart.Rule{{X: 5, Now: true}},
		Lines: []chart.Line{{Kind: chart.Main, Points: []chart.Point{{X: 4.95, Y: 68}}}},
		Band:  []chart.Interval{{X: 0, Low: 5, High: 5}, {X: 9, Low: 75, High: 95}},
	}
	marks := 0
	for _, row := range Draw(c, 54, 11) {
		for _, cell := range row {
			if cell.Role == Main {
				marks++
			}
		}
	}
	if marks != 1 {
		t.Errorf("one reading is drawn %d times", marks)
	}
}
