package provision

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
)

// place returns the area a piece takes on a grate, m², with half a clearance all round.
// A grate of 57 cm takes four shoulders of 4.7 kg or two briskets of 6 kg (common
// practice, no source).
func place(piece model.Piece) float64 {
	m := piece.Meat
	return math.Pow(math.Sqrt(m.Mass/(m.Density*m.Fill)/thick(piece))+clearance, 2)
}

// thick returns the thickness of a piece, m, measured or estimated from weight and cut.
func thick(piece model.Piece) float64 {
	m := piece.Meat
	if m.Thickness > 0 {
		return m.Thickness
	}
	return math.Cbrt(m.Mass / (m.Density * m.Fill * m.Width * m.Length))
}

// mostBatches is the most fires for one meal (chosen: one a night, within the three to
// four days for which leftovers keep cold, USDA-FSIS, from memory).
const mostBatches = 3

// spread divides the pieces of all dishes among as few fires as possible: equally among
// the fires, and within a fire among the pits by their size. Within a fire a dish stays
// in one pit if possible.
func (p *Plan) spread(k Known) error {
	p.Thick = make([]float64, len(p.Meats))
	var all []portion
	for d, m := range p.Meats {
		job := (&model.Context{Settings: k.Settings}).Read(p.cook(d, 0, p.forecastPieces(d, m.Pieces)), time.Time{})
		first := len(all)
		for i, piece := range job.Pieces {
			p.Thick[d] = math.Max(p.Thick[d], thick(piece))
			all = append(all, portion{dish: d, piece: m.Pieces[i], need: place(piece)})
		}
		slices.SortStableFunc(all[first:], func(a, b portion) int { return cmp.Compare(b.need, a.need) })
	}
	if err := p.capacity(); err != nil {
		return err
	}
	lay := p.lay(all, 1)
	if err := p.ask(); lay == nil && err != nil {
		return err
	}
	for fires := 2; fires <= mostBatches && lay == nil; fires++ {
		lay = p.lay(all, fires)
	}
	if lay == nil {
		return refuse(PartGrate, "grate: %s do not fit in %d fires of %s", p.pieces(), mostBatches, p.pitNames())
	}
	for at, portions := range lay {
		var pieces []journal.Piece
		for _, o := range portions {
			pieces = append(pieces, o.piece)
		}
		slices.SortStableFunc(pieces, func(a, b journal.Piece) int { return cmp.Compare(a.Name, b.Name) })
		p.Loads = append(p.Loads, Load{Dish: at.dish, Pit: at.pit, Batch: at.batch, Cook: *p.cook(at.dish, at.pit, pieces)})
	}
	slices.SortFunc(p.Loads, func(a, b Load) int {
		return cmp.Or(cmp.Compare(a.Batch, b.Batch), cmp.Compare(a.Dish, b.Dish), cmp.Compare(a.Pit, b.Pit))
	})
	p.Batches = p.Loads[len(p.Loads)-1].Batch + 1
	for i := range p.Loads { // a pit has one temperature, that of its first dish
		l := &p.Loads[i]
		first := slices.IndexFunc(p.Loads, func(o Load) bool { return o.Pit == l.Pit && o.Batch == l.Batch })
		l.Cook.Aim.Pit = p.Loads[first].Cook.Aim.Pit
	}
	return nil
}

// portion is a piece to be placed.
type portion struct {
	dish  int
	piece journal.Piece
	need  float64 // m² of grate
}

// spot is the place of a load.
type spot struct{ dish, pit, batch int }

// lay places every piece in the given number of fires, or returns nil if they do not
// fit. The largest piece of a dish goes first, into the fire with the most room; there
// it goes to a pit with the same dish, else to the pit that then has the most room.
func (p *Plan) lay(all []portion, fires int) map[spot][]portion {
	lay := map[spot][]portion{}
	used := make([][]float64, fires) // m², by fire and pit
	burnt := make([]float64, fires)  // sum of used over the pits
	for b := range used {
		used[b] = make([]float64, len(p.Pits))
	}
	for _, o := range all {
		best := spot{pit: -1}
		var least [3]float64
		for b := range fires {
			for i := range p.Pits {
				before, room := used[b][i], p.rooms[i]
				if before+o.need > room && before > 0 {
					continue
				}
				at := spot{o.dish, i, b}
				rank := [3]float64{burnt[b], 0, (before + o.need) / room}
				if len(p.Meats) > 1 && len(lay[at]) == 0 {
					rank[1] = 1
					if before > 0 {
						rank[1] = 2
					}
				}
				if best.pit < 0 || slices.Compare(rank[:], least[:]) < 0 {
					best, least = at, rank
				}
			}
		}
		if best.pit < 0 {
			return nil
		}
		used[best.batch][best.pit] += o.need
		burnt[best.batch] += o.need
		lay[best] = append(lay[best], o)
	}
	p.joinLone(lay, used)
	return lay
}

// joinLone moves a piece that is alone in a pit to another pit with its dish, if it
// fits there. Alone, it would need a fire of its own, or keep a fire burning longer
// than the rest needs.
func (p *Plan) joinLone(lay map[spot][]portion, used [][]float64) {
	order := make([]int, len(p.Pits)) // smallest first; among equal pits the last one first
	for i := range order {
		order[i] = len(order) - 1 - i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p.rooms[a], p.rooms[b]) })
	for b := range used {
		for d := range p.Meats {
			for _, i := range order {
				lone := lay[spot{d, i, b}]
				if len(lone) != 1 {
					continue
				}
				for o := range p.Pits {
					with := spot{d, o, b}
					if o != i && len(lay[with]) > 0 && used[b][o]+lone[0].need <= p.rooms[o] {
						delete(lay, spot{d, i, b})
						lay[with] = append(lay[with], lone[0])
						used[b][o], used[b][i] = used[b][o]+lone[0].need, used[b][i]-lone[0].need
						break
					}
				}
			}
		}
	}
}

// pieces formats all pieces: "9 pieces of pork shoulder and 2 pieces of brisket".
func (p *Plan) pieces() string {
	var out []string
	for _, m := range p.Meats {
		out = append(out, measure.Count(len(m.Pieces), "piece")+" of "+m.Cut)
	}
	return strings.Join(out, " and ")
}
