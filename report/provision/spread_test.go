package provision

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
)

// laid lists how many pieces are where, fire by fire: "drum 4 kettle 3; drum 3".
func laid(p *Plan) string {
	var fires []string
	for b := p.Batches - 1; b >= 0; b-- {
		var pits []string
		for _, l := range p.Loads {
			if l.Batch == b {
				pits = append(pits, fmt.Sprintf("%s %d", l.Cook.Pit, len(l.Cook.Pieces)))
			}
		}
		fires = append(fires, strings.Join(pits, " "))
	}
	return strings.Join(fires, "; ")
}

// ready returns so many pieces of one weight.
func ready(n int, kg float64) (out []journal.Piece) {
	for i := range n {
		out = append(out, journal.Piece{Name: fmt.Sprint("piece ", i+1), Raw: mass(kg)})
	}
	return out
}

// Pieces are shared evenly between as few fires as possible, and between pits by their
// size. No pit burns for a piece that fits elsewhere.
func TestShared(t *testing.T) {
	large := pit("large", journal.Drum, .80) // takes eight or nine, the drum four
	for _, c := range []struct {
		pieces int
		pits   []Pit
		want   string
	}{
		{4, []Pit{drum}, "drum 4"},
		{5, []Pit{drum}, "drum 2; drum 3"},
		{9, []Pit{drum}, "drum 3; drum 3; drum 3"},
		{12, []Pit{drum}, "drum 4; drum 4; drum 4"},
		{2, []Pit{drum, large}, "large 2"},
		{3, []Pit{drum, large}, "large 3"},
		{6, []Pit{drum, large}, "drum 2 large 4"},
		{9, []Pit{drum, large}, "drum 3 large 6"},
		{14, []Pit{drum, large}, "drum 2 large 5; drum 2 large 5"},
	} {
		r, k := request(t, "2026-09-26")
		r.Pits, r.Dishes[0].Pieces = c.pits, ready(c.pieces, 4.7)
		k.Now = k.Now.AddDate(0, 0, -6)
		p := work(t, r, k)
		if got := laid(&p); got != c.want {
			t.Errorf("%d pieces: %s, want %s", c.pieces, got, c.want)
		}
	}
}

// Two cuts use a pit each if there are two.
func TestTwoCutsTwoPits(t *testing.T) {
	r, k := request(t, "2026-09-26")
	r.Pits = []Pit{pit("brick", journal.Brick, .80), drum}
	r.Dishes[0].Pieces = ready(2, 5.2)
	r.Dishes = append(r.Dishes, Dish{Cut: "brisket", Pieces: ready(2, 5.2)})
	if p := work(t, r, k); laid(&p) != "brick 2 drum 2" || p.Loads[1].Cook.Cut != "brisket" {
		t.Error(laid(&p))
	}
}

// Two cuts that need two fires are in both, and each piece once.
func TestTwoCutsTwoFires(t *testing.T) {
	r, k := request(t, "2026-09-26")
	r.Dishes[0].Pieces = ready(4, 4.7)
	r.Dishes = append(r.Dishes, Dish{Cut: "brisket", Pieces: ready(2, 6)})
	k.Now = k.Now.AddDate(0, 0, -6)
	p := work(t, r, k)
	var names []string
	area := make([]float64, p.Batches)
	for _, l := range p.Loads {
		for _, piece := range (&model.Context{}).Read(&l.Cook, time.Time{}).Pieces {
			area[l.Batch] += place(piece)
		}
		for _, piece := range l.Cook.Pieces {
			names = append(names, l.Cook.Cut+" "+piece.Name)
		}
	}
	slices.Sort(names)
	if p.Batches != 2 || len(slices.Compact(names)) != 6 {
		t.Fatalf("%d fires for %s", p.Batches, names)
	}
	if len(p.Loads) != 4 {
		t.Errorf("%d loads: each fire has some of both", len(p.Loads))
	}
	if area[0] < .8*area[1] || area[1] < .8*area[0] {
		t.Errorf("the fires hold %.3f and %.3f m²", area[0], area[1])
	}
}

// The first thing to do is to light the first fire, not the one for the meal.
func TestFirst(t *testing.T) {
	r, k := request(t, "2026-09-26")
	r.Dishes[0].Pieces = ready(6, 4.7)
	k.Now = k.Now.AddDate(0, 0, -6)
	p := work(t, r, k)
	if f := p.First(); f.Batch != 1 || !f.OnBy.Before(p.Main().OnBy) {
		t.Errorf("of two fires, first the one on by %s", f.OnBy)
	}
	r.Dishes[0].Pieces = ready(1, 4.7)
	one := work(t, r, k)
	if one.First() != one.Main() {
		t.Error("of one fire, another is the first")
	}
}

// Two shoulders, ribs and chicken on two pits: the shoulders share one pit, so that the
// second fire is lit only the next morning, for the ribs and the chicken.
func TestNoFireForALonePiece(t *testing.T) {
	r, k := request(t, "2026-09-26")
	r.Party.Heads, r.Serving.Plated = 36, true
	r.Dishes = []Dish{{Cut: "spare ribs"}, {Cut: "chicken"}, {Cut: "pork shoulder"}}
	r.Pits = []Pit{{Pit: journal.Pit{Name: "offset", Kind: journal.Offset, Grate: journal.Grate{Across: measure.Length{Base: 1.1, Known: true}, Deep: measure.Length{Base: .5, Known: true}}}}, r.Pits[0]}
	p := work(t, r, k)
	pits := map[int]int{} // loads of shoulder, by pit
	for _, l := range p.Loads {
		if l.Cook.Cut == "pork shoulder" {
			pits[l.Pit]++
		}
	}
	if len(pits) != 1 || len(p.Meats[2].Pieces) < 2 {
		t.Errorf("%d shoulders on pits %v: %s", len(p.Meats[2].Pieces), pits, laid(&p))
	}
}
