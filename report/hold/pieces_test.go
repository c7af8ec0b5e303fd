package hold

import (
	"math"
	"strings"
	"testing"

	"ashbook/journal"
)

// two returns a cook of two pieces, both hot when they came off at 06:10.
func two(t *testing.T, lines ...string) *journal.Cook {
	t.Helper()
	c := &journal.Cook{ID: "2026-09-18-supper", Cut: "pork shoulder", Pieces: []journal.Piece{{Name: "large"}, {Name: "small"}}}
	for _, l := range append([]string{"18 20:00 lit, on, pit 115 °C", "19 06:00 core large 93 °C, core small 94 °C", "19 06:10 off"}, lines...) {
		items, _, notes := journal.ParseBody(l[9:], journal.Grammar{Pieces: c.PieceNames()})
		if len(notes) > 0 {
			t.Fatal(notes)
		}
		c.Entries = append(c.Entries, journal.Entry{Time: at(t, l[:8]), Items: items})
	}
	return c
}

// The coolest piece decides: each piece of hot food is held at 57 °C or above (FDA Food
// Code 2022, 3-501.16(A)).
func TestCoolestPieceCounts(t *testing.T) {
	h := Look(two(t, "19 06:40 boxed, core large 90 °C, core small 82 °C", "19 08:40 core large 86 °C, core small 70 °C"), nil, journal.Settings{}, at(t, "19 08:45"))
	if len(h.Pieces) != 2 || !h.Pieces[1].AtLaw.Likely.Before(h.Pieces[0].AtLaw.Likely) || h.AtLaw != h.Pieces[1].AtLaw || h.AtLimit != h.Pieces[1].AtLimit {
		t.Errorf("the box: %+v; its pieces: %+v", h.AtLaw, h.Pieces)
	}
}

// The limits count from the piece that fell first; the last one to be cold counts for
// ColdAt (FDA Food Code 2022, 3-501.14(A)).
func TestLeftoversOfTwo(t *testing.T) {
	lines := []string{"19 08:00 core large 70 °C, core small 60 °C", "19 08:30 core small 52 °C", "19 09:00 core large 58 °C", "19 09:30 core large 50 °C, served",
		"19 10:00 core small 20 °C", "19 11:00 core large 20 °C", "19 12:00 core small 5 °C", "19 13:00 core large 4 °C"}
	l := Look(two(t, lines...), nil, journal.Settings{}, at(t, "19 13:30")).Left
	if !l.Start.Equal(at(t, "19 08:00")) || !l.HalfAt.Equal(at(t, "19 11:00")) || !l.ColdAt.Equal(at(t, "19 13:00")) {
		t.Errorf("from %v, at 21 °C %v, cold %v", l.Start, l.HalfAt, l.ColdAt)
	}
	if l = Look(two(t, lines[:7]...), nil, journal.Settings{}, at(t, "19 12:30")).Left; !l.ColdAt.IsZero() {
		t.Errorf("one piece is not cold yet: %v", l.ColdAt)
	}
}

// Meat outside the box is forecast for half an hour after a reading (chosen: a quarter of
// the two hours that USDA-FSIS allows).
func TestUncoveredUnread(t *testing.T) {
	c := cook(t, "19 09:00", "18 20:00 lit, on, pit 115 °C", "19 06:00 core 93 °C", "19 06:10 off")
	for now, told := range map[string]bool{"19 06:35": true, "19 06:50": false} {
		h := Look(c, nil, journal.Settings{}, at(t, now))
		if got := !strings.Contains(strings.Join(h.Notes, " "), "was not read for"); got != told {
			t.Errorf("%s: forecast %v: %q", now, got, h.Notes)
		}
	}
}

// An uncovered slab cools with a time constant of ρcL/h·(1+Bi/3): 1.9 h with 3 cm to the
// middle in moving air, 10 h with 7 cm in still air.
func TestBareSlab(t *testing.T) {
	w := load{rate: bare(), room: 20, roomSD: 1e-6, start: 94, startSD: 1e-3}.work()
	got := w.at(1, .1, .9)
	for i, hours := range []float64{1.9, 10} {
		if want := 20 + 74*math.Exp(-1/hours); math.Abs(got[i]-want) > 2 {
			t.Errorf("after an hour %.1f °C, with a time constant of %g h %.1f", got[i], hours, want)
		}
	}
}
