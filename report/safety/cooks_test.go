package safety

import (
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/journal/series"
	"ashbook/report/frame"
	"ashbook/samples"
)

// readCooks reads all cooks of a journal.
func readCooks(t *testing.T, dir fs.FS) ([]journal.Cook, journal.Settings) {
	t.Helper()
	var opt cookfile.Options
	data, err := fs.ReadFile(dir, "journal.md")
	if err != nil {
		t.Fatal(err)
	}
	if opt.Settings, _, err = cookfile.ParseSettings("journal.md", data); err != nil {
		t.Fatal(err)
	}
	var cooks []journal.Cook
	err = fs.WalkDir(dir, "cooks", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) != ".md" {
			return err
		}
		data, err := fs.ReadFile(dir, name)
		if err != nil {
			return err
		}
		f, err := cookfile.Parse(name, data, opt)
		if err != nil {
			return err
		}
		beside := strings.TrimSuffix(name, ".md") + ".csv"
		if data, err := fs.ReadFile(dir, beside); err == nil {
			f.Cook.Series, _, _ = series.Parse(beside, data)
		}
		cooks = append(cooks, f.Cook)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return cooks, opt.Settings
}

// journals returns the invented journal and, if ASHBOOK_SHARED names their folder,
// those of real people.
func journals(t *testing.T) map[string]fs.FS {
	t.Helper()
	all := map[string]fs.FS{"samples": samples.FS()}
	if shared := os.Getenv("ASHBOOK_SHARED"); shared != "" {
		for _, name := range []string{"strangers", "realcooks"} {
			all[name] = os.DirFS(filepath.Join(shared, name))
		}
	}
	return all
}

// At most one reading in a hundred is doubted in cooks noted with care (chosen: people
// make about that many slips).
func TestFewAreDoubted(t *testing.T) {
	readings, doubts := 0, 0
	for _, dir := range journals(t) {
		cooks, _ := readCooks(t, dir)
		for i := range cooks {
			for _, e := range cooks[i].Entries {
				for _, it := range e.Items {
					if it.Act == journal.ReadCore || it.Act == journal.ReadPit {
						readings++
					}
				}
			}
			for _, d := range cooks[i].Doubts() {
				doubts++
				t.Logf("%s %s: %s", cooks[i].ID, cooks[i].Entries[d.Entry].Time.Format(measure.DayClock), d.Why)
			}
		}
	}
	if t.Logf("%d of %d readings are doubted", doubts, readings); 100*doubts > readings {
		t.Error("too many")
	}
}

// endOf reviews a cook some time after its last line.
func endOf(c *journal.Cook, s journal.Settings, later time.Duration) Review {
	last, _ := c.LastEntry()
	return Look(c, s, last.Add(later))
}

// pressed reports whether a review says to throw the meat out or to do something now.
func pressed(r Review) bool {
	return slices.ContainsFunc(r.Findings, func(f Finding) bool {
		return f.Weight == DoNow || f.Weight == Ask && strings.Contains(strings.ToLower(f.Do), "throw it out")
	})
}

// At most one in twenty correctly handled cooks of the samples is pressed. Cooks of
// strangers are only counted: their notes end at off, and an hour later each piece that
// nobody read still raises a question. A week later no cook is pressed.
func TestFewAreWarned(t *testing.T) {
	for name, dir := range journals(t) {
		cooks, s := readCooks(t, dir)
		finished, loud := 0, 0
		count := map[string]int{}
		for i := range cooks {
			c := &cooks[i]
			if _, ok := c.Finish(); !ok {
				continue
			}
			finished++
			r := endOf(c, s, time.Hour)
			count[r.Findings[0].Weight.String()]++
			if old := endOf(c, s, 7*24*time.Hour); old.Findings[0].Weight > Note {
				t.Errorf("%s a week later: %s %s", c.ID, old.Findings[0].Weight, old.Findings[0].Kind)
			}
			if pressed(r) {
				loud++
				for _, f := range r.Findings {
					if f.Weight >= Ask {
						t.Logf("%s: %s %s %s: %s", c.ID, f.Weight, f.Kind, f.Piece, f.Text)
					}
				}
			}
		}
		t.Logf("%s: %d finished cooks; heaviest weight %v; pressed or thrown out %d", name, finished, count, loud)
		if name == "samples" && 20*loud > finished {
			t.Errorf("%s: %d of %d are pressed", name, loud, finished)
		}
	}
}

