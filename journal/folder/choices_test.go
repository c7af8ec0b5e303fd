package folder

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// Choose writes a value in its place and changes no other byte. It refuses a value that
// cannot be read and writes nothing.
func TestChoose(t *testing.T) {
	isolate(t)
	dir := t.TempDir()
	if _, err := Init(dir, measure.Metric, night); err != nil {
		t.Fatal(err)
	}
	const settings = "---\n# ours\nunits:   metric # as we cook\nown: {a: 1}\nrecheck: {vent: 15 min}\n---\n\nProse.\n"
	write(t, dir, "journal.md", settings)
	write(t, dir, "pits/drum.md", "---\nkind: drum\n---\n")
	write(t, dir, "mixes/rub.md", "---\nfor: 1 kg meat\nparts: {salt: 12 g, pepper: 6 g}\n---\n# Rub\n")
	f := open(t, dir, &clock{night})
	text := func(p string) string {
		data, err := os.ReadFile(filepath.Join(dir, p))
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	for _, c := range []struct {
		p, value string
		key      []string
		was, is  string // content of the file
	}{
		{"journal.md", "us", []string{"units"}, "units:   metric #", "units:   us #"},
		{"journal.md", "1200 ft", []string{"altitude"}, "min}\n---", "min}\naltitude: 1200 ft\n---"},
		{"journal.md", "30 min", []string{"recheck", "wood"}, "{vent: 15 min}", "{vent: 15 min, wood: 30 min}"},
		{"journal.md", "", []string{"altitude"}, "altitude: 1200 ft\n", ""},
		{"pits/drum.md", "2", []string{"tiers"}, "drum\n---", "drum\ntiers: 2\n---"},
		{"mixes/rub.md", "14 g", []string{"parts", "salt"}, "salt: 12 g", "salt: 14 g"},
	} {
		want := strings.Replace(text(c.p), c.was, c.is, 1)
		if err := f.Choose(c.p, c.value, c.key...); err != nil {
			t.Errorf("%s %v %q: %v", c.p, c.key, c.value, err)
		} else if got := text(c.p); got != want || !strings.Contains(want, c.is) {
			t.Errorf("%s %v %q:\n%s\nwant\n%s", c.p, c.key, c.value, got, want)
		}
	}
	s, _ := f.Settings()
	if s.Units != measure.US || measure.Duration(s.Recheck[journal.AddWood]) != 30*time.Minute || s.Altitude.Known {
		t.Errorf("%+v", s)
	}
	for _, c := range []struct {
		p, value, says string
		key            []string
	}{
		{"journal.md", "imperial", "metric, or us", []string{"units"}},
		{"journal.md", "50 °C", "57 °C", []string{"hot hold"}}, // FDA Food Code 2022, 3-501.16(A)(1)
		{"journal.md", "soon", "recheck", []string{"recheck", "vent"}},
		{"pits/drum.md", "spaceship", "kind", []string{"kind"}},
		{"mixes/rub.md", "some", "salt", []string{"parts", "salt"}},
	} {
		before := text(c.p)
		if err := f.Choose(c.p, c.value, c.key...); err == nil || !strings.Contains(err.Error(), c.says) || text(c.p) != before {
			t.Errorf("%s %v %q: %v, and the file:\n%s", c.p, c.key, c.value, err, text(c.p))
		}
	}
	all, err := f.Choices("journal.md")
	if err != nil || len(all) < 8 || all[0].Written != "us" {
		t.Errorf("%+v, %v", all, err)
	}
	if all, err := f.Choices("mixes/rub.md"); err != nil || len(all) != 3 || all[1].Written != "14 g" {
		t.Errorf("%+v, %v", all, err)
	}
}
