package text

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ashbook/report/page"

	"github.com/charmbracelet/x/ansi"
	"pgregory.net/rapid"
)

func set(p page.Page, width, open int) string {
	var out []string
	for _, l := range Set(p, width, open).Lines {
		out = append(out, l.Text)
	}
	return strings.Join(out, "\n")
}

func tabled(t page.Table) page.Page {
	return page.Page{Title: "t", Sections: []page.Section{{Table: t}}}
}

// effects has a picture and columns that can move below their rows.
var effects = page.Table{
	Columns: []page.Column{{}, {Title: "effect", Right: true}, {Draws: page.Ranges, Ends: [2]string{"sooner", "later"}}, {Title: "80 % range", Right: true, Gives: 1}, {Title: "reads as", Gives: 2}},
	Rows: []page.Row{
		{Cells: []string{"water pan: hot rather than dry", "+34 min", "", "+5 … +61 min", "likely¹"}, Span: &page.Span{Low: 5, At: 34, High: 61}, Rests: []string{"9 cooks with it."}},
		{Cells: []string{"wood: cherry rather than oak", "0 min", "", "−12 … +12 min", "cannot tell yet"}, Span: &page.Span{Low: -12, At: 0, High: 12, Unsure: true}},
	},
}

func TestColumnsGiveWay(t *testing.T) {
	p := tabled(effects)
	p.Notes = []string{"it may be the pit"}
	for _, c := range []struct {
		width int
		want  string
	}{
		{100, `t

                                   effect      0 later                   80 % range  reads as
  water pan: hot rather than dry  +34 min      │ ─────────●─────────   +5 … +61 min  likely¹
  wood: cherry rather than oak      0 min  ────○────                  −12 … +12 min  cannot tell yet
  ● is more than chance, ○ may be chance.
  ¹ it may be the pit`},
		{60, `t

                      effect     0 later          80 % range
  water pan: hot     +34 min     │─────●─────   +5 … +61 min
  rather than dry                │
      reads as likely¹
  wood: cherry         0 min   ──○──           −12 … +12 min
  rather than oak                │
      reads as cannot tell yet
  ● is more than chance, ○ may be chance.
  ¹ it may be the pit`},
		{46, `t

                       effect     0 later
  water pan: hot      +34 min     │─────●─────
  rather than dry                 │
      80 % range +5 … +61 min; reads as
      likely¹
  wood: cherry          0 min   ──○──
  rather than oak                 │
      80 % range −12 … +12 min; reads as
      cannot tell yet
  ● is more than chance, ○ may be chance.
  ¹ it may be the pit`},
	} {
		if got := set(p, c.width, -1); got != c.want {
			t.Errorf("at %d got:\n%s\nwant:\n%s", c.width, got, c.want)
		}
	}
}

// The basis of a row is shown below it when it is opened, with its footnotes.
func TestOpened(t *testing.T) {
	p := tabled(effects)
	p.Notes = []string{"it may be the pit"}
	got := set(p, 60, 0)
	if want := "reads as likely¹\n    | 9 cooks with it.\n    | ¹ it may be the pit\n  wood"; !strings.Contains(got, want) {
		t.Errorf("no %q in\n%s", want, got)
	}
	s := Set(p, 60, -1)
	if len(s.Stops) != 2 || !s.Stops[0].Opens || s.Stops[1].Opens || !s.Stops[0].Row {
		t.Errorf("stops %+v", s.Stops)
	}
}

