package samples

import (
	"bytes"
	"encoding/csv"
	"io/fs"
	"maps"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/samples/invent"
)

func readAll(t *testing.T) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	err := fs.WalkDir(FS(), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		all[path], err = fs.ReadFile(FS(), path)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func readCooks(t *testing.T) []journal.Cook {
	t.Helper()
	all := readAll(t)
	settings, problems, err := cookfile.ParseSettings("journal.md", all["journal.md"])
	if err != nil || len(problems) > 0 {
		t.Fatalf("journal.md: %v %v", err, problems)
	}
	var cooks []journal.Cook
	for _, path := range slices.Sorted(maps.Keys(all)) {
		if !strings.HasPrefix(path, "cooks/") || !strings.HasSuffix(path, ".md") {
			continue
		}
		f, err := cookfile.Parse(path, all[path], cookfile.Options{Settings: settings})
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		for _, p := range f.Problems {
			t.Errorf("%v", p)
		}
		cooks = append(cooks, f.Cook)
	}
	return cooks
}

// The committed folder is what the generator writes, byte for byte. On other
// architectures than amd64 the compiler may fuse a product and a sum, which can change
// a last digit.
func TestFilesAreGenerated(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	if runtime.GOARCH != "amd64" {
		t.Skip("floating point is rounded otherwise on " + runtime.GOARCH)
	}
	made, cooks, err := invent.Hall()
	if err != nil {
		t.Fatal(err)
	}
	here := readAll(t)
	for path, data := range made {
		if !bytes.Equal(here[path], data) {
			t.Errorf("%s differs from what the generator writes: go generate ./samples", path)
		}
		delete(here, path)
	}
	for path := range here {
		t.Errorf("%s is not written by the generator", path)
	}
	truth, err := os.ReadFile("journal-truth.csv")
	if err != nil || string(truth) != invent.TruthCSV(cooks) {
		t.Errorf("journal-truth.csv differs from what the generator writes: %v", err)
	}
}

func TestPitsRead(t *testing.T) {
	all := readAll(t)
	for _, name := range []string{"brick", "drum"} {
		p, problems, err := cookfile.ParsePit("pits/"+name+".md", all["pits/"+name+".md"])
		if err != nil || len(problems) > 0 || string(p.Kind) != name || p.Setting {
			t.Errorf("%s: %+v %v %v", name, p, problems, err)
		}
	}
}

// The journal has cooks of every kind that the program shows.
func TestVariety(t *testing.T) {
	cooks := readCooks(t)
	now := Now()
	count := map[string]int{}
	series := 0
	for path := range readAll(t) {
		if strings.HasSuffix(path, ".csv") {
			series++
		}
	}
	for i := range cooks {
		c := &cooks[i]
		st := c.Status(now)
		count[c.Cut]++
		count["pit "+c.Pit]++
		count["pieces "+string(rune('0'+len(c.Pieces)))]++
		count["pan "+c.Pan]++
		for _, w := range c.Wood {
			count["wood "+w.Kind]++
		}
		count["from "+c.Supplier]++
		wraps := c.Wrappings()
		if len(wraps) == 0 && len(c.Entries) > 0 {
			count["bare"]++
		}
		for _, w := range wraps {
			count["wrap "+string(w.Kind)]++
			if w.Loose {
				count["wrap loose"]++
			}
		}
		switch {
		case c.Running(now):
			count["running"]++
			if c.ID != Running || !st.Stalling {
				t.Errorf("%s runs, %v; want %s, stalling", c.ID, st, Running)
			}
		case st.LeftOpen:
			count["left open"]++
		case st.Stage == journal.Planned:
			count["planned"]++
			if c.ID != Next {
				t.Errorf("%s is planned; want %s", c.ID, Next)
			}
		}
		if off, ok := c.Finish(); ok {
			count["finished"]++
			if off.After(c.Serve) {
				count["late"]++
			} else if c.Serve.Sub(off) > 6*time.Hour {
				count["very early"]++
			}
		}
		if len(c.Pieces) > 0 && strings.Contains(c.Pieces[0].Raw.Text, "lb") {
			count["in pounds"]++
		}
		if len(c.Entries) > 0 {
			_, first := c.Entries[0].Time.Zone()
			_, last := c.Entries[len(c.Entries)-1].Time.Zone()
			if first != last {
				count[map[bool]string{true: "autumn change", false: "spring change"}[first > last]]++
			}
		}
		if len(c.Tasting) > 0 {
			count["tasted"]++
			if len(c.Tasting) == 1 {
				count["one eater"]++
			}
		}
		if c.Keep != "" || c.Change != "" {
			count["lesson"]++
		}
	}
	for what, least := range map[string]int{
		"pork shoulder": 20, "brisket": 5, "lamb shoulder": 4, "beef plate ribs": 2, "turkey breast": 1,
		"pit brick": 15, "pit drum": 15, "pieces 1": 20, "pieces 2": 10, "pieces 3": 2, "pan hot": 8, "pan dry": 8, "pan none": 4,
		"wood oak": 15, "wood cherry": 15, "from hill farm": 12, "from market hall": 12, "bare": 15,
		"wrap foil": 5, "wrap paper": 8, "wrap boat": 2, "wrap loose": 1, "running": 1, "planned": 1, "left open": 1,
		"finished": 45, "late": 2, "very early": 3, "in pounds": 3, "autumn change": 1, "spring change": 1, "tasted": 40, "one eater": 2, "lesson": 20,
	} {
		if count[what] < least {
			t.Errorf("%s: %d cooks, want at least %d", what, count[what], least)
		}
	}
	for _, one := range []string{"running", "planned", "left open"} {
		if count[one] != 1 {
			t.Errorf("%s: %d cooks, want 1", one, count[one])
		}
	}
	if len(cooks) < 48 || series < 10 {
		t.Errorf("%d cooks, %d probe series", len(cooks), series)
	}
}

// Every line of the timeline can be parsed.
func TestEveryLineParses(t *testing.T) {
	for _, c := range readCooks(t) {
		for _, e := range c.Entries {
			if len(e.Items) == 0 {
				t.Errorf("%s:%d has no item: %q", c.ID, e.Line, e.Words)
			}
		}
	}
}

// Every probe series belongs to a cook, names the pit and every piece, and is sorted by
// time.
func TestSeries(t *testing.T) {
	all := readAll(t)
	for path, data := range all {
		base, ok := strings.CutSuffix(path, ".csv")
		if !ok {
			continue
		}
		if all[base+".md"] == nil {
			t.Errorf("%s: no cook beside it", path)
		}
		rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		if err != nil || len(rows) < 30 {
			t.Errorf("%s: %d rows, %v", path, len(rows), err)
			continue
		}
		if h := strings.Join(rows[0], ","); !strings.HasPrefix(h, "time,pit_") || !strings.Contains(h, ",core_") {
			t.Errorf("%s: header %s", path, h)
		}
		var last time.Time
		for i, row := range rows[1:] {
			at, err := journal.ParseTime(row[0])
			if err != nil || !at.After(last) {
				t.Errorf("%s:%d: time %s, %v", path, i+2, row[0], err)
			}
			last = at
			for _, cell := range row[1:] {
				if v, err := strconv.ParseFloat(cell, 64); cell != "" && (err != nil || v < 0 || v > 400) {
					t.Errorf("%s:%d: reading %q", path, i+2, cell)
				}
			}
		}
		if strings.Contains(path, Running) && (last.After(Now()) || Now().Sub(last) > 10*time.Minute) {
			t.Errorf("%s ends at %v, now is %v", path, last, Now())
		}
	}
}
