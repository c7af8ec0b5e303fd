package html

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"ashbook/report/chart"
	"ashbook/report/page"
)

var update = flag.Bool("update", false, "write the golden pages")

// points returns chart points at equal steps from a start.
func points(from, step float64, values ...float64) (out []chart.Point) {
	for i, v := range values {
		out = append(out, chart.Point{X: from + step*float64(i), Y: v})
	}
	return out
}

// kinds has a page of each kind with invented figures.
func kinds() map[string]page.Page {
	clock := chart.Axis{Zero: time.Date(2026, 9, 18, 18, 0, 0, 0, time.UTC)}
	not := math.NaN()
	course := chart.Chart{X: clock, From: -.2, To: 16, YTitle: "°C", BandWord: "expected",
		Lines: []chart.Line{
			{Name: "pit", Kind: chart.Fire, Points: points(0, 4, 112, 108, 104, 115)},
			{Name: "small", Kind: chart.Other, Points: points(1, 4, 5, 60, 70, 92)},
			{Name: "large", Kind: chart.Main, Points: points(1, 4, 4, 55, 67, 90)}},
		Band:   []chart.Interval{{X: 1, Low: 4, High: 4}, {X: 6, Low: 50, High: 70}, {X: 13, Low: 80, High: 97}},
		Rules:  []chart.Rule{{X: 1, Word: "on 19:00"}, {X: 14, Word: "off 08:00"}, {X: 15.5, Word: "meal 09:30"}},
		Spans:  []chart.Span{{From: 6, To: 10, Y: 52, Word: "stall 4 h 00"}},
		Doubts: []chart.Point{{X: 3, Y: 17}},
		Lanes: []chart.Lane{
			{Name: "wood", Marks: []chart.Mark{{X: 2}, {X: 5}}}, {Name: "bark", Marks: []chart.Mark{{X: 8, Word: "1"}, {X: 11, Word: "2"}}},
			{Name: "wrap", Bars: []chart.Bar{{From: 11, To: 14, At: not, Word: "paper"}}},
			{Title: "Forecasts of when it comes off", Name: "on", Bars: []chart.Bar{{From: 11, To: 16, At: 13.5, Thin: true}}}},
	}
	scores := chart.Chart{X: chart.Axis{Kind: chart.Number, Words: []string{"1", "2", "3", "4", "5", "6", "7", "8", "9"}}, From: .5, To: 9.5,
		Lanes: []chart.Lane{{Name: "bark", End: "7.0", Marks: []chart.Mark{{X: 7}}, Dots: []chart.Dot{{X: 6, Word: "RT+"}, {X: 8, Word: "MB"}, {X: 8, Word: "AL−"}}}}}
	record := chart.Chart{X: chart.Axis{Kind: chart.Bare}, From: -2, To: 2, Lanes: []chart.Lane{{Name: "half way", End: "46 of 52", Bars: []chart.Bar{{From: -1, To: 1, At: not, Thin: true}}, Dots: []chart.Dot{{X: 0}, {X: 0}, {X: 1.5}}}}}

	cook := page.Page{Title: "Harvest supper", Aside: "pork shoulder, 4.7 + 3.6 kg", Lead: []string{"On at 19:00, off at 08:00: 13 h 00. 3 eaters gave it 7.0 of 9."}, Source: "From the notes of 2026-09-18-harvest."}
	cook.Add(page.Section{Figure: page.Figure{Title: "Pit and cores", Says: "Pit and cores by the clock.", Picture: &course}})
	cook.Add(page.Section{Heading: "In the cook's words", Facts: []page.Fact{{Name: "keep", Value: "hill farm"}, {Name: "change", Value: "leave it bare, and go to bed at two in the night"}}, Prose: "Pale *at first*.\n\n## Later\n\n- dark\n", Lines: []string{"Pale at first."}})
	cook.Add(page.Section{Heading: "Photographs", Photos: []page.Photo{{Name: "01:04 bark.jpg", Width: 4, Height: 3, JPEG: []byte("not a picture")}}, Lines: []string{`Left out: "x.jpg": a damaged JPEG`}})
	cook.Add(page.Section{Heading: "How it was liked", Figure: page.Figure{Title: "Scores", Says: "Each eater at the score given.", Picture: &scores}})

	why := page.Page{Title: "Harvest supper", Aside: "40 min longer"}
	why.Add(page.Section{Table: page.Table{Columns: []page.Column{{}, {Right: true}, {Draws: page.Falls, Ends: [2]string{"early", "late"}}, {Right: true}}, Rows: []page.Row{
		{Cells: []string{"your usual", "15 h 10"}}, {Cells: []string{"pit cooler" + why.Note("Of 8 cooks."), "+60 min", "", "± 20"}, Span: &page.Span{Low: 40, At: 60, High: 80}},
		{Cells: []string{"paper", "−20 min", "", "± 35"}, Span: &page.Span{Low: -55, At: -20, High: 15}}, {Cells: []string{"this cook", "15 h 50"}, Rule: true}}}})

	matters := page.Page{Title: "What changes time, 52 cooks"}
	matters.Add(page.Section{Table: page.Table{Columns: []page.Column{{}, {Title: "effect", Right: true}, {Draws: page.Ranges, Ends: [2]string{"sooner", "later"}}, {Title: "80 % range", Right: true}, {Title: "cooks", Right: true}}, Rows: []page.Row{
		{Heading: "Likely"}, {Cells: []string{"pit: 10 °C hotter", "1 h 32 sooner", "", "49 min to 2 h 13 sooner", "8 / 44"}, Span: &page.Span{Low: -133, At: -92, High: -49}},
		{Heading: "Cannot tell yet"}, {Cells: []string{"wood: cherry", "1 min sooner", "", "12 min sooner to 10 min later", "22 / 30"}, Span: &page.Span{Low: -12, At: -1, High: 10, Unsure: true}}}}})
	matters.Add(page.Section{Figure: page.Figure{Title: "Heaviest piece", XTitle: "heaviest piece, kg", YTitle: "time about the mean, min", Says: "Heavier takes longer.", Points: true, Lines: []page.Series{{Name: "one cook", X: []float64{2, 3, 4}, Y: []float64{-60, 10, 55}}}}})

	matters.Add(page.Section{Figure: page.Figure{Title: "Water pan", XTitle: "water pan hot", XWords: []string{"without", "with"}, YTitle: "time about the mean, min", Says: "Hot: later.", Points: true, Lines: []page.Series{{Name: "one cook", X: []float64{0, 0, 1}, Y: []float64{-30, 10, 60}}}}})

	beside := page.Page{Title: "2 cooks side by side"}
	beside.Add(page.Section{Table: page.Table{Columns: []page.Column{{}, {Title: "May feast", Right: true}, {Title: "Harvest supper", Right: true}}, Rows: []page.Row{{Cells: []string{"pieces", "2", "2"}}, {Mark: true, Cells: []string{"weight on", "7.9 kg", "8.3 kg"}}}}})
	beside.Add(page.Section{Heading: "Cores", Figure: page.Figure{Title: "Cores", XTitle: "hours since on", YTitle: "core, °C", Says: "Two cores.", Lines: []page.Series{{Name: "May feast, 2 May 2026", X: []float64{0, 8, 15}, Y: []float64{5, 66, 94}}, {Name: "short", X: []float64{0, 8, 13}, Y: []float64{4, 68, 94}}}}})

	year := page.Page{Title: "The year 2026", Lead: []string{"15 cooks and 196 hours at the fire."}}
	year.Add(page.Section{Heading: "The nights", Lines: []string{"Bar: on to off. Ring: the meal."}, Table: page.Table{
		Columns: []page.Column{{Title: "day"}, {Title: "cook"}, {Draws: page.Hours}, {Title: "took", Right: true}, {Title: "to the meal", Right: true}},
		Rows: []page.Row{{Cells: []string{"18 Sep", "Harvest supper, pork shoulder 4.7 kg", "", "13 h 00", "5 h 00"}, Span: &page.Span{Low: -5, At: 13, High: 8}},
			{Cells: []string{"2 Oct", "Michaelmas", "", "9 h 30", "–"}, Span: &page.Span{Low: 4.5, At: not, High: 14}}}}})
	year.Add(page.Section{Heading: "How the forecasts did", Figure: page.Figure{Title: "Forecasts", Says: "One dot a cook.", Picture: &record}})
	year.Add(page.Section{Table: page.Table{Columns: []page.Column{{Title: "day"}, {Title: "cook"}}, Rows: []page.Row{{Link: "2026-09-18-harvest.html", Cells: []string{"18 Sep", "Harvest supper"}}}}})

	plan := page.Page{Title: "Michaelmas supper", Aside: "serve 28 · Sat 13:00"}
	plan.Add(page.Section{Heading: "Make ready", Lines: []string{"☐ ash out", "☐ metal bin with a lid"}})
	plan.Add(page.Section{Heading: "Cautions", Facts: []page.Fact{{Name: "hot ash", Value: "Ash and coals stay hot under a grey skin, for a day and longer."}, {Name: "lid flare", Value: "vents first"}}})

	pits := page.Page{Title: "Pits", Aside: "2 pits"}
	pits.Add(page.Section{Table: page.Table{Columns: []page.Column{{}, {Title: "drum"}, {Title: "brick"}}, Rows: []page.Row{
		{Cells: []string{"cooks", "27", "25"}}, {Cells: []string{"settles in, min" + pits.Note("Likely; in brackets the range."), "42 (28…64; 12)", "44 (32…61; 8)"}}}}})
	pits.Add(page.Section{Heading: "drum", Lines: []string{"It runs 5 °C under its aim."}, Table: page.Table{
		Columns: []page.Column{{}, {Title: "likely", Right: true}, {Title: "8 in 10 cooks", Right: true}, {Title: "based on"}},
		Rows:    []page.Row{{Cells: []string{"fuel from lit to off", "0.41 kg/h", "0.38 – 0.45", "26 cooks"}}, {Cells: []string{"open lid, falls by", "–", "", "nothing noted yet"}}}}})
	pits.Add(page.Section{Heading: "drum: The pit", Facts: []page.Fact{{Name: "pit readings", Value: "measured at the grate"}, {Name: "grate", Value: "57 cm across", Note: "two tiers"}}})
	pits.Add(page.Section{Heading: "brick: The pit", Facts: []page.Fact{
		{Name: "cautions", Value: "a long one, which stands above the others and in a line of its own"}, {Name: "grate", Value: "90 cm across"},
		{Name: "fuel", Value: "lump"}, {Name: "lid gauge", Value: "reads 12 °C over"}}})
	return map[string]page.Page{"pits": pits, "cook": cook, "why": why, "matters": matters, "beside": beside, "year": year, "plan": plan}
}

// The pages as written, without the head that they share; -update writes them.
func TestGolden(t *testing.T) {
	for name, p := range kinds() {
		got := Body(p)
		file := filepath.Join("testdata", name+".html")
		if *update {
			if err := os.WriteFile(file, got, 0o666); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if string(got) != string(want) {
			t.Errorf("%s differs; go test ./report/page/html -update, then read it", file)
		}
		if whole := string(Render(p, Options{Paper: "A4", Foot: []string{"<nav>x</nav>"}})); len(whole) < len(got) || whole[:15] != "<!DOCTYPE html>" {
			t.Errorf("%s: not a page", name)
		}
	}
}
