package report

import (
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/report/drivers"
	"ashbook/report/hindsight"
)

// The year of two invented nights: each bar from on to off by the clock, the ring at
// the meal, and each cook where in its own range it came off.
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
	answer := func(left, lo, mid, hi float64) hindsight.Moment {
		return hindsight.Moment{Share: .5, Left: left, Answers: []hindsight.Answer{{Method: hindsight.Ours, Lo: lo, Hours: mid, Hi: hi}}}
	}
	r := hindsight.Report{Moments: []hindsight.Moment{answer(6, 4, 5, 7), answer(1, 4, 5, 7), answer(5, 4, 5, 7)}}
	p := Year(2026, past, drivers.Report{}, r, journal.Settings{})
	said(t, "year", p)
	if want := "2 cooks and 30 hours at the fire. The meal waited for the meat 1 of 2 times."; p.Lead[0] != want {
		t.Errorf("it says %q", p.Lead[0])
	}
	for _, s := range p.Sections {
		switch s.Heading {
		case "The nights":
			ch := s.Figure.Picture
			if n := len(ch.Lanes); n != 2 {
				t.Fatalf("%d nights", n)
			}
			if b, d := ch.Lanes[0].Bars[0], ch.Lanes[0].Dots[0]; b.From != -4 || b.To != 10 || d.X != 13 || !d.Ring {
				t.Errorf("the first night is %+v, its meal %+v", b, d)
			}
		case "How the forecasts did":
			lane := s.Figure.Picture.Lanes[0]
			// Half an hour late of two, at the likeliest, and four widths early: at the edge.
			if lane.End != "2 of 3" || lane.Dots[0].X != .5 || lane.Dots[1].X != -recordEnds || lane.Dots[2].X != 0 {
				t.Errorf("the record is %+v", lane)
			}
		}
	}
	if p := Year(2030, past, drivers.Report{}, r, journal.Settings{}); !strings.HasPrefix(p.Lead[0], "No finished cook") || len(p.Sections) > 0 {
		t.Errorf("a year without cooks says %q", p.Lead)
	}
}
