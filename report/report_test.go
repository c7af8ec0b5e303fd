package report

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/journal/series"
	"ashbook/report/attribution"
	"ashbook/report/baseline"
	"ashbook/report/drivers"
	"ashbook/report/forecast"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/report/page"
	"ashbook/report/page/text"
	"ashbook/samples"
)

var update = flag.Bool("update", false, "write the golden pages")

// hall reads the invented sample journal.
func hall(t *testing.T) map[string]*journal.Cook {
	t.Helper()
	cooks := map[string]*journal.Cook{}
	err := fs.WalkDir(samples.FS(), "cooks", func(p string, _ fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(p, ".md") {
			return err
		}
		data, err := fs.ReadFile(samples.FS(), p)
		if err != nil {
			return err
		}
		f, err := cookfile.Parse(p, data, cookfile.Options{})
		if err != nil {
			return err
		}
		if csv, err := fs.ReadFile(samples.FS(), strings.TrimSuffix(p, ".md")+".csv"); err == nil {
			if f.Cook.Series, _, err = series.Parse(p, csv); err != nil {
				return err
			}
		}
		cooks[strings.TrimSuffix(path.Base(p), ".md")] = &f.Cook
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return cooks
}

// all returns the cooks sorted by name.
func all(cooks map[string]*journal.Cook) []journal.Cook {
	var out []journal.Cook
	for _, id := range slices.Sorted(maps.Keys(cooks)) {
		out = append(out, *cooks[id])
	}
	return out
}

func golden(t *testing.T, name string, p page.Page, width int) {
	t.Helper()
	got := []byte(text.Render(p, width))
	file := filepath.Join("testdata", name+".txt")
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s:\n%s\nwant:\n%s", name, got, want)
	}
}

func TestPages(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	cooks := hall(t)
	metric, us := journal.Settings{}, journal.Settings{Units: measure.US}
	now := samples.Now()
	running := cooks[samples.Running]
	quiz := cooks["2026-07-17-quiz-night"]
	past := frame.Cooks(all(cooks))
	held := func(c *journal.Cook, s journal.Settings, opt attribution.Options) page.Page {
		like := slices.DeleteFunc(slices.Clone(past), func(o *frame.Cook) bool { return o.Cut != c.Cut })
		return Why(baseline.Compare(c, like), explained(c, like, model.Context{Settings: s}, opt), drivers.Report{}, s)
	}
	why := func(c *journal.Cook, s journal.Settings) page.Page {
		return held(c, s, attribution.Options{Usual: true})
	}
	matters := func(target drivers.Target, s journal.Settings) page.Page {
		return Matters(weigh(t, past, target, drivers.Options{Engine: drivers.Engine(forecast.Untaught(nil, s)), Units: s.Units}), s)
	}
	besideWhy := func(a, b *journal.Cook) page.Page {
		acc := explained(b, nil, model.Context{}, attribution.Options{Against: a})
		return Beside([]*journal.Cook{a, b}, []attribution.Account{acc}, metric)
	}
	golden(t, "cook-running", Cook(running, past, metric, now, nil), 80)
	golden(t, "cook-tasted", Cook(quiz, nil, metric, now, []journal.Problem{{File: "cooks/2026/x.md", Line: 3, Col: 7, Warning: true, Text: "heads \"many\": expected a number"}}), 80)
	golden(t, "cook-us", Cook(quiz, nil, us, now, nil), 60)
	golden(t, "beside", Beside([]*journal.Cook{quiz, cooks["2025-07-18-quiz-night"], cooks["2026-03-06-quiz-night"]}, nil, metric), 100)
	for _, width := range []int{60, 80, 132} {
		golden(t, fmt.Sprintf("matters-%d", width), matters(drivers.Tenderness, metric), width)
	}
	golden(t, "matters-time", matters(drivers.Time, metric), 80)
	golden(t, "matters-us", matters(drivers.Smoke, us), 80)
	golden(t, "beside-two", besideWhy(quiz, cooks["2025-07-18-quiz-night"]), 80)
	golden(t, "why-plan", held(quiz, metric, attribution.Options{}), 80)
	golden(t, "why-60", why(quiz, metric), 60)
	golden(t, "why-132", why(quiz, metric), 132)
	golden(t, "why", why(quiz, metric), 80)
	golden(t, "why-us", why(cooks["2026-06-20-midsummer-lunch"], us), 80)
}

// The pages of every sample cook can be built and drawn for any moment of the cook.
func TestEveryCookHasItsPages(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	cooks := hall(t)
	past := frame.Cooks(all(cooks))
	for id, c := range cooks {
		pages := []page.Page{Why(baseline.Compare(c, past), attribution.Account{}, drivers.Report{}, journal.Settings{}), Beside([]*journal.Cook{c, c}, nil, journal.Settings{})}
		for _, now := range []time.Time{{}, samples.Now(), samples.Now().AddDate(1, 0, 0)} {
			pages = append(pages, Cook(c, past, journal.Settings{}, now, nil))
		}
		for _, p := range pages {
			out := text.Render(p, 60) + strings.Join(rests(p), "\n")
			for _, bad := range []string{"NaN", "Inf", "%!", "0001"} {
				if strings.Contains(out, bad) {
					t.Errorf("%s holds %q:\n%s", id, bad, out)
				}
			}
		}
	}
}

// rests returns the explanations of all rows and facts of a page.
func rests(p page.Page) []string {
	var out []string
	for _, s := range p.Sections {
		for _, f := range s.Facts {
			out = append(out, f.Rests...)
		}
		for _, r := range s.Table.Rows {
			out = append(out, r.Rests...)
		}
	}
	return out
}

// A cook compared with itself has no differences.
func TestBesideItself(t *testing.T) {
	for id, c := range hall(t) {
		for _, row := range SideBySide([]*journal.Cook{c, c}) {
			if row.Differs {
				t.Errorf("%s differs from itself in %s", id, row.Column.Name)
			}
		}
	}
}

// Every page says so when the journal has too few cooks for a result.
func TestPagesSayThatCooksAreTooFew(t *testing.T) {
	quiz := *hall(t)["2026-07-17-quiz-night"]
	many := func(n int, change func(int, *journal.Cook)) (out []journal.Cook) {
		for i := range n {
			c := quiz
			c.ID = fmt.Sprint(i)
			if change != nil {
				change(i, &c)
			}
			out = append(out, c)
		}
		return out
	}
	untasted := func(_ int, c *journal.Cook) { c.Tasting = nil }
	for name, cooks := range map[string][]journal.Cook{
		"none": nil, "one": many(1, nil), "all alike": many(9, nil), "none scored": many(9, untasted),
		"one eater": many(9, func(i int, c *journal.Cook) {
			taste := journal.Taste{Eater: "RT"}
			taste.Scores[journal.BarkTaste] = journal.Score{Liked: 5 + i%3}
			c.Tasting = []journal.Taste{taste}
		}),
	} {
		pages, past := map[string]page.Page{}, frame.Cooks(cooks)
		for _, target := range drivers.Targets() {
			of, _ := drivers.ParseTarget(target)
			r := weigh(t, past, of, drivers.Options{Engine: drivers.Engine(forecast.Untaught(nil, journal.Settings{}))})
			if len(r.Says) == 0 {
				t.Errorf("%s, %s: no word", name, target)
			}
			pages["matters "+target] = Matters(r, journal.Settings{})
		}
		pages["why"] = Why(baseline.Compare(&quiz, past), explained(&quiz, past, model.Context{}, attribution.Options{}), drivers.Report{}, journal.Settings{})
		pages["show"] = Cook(&quiz, past, journal.Settings{}, samples.Now(), nil)
		for what, p := range pages {
			out := text.Render(p, 60)
			for _, bad := range []string{"NaN", "Inf", "%!", "−0 ", "+0.0"} {
				if strings.Contains(out, bad) {
					t.Errorf("%s, %s holds %q:\n%s", name, what, bad, out)
				}
			}
		}
	}
}

// Guesses in the notes are quoted sentence by sentence and compared with the effects
// over all cooks.
func TestGuess(t *testing.T) {
	cooks := hall(t)
	over := weigh(t, frame.Cooks(all(cooks)), drivers.Time, drivers.Options{Engine: drivers.Engine(forecast.Untaught(nil, journal.Settings{}))})
	for _, c := range []struct{ prose, words, want string }{
		{"Sixteen hours. Must be the cherry!", "", "“Must be the cherry!” Over your 52 cooks, wood, cherry instead of oak: "},
		{"", "late, I reckon the wind", "“late, I reckon the wind” Over your 52 cooks, wind, 5 m/s more: "},
		{"It may be the pan. Good bark.", "", "“It may be the pan.” Over your 52 cooks, water pan, hot instead of none: "},
		{"Probably nothing", "", "“Probably nothing”"},
		{"Paper because SD asked. The wind was high.", "off to bed", ""},
	} {
		k := journal.Cook{Prose: c.prose, Entries: []journal.Entry{{Words: c.words}}}
		s := guessed(&k, over, measure.Metric)
		got := ""
		for _, f := range s.Facts {
			got += f.Value
		}
		if got = strings.TrimSpace(got + " " + strings.Join(s.Lines, " ")); !strings.HasPrefix(got, c.want) || c.want == "" && got != "" {
			t.Errorf("%q %q: %q, want %q", c.prose, c.words, got, c.want)
		}
	}
}

// A number that a page of why prints twice is the same both times. A page that compares
// a cook with its plan has no other cooks beside it.
func TestWhyDoesNotContradictItself(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	cooks := hall(t)
	others := all(cooks)
	past := frame.Cooks(others)
	twice, plans := 0, 0
	for i := range others {
		c := &others[i]
		if _, ok := c.Took(); !ok || i%3 != 0 {
			continue
		}
		for _, opt := range []attribution.Options{{}, {Usual: true}, {Against: &others[(i+7)%len(others)]}} {
			a := explained(c, past, model.Context{}, opt)
			if !a.Known || opt.Against != nil && a.Usual {
				continue
			}
			cmpn := baseline.Compare(c, past)
			if opt.Against != nil {
				cmpn = baseline.Against(c, opt.Against)
			}
			p := Why(cmpn, a, drivers.Report{}, journal.Settings{})
			out := text.Render(p, 400)
			if a.Planned {
				plans++
				if strings.Contains(out, "your usual") {
					t.Errorf("%s: compared with other cooks as well as the plan:\n%s", c.ID, out)
				}
				continue
			}
			from, took := measure.FormatHours(a.From), measure.FormatHours(a.Took)
			by := measure.FormatHours(math.Abs(math.Round(60*a.From)-math.Round(60*a.Took)) / 60)
			for what, at := range map[string]string{"took": p.Lead[1], "and should have": p.Lead[1], "the difference": p.Aside} {
				want := map[string]string{"took": took, "and should have": from, "the difference": by}[what]
				if !strings.Contains(at, want) && !strings.HasPrefix(p.Aside, "about") {
					t.Errorf("%s: %s %q in %q", c.ID, what, want, at)
				}
			}
			// If a cause names its two values, the table of differences has the same
			// two values.
			for _, l := range a.Lines {
				_, figures, ok := strings.Cut(l.Says, ", ")
				for _, d := range cmpn.Differs {
					if !ok || d.Column.Name != l.Cause || d.Column.Kind == frame.Word {
						continue
					}
					twice++
					if want := d.Column.Format(d.This, measure.Metric) + " against " + d.Column.Format(frame.Value{Number: d.Median, Known: true}, measure.Metric); figures != want {
						t.Errorf("%s: %q above, %q below", c.ID, l.Says, want)
					}
				}
			}
			// The first sentence has the same minutes as the table.
			for _, m := range regexp.MustCompile(`\(([+−][^)]*)\)`).FindAllStringSubmatch(a.Verdict, -1) {
				if strings.Count(out, m[1]+"  ±")+strings.Count(out, m[1]+" ") < 1 {
					t.Errorf("%s: %s only in %q", c.ID, m[1], a.Verdict)
				}
			}
		}
	}
	if twice < 10 || plans < 5 {
		t.Errorf("only %d figures printed twice, %d plans", twice, plans)
	}
}

// The printed minutes of a page add up to the printed total, to the minute.
func TestMinutesAddUpAsPrinted(t *testing.T) {
	cooks := hall(t)
	others := all(cooks)
	printed := regexp.MustCompile(`^([+−]?)(?:(\d+) h (\d\d)|(\d+) min)$`)
	minutesOf := func(s string) int {
		m := printed.FindStringSubmatch(s)
		if m == nil {
			t.Fatalf("%q is no time", s)
		}
		n := 0
		for _, part := range []struct {
			text string
			each int
		}{{m[2], 60}, {m[3], 1}, {m[4], 1}} {
			v, _ := strconv.Atoi(part.text)
			n += v * part.each
		}
		if m[1] == "−" {
			return -n
		}
		return n
	}
	past := frame.Cooks(others)
	for i := range others {
		if i%5 != 0 {
			continue
		}
		a := explained(&others[i], past, model.Context{}, attribution.Options{})
		rows := minutes(a, "this cook", baseline.Compare(&others[i], past), journal.Settings{}).Rows
		if !a.Known {
			continue
		}
		sum := 0
		for _, r := range rows[:len(rows)-2] {
			sum += minutesOf(r.Cells[2])
		}
		if took := minutesOf(rows[len(rows)-1].Cells[2]); sum != took {
			t.Errorf("%s: the lines give %d min, it took %d", a.Cook.ID, sum, took)
		}
	}
}

func explained(c *journal.Cook, all []*frame.Cook, w model.Context, opt attribution.Options) attribution.Account {
	a, err := attribution.Explain(context.Background(), c, all, w, opt)
	if err != nil {
		a.Says = append(a.Says, err.Error())
	}
	return a
}

// weigh calls drivers.Weigh with a context that never ends.
func weigh(t testing.TB, cooks []*frame.Cook, of drivers.Target, opt drivers.Options) drivers.Report {
	t.Helper()
	r, err := drivers.Weigh(t.Context(), cooks, of, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