// Columns that do not fit are shown in further parts, beside the first column; none is
// cut.
func TestColumnsInParts(t *testing.T) {
	table := page.Table{Columns: []page.Column{{}}, Rows: []page.Row{{Cells: []string{"weight on"}, Mark: true}}}
	for i := range 6 {
		table.Columns = append(table.Columns, page.Column{Title: "Supper", Right: true})
		table.Rows[0].Cells = append(table.Rows[0].Cells, fmt.Sprintf("%d.12345 kg", i))
	}
	const want = `t

                 Supper      Supper
≠ weight on  0.12345 kg  1.12345 kg

                 Supper      Supper
≠ weight on  2.12345 kg  3.12345 kg

                 Supper      Supper
≠ weight on  4.12345 kg  5.12345 kg`
	if got := set(tabled(table), 40, -1); got != want {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
}

func TestBars(t *testing.T) {
	table := page.Table{Columns: []page.Column{{}, {Draws: page.Falls, Ends: [2]string{"early", "late"}}, {Right: true}}, Rows: []page.Row{
		{Cells: []string{"usual", "", "15 h 10"}},
		{Cells: []string{"foil", "", "−80 min"}, Span: &page.Span{At: -80}},
		{Cells: []string{"lids", "", "+60 min"}, Span: &page.Span{At: 60}},
		{Cells: []string{"air", "", "+15 min"}, Span: &page.Span{At: 15}},
		{Cells: []string{"rest", "", "+1 min"}, Span: &page.Span{At: 1}},
		{Rule: true},
		{Cells: []string{"this cook", "", "15 h 06"}},
	}}
	const want = `t

                   early 0 late
  usual                               15 h 10
  foil       ████████████│            −80 min
  lids                   │█████████   +60 min
  air                    │██▌         +15 min
  rest                   │▏            +1 min
                                      ───────
  this cook                           15 h 06`
	if got := set(tabled(table), 45, -1); got != want {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
}

// Pictures are never wider than their column, and a table without drawable spans has
// none.
func TestSpansKeepWithinTheirColumn(t *testing.T) {
	odd := []float64{0, 1e-300, -1e-300, 5, -5, 1e300, -1e300, math.NaN(), math.Inf(1), math.Inf(-1)}
	for _, draws := range []page.Drawing{page.Falls, page.Ranges} {
		for _, a := range odd {
			for _, b := range odd {
				table := page.Table{Columns: []page.Column{{}, {Draws: draws}, {Title: "end"}}, Rows: []page.Row{
					{Cells: []string{"a", "", "x"}, Span: &page.Span{Low: a, At: b, High: b}},
					{Cells: []string{"b", "", "x"}, Span: &page.Span{Low: -3, At: a, High: 4}},
				}}
				for _, width := range []int{20, 30, 60} {
					for _, l := range lines(tabled(table), width) {
						if w := ansi.StringWidth(l); w > width {
							t.Fatalf("%v, %v at %d: %d cells: %q", a, b, width, w, l)
						}
					}
				}
			}
		}
	}
}

// At no width is a line wider than the page, or a word of a table lost.
func TestNothingIsCut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var table page.Table
		columns := rapid.IntRange(1, 9).Draw(t, "columns")
		for range columns {
			table.Columns = append(table.Columns, page.Column{
				Title: rapid.StringMatching(`|[a-z]{1,8}( [a-z]{1,8})?`).Draw(t, "title"),
				Right: rapid.Bool().Draw(t, "right"), Gives: rapid.IntRange(0, 3).Draw(t, "gives"),
			})
		}
		words := map[string]bool{}
		for range rapid.IntRange(1, 4).Draw(t, "rows") {
			row := page.Row{Mark: rapid.Bool().Draw(t, "mark")}
			for range columns {
				cell := rapid.StringMatching(`|[A-Za-z]{1,12}( [A-Za-z]{1,12}){0,5}|[+−]?[0-9]{1,3}(\.[0-9])? (min|°C|kg)`).Draw(t, "cell")
				row.Cells = append(row.Cells, cell)
				for _, w := range strings.Fields(cell) {
					words[w] = true
				}
			}
			table.Rows = append(table.Rows, row)
		}
		width := rapid.IntRange(38, 140).Draw(t, "width")
		got := lines(tabled(table), width)
		for _, l := range got {
			if w := ansi.StringWidth(l); w > width {
				t.Fatalf("at %d: %d cells: %q", width, w, l)
			}
		}
		for w := range words {
			if !strings.Contains(strings.Join(got, "\n"), w) {
				t.Fatalf("at %d %q is lost in\n%s", width, w, strings.Join(got, "\n"))
			}
		}
	})
}
