package svg

import (
	"fmt"
	"html"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/report/chart"
	"ashbook/report/chart/cells"
)

var (
	ticked = regexp.MustCompile(`<text class="num(?: spare)?" x="([^"]+)%" dx="0" y="[^"]+" text-anchor="middle">([^<]*)</text>`)
	ended  = regexp.MustCompile(`<text class="(?:strong|plain|fireword)" x="100%" dx="8" y="([^"]+)" text-anchor="start">([^<]*)</text>`)
	upper  = regexp.MustCompile(`<line class="grid" x1="([^"]+)%" y1="([^"]+)" x2="([^"]+)%" y2="([^"]+)"/>`)
)

// Package svg and package cells use the same scale: the same hours at the same places
// where both print as many, and every line named at its end, at least 15 px apart.
func TestSameAsCells(t *testing.T) {
	zero := time.Date(2026, 9, 18, 20, 0, 0, 0, time.UTC)
	for _, from := range []float64{-1.2, 0, .5} {
		for _, hours := range []float64{3, 10, 17.3, 30} {
			c := chart.Chart{X: chart.Axis{Zero: zero, Zone: time.UTC}, From: from, To: from + hours, YTitle: "°C", Lines: []chart.Line{
				{Name: "pit", Kind: chart.Fire, Points: []chart.Point{{X: from, Y: 110}, {X: from + hours, Y: 94}}},
				{Name: "small", Kind: chart.Other, Points: []chart.Point{{X: from, Y: 5}, {X: from + hours, Y: 93}}},
				{Name: "large", Kind: chart.Main, Points: []chart.Point{{X: from, Y: 5}, {X: from + hours, Y: 92}}},
			}}
			got := Draw(c, Options{ID: "f", Title: "title", Says: "what is seen", Height: 280, Text: html.EscapeString})
			name := fmt.Sprintf("%v hours from %v", hours, from)
			ticks := c.XTicks(mostTicks)
			var labels []string
			for i, m := range ticked.FindAllStringSubmatch(got, -1) {
				labels = append(labels, m[2])
				if want := num(100 * (ticks[i].X - c.From) / (c.To - c.From)); m[1] != want || strings.TrimSuffix(ticks[i].Label, ":00") != m[2] {
					t.Errorf("%s: %s at %s %%, want %s at %s", name, m[2], m[1], ticks[i].Label, want)
				}
			}
			if len(labels) != len(ticks) {
				t.Errorf("%s: %d labels of %d", name, len(labels), len(ticks))
			}
			rows := cells.Draw(c, 8*mostTicks+6, 12)
			var hoursLine strings.Builder
			for _, cell := range rows[len(rows)-1] {
				hoursLine.WriteRune(max(cell.Rune, ' '))
			}
			for _, word := range strings.Fields(hoursLine.String()) {
				if !slices.Contains(labels, strings.TrimSuffix(word, ":00")) {
					t.Errorf("%s: cells have %s, the page %q", name, word, labels)
				}
			}
			last := 0.0
			ends := ended.FindAllStringSubmatch(got, -1)
			for i, want := range []string{"small 93°", "large 92°", "pit 94°"} {
				if !slices.ContainsFunc(ends, func(m []string) bool { return m[2] == want }) {
					t.Errorf("%s: %q is not at an end", name, want)
				}
				var y float64
				fmt.Sscan(ends[i][1], &y)
				if i > 0 && y-last < apart {
					t.Errorf("%s: names %v px apart", name, y-last)
				}
				last = y
			}
			for _, m := range upper.FindAllStringSubmatch(got, -1) {
				if m[1] == m[3] && m[2] == m[4] {
					t.Errorf("%s: a line without length: %s", name, m[0])
				}
			}
			if !strings.Contains(got, `<title id="f-t">title</title><desc id="f-d">what is seen</desc>`) {
				t.Errorf("%s: not described: %.200s", name, got)
			}
		}
	}
}