// failures are ways in which a cook can go wrong. Each adds lines to a cook that went
// right and returns the moment at which the failure must be found.
var failures = map[string]struct {
	kind  Kind
	spoil func(c *journal.Cook, on, off time.Time) time.Time
}{
	"the fire dies": {DeadFire, func(c *journal.Cook, on, _ time.Time) time.Time {
		cutAt(c, on.Add(90*time.Minute))
		add(c, on.Add(2*time.Hour), "pit 105 °C, core 30 °C")
		return add(c, on.Add(9*time.Hour), "pit 41 °C, core 38 °C")
	}},
	"off and forgotten": {Unfollowed, func(c *journal.Cook, _, off time.Time) time.Time {
		cutAt(c, off)
		return off.Add(5 * time.Hour)
	}},
	"off too soon": {EndCore, func(c *journal.Cook, on, _ time.Time) time.Time {
		cutAt(c, on.Add(90*time.Minute))
		return add(c, on.Add(3*time.Hour), "pit 112 °C, core 52 °C, off").Add(5 * time.Minute)
	}},
	"cold in the box": {Hold, func(c *journal.Cook, _, off time.Time) time.Time {
		cutAt(c, off)
		add(c, off.Add(20*time.Minute), "boxed")
		return add(c, off.Add(7*time.Hour), "core 49 °C").Add(5 * time.Minute)
	}},
	"leftovers on the table": {Leftovers, func(c *journal.Cook, _, off time.Time) time.Time {
		cutAt(c, off)
		c.Yield.Left = measure.Kilograms(.7)
		add(c, off.Add(time.Hour), "served")
		return add(c, off.Add(7*time.Hour), "chilled").Add(time.Hour)
	}},
	"cooled in one lump": {SlowCooling, func(c *journal.Cook, _, off time.Time) time.Time {
		cutAt(c, off)
		c.Yield.Left = measure.Kilograms(.7)
		add(c, off.Add(time.Hour), "served, core 60 °C")
		for h, core := range []int{50, 42, 35, 30, 26, 23} {
			add(c, off.Add(time.Duration(h+2)*time.Hour), fmt.Sprintf("core %d °C", core))
		}
		return off.Add(7*time.Hour + 5*time.Minute)
	}},
	"a night on the counter": {Warmed, func(c *journal.Cook, on, _ time.Time) time.Time {
		cutAt(c, on.Add(90*time.Minute))
		c.Prose += "\nIt lay on the counter overnight, I forgot.\n"
		return on.Add(2 * time.Hour)
	}},
	"a bird at 70": {EndCore, func(c *journal.Cook, on, _ time.Time) time.Time {
		cutAt(c, on.Add(30*time.Minute))
		c.Cut = "chicken"
		add(c, on.Add(time.Hour), "pit 150 °C, core 45 °C")
		return add(c, on.Add(100*time.Minute), "pit 150 °C, core 70 °C, off").Add(5 * time.Minute)
	}},
	"part-cooked and chilled": {PartCooked, func(c *journal.Cook, on, _ time.Time) time.Time {
		cutAt(c, on.Add(90*time.Minute))
		add(c, on.Add(3*time.Hour), "pit 112 °C, core 50 °C, off")
		return add(c, on.Add(200*time.Minute), "chilled").Add(time.Hour)
	}},
	"warmed again, not hot": {Reheated, func(c *journal.Cook, _, off time.Time) time.Time {
		cutAt(c, off)
		add(c, off.Add(30*time.Minute), "chilled")
		for i, core := range []int{56, 38, 20, 5} {
			add(c, off.Add(time.Duration(30+40*(i+1))*time.Minute), fmt.Sprintf("core %d °C", core))
		}
		add(c, off.Add(5*time.Hour), "core 40 °C")
		return add(c, off.Add(6*time.Hour), "core 61 °C").Add(5 * time.Minute)
	}},
	"an aim for a bird at 68": {LowAim, func(c *journal.Cook, on, _ time.Time) time.Time {
		cutAt(c, on.Add(30*time.Minute))
		c.Cut, c.Aim.Core = "turkey", measure.Degrees(68, measure.Metric)
		return on.Add(40 * time.Minute)
	}},
}

