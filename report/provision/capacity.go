package provision

import (
	"fmt"
	"math"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
)

// Ask asks the person how many pieces of the plan's first dish fit in a pit.
type Ask struct {
	Pit  int          // index in the request
	Fits journal.Fits // the piece; Pieces is the number asked for
}

// Line returns what to write into the file of the pit with that name.
func (a *Ask) Line(pit string) string {
	if pit == "" {
		pit = "NAME"
	}
	f := a.Fits
	f.Pieces = 4
	return fmt.Sprintf("write into pits/%s.md: fits: %s (your own number), or grate: 57 cm", pit, f)
}

// grateBy is the usual grate of a kind of pit, m across (common practice, no source).
// Kinds not listed have half a metre.
var grateBy = map[journal.PitKind]float64{
	journal.Ceramic: .46, journal.Kettle: .54, journal.Bullet: .45, journal.Drum: .57, journal.Offset: .60, journal.Brick: .80, journal.Cabinet: .45, journal.Pellet: .60,
}

// clearance is the gap between two pieces, m: "clearance between cuts 2 in" (a hobby
// thread of 2013).
const clearance = .051

// room returns the area of the grate on all tiers, m², including half a clearance
// beyond the edge, for which pieces have their own half. If no grate is noted, it is
// half the area of a usual grate for that kind of pit.
func (p Pit) room() float64 {
	wide, deep := p.Grate.Across.Base+clearance, p.Grate.Deep.Base+clearance
	switch {
	case !p.sized():
		usual := grateBy[p.Kind]
		if usual == 0 {
			usual = .5
		}
		return math.Pi / 4 * math.Pow(usual+clearance, 2) / 2
	case p.Grate.Deep.Known:
		return wide * deep * float64(max(1, p.Tiers))
	}
	return math.Pi / 4 * wide * wide * float64(max(1, p.Tiers))
}

// sized reports whether the size of the grate is noted.
func (p Pit) sized() bool { return p.Grate.Across.Known && p.Grate.Across.Base > 0 }

// capacity sets how many pieces each pit takes: as noted in its file, else by the area
// of its grate.
func (p *Plan) capacity() error {
	first := p.Meats[0]
	heaviest := first.Pieces[0].Raw.Base
	for _, piece := range first.Pieces {
		heaviest = math.Max(heaviest, piece.Raw.Base)
	}
	each, err := measure.ParseMass(p.Mass(heaviest), p.Settings.Units)
	if err != nil {
		return err
	}
	p.each = each
	for i := range p.Pits {
		pit := &p.Pits[i]
		if pit.Takes > 0 {
			pit.Fits = journal.Fits{Pieces: pit.Takes, Each: each, Cut: first.Cut}
		}
		room := pit.room()
		if f := pit.Fits; f.Pieces > 0 {
			// Half a place is added, since pieces a little heavier than noted also fit.
			cook := journal.Cook{Cut: f.Cut, Pieces: p.forecastPieces(0, []journal.Piece{{Raw: f.Each}})}
			room = (float64(f.Pieces) + .5) * place((&model.Context{Settings: p.Settings}).Read(&cook, time.Time{}).Pieces[0])
		}
		p.rooms = append(p.rooms, room)
	}
	return nil
}

// ask returns a refusal that asks how many pieces fit in the first pit without a noted
// capacity; nil if all are known.
func (p *Plan) ask() error {
	for i, pit := range p.Pits {
		if pit.sized() || pit.Fits.Pieces > 0 {
			continue
		}
		r := refuse(PartFits, "how many pieces of %s, %s each, fit in %s at once? Its file does not say", p.Meats[0].Cut, p.each, p.PitName(i)).(Refusal)
		r.Ask = &Ask{Pit: i, Fits: journal.Fits{Each: p.each, Cut: p.Meats[0].Cut}}
		return r
	}
	return nil
}
