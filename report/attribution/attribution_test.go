package attribution

import (
	"context"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"path"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/journal/series"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/samples"
)

func readJournal(t testing.TB, dir fs.FS) (cooks []journal.Cook, w model.Context) {
	t.Helper()
	w.Pits = map[string]journal.Pit{}
	var opt cookfile.Options
	if data, err := fs.ReadFile(dir, "journal.md"); err == nil {
		if w.Settings, _, err = cookfile.ParseSettings("journal.md", data); err != nil {
			t.Fatal(err)
		}
		opt.Settings = w.Settings
	}
	err := fs.WalkDir(dir, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) != ".md" {
			return err
		}
		data, err := fs.ReadFile(dir, name)
		if err != nil {
			return err
		}
		switch {
		case strings.HasPrefix(name, "pits/"):
			p, _, err := cookfile.ParsePit(name, data)
			if err != nil {
				t.Errorf("%s: %v", name, err)
			}
			w.Pits[p.Name] = p
		case strings.HasPrefix(name, "cooks/"):
			f, err := cookfile.Parse(name, data, opt)
			if err != nil {
				return nil
			}
			beside := strings.TrimSuffix(name, ".md") + ".csv"
			if data, err := fs.ReadFile(dir, beside); err == nil {
				f.Cook.Series, _, _ = series.Parse(beside, data)
			}
			cooks = append(cooks, f.Cook)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return cooks, w
}

func TestSampleJournal(t *testing.T) {
	cooks, w := readJournal(t, samples.FS())
	known := 0
	for i := range cooks {
		if i%4 != 0 {
			continue
		}
		a := explained(t, &cooks[i], cooks, w, Options{})
		sound(t, a)
		if a.Known {
			known++
			if testing.Verbose() {
				t.Log("\n" + print(a))
			}
		}
		if i > 4 {
			sound(t, explained(t, &cooks[i], cooks, w, Options{Against: &cooks[i-4]}))
			sound(t, explained(t, &cooks[i], cooks, w, Options{Usual: true}))
		}
	}
	if known < 5 {
		t.Errorf("%d accounts", known)
	}
}

var noon = time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)

// roasted returns an invented shoulder in a steady pit, with a few noted readings.
func roasted(id string, pit float64, kg float64, hours float64, change func(*journal.Cook)) journal.Cook {
	at := func(h float64) time.Time { return noon.Add(time.Duration(h * float64(time.Hour))) }
	temp := func(a journal.Act, c float64) journal.Item {
		return journal.Item{Act: a, Temp: measure.Degrees(c, measure.Metric)}
	}
	c := journal.Cook{ID: id, Cut: "pork shoulder", Pit: "drum", Pieces: []journal.Piece{{Trimmed: measure.Kilograms(kg), Core: measure.Degrees(5, measure.Metric)}}}
	c.Aim.Pit, c.Aim.Core = measure.Degrees(112, measure.Metric), measure.Degrees(93, measure.Metric)
	c.Entries = append(c.Entries, journal.Entry{Time: noon, Items: []journal.Item{{Act: journal.On}}})
	for h := .5; h < hours; h++ {
		c.Entries = append(c.Entries, journal.Entry{Time: at(h), Items: []journal.Item{temp(journal.ReadPit, pit)}})
	}
	c.Entries = append(c.Entries,
		journal.Entry{Time: at(hours - .1), Items: []journal.Item{temp(journal.ReadCore, 93)}},
		journal.Entry{Time: at(hours), Items: []journal.Item{{Act: journal.Off}}})
	if change != nil {
		change(&c)
	}
	return c
}

func line(a Account, cause string) (Line, bool) {
	for _, l := range a.Lines {
		if strings.HasPrefix(l.Cause, cause) {
			return l, true
		}
	}
	return Line{}, false
}