// cutAt removes what was noted after a moment before the meal.
func cutAt(c *journal.Cook, at time.Time) {
	c.Tasting = nil
	c.Entries = slices.DeleteFunc(slices.Clone(c.Entries), func(e journal.Entry) bool { return e.Time.After(at) })
	c.Series = journal.Series{}
}

// add notes a line; a core in it is read in every piece.
func add(c *journal.Cook, at time.Time, body string) time.Time {
	items, _, _ := journal.ParseBody(body, journal.Grammar{})
	e := journal.Entry{Time: at}
	for _, it := range items {
		if names := c.PieceNames(); it.Act == journal.ReadCore && len(names) > 0 {
			for _, it.Piece = range names {
				e.Items = append(e.Items, it)
			}
			continue
		}
		e.Items = append(e.Items, it)
	}
	c.Entries = append(c.Entries, e)
	journal.SortEntries(c.Entries)
	return at
}

// Every failure added to fifty cooks is pressed at the moment it must be.
func TestNoFailureIsMissed(t *testing.T) {
	cooks, s := readCooks(t, samples.FS())
	used, checked := 0, 0
	for i := range cooks {
		on, started := cooks[i].OnAt()
		off, ok := cooks[i].Finish()
		if !ok || !started || used == 50 {
			continue
		}
		used++
		for name, f := range failures {
			c := cooks[i]
			now := f.spoil(&c, on, off)
			checked++
			r := Look(&c, s, now)
			var got []string
			for _, x := range r.Findings {
				got = append(got, fmt.Sprintf("%s %s %s", x.Weight, x.Kind, x.Piece))
			}
			said := slices.ContainsFunc(r.Findings, func(x Finding) bool { return x.Kind == f.kind && x.Weight >= Ask })
			if !said || r.Findings[0].Weight != DoNow {
				t.Errorf("%s, %s: %q", c.ID, name, got)
			}
		}
	}
	if t.Logf("%d cooks, %d failures", used, checked); used != 50 {
		t.Errorf("%d cooks", used)
	}
}

// Silence after off is a question if the notes of the person's last three cooks end at
// off. If one of them goes on, or fewer are known, it presses. A line after off shows
// that the notes of this cook go on.
func TestSilenceByHabit(t *testing.T) {
	before := func(days int, lines ...string) journal.Cook {
		c := cook(t, nil, append([]string{"18 08:00 lit, on, pit 115 °C", "18 20:00 core 94 °C, off"}, lines...)...)
		for i := range c.Entries {
			c.Entries[i].Time = c.Entries[i].Time.AddDate(0, 0, -days)
		}
		return *c
	}
	ends, goes := before, func(days int) journal.Cook { return before(days, "18 21:00 served") }
	for _, tt := range []struct {
		name  string
		past  []journal.Cook
		lines []string
		want  Weight
	}{
		{"no cook before", nil, nil, DoNow},
		{"two that end at off", []journal.Cook{ends(7), ends(14)}, nil, DoNow},
		{"three that end at off, in any order", []journal.Cook{ends(7), ends(30), goes(60), ends(14)}, nil, Ask},
		{"the last but one went on", []journal.Cook{ends(7), goes(14), ends(21), ends(28)}, nil, DoNow},
		{"three later ones", []journal.Cook{ends(-7), ends(-14), ends(-21)}, nil, DoNow},
		{"this one was boxed", []journal.Cook{ends(7), ends(14), ends(21)}, []string{"19 05:20 boxed"}, DoNow},
	} {
		c := cook(t, nil, append(from("19 05:30"), tt.lines...)...)
		r := LookKnowing(c, frame.Cooks(tt.past), journal.Settings{}, day(t, "19 20:30"))
		if got := r.Findings[0]; got.Kind != Unfollowed || got.Weight != tt.want {
			t.Errorf("%s: %s %s, want %s", tt.name, got.Weight, got.Kind, tt.want)
		}
	}
}
