package html

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"ashbook/report/chart"
	"ashbook/report/page"
)

// hostile is text with markup and control characters that could act in a browser or
// terminal.
const hostile = `<script>alert(1)</script>"'><img src=http://x.example/a onerror=b()>&` + "\x1b]0;x\x07\u202e"

// full is a page with the text in every field that takes one.
func full(text string) page.Page {
	ch := &chart.Chart{To: 2, YTitle: text, BandWord: text,
		Lines: []chart.Line{{Name: text, Points: []chart.Point{{X: 0, Y: 5}, {X: 2, Y: 90}}}},
		Band:  []chart.Interval{{X: 0, Low: 0, High: 40}, {X: 2, Low: 60, High: 100}},
		Rules: []chart.Rule{{X: 1, Word: text}}, Spans: []chart.Span{{From: .5, To: 1, Y: 50, Word: text}},
		Lanes: []chart.Lane{{Name: text, End: text, Marks: []chart.Mark{{X: 1, Word: text}, {X: 1.5}},
			Bars: []chart.Bar{{From: 0, To: 1, At: math.NaN(), Word: text}}, Dots: []chart.Dot{{X: 1}, {X: 1, Ring: true}, {X: 1, Word: text}}}}}
	p := page.Page{Title: text, Aside: text, Lead: []string{text}, Source: text}
	p.Add(page.Section{Heading: text, Figure: page.Figure{Title: text, Says: text, Picture: ch}, Facts: []page.Fact{{Name: text, Value: text}}})
	p.Add(page.Section{Heading: text + p.Note(text), Lines: []string{text}, Table: page.Table{
		Columns: []page.Column{{Title: text}, {Title: text, Right: true}, {Draws: page.Falls, Ends: [2]string{text, text}}, {Title: text, Draws: page.Falls}},
		Rows:    []page.Row{{Heading: text}, {Cells: []string{text, text}, Span: &page.Span{Low: -2, At: 1, High: 3}}, {Rule: true, Cells: []string{text, text}}},
	}})
	p.Add(page.Section{Prose: "# " + text + "\n\n" + text + "\n\n![x](http://x.example/a.png) [a](javascript:b()) [c](data:text/html,x) <http://ok.example> [d](notes.txt)\n\n<iframe src=x></iframe>\n", Lines: []string{text}, Photos: []page.Photo{{Name: text, Width: 1, Height: 1}}})
	p.Add(page.Section{Figure: page.Figure{XTitle: text, YTitle: text, Points: true, Lines: []page.Series{{Name: text, X: []float64{1, 2}, Y: []float64{3, math.NaN()}}}}})
	return p
}

// Whatever a file contains, the page has no script, frame, form or image of its own, no
// request to another host, and no control characters.
func TestHostileText(t *testing.T) {
	got := string(Render(full(hostile), Options{}))
	got = strings.ReplaceAll(got, `<figure class="photo"><img width="1" height="1" alt="&lt;script`, "") // the photograph's own element
	for _, bad := range []string{"<script", "<img", "<iframe", "<form", "<object", "<embed", "javascript:", "data:text", "\x1b", "\x07", "\u202e", "onerror=b()>"} {
		if strings.Contains(strings.ToLower(got), bad) {
			t.Errorf("the page holds %q", bad)
		}
	}
	if n := strings.Count(got, "&lt;script&gt;"); n < 25 {
		t.Errorf("the text stands in %d places only: the test does not reach them all", n)
	}
	for _, want := range []string{`href="http://ok.example"`, `href="notes.txt"`, "default-src 'none'", First} {
		if !strings.Contains(got, want) {
			t.Errorf("missing %q", want)
		}
	}
}

// Every id is used once, every reference has its id, and every picture has a
// description or a number beside it.
func TestIDs(t *testing.T) {
	got := string(Render(full("pork 5 kg"), Options{}))
	ids := map[string]int{}
	for _, m := range regexp.MustCompile(` id="([^"]+)"`).FindAllStringSubmatch(got, -1) {
		ids[m[1]]++
	}
	for id, n := range ids {
		if n > 1 {
			t.Errorf("id %s stands %d times", id, n)
		}
	}
	for _, m := range regexp.MustCompile(`(?:aria-labelledby="|href="#)([^"]+)"`).FindAllStringSubmatch(got, -1) {
		for id := range strings.FieldsSeq(m[1]) {
			if ids[id] == 0 {
				t.Errorf("no element has the id %s", id)
			}
		}
	}
	for _, m := range regexp.MustCompile(`<svg class[^>]*>`).FindAllString(got, -1) {
		if !strings.Contains(m, `role="img"`) && !strings.Contains(m, `aria-hidden="true"`) {
			t.Errorf("not described: %s", m)
		}
	}
	if strings.Count(got, "<h1>") != 1 {
		t.Error("not one h1")
	}
}

