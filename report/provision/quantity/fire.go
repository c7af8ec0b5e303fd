package quantity

import (
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/report/numeric/score"
)

// Wood is the smoke wood for one pit.
type Wood struct {
	Kind      string  // "": any
	Low, High float64 // kg
	Buy       float64 // kg, with the reserve; 0: the fire itself is of wood
	Own       int     // own cooks it is based on; 0: a starting value
}

// Reserve is the share that is bought in addition.
const Reserve = .25

// A chunk an hour in the first three to four hours (common practice, no source).
const (
	woodFirst  = 4
	ChunkSmall = .070 // kg
	ChunkLarge = .120
)

// FuelOf returns the usual fuel of a kind of pit.
func FuelOf(kind journal.PitKind) string {
	switch kind {
	case journal.Offset:
		return "split wood"
	case journal.Pellet:
		return "wood pellets"
	case journal.Cabinet:
		return "what it runs on"
	}
	return "charcoal"
}

// WoodFor returns the smoke wood for a number of fires: as much as past cooks in this
// pit used, else a chunk an hour for four hours.
func WoodFor(pit string, kind journal.PitKind, past []journal.Cook, fires float64) Wood {
	w := Wood{Low: fires * woodFirst * ChunkSmall, High: fires * woodFirst * ChunkLarge}
	var took []float64
	for _, c := range byTime(past) {
		if c.Pit != pit || len(c.Wood) == 0 {
			continue
		}
		w.Kind = c.Wood[0].Kind
		kg, all := 0.0, true
		for _, x := range c.Wood {
			kg += x.Mass.Base
			all = all && x.Mass.Known
		}
		if all {
			took = append(took, kg)
		}
	}
	if len(took) >= Enough {
		w.Own, w.Low, w.High = len(took), fires*score.Quantile(took, .1), fires*score.Quantile(took, .9)
	}
	if kind == journal.Offset || kind == journal.Pellet { // the fire itself is of wood
		return Wood{Kind: w.Kind}
	}
	w.Buy = math.Ceil((w.Low+w.High)/2*(1+Reserve)*20) / 20
	return w
}

// byTime sorts past cooks, latest last.
func byTime(past []journal.Cook) []*journal.Cook {
	var out []*journal.Cook
	for i := range past {
		out = append(out, &past[i])
	}
	slices.SortStableFunc(out, func(a, b *journal.Cook) int { return a.Date().Compare(b.Date()) })
	return out
}

// Salt is the salt and rub for one cut, by the person's habit if known.
type Salt struct {
	Rate  float64       // g/kg
	Ahead time.Duration // how long before it goes on
	Rub   float64       // g/kg
	Mix   string        // name of the rub
	Own   bool          // Rate and Ahead are the person's habit
	Grams float64       // of salt in all
	RubG  float64       // of rub in all, g
}

// Starting values (chosen; common practice, no source): salt is a hundredth of the
// weight, the night before; rub twice that. Ribs are thin and two fifths bone, so they
// get less salt, an hour or two before. Fish is salted for an hour; longer would cure
// it.
const (
	saltRate  = 10.0
	saltAhead = 12 * time.Hour
	rubRate   = 20.0
	ribsRate  = 6.0
	ribsAhead = 2 * time.Hour
	fishAhead = time.Hour
)

// SaltFor works out salt and rub for the meat from the person's cooks of its cut. The
// rub is the one named in the latest cook that names any.
func SaltFor(m *Meat, past []journal.Cook) Salt {
	var rate, ahead, rub []float64
	s := Salt{Rate: saltRate, Ahead: saltAhead, Rub: rubRate}
	switch Find(m.Cut).lost {
	case ribs:
		s.Rate, s.Ahead = ribsRate, ribsAhead
	case side:
		s.Ahead = fishAhead
	}
	for _, c := range byTime(past) {
		if c.Rub.Mix != "" {
			s.Mix = c.Rub.Mix
		}
		if !strings.EqualFold(c.Cut, m.Cut) {
			continue
		}
		if c.Salted.Rate.Known && c.Salted.Ahead.Known {
			rate, ahead = append(rate, c.Salted.Rate.Base), append(ahead, c.Salted.Ahead.Base)
		}
		if c.Rub.Rate.Known {
			rub = append(rub, c.Rub.Rate.Base)
		}
	}
	if len(rate) >= Enough {
		s.Own, s.Rate, s.Ahead = true, score.Quantile(rate, .5), time.Duration(score.Quantile(ahead, .5)*float64(time.Second)).Round(30*time.Minute)
	}
	if len(rub) >= Enough {
		s.Rub = score.Quantile(rub, .5)
	}
	of := func(rate float64) float64 { return math.Ceil(rate*m.Buy*(1-m.Trim.Lost)/5) * 5 }
	s.Grams, s.RubG = of(s.Rate), of(s.Rub)
	return s
}
