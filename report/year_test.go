package report

import (
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/report/drivers"
	"ashbook/report/hindsight"
)

// The page of a year with two invented nights: bars run from on to off by time of day,
// rings are at the meal, and each cook is drawn where it came off in its forecast
// range.
func TestYear(t *testing.T) {
	at := func(s string) time.Time {
		when, err := journal.ParseTime(s)
		if err != nil {
			t.Fatal(err)
		}
		return when
	}
	night := func(id, on, off, serve string) journal.Cook {
		return journal.Cook{ID: id, Title: id, Pit: "brick", Heads: 10, Serve: at(serve), Pieces: []journal.Piece{{}}, Keep: "again",
			Entries: []journal.Entry{{Time: at(on), Items: []journal.Item{{Act: journal.On}}}, {Time: at(off), Items: []journal.Item{{Act: journal.Off}}}}}
	}
	past := []journal.Cook{
		night("first", "2026-03-06T20:00+00:00", "2026-03-07T10:00+00:00", "2026-03-07T13:00+00:00"),
		night("second", "2026-05-01T22:00+01:00", "2026-05-02T14:00+01:00", "2026-05-02T13:00+01:00"),
		night("other year", "2025-05-01T22:00+01:00", "2025-05-02T14:00+01:00", "2025-05-02T13:00+01:00"),
	}
	half := func(left float64) (out [len(hindsight.Quarters)]hindsight.Came) {
		out[2] = hindsight.Came{Left: left, Lo: 4, Mid: 5, Hi: 7}
		return out
	}
	came := [][len(hindsight.Quarters)]hindsight.Came{half(6), half(1), half(5)}
	p := Year(2026, past, drivers.Report{}, came, journal.Settings{})
	said(t, "year", p)
	if want := "2 cooks and 30 hours at the fire. 1 meal of 2 waited for the meat."; p.Lead[0] != want {
		t.Errorf("it says %q", p.Lead[0])
	}
	for _, s := range p.Sections {
		switch s.Heading {
		case "The nights":
			if n := len(s.Table.Rows); n != 2 {
				t.Fatalf("%d nights", n)
			}
			if on := s.Table.Rows[0].Span; on.Low != -4 || on.High != 10 || on.At != 13 {
				t.Errorf("the first night is %+v", on)
			}
			for i, want := range []string{"3 h 00", "1 h 00 late"} {
				if got := s.Table.Rows[i].Cells[4]; got != want {
					t.Errorf("night %d: %s to the meal, want %s", i, got, want)
				}
			}
		case "How the forecasts did":
			lane := s.Figure.Picture.Lanes[0]
			// Half an hour late of a range of two hours, on the most likely time, and
			// four widths early, which is drawn at the edge.
			if lane.End != "2 of 3" || lane.Dots[0].X != .5 || lane.Dots[1].X != -recordEnds || lane.Dots[2].X != 0 {
				t.Errorf("the record is %+v", lane)
			}
		}
	}
	if p := Year(2030, past, drivers.Report{}, came, journal.Settings{}); !strings.HasPrefix(p.Lead[0], "No finished cook") || len(p.Sections) > 0 {
		t.Errorf("a year without cooks says %q", p.Lead)
	}
}