// Text has a contrast of at least 4.5 to 1 on the page and on bands, by day and at
// night (WCAG 2.2, success criterion 1.4.3, with its relative luminance).
func TestContrast(t *testing.T) {
	blocks := regexp.MustCompile(`:root\{(--[^}]*)\}`).FindAllStringSubmatch(style, -1)
	if len(blocks) != 3 {
		t.Fatalf("%d sets of colours, want day, night and print", len(blocks))
	}
	for i, b := range blocks {
		colour := map[string]float64{}
		for _, m := range regexp.MustCompile(`--(\w+):#([0-9a-f]+)`).FindAllStringSubmatch(b[1], -1) {
			colour[m[1]] = luminance(t, m[2])
		}
		for _, text := range []string{"ink", "soft", "fire", "later", "sooner"} {
			grounds := []string{"paper"}
			if text == "ink" || text == "soft" {
				grounds = append(grounds, "band")
			}
			for _, ground := range grounds {
				a, b := colour[text], colour[ground]
				if r := (max(a, b) + .05) / (min(a, b) + .05); r < 4.5 {
					t.Errorf("set %d: %s on %s has %.1f to 1", i, text, ground, r)
				}
			}
		}
	}
}

func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	if len(hex) == 3 {
		hex = fmt.Sprintf("%c%[1]c%c%[2]c%c%[3]c", hex[0], hex[1], hex[2])
	}
	out := 0.0
	for i, weight := range []float64{.2126, .7152, .0722} {
		n, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		c := float64(n) / 255
		if c <= .04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+.055)/1.055, 2.4)
		}
		out += weight * c
	}
	return out
}

func FuzzProse(f *testing.F) {
	f.Add("# a\n\n<b>x</b> ![i](http://x) [l](javascript:a) `code`\n\n<div>\nraw\n</div>")
	f.Fuzz(func(t *testing.T, s string) {
		got := strings.ToLower(Prose(s))
		for _, bad := range []string{"<script", "<img", "<iframe", "<style", `href="javascript:`, `href="data:`, "\x1b"} {
			if strings.Contains(got, bad) {
				t.Fatalf("%q gives %q", s, got)
			}
		}
	})
}

// Each bar of a waterfall begins where the last one ended, and all have the same scale
// and width.
func TestFalls(t *testing.T) {
	p := page.Page{Title: "x"}
	p.Add(page.Section{Table: page.Table{Columns: []page.Column{{}, {Draws: page.Falls, Ends: [2]string{"early", "late"}}}, Rows: []page.Row{
		{Cells: []string{"usual", ""}}, {Cells: []string{"a", ""}, Span: &page.Span{Low: 40, At: 60, High: 80}},
		{Cells: []string{"b", ""}, Span: &page.Span{Low: -50, At: -30, High: -10}}, {Cells: []string{"c", ""}, Span: &page.Span{At: 20}},
	}}})
	got := string(Render(p, Options{}))
	bars := regexp.MustCompile(`class="bar \w+" x1="([\d.]+)%" y1="10" x2="([\d.]+)%"`).FindAllStringSubmatch(got, -1)
	if len(bars) != 3 {
		t.Fatalf("%d bars", len(bars))
	}
	// On a scale from 0 to 80 minutes: 0 to 60, 60 to 30, 30 to 50.
	for i, want := range [][2]string{{"0.00", "75.00"}, {"75.00", "37.50"}, {"37.50", "62.50"}} {
		if bars[i][1] != want[0] || bars[i][2] != want[1] {
			t.Errorf("bar %d from %s to %s, want %v", i, bars[i][1], bars[i][2], want)
		}
	}
	if !strings.Contains(style, "td.picture,th.picture{width:15rem") {
		t.Error("a picture column has no width of its own")
	}
}