// Each case changes one thing: its own line has the expected sign.
func TestEachCause(t *testing.T) {
	var past []journal.Cook
	for i := range 5 {
		past = append(past, roasted(fmt.Sprint(i), 112, 4, 14, func(c *journal.Cook) {
			c.Pieces[0].Thick = measure.Length{Base: .11, Known: true}
		}))
	}
	var w model.Context
	for _, c := range []struct {
		cause   string
		earlier bool
		cook    journal.Cook
	}{
		{"pit, mean", true, roasted("hot", 122, 4, 11, nil)},
		{"pit, mean", false, roasted("cool", 106, 4, 17, nil)},
		{"heaviest piece", true, roasted("light", 112, 3, 12, nil)},
		{"wrap", true, roasted("foil", 112, 4, 11, func(c *journal.Cook) {
			c.Entries[6].Items = append(c.Entries[6].Items, journal.Item{Act: journal.PutWrap, Wrap: journal.Foil})
		})},
		{"thickest piece", true, roasted("thin", 112, 4, 12, func(c *journal.Cook) {
			c.Pieces[0].Thick = measure.Length{Base: .085, Known: true}
		})},
		{"core when it went on", true, roasted("warm", 112, 4, 13, func(c *journal.Cook) {
			c.Pieces[0].Core = measure.Degrees(15, measure.Metric)
		})},
		{"core when it came off", true, roasted("early", 112, 4, 11, func(c *journal.Cook) {
			c.Entries[len(c.Entries)-2].Items[0].Temp = measure.Degrees(86, measure.Metric)
		})},
		{"lid opened", false, roasted("lids", 112, 4, 15, func(c *journal.Cook) {
			for i := 2; i < 9; i++ {
				c.Entries[i].Items = append(c.Entries[i].Items, journal.Item{Act: journal.OpenLid})
			}
		})},
	} {
		a := explained(t, &c.cook, past, w, Options{Usual: true})
		sound(t, a)
		l, ok := line(a, c.cause)
		if !ok || (l.Minutes < 0) != c.earlier {
			t.Errorf("%s: %s", c.cook.ID, print(a))
		}
		if !strings.Contains(a.Against, "5 cooks") {
			t.Errorf("against %q", a.Against)
		}
		for _, other := range a.Lines {
			if other.Cause != c.cause && math.Abs(other.Minutes) > 20 {
				t.Errorf("%s: a line for %s too", c.cook.ID, print(a))
			}
		}
	}
}

// Whatever is not noted is named, and there is still an account or a reason.
func TestWhatIsMissing(t *testing.T) {
	full := roasted("a", 112, 4, 14, nil)
	others := []journal.Cook{full, roasted("b", 112, 4, 14, nil), roasted("c", 112, 4, 13, nil)}
	var w model.Context
	bare := journal.Cook{ID: "bare", Pieces: []journal.Piece{{}}, Entries: []journal.Entry{
		{Time: noon, Items: []journal.Item{{Act: journal.On}}}, {Time: noon.Add(12 * time.Hour), Items: []journal.Item{{Act: journal.Off}}}}}
	running := journal.Cook{ID: "running", Pieces: []journal.Piece{{}}, Entries: bare.Entries[:1]}
	short := bare
	short.Entries = []journal.Entry{bare.Entries[0], {Time: noon.Add(5 * time.Minute), Items: []journal.Item{{Act: journal.Off}}}}
	early := roasted("taken off early", 112, 4, 9, func(c *journal.Cook) {
		c.Entries[len(c.Entries)-2].Items[0].Temp = measure.Degrees(80, measure.Metric)
	})
	gap := roasted("a gap", 112, 4, 14, func(c *journal.Cook) {
		c.Entries[4].Items = append(c.Entries[4].Items, journal.Item{Act: journal.ReadCore, Temp: measure.Degrees(50, measure.Metric)})
	})
	light := roasted("no weight", 112, 4, 14, func(c *journal.Cook) { c.Pieces[0].Trimmed = measure.Mass{} })
	raised := roasted("raised", 112, 4, 16, func(c *journal.Cook) {
		c.Entries[8].Items = append(c.Entries[8].Items, journal.Item{Act: journal.SetPit, Temp: measure.Degrees(130, measure.Metric)})
	})
	long := roasted("long", 112, 4, 22, nil)
	for _, c := range []struct {
		cook  journal.Cook
		past  []journal.Cook
		known bool
		words string
	}{
		{bare, nil, true, "no other finished cook"},
		{bare, []journal.Cook{full, bare}, true, "no other finished cook"},
		{running, []journal.Cook{full}, false, "Not off yet"},
		{short, nil, false, "one of the times is wrong"},
		{full, nil, true, "its plan"},
		{full, []journal.Cook{roasted("b", 112, 4, 14, nil), full}, true, "its plan"},
		{gap, others, true, "your usual pork shoulder, 3 cooks"},
		{early, others, true, "It came off early, at a core of 80 °C: this cut usually comes off at about 94 °C."},
		{gap, others, true, "2 core readings, none between 15:30 and 01:54"},
		{light, others, true, "heaviest piece"},
		{raised, others, true, "The pit was raised on the way"},
		{long, others, true, "longer than your usual pork shoulder, 3 cooks; hardly any of it has a cause in your notes."},
		{long, others, true, "Look for a cause that no line above names"},
	} {
		a := explained(t, &c.cook, c.past, w, Options{Usual: len(c.past) > 2})
		sound(t, a)
		if a.Known != c.known || !strings.Contains(strings.Join(append(a.Says, a.Missing...), " ")+a.Verdict+a.Against+a.RestsOn, c.words) {
			t.Errorf("%s: want %q in\n%s", c.cook.ID, c.words, print(a))
		}
	}
	same := explained(t, &full, others, w, Options{Against: &full})
	sound(t, same)
	for _, l := range append(same.Lines, same.Unexplained) {
		if math.Abs(l.Minutes) > 1e-9 {
			t.Errorf("against itself: %+v", l)
		}
	}
	sound(t, explained(t, &full, nil, w, Options{Against: &running}))
}

