package report

import (
	"math"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/drivers"
	"ashbook/report/frame"
	"ashbook/report/page"
)

// risingTo returns a cook whose core rises by 10 °C an hour from 5 °C and comes off
// after so many hours.
func risingTo(hours int) *journal.Cook {
	on := time.Date(2026, 9, 18, 20, 0, 0, 0, time.UTC)
	c := &journal.Cook{Title: "Harvest supper", Pieces: make([]journal.Piece, 1)}
	c.Entries = append(c.Entries, journal.Entry{Time: on, Items: []journal.Item{{Act: journal.On}}})
	for h := range hours + 1 {
		c.Entries = append(c.Entries, journal.Entry{Time: on.Add(time.Duration(h) * time.Hour), Items: []journal.Item{{Act: journal.ReadCore, Temp: measure.Degrees(5+10*float64(h), measure.Metric)}}})
	}
	c.Entries = append(c.Entries, journal.Entry{Time: on.Add(time.Duration(hours) * time.Hour), Items: []journal.Item{{Act: journal.Off}}})
	return c
}

func TestCurvesAreAligned(t *testing.T) {
	var p page.Page
	addCurves(&p, []*journal.Cook{risingTo(8), risingTo(3)}, journal.Settings{Units: measure.US})
	if len(p.Sections) != 3 { // none stalled
		t.Fatalf("%d sections: %+v", len(p.Sections), p.Sections)
	}
	for i, first := range []float64{0, -3.5, -8} {
		s := p.Sections[i].Figure.Lines[0]
		if math.Abs(s.X[0]-first) > 1e-9 || math.Abs(s.Y[0]-41) > 1e-9 {
			t.Errorf("%s begins at %v h, %v °F; want %v, 41", p.Sections[i].Heading, s.X[0], s.Y[0], first)
		}
	}
	if n := len(p.Sections[1].Figure.Lines); n != 1 || len(p.Notes) != 1 || !strings.Contains(p.Notes[0], "104 °F") {
		t.Errorf("%d curves pass 40 °C; notes %q", n, p.Notes)
	}
}

func TestEffectsDrawTheStrongest(t *testing.T) {
	points := []drivers.Point{{X: 0, Y: -10}, {X: 1, Y: 50}}
	told := drivers.Candidate{Column: frame.Column{Name: "water pan"}, Reads: drivers.Maybe, Lines: []drivers.Line{
		{Change: "none instead of dry", Effect: 5, Points: points}, {Change: "hot instead of dry", Effect: -60, Points: points}}}
	not := told
	not.Reads = drivers.CannotTell
	got := effects(drivers.Report{Candidates: []drivers.Candidate{not, told}}, journal.Settings{})
	if len(got) != 1 || got[0].Title != "water pan, hot instead of dry: 1 h 00 sooner" || got[0].XTitle != "water pan hot" || strings.Join(got[0].XWords, " ") != "without with" {
		t.Errorf("%+v", got)
	}
}
