package hindsight

import (
	"flag"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/samples"
)

// folder names a journal whose tables are printed: go test -run Tables -v -args -folder DIR.
var folder = flag.String("folder", "", "journal to replay and print")

func learn(t testing.TB, dir fs.FS, most int) *forecast.Experience {
	cooks, pits, settings := readJournal(t, dir)
	slices.SortFunc(cooks, func(a, b journal.Cook) int { return a.Date().Compare(b.Date()) })
	return learned(t, cooks[:min(most, len(cooks))], pits, settings)
}

func learned(t testing.TB, cooks []journal.Cook, pits map[string]journal.Pit, settings journal.Settings) *forecast.Experience {
	t.Helper()
	return forecast.Learn(cooks, pits, settings, forecast.Options{})
}

func text(r Report) string {
	var b strings.Builder
	table := func(title string, t Table) {
		fmt.Fprintf(&b, "%s\n", title)
		for _, r := range t.Rows {
			if r.N == 0 {
				continue
			}
			fmt.Fprintf(&b, "  %-29s n %3d  miss %5.2f h (%4.1f %%)  median %5.2f  bias %+6.2f  there %5.2f", r.Method, r.N, r.Mean, 100*r.Relative, r.Median, r.Bias, r.OursThere)
			if r.Banded > 0 {
				fmt.Fprintf(&b, "  covers %3.0f %%  width %5.2f  crps %.2f", 100*r.Covered, r.Width, r.CRPS)
			}
			b.WriteByte('\n')
		}
	}
	for _, t := range r.Tables {
		table(fmt.Sprintf("at %.0f %% of the cook", 100*t.Share), t)
	}
	table("during, all", r.During)
	table("during, noted by hand", r.DuringHand)
	table("during, by probe", r.DuringDense)
	table("looks", r.Looks)
	for _, p := range r.Parts {
		table(p.Name, Table{Rows: []Row{p.Row}})
	}
	for _, m := range r.Worst {
		a, _ := m.Answer(Ours)
		fmt.Fprintf(&b, "%s at %.0f %%: %.1f h [%.1f, %.1f], took %.1f: %s\n", m.Cook, 100*m.Share, a.Hours, a.Lo, a.Hi, m.Left, m.Why)
	}
	return b.String()
}