// Explain stops when its context ends.
func TestStops(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	c := roasted("a", 112, 4, 14, nil)
	if a, err := Explain(ctx, &c, nil, model.Context{}, Options{}); err == nil || a.Known {
		t.Errorf("%v, %+v", err, a)
	}
}

func explained(t testing.TB, c *journal.Cook, all []journal.Cook, w model.Context, opt Options) Account {
	t.Helper()
	a, err := Explain(t.Context(), c, frame.Cooks(all), w, opt)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// Nonsense in a file gives an account or a reason, never a panic or NaN.
func TestNonsense(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	odd := func(usual float64) measure.Temperature {
		return measure.Temperature{Base: []float64{usual, usual, -300, 5000, 0, usual * 1.8}[rng.IntN(6)], Known: rng.IntN(5) > 0}
	}
	var past []journal.Cook
	for i := range 15 {
		c := roasted(fmt.Sprint(i), 112, []float64{4, 0, -2, 900, .01}[rng.IntN(5)], 1+20*rng.Float64(), func(c *journal.Cook) {
			c.Aim.Pit, c.Aim.Core = odd(110), odd(93)
			c.Pieces[0].Core, c.Pieces[0].Thick = odd(5), measure.Length{Base: []float64{.1, 0, -1, 3}[rng.IntN(4)], Known: rng.IntN(2) == 0}
			for k := range c.Entries {
				for n := range c.Entries[k].Items {
					if it := &c.Entries[k].Items[n]; it.Temp.Known {
						it.Temp = odd(it.Temp.Base)
					}
				}
			}
			if rng.IntN(3) == 0 {
				c.Pieces = append(c.Pieces, journal.Piece{Name: "b"})
			}
			if rng.IntN(8) == 0 {
				c.Pieces = nil
			}
			if at := rng.IntN(len(c.Entries)); rng.IntN(3) == 0 {
				c.Entries[at].Items = append(c.Entries[at].Items, journal.Item{Act: journal.PutWrap, Wrap: journal.Wraps[rng.IntN(4)]}, journal.Item{Act: journal.Spritz})
			}
		})
		past = append(past, c)
		sound(t, explained(t, &c, past, model.Context{}, Options{}))
		sound(t, explained(t, &c, nil, model.Context{}, Options{Against: &past[rng.IntN(len(past))]}))
	}
}

func BenchmarkExplain(b *testing.B) {
	var past []journal.Cook
	for i := range 12 {
		past = append(past, roasted(fmt.Sprint(i), 112, 4, 14, nil))
	}
	c := roasted("all", 120, 3.2, 10, func(c *journal.Cook) {
		c.Pieces[0].Core = measure.Degrees(9, measure.Metric)
		c.Pieces[0].Thick = measure.Length{Base: .1, Known: true}
		c.Entries[6].Items = append(c.Entries[6].Items, journal.Item{Act: journal.PutWrap, Wrap: journal.Paper})
		c.Entries[4].Items = append(c.Entries[4].Items, journal.Item{Act: journal.Spritz})
		c.Entries[5].Items = append(c.Entries[5].Items, journal.Item{Act: journal.ReadCore, Temp: measure.Degrees(62, measure.Metric)})
		c.Entries[len(c.Entries)-2].Items[0].Temp = measure.Degrees(95, measure.Metric)
	})
	var w model.Context
	b.ReportAllocs()
	for b.Loop() {
		explained(b, &c, past, w, Options{})
	}
}
