package baseline

import (
	"math"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/frame"
)

var noon = time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)

// cook returns an invented shoulder that took the given hours; 0: it is not off yet.
func cook(id string, hours float64, change func(*journal.Cook)) journal.Cook {
	c := journal.Cook{ID: id, Cut: "pork shoulder", Pieces: []journal.Piece{{}}}
	c.Entries = append(c.Entries, journal.Entry{Time: noon, Items: []journal.Item{{Act: journal.On}}})
	if hours > 0 {
		off := noon.Add(time.Duration(hours * float64(time.Hour)))
		c.Entries = append(c.Entries, journal.Entry{Time: off, Items: []journal.Item{{Act: journal.Off}}})
	}
	if change != nil {
		change(&c)
	}
	return c
}

func TestCompare(t *testing.T) {
	usually := func(c *journal.Cook) {
		c.Pit, c.Pieces[0].Trimmed, c.Weather.Air = "brick", measure.Kilograms(4), measure.Degrees(8, measure.Metric)
		c.Aim.Pit = measure.Degrees(110, measure.Metric)
	}
	all := []journal.Cook{cook("a", 14, usually), cook("b", 15, usually), cook("c", 16, usually)}
	this := cook("this", 12, func(c *journal.Cook) {
		usually(c)
		c.Pit, c.Pieces[0].Trimmed = "drum", measure.Kilograms(2.5)
		c.Aim.Pit, c.Weather.Air = measure.Degrees(111, measure.Metric), measure.Temperature{}
	})
	got := Compare(&this, frame.Cooks(append(all, this)))
	if len(got.With) != 3 || got.Took.By != -3 || got.Took.Median != 15 {
		t.Errorf("others %d, took %+v", len(got.With), got.Took)
	}
	names := func(ds []Difference) string {
		var out []string
		for _, d := range ds {
			out = append(out, d.Column.Name)
		}
		return strings.Join(out, "; ")
	}
	if got := names(got.Differs); got != "heaviest piece; pit" {
		t.Errorf("differs: %s", got)
	}
	if s := strings.Join(got.Same, "; "); !strings.Contains(s, "pit aimed at") || !strings.Contains(s, "pieces") {
		t.Errorf("same: %s", s)
	}
	if s := strings.Join(got.Missing, "; "); !strings.Contains(s, "outdoor air") {
		t.Errorf("missing: %s", s)
	}
	for _, d := range got.Differs {
		if d.Column.Kind != frame.Word && math.Abs(d.By+1.5) > 1e-9 {
			t.Errorf("%s by %v, want −1.5", d.Column.Name, d.By)
		}
	}
}

func TestCompareAlone(t *testing.T) {
	this := cook("this", 12, nil)
	got := Compare(&this, frame.Cooks([]journal.Cook{this}))
	if len(got.With) != 0 || len(got.Differs) != 0 || got.Took.N != 0 {
		t.Errorf("%+v", got)
	}
}

func TestClosest(t *testing.T) {
	set := func(pit string, kg float64) func(*journal.Cook) {
		return func(c *journal.Cook) { c.Pit, c.Pieces[0].Trimmed = pit, measure.Kilograms(kg) }
	}
	all := []journal.Cook{cook("far", 14, set("drum", 7)), cook("near", 15, set("brick", 4.2)), cook("mid", 16, set("drum", 4.2)), cook("running", 0, set("brick", 4))}
	this := cook("this", 0, set("brick", 4))
	var got []string
	for _, c := range Closest(&this, frame.Cooks(all), 2) {
		got = append(got, c.ID)
	}
	if strings.Join(got, " ") != "near mid" {
		t.Errorf("closest: %v", got)
	}
	if n := len(Closest(&this, nil, 3)); n != 0 {
		t.Errorf("%d closest of none", n)
	}
}