func replayed(t testing.TB, x *forecast.Experience, known forecast.Known) Report {
	t.Helper()
	r, err := Replay(t.Context(), x, Options{Known: known})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestSets prints every table of each set in each mode, and how often the range contains
// the true time at looks, each cook counted once:
//
//	ASHBOOK_SHARED=DIR ASHBOOK_LONG=1 go test -v -run Sets ./report/hindsight
func TestSets(t *testing.T) {
	shared := os.Getenv("ASHBOOK_SHARED")
	if shared == "" || os.Getenv("ASHBOOK_LONG") != "1" {
		t.Skip("a minute of replays of real cooks: ASHBOOK_SHARED names their folder, ASHBOOK_LONG=1")
	}
	for _, set := range []struct {
		name  string
		dir   fs.FS
		modes []forecast.Known
	}{
		{"strangers", os.DirFS(filepath.Join(shared, "strangers")), []forecast.Known{forecast.Nobody}},
		{"realcooks", os.DirFS(filepath.Join(shared, "realcooks")), []forecast.Known{forecast.Nobody, forecast.Earlier, forecast.Others}},
		{"samples", samples.FS(), []forecast.Known{forecast.Earlier}},
	} {
		x := learn(t, set.dir, math.MaxInt)
		for _, known := range set.modes {
			r := replayed(t, x, known)
			sound(t, r)
			t.Logf("%s, %s\n%slooks, each cook counted once: the range holds %.0f %%\n", set.name, forecast.Turns[known], text(r), 100*r.Held.Share)
		}
	}
}

// Six looks of one cook count as much as one of another; the fixed Shares do not count.
func TestHeldByCook(t *testing.T) {
	in, out := []Answer{{Method: Ours, Lo: 1, Hi: 3}}, []Answer{{Method: Ours, Lo: 3, Hi: 5}}
	r := Report{Moments: []Moment{{Cook: "b", Look: true, Left: 2, Answers: out}, {Cook: "c", Left: 2, Answers: out}}}
	for range 6 {
		r.Moments = append(r.Moments, Moment{Cook: "a", Look: true, Left: 2, Answers: in})
	}
	if h := r.held(); h != (Held{.5, 2}) {
		t.Errorf("%+v, want half of two cooks", h)
	}
}

// Why explains a wrong forecast with temperatures in the reader's unit (75 °C is 167 °F,
// 95 °C is 203 °F) and names what was not known.
func TestWhy(t *testing.T) {
	c := cook("a", "brisket", 4, 12, map[float64]float64{8: 75})
	c.Pieces[0].Raw = measure.Mass{}
	r := replayed(t, learned(t, []journal.Cook{c}, nil, journal.Settings{Units: measure.US}), forecast.Nobody)
	m := r.Moments[len(r.Moments)-1]
	for _, want := range []string{"core 167 of 203 °F, read 0 min before; in the stall", "no weight; ", "no pit temperature; 239 °F is assumed"} {
		if !m.Look || !strings.Contains(m.Why, want) {
			t.Errorf("%q lacks %q", m.Why, want)
		}
	}
}

func TestTables(t *testing.T) {
	if *folder == "" {
		t.Skip("no folder given")
	}
	x := learn(t, os.DirFS(*folder), math.MaxInt)
	for known, name := range forecast.Turns {
		fmt.Printf("%s\n%s", name, text(replayed(t, x, forecast.Known(known))))
	}
}

func row(t *testing.T, table Table, m Method) Row {
	t.Helper()
	i := slices.IndexFunc(table.Rows, func(r Row) bool { return r.Method == m })
	if i < 0 {
		t.Fatalf("no row for %q", m)
	}
	return table.Rows[i]
}

// sound checks what is true of every replay.
func sound(t *testing.T, r Report) {
	t.Helper()
	parts := 0
	for i := range r.Moments {
		if m := &r.Moments[i]; !m.Look {
			parts++
		} else if !(m.Share > 0 && m.Share < 1) {
			t.Errorf("%s: a look at %g of the cook", m.Cook, m.Share)
		}
	}
	if parts != len(Shares)*r.Cooks || len(r.Tables) != len(Shares) {
		t.Fatalf("%d moments and %d tables of %d cooks", parts, len(r.Tables), r.Cooks)
	}
	for _, m := range r.Moments {
		for _, a := range m.Answers {
			if math.IsNaN(a.Hours) || math.IsInf(a.Hours, 0) || a.Hours < 0 || a.Method == Ours && !(a.Lo < a.Hours && a.Hours < a.Hi) {
				t.Errorf("%s at %g: %s says %g [%g, %g]", m.Cook, m.Share, a.Method, a.Hours, a.Lo, a.Hi)
			}
		}
	}
}

// The invented journal was made with another model of drying than the forecast's; two years
// of it are used here.
func TestSamples(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	x := learn(t, samples.FS(), 14)
	r := replayed(t, x, forecast.Earlier)
	sound(t, r)
	if r.Moments[0].Past != 0 || r.Moments[len(r.Moments)-1].Past != 13 {
		t.Errorf("earlier cooks known: first %d, last %d", r.Moments[0].Past, r.Moments[len(r.Moments)-1].Past)
	}
	ours := row(t, r.During, Ours)
	for _, m := range Methods[2:] {
		if r := row(t, r.During, m); r.N > 0 && r.OursThere > 1.03*r.Mean {
			t.Errorf("during: %.2f h, %s %.2f h", r.OursThere, m, r.Mean)
		}
	}
	if ours.Covered < .7 || ours.Covered > .98 {
		t.Errorf("the 80 %% range covers %.0f %%", 100*ours.Covered)
	}
}

func TestLeaveOneOut(t *testing.T) {
	x := learn(t, samples.FS(), 4)
	r := replayed(t, x, forecast.Others)
	sound(t, r)
	for _, m := range r.Moments {
		if m.Past != 3 {
			t.Fatalf("%d cooks known", m.Past)
		}
	}
}

// With cooks of real people, if ASHBOOK_SHARED names them, the mean error of the forecast
// is at most that of LookAlikes.
func TestRealCooks(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	shared := os.Getenv("ASHBOOK_SHARED")
	if shared == "" {
		t.Skip("ASHBOOK_SHARED names no folder of real cooks")
	}
	dir := filepath.Join(shared, "realcooks")
	x := learn(t, os.DirFS(dir), math.MaxInt)
	if n := len(x.Cooks()); n != 12 {
		t.Errorf("learned from %d cooks", n)
	}
	r := replayed(t, x, forecast.Earlier)
	sound(t, r)
	if a := row(t, r.During, LookAlikes); a.OursThere > a.Mean {
		t.Errorf("%.2f h, look-alikes %.2f h", a.OursThere, a.Mean)
	}
	if c := row(t, r.During, Ours).Covered; c < .65 {
		t.Errorf("the 80 %% range covers %.0f %%", 100*c)
	}
}

var laidOn = time.Date(2026, 9, 18, 20, 0, 0, 0, time.UTC)

func at(h float64) time.Time { return laidOn.Add(time.Duration(h * float64(time.Hour))) }

// cook returns an invented cook of kg kilograms that took hours, with cores at hours.
func cook(id, cut string, kg, took float64, cores map[float64]float64) journal.Cook {
	c := journal.Cook{ID: id, Cut: cut, Pieces: []journal.Piece{{Raw: measure.Mass{Base: kg, Known: true}}}}
	c.Aim.Core = measure.Temperature{Base: 95, Known: true}
	add := func(h float64, it journal.Item) {
		c.Entries = append(c.Entries, journal.Entry{Time: at(h), Items: []journal.Item{it}})
	}
	add(0, journal.Item{Act: journal.On})
	for h, deg := range cores {
		add(h, journal.Item{Act: journal.ReadCore, Temp: measure.Temperature{Base: deg, Known: true}})
	}
	add(took, journal.Item{Act: journal.Off})
	journal.SortEntries(c.Entries)
	return c
}

func TestRules(t *testing.T) {
	a := cook("a", "brisket", 4, 12, map[float64]float64{8: 75})
	b := cook("b", "brisket", 5, 15, map[float64]float64{10: 75})
	c := cook("c", "lamb", 2, 5, map[float64]float64{3: 75})
	mine := cook("mine", "Brisket", 6, 20, map[float64]float64{5: 50, 6: 55, 15: 75})
	past := []known{figures(&a), figures(&b), figures(&c)}
	m := moment{figures(&mine), at(6), 6}
	for _, want := range []struct {
		rule  func(moment, []known) (float64, bool)
		at    moment
		hours float64
	}{
		{cutAverage, m, 13.5 - 6},
		{coreFraction, m, 13.5 * (1 - 50.0/90)},
		{hoursPer(func(k known) float64 { return k.raw }), m, 6*(3+3+2.5)/3 - 6},
		{straightLine, m, (95 - 55) / 5.0},
	} {
		got, ok := want.rule(want.at, past)
		if !ok || math.Abs(got-want.hours) > 1e-6 {
			t.Errorf("got %g h, want %g h", got, want.hours)
		}
	}
	if a, ok := alikeAnswer(moment{figures(&mine), at(15), 15}, past); !ok || math.Abs(a.Hours/math.Cbrt(4*5*2)-1) > 1e-6 || !(a.Lo < a.Hours && a.Hours < a.Hi) {
		t.Errorf("look-alikes: %.2f h [%.2f, %.2f], want %.2f h", a.Hours, a.Lo, a.Hi, math.Cbrt(4*5*2))
	}
	if _, ok := alikeAnswer(moment{figures(&mine), at(1), 1}, past); ok {
		t.Error("look-alikes of a core never read")
	}
	if _, ok := cutAverage(m, nil); ok {
		t.Error("an average of no cooks")
	}
	// Data made by a power law of the weight: regression finds the law.
	var law []known
	for i := range 12 {
		kg := 2 + float64(i)/2
		k := cook(fmt.Sprint(i), "brisket", kg, 5*math.Pow(kg, .6), nil)
		law = append(law, figures(&k))
	}
	if got, ok := regression(moment{figures(&mine), at(0), 0}, law); !ok || math.Abs(got/(5*math.Pow(6, .6))-1) > .02 {
		t.Errorf("regression: %g h, want %g h", got, 5*math.Pow(6, .6))
	}
}

func BenchmarkReplaySamples(b *testing.B) {
	cooks, pits, settings := readJournal(b, samples.FS())
	b.ReportAllocs()
	for b.Loop() {
		replayed(b, learned(b, cooks, pits, settings), forecast.Earlier)
	}
}
