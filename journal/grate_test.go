package journal

import (
	"testing"

	"ashbook/journal/measure"
)

// Round and rectangular grates, in the units people write.
func TestParseGrate(t *testing.T) {
	for _, c := range []struct {
		text         string
		across, deep float64 // m; deep is 0 for a round grate
		us           string
	}{
		{"57 cm", .57, 0, "22.4 in across"},
		{"100 x 50 cm", 1, .5, "39.4 in × 19.7 in"},
		{"1 m × 50cm", 1, .5, "39.4 in × 19.7 in"},
		{"36 by 20 in", .9144, .508, "36 in × 20 in"}, // an inch is 25.4 mm, by definition
		{"18X24in", .4572, .6096, "18 in × 24in"},
	} {
		g, err := ParseGrate(c.text, measure.Metric)
		if err != nil || !near(g.Across.Base, c.across) || !near(g.Deep.Base, c.deep) || g.Deep.Known != (c.deep > 0) {
			t.Errorf("%q: %+v, %v", c.text, g, err)
		}
		if got := g.In(measure.US); got != c.us {
			t.Errorf("%q for a reader of inches: %q, want %q", c.text, got, c.us)
		}
	}
	for _, bad := range []string{"", "wide", "10 x 20 x 30 cm", "50 cm x", "x 50 cm", "50 kg x 20 cm"} {
		if g, err := ParseGrate(bad, measure.Metric); err == nil || g != (Grate{}) {
			t.Errorf("%q is read as %+v", bad, g)
		}
	}
}

func near(a, b float64) bool { return a-b < 1e-9 && b-a < 1e-9 }

// ParseFits reads what String prints.
func TestParseFits(t *testing.T) {
	for text, want := range map[string]string{
		"6 of 4.7 kg pork shoulder":       "6 of 4.7 kg pork shoulder",
		"6 x 4.7kg Pork Shoulder":         "6 of 4.7kg Pork Shoulder",
		"2 12 lb 8 oz brisket":            "2 of 12 lb 8 oz brisket",
		"12 × 1.2 kg spare ribs, in hoop": "12 of 1.2 kg spare ribs, in hoop",
	} {
		f, err := ParseFits(text, measure.Metric)
		if err != nil || f.String() != want {
			t.Errorf("%q: %q, %v", text, f, err)
		}
		again, err := ParseFits(f.String(), measure.US)
		if err != nil || again != f {
			t.Errorf("%q is read again as %+v, %v", f, again, err)
		}
	}
	if f, _ := ParseFits("2 of 12 lb 8 oz brisket", measure.Metric); !near(f.Each.Base, 12.5*.45359237) {
		t.Errorf("12½ lb are %g kg", f.Each.Base)
	}
	for _, bad := range []string{"", "6", "six of 4.7 kg pork", "6 of 4.7 kg", "6 of 4.7 pork", "0 of 4.7 kg pork", "-1 of 4.7 kg pork", "6 of 0 kg pork", "501 of 1 kg ribs"} {
		if f, err := ParseFits(bad, measure.Metric); err == nil || f != (Fits{}) {
			t.Errorf("%q is read as %+v", bad, f)
		}
	}
}
