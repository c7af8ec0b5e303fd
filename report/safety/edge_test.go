package safety

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page"

	"pgregory.net/rapid"
)

// day reads "18 20:00" as a moment in September 2026.
func day(t *testing.T, s string) time.Time {
	t.Helper()
	at, err := time.Parse("2006-01-2 15:04", "2026-09-"+s)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// cook returns an invented cook with these lines, each like "18 20:00 on, pit 110 °C —
// words".
func cook(t *testing.T, head func(*journal.Cook), lines ...string) *journal.Cook {
	t.Helper()
	c := &journal.Cook{ID: "2026-09-18-supper", Cut: "pork shoulder", Pieces: []journal.Piece{{Core: measure.Degrees(5, measure.Metric)}}}
	if head != nil {
		head(c)
	}
	for _, l := range lines {
		items, words, notes := journal.ParseBody(l[9:], journal.Grammar{Pieces: c.PieceNames()})
		if len(notes) > 0 {
			t.Fatalf("%q: %v", l, notes)
		}
		c.Entries = append(c.Entries, journal.Entry{Time: day(t, l[:8]), Items: items, Words: words})
	}
	return c
}

// steady is a cook of whole muscle, read every hour, kept hot until served, with no
// leftovers. The first core reading comes when the surface has long been hot.
var steady = []string{
	"18 19:00 lit", "18 20:00 on, pit 120 °C", "18 21:00 pit 120 °C", "18 22:00 pit 118 °C, core 39 °C",
	"18 23:00 pit 118 °C, core 52 °C", "19 00:00 pit 120 °C, core 61 °C", "19 01:00 pit 119 °C, core 68 °C",
	"19 02:00 pit 119 °C, core 74 °C", "19 03:00 pit 121 °C, core 82 °C", "19 04:00 pit 118 °C, core 90 °C",
	"19 05:00 pit 120 °C, core 94 °C", "19 05:10 off, rest", "19 05:30 boxed, core 90 °C", "19 06:30 core 85 °C",
	"19 07:20 core 80 °C, unboxed", "19 07:40 pulled, served",
}

func with(lines []string, more ...string) []string { return append(slices.Clone(lines), more...) }

// from replaces the lines of steady from a moment on.
func from(at string, more ...string) []string {
	i := slices.IndexFunc(steady, func(l string) bool { return l[:8] >= at })
	return append(slices.Clone(steady[:i]), more...)
}

func eatenUp(c *journal.Cook) { c.Yield.Left = measure.Kilograms(0) }

// reassurance matches words that no finding may use.
var reassurance = regexp.MustCompile(`(?i)\b(safe|safely|cleared|okay|ok|fine to|good to eat|fit to eat|no problem|harmless|nothing to worry|all clear|pasteuri[sz]ed|sterile|enough)\b`)

func TestEdgeCases(t *testing.T) {
	dead := []string{"18 20:00 lit, on, pit 132 °C", "18 21:30 core 30 °C", "19 00:00 pit 132 °C, core 53 °C", "19 06:00 pit 68 °C, core 66 °C"}
	cut := func(name string) func(*journal.Cook) { return func(c *journal.Cook) { eatenUp(c); c.Cut = name } }
	bone := func(c *journal.Cook) { eatenUp(c); c.Pieces[0].Bone = "out" }
	cases := []struct {
		name  string
		head  func(*journal.Cook)
		lines []string
		now   string
		want  []string // kinds
		not   []string
	}{
		{"whole muscle, read hourly, eaten up", eatenUp, steady, "", nil, []string{"log reduction", "four-hour line", "core when it came off", "fire down or out", "hot hold", "opened muscle", "gap in the readings"}},
		{"nothing noted at all", func(c *journal.Cook) { *c = journal.Cook{} }, nil, "", []string{"no core reading"}, nil},
		{"no core at all", nil, []string{"18 20:00 lit, on, pit 110 °C", "19 06:00 off", "19 07:00 served"}, "", []string{"no core reading", "leftovers", "gap in the readings"}, nil},
		{"one reading, hot", eatenUp, []string{"18 20:00 lit, on, pit 110 °C", "19 06:00 core 92 °C, off", "19 07:00 served"}, "", []string{"one core reading", "four-hour line", "gap in the readings"}, nil},
		{"a gap of seven hours", eatenUp, from("18 23:00", "19 05:00 pit 120 °C, core 94 °C", "19 05:10 off", "19 06:00 served"), "", []string{"gap in the readings"}, nil},
		{"fire died overnight, still on", nil, dead, "19 06:05", []string{"fire down or out", "four-hour line", "slow rise", "log reduction", "gap in the readings", "probe in early"}, nil},
		{"fire died, injected", func(c *journal.Cook) { c.Prose = "Injected with stock the evening before." }, dead, "19 06:05", []string{"fire down or out", "opened muscle", "log reduction", "four-hour line"}, nil},
		{"fire died, a bird", cut("turkey breast"), dead, "19 06:05", []string{"fire down or out", "bird", "core when it came off", "log reduction", "four-hour line"}, nil},
		{"fire died and was lit again", nil, with(dead, "19 06:20 fuel 2 kg", "19 07:00 pit 120 °C", "19 09:00 pit 118 °C, core 90 °C", "19 10:00 pit 118 °C, core 95 °C, off", "19 10:30 served"), "", []string{"fire down or out", "four-hour line"}, nil},
		{"pit never came up", eatenUp, []string{"18 20:00 lit, on, pit 70 °C", "18 22:00 pit 72 °C, core 30 °C", "19 00:00 pit 75 °C, core 45 °C", "19 01:00 pit 80 °C, core 50 °C", "19 01:30 off"}, "", []string{"fire down or out", "log reduction", "core when it came off", "four-hour line"}, nil},
		{"no pit reading", eatenUp, []string{"18 20:00 lit, on", "18 22:00 core 39 °C", "18 23:30 core 55 °C", "19 00:20 core 63 °C", "19 01:00 core 75 °C, off", "19 01:20 served"}, "", []string{"no pit reading"}, nil},
		{"°F typed as °C", nil, []string{"18 20:00 lit, on, pit 225 °C", "18 22:00 pit 230 °C, core 100 °C", "19 00:00 core 145 °C", "19 03:00 core 165 °C", "19 06:00 core 203 °C, off"}, "", []string{"doubtful readings", "doubtful readings", "no core reading"}, nil},
		{"°F typed as °C, all below boiling", eatenUp, []string{"18 20:00 lit, on, pit 110 °C", "18 20:20 core 41 °C", "18 21:00 core 95 °C, off", "18 21:30 served"}, "", []string{"doubtful readings", "log reduction"}, nil},
		{"°C typed as °F", nil, from("19 01:00", "19 01:00 core 68 °F", "19 02:00 core 74 °C", "19 05:00 core 94 °C, off"), "", []string{"doubtful readings"}, nil},
		{"boxed, read below the limit", eatenUp, from("19 06:30", "19 06:30 core 70 °C", "19 08:00 core 55 °C", "19 09:00 served"), "", []string{"hot hold"}, nil},
		{"boxed, between 57 and the person's limit", eatenUp, from("19 06:30", "19 06:30 core 70 °C", "19 07:20 core 58 °C", "19 07:40 served"), "", []string{"hot hold"}, []string{"growth while cooling"}},
		{"a limit set at 50 does not lower the law", eatenUp, from("19 06:30", "19 06:30 core 60 °C", "19 07:20 core 55 °C", "19 07:40 served"), "", []string{"hot hold"}, nil},
		{"served five hours later, nothing read", eatenUp, from("19 05:30", "19 10:30 served"), "", []string{"not followed to the table"}, nil},
		{"served three hours later, nothing read", eatenUp, from("19 05:30", "19 08:20 served"), "", []string{"not followed to the table"}, nil},
		{"out for 80 minutes in hot air", func(c *journal.Cook) { eatenUp(c); c.Weather.Air = measure.Degrees(35, measure.Metric) }, from("19 05:30", "19 06:30 served"), "", []string{"not followed to the table"}, nil},
		{"a gap of six hours in the box", eatenUp, from("19 06:30", "19 11:30 core 62 °C", "19 11:40 served"), "", []string{"gap in the readings"}, nil},
		{"off, and silent ever since", eatenUp, from("19 05:30"), "19 10:00", []string{"not followed to the table"}, nil},
		{"off, and nothing noted by the next day", eatenUp, from("19 05:30"), "20 12:00", []string{"not followed to the table"}, nil},
		{"chilled late", func(c *journal.Cook) { c.Yield.Left = measure.Kilograms(.8) }, with(steady, "19 12:30 chilled"), "", []string{"leftovers"}, nil},
		{"left over, never chilled", func(c *journal.Cook) { c.Yield.Left = measure.Kilograms(.8) }, steady, "", []string{"leftovers"}, nil},
		{"nothing said of leftovers", nil, steady, "", []string{"leftovers"}, nil},
		{"cooled too slowly", nil, with(steady, "19 08:00 core 60 °C", "19 09:00 core 50 °C", "19 10:00 core 40 °C", "19 11:00 core 30 °C", "19 13:00 core 20 °C", "19 18:00 core 4 °C"), "", []string{"cooling", "growth while cooling"}, nil},
		{"cooling not followed to the end", nil, with(steady, "19 08:00 core 58 °C", "19 08:30 core 40 °C", "19 09:00 core 20 °C"), "", []string{"leftovers"}, nil},
		{"cooling read once, hours later", nil, with(steady, "19 17:00 core 4 °C"), "", []string{"cooling", "growth while cooling"}, nil},
		{"fell below and was warmed again", nil, with(steady, "19 08:00 core 60 °C", "19 09:30 core 45 °C", "19 12:00 core 65 °C"), "", []string{"reheating"}, nil},
		{"chicken at 71", cut("chicken halves"), []string{"18 20:00 lit, on, pit 120 °C", "18 20:40 core 30 °C", "18 21:20 pit 120 °C, core 58 °C", "18 21:50 core 71 °C, off", "18 22:00 served"}, "", []string{"bird", "core when it came off"}, nil},
		{"bird and no cut noted", func(c *journal.Cook) { c.Cut, c.Title = "", "Christmas goose" }, steady, "", []string{"bird"}, nil},
		{"bird named as a piece", func(c *journal.Cook) { c.Pieces[0].Name = "duck" }, []string{"18 20:00 lit, on", "18 22:00 core duck 65 °C, off"}, "", []string{"bird", "core when it came off", "log reduction"}, nil},
		{"needled, off at 60", func(c *journal.Cook) { eatenUp(c) }, []string{"18 20:00 lit, on, pit 110 °C — needled the salt in", "18 23:00 pit 110 °C, core 55 °C", "18 23:30 core 56 °C", "18 23:40 core 56 °C, off", "18 23:59 served"}, "", []string{"opened muscle", "log reduction", "core when it came off"}, nil},
		{"bone out", bone, steady, "", []string{"opened muscle"}, nil},
		{"not injected, it says", func(c *journal.Cook) { eatenUp(c); c.Prose = "Not injected this time." }, steady, "", []string{"opened muscle"}, nil},
		{"a log that rolled off", eatenUp, with(steady, "19 04:30 vent — the big lump had rolled off"), "", nil, []string{"opened muscle"}},
		{"minced", cut("sausages"), []string{"18 20:00 lit, on, pit 110 °C", "18 21:00 pit 110 °C, core 50 °C", "18 21:40 core 68 °C, off", "18 21:50 served"}, "", []string{"opened muscle", "core when it came off"}, nil},
		{"part-frozen by the reading", func(c *journal.Cook) { c.Pieces[0].Core = measure.Degrees(-1, measure.Metric) }, steady, "", []string{"part-frozen"}, nil},
		{"part-frozen by the words", nil, with(steady, "19 04:30 pit 118 °C — still icy by the bone"), "", []string{"part-frozen"}, nil},
		{"time running backwards", eatenUp, []string{"19 05:00 off, core 94 °C", "18 20:00 lit, on, pit 110 °C", "19 02:00 core 70 °C"}, "", []string{"order of the times"}, nil},
		{"off before on", eatenUp, []string{"18 20:00 off, core 94 °C", "18 21:00 lit, on, pit 110 °C"}, "", []string{"order of the times"}, nil},
		{"served before off", eatenUp, []string{"18 19:00 lit, on, pit 110 °C", "18 20:00 served, core 70 °C", "18 21:00 off"}, "", []string{"order of the times"}, nil},
		{"never noted off", eatenUp, []string{"18 20:00 lit, on, pit 110 °C", "18 23:00 core 60 °C", "19 01:00 boxed, core 80 °C", "19 02:00 served"}, "", []string{"order of the times"}, nil},
		{"lines after now", eatenUp, steady, "19 01:30", []string{"order of the times"}, nil},
		{"on since six hours, last read at 41", eatenUp, []string{"18 20:00 lit, on, pit 110 °C", "18 22:00 pit 110 °C, core 41 °C"}, "19 03:00", []string{"four-hour line", "gap in the readings"}, nil},
		{"under a roof", eatenUp, with(steady, "19 04:30 pit 118 °C — moved it into the garage, rain"), "", []string{"carbon monoxide"}, nil},
	}
	if len(cases) < 30 {
		t.Fatalf("%d cases", len(cases))
	}
	for _, tt := range cases {
		t.Run(tt.name, func(t *testing.T) {
			c := cook(t, tt.head, tt.lines...)
			now := day(t, "19 23:00")
			if tt.now != "" {
				now = day(t, tt.now)
			}
			s := journal.Settings{HotHold: measure.Degrees(50, measure.Metric)}
			if !strings.Contains(tt.name, "set at 50") {
				s = journal.Settings{}
			}
			r := Look(c, s, now)
			var got []string
			for _, f := range r.Findings {
				got = append(got, fmt.Sprintf("%s %s", f.Weight, f.Kind))
				if f.Text == "" || f.Rests == "" || f.Do == "" || f.Source == "" {
					t.Errorf("%s: text, what it rests on, what to do or source is missing: %+v", f.Kind, f)
				}
				if m := reassurance.FindString(f.Text + " " + f.Rests + " " + f.Do + " " + f.Source); m != "" {
					t.Errorf("%s says %q: %s", f.Kind, m, f.Text)
				}
			}
			for _, w := range append(tt.want, "carbon monoxide", "hot ash", "lid flare") {
				if !slices.ContainsFunc(got, func(g string) bool { return strings.HasSuffix(" "+g, " "+w) }) {
					t.Errorf("missing %q; has %q", w, got)
				}
			}
			for _, w := range tt.not {
				for _, g := range got {
					if strings.HasSuffix(g, " "+w) {
						t.Errorf("has %q", g)
					}
				}
			}
			if r.Closing != Closing {
				t.Error("no closing line")
			}
			for _, f := range r.Figures {
				for _, v := range []Range{f.CoreLogs, f.SurfaceLogs, f.CoreWarm, f.SurfaceWarm, f.Growth} {
					if math.IsNaN(v.Low+v.High) || math.IsInf(v.Low+v.High, 0) || v.Low < 0 || v.Low > v.High+1e-9 {
						t.Errorf("figures %+v", f)
					}
				}
			}
			var p page.Page
			p.Add(r.Section(&p, nil))
			if !slices.Contains(p.Sections[0].Lines, Closing) || len(p.Sections[0].Facts) != len(r.Findings) {
				t.Error("the page leaves a finding or the closing line out")
			}
		})
	}
}

// Whatever is noted, in any order, the review has cautions and the closing line, no
// NaN, and no word that calls the food safe.
func TestAnythingNoted(t *testing.T) {
	bodies := []string{"lit", "on", "off", "rest", "boxed", "unboxed", "served", "chilled", "pulled", "lid", "fuel 1 kg", "injected, boned", "on large", "off small"}
	rapid.Check(t, func(rt *rapid.T) {
		c := &journal.Cook{Cut: rapid.SampledFrom([]string{"", "pork shoulder", "turkey", "brisket"}).Draw(rt, "cut"), Pieces: []journal.Piece{{Name: "large"}, {Name: "small"}}}
		start := day(t, "18 20:00")
		for range rapid.IntRange(0, 14).Draw(rt, "lines") {
			e := journal.Entry{Time: start.Add(time.Duration(rapid.IntRange(0, 40*60).Draw(rt, "minute")) * time.Minute)}
			e.Items, e.Words, _ = journal.ParseBody(rapid.SampledFrom(bodies).Draw(rt, "body"), journal.Grammar{Pieces: c.PieceNames()})
			e.Items = append(e.Items, journal.Item{Act: rapid.SampledFrom([]journal.Act{journal.ReadCore, journal.ReadPit, journal.ReadAir}).Draw(rt, "read"),
				Piece: rapid.SampledFrom(c.PieceNames()).Draw(rt, "piece"), Temp: measure.Degrees(rapid.Float64Range(-60, 300).Draw(rt, "temp"), measure.Metric)})
			c.Entries = append(c.Entries, e)
		}
		r := Look(c, journal.Settings{}, start.Add(time.Duration(rapid.IntRange(-60, 4000).Draw(rt, "now"))*time.Minute))
		if len(r.Findings) == 0 || r.Closing != Closing {
			rt.Fatal("no caution")
		}
		for _, f := range r.Findings {
			if m := reassurance.FindString(f.Text + f.Do); m != "" || strings.Contains(f.Text, "NaN") || f.Source == "" {
				rt.Fatalf("%q %+v", m, f)
			}
		}
		for _, f := range r.Figures {
			for _, v := range []Range{f.CoreLogs, f.SurfaceLogs, f.CoreWarm, f.SurfaceWarm, f.Growth} {
				if math.IsNaN(v.Low+v.High) || math.IsInf(v.High, 0) || v.Low < 0 || v.Low > v.High*(1+1e-9)+1e-9 {
					rt.Fatalf("%+v", f)
				}
			}
		}
	})
}

// Of several pieces in a box the latest reading counts, in any order of the pieces.
func TestBesideIsTheLatest(t *testing.T) {
	start := time.Date(2026, 9, 19, 8, 0, 0, 0, time.UTC)
	at := func(hours int, items ...journal.Item) journal.Entry {
		return journal.Entry{Time: start.Add(time.Duration(hours) * time.Hour), Items: items}
	}
	core := func(piece string, celsius float64) journal.Item {
		return journal.Item{Act: journal.ReadCore, Piece: piece, Temp: measure.Degrees(celsius, measure.Metric)}
	}
	c := &journal.Cook{Pieces: []journal.Piece{{Name: "left"}, {Name: "middle"}, {Name: "right"}}}
	c.Entries = []journal.Entry{
		at(0, journal.Item{Act: journal.On}), at(12, journal.Item{Act: journal.Off}), at(13, journal.Item{Act: journal.Boxed}),
		at(14, core("right", 82)), at(15, core("middle", 80)), at(16),
	}
	p := &part{look: &look{c: c}}
	if last, ok := p.beside(start.Add(16 * time.Hour)); !ok || !last.Equal(start.Add(15*time.Hour)) {
		t.Errorf("%v %v, want the reading of the middle one", last, ok)
	}
}

func BenchmarkLook(b *testing.B) {
	c := &journal.Cook{Cut: "pork shoulder", Pieces: []journal.Piece{{}}}
	start := time.Date(2026, 9, 18, 20, 0, 0, 0, time.UTC)
	c.Entries = []journal.Entry{{Time: start, Items: []journal.Item{{Act: journal.On}}}, {Time: start.Add(14 * time.Hour), Items: []journal.Item{{Act: journal.Off}}}}
	core := make([]float64, 14*60)
	for i := range core {
		c.Series.Times = append(c.Series.Times, start.Add(time.Duration(i)*time.Minute))
		c.Series.Pit = append(c.Series.Pit, 115)
		core[i] = 95 - 90*math.Exp(-float64(i)/240)
	}
	c.Series.Cores = []journal.CoreSeries{{C: core}}
	b.ReportAllocs()
	for b.Loop() {
		Look(c, journal.Settings{}, start.Add(20*time.Hour))
	}
}
