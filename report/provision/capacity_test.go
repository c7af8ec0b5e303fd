package provision

import (
	"errors"
	"math"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
)

// A grate of 57 cm takes four shoulders or two briskets (common practice, no source).
func TestGrate(t *testing.T) {
	for _, c := range []struct {
		cut  string
		kg   float64
		fits int
	}{{"pork shoulder", 4.7, 4}, {"brisket", 6, 2}} {
		cook := journal.Cook{Cut: c.cut, Pieces: []journal.Piece{{Raw: mass(c.kg)}}}
		one := place((&model.Context{}).Read(&cook, time.Time{}).Pieces[0])
		if n := int(drum.room() / one); n != c.fits {
			t.Errorf("%d × %s of %.1f kg fit, want %d", n, c.cut, c.kg, c.fits)
		}
	}
}

// A rectangular grate of 100 by 50 cm takes seven shoulders of 4.7 kg with the usual
// clearance, and twice that on two tiers (common practice, no source: half a metre
// takes two rows of three to four).
func TestRectangle(t *testing.T) {
	cook := journal.Cook{Cut: "pork shoulder", Pieces: []journal.Piece{{Raw: mass(4.7)}}}
	one := place((&model.Context{}).Read(&cook, time.Time{}).Pieces[0])
	for tiers, want := range map[int]int{0: 7, 1: 7, 2: 15} {
		p := Pit{Pit: journal.Pit{Kind: journal.Cabinet, Tiers: tiers}}
		p.Grate, _ = journal.ParseGrate("100 x 50 cm", measure.Metric)
		if n := int(p.room() / one); n != want {
			t.Errorf("%d tiers: %d shoulders fit, want %d", tiers, n, want)
		}
	}
}

// The plan asks how many pieces fit only if the answer changes it, and not if half of a
// usual grate takes all. The answer sets the fires, and can be saved.
func TestAsk(t *testing.T) {
	r, k := request(t, "2026-09-26")
	k.Now = k.Now.AddDate(0, 0, -6)
	r.Pits = []Pit{pit("barrel", journal.OtherPit, 0)}
	r.Dishes[0].Pieces = ready(1, 4.7)
	if p := work(t, r, k); laid(&p) != "barrel 1" {
		t.Error(laid(&p))
	}
	r.Dishes[0].Pieces = ready(7, 4.7)
	var refused Refusal
	if _, err := Work(t.Context(), r, k); !errors.As(err, &refused) || refused.Part != PartFits || refused.Ask == nil {
		t.Fatalf("seven pieces in a pit whose file does not say its size: %v", err)
	}
	if want := "how many pieces of pork shoulder, 4.7 kg each, fit in the barrel at once? Its file does not say"; refused.Text != want || refused.Ask.Pit != 0 {
		t.Errorf("asks %q, want %q", refused.Text, want)
	}
	for takes, want := range map[int]string{3: "barrel 2; barrel 2; barrel 3", 4: "barrel 3; barrel 4", 6: "barrel 3; barrel 4", 7: "barrel 7"} {
		r.Pits[0].Takes = takes
		p := work(t, r, k)
		if got := laid(&p); got != want {
			t.Errorf("%d fit: %s, want %s", takes, got, want)
		}
		kept := r
		kept.Pits = []Pit{{Pit: p.Pits[0].Pit}}
		if again := work(t, kept, k); laid(&again) != want {
			t.Errorf("%q in its file: %s, want %s", p.Pits[0].Fits, laid(&again), want)
		}
	}
}

// Ten shoulders for a meal need three boxes, at four a box (common practice, no
// source).
func TestBoxes(t *testing.T) {
	for n, want := range map[int]int{1: 1, 4: 1, 5: 2, 10: 3} {
		r, k := request(t, "2026-09-26")
		r.Dishes[0].Pieces, r.Pits[0].Takes = ready(n, 4.7), 10
		r.Pits = []Pit{r.Pits[0]}
		if p := work(t, r, k); p.Hold.Boxes != want {
			t.Errorf("%d shoulders: %d boxes, want %d", n, p.Hold.Boxes, want)
		}
	}
}

// A box takes about four shoulders of 5 kg, so eight fill two. If there is only one
// box, the rest goes into a low oven, which is hot before the first shoulder may be
// off.
func TestTooFewBoxes(t *testing.T) {
	r, k := request(t, "2026-09-26")
	for i := range 8 {
		r.Dishes[0].Pieces = append(r.Dishes[0].Pieces, journal.Piece{Name: string(rune('a' + i)), Raw: measure.Kilograms(5)})
	}
	r.Pits[0].Takes = 8
	for boxes, want := range map[int]int{0: 2, 1: 1, 2: 2, 3: 2} {
		r.Boxes = boxes
		p := work(t, r, k)
		h := p.Hold
		if h.Boxes != want || h.Wanted != 2 || (h.Unboxed > 0) != (boxes == 1) {
			t.Errorf("%d there: %+v", boxes, h)
		}
		if boxes == 1 && (math.Abs(h.Unboxed-p.Cooked(false)/2) > 1e-9 || !h.OvenBy.Before(p.Main().Off[0])) {
			t.Errorf("%.2f of %.2f kg in the oven, lit by %s", h.Unboxed, p.Cooked(false), h.OvenBy)
		}
	}
	r.Boxes = -1
	if _, err := Work(t.Context(), r, k); err == nil {
		t.Error("fewer boxes than none")
	}
}
