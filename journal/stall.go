package journal

import (
	"ashbook/journal/measure"
	"cmp"
	"slices"
	"time"
)

func stallingAt(readings []Reading, now time.Time) bool {
	last, ok := Last(readings, now)
	if !ok || last.C < StallFrom || last.C > StallTo {
		return false
	}
	rate, ok := PerHour(readings, now)
	return ok && rate < StallRate
}

// Stall is a time in which the core of a piece hardly rose: from the first to the last
// reading between StallFrom and StallTo at which it rose by less than StallRate.
type Stall struct {
	Piece    int
	From, To time.Time
	Core     float64 // core at To, °C
	Standing bool    // it had not ended at the last reading
	Between  bool    // only two readings show it, so its true start and end are unknown
}

// Lasted returns the time between the first and the last reading of the stall.
func (s Stall) Lasted() time.Duration { return s.To.Sub(s.From) }

// Words says how long a stall lasted, or between which two readings it was if no more
// is known.
func (s Stall) Words(sys measure.System) string {
	if s.Between {
		return "between " + measure.FormatTime(s.From, measure.Clock, sys) + " and " + measure.FormatTime(s.To, measure.Clock, sys)
	}
	return measure.FormatDuration(s.Lasted())
}

// Stall returns the stall that a piece is in at now, or its longest if it is in none.
// ok is false without a stall.
func (c *Cook) Stall(piece int, now time.Time) (s Stall, ok bool) {
	return pickStall(c.Stalls(piece, now), c.PieceStatus(piece, now).Stalling)
}

// pickStall returns the last stall if it has not ended, and the longest if it has.
func pickStall(all []Stall, stands bool) (s Stall, ok bool) {
	if len(all) == 0 {
		return s, false
	}
	if stands {
		s = all[len(all)-1]
		s.Standing = true
		return s, true
	}
	return slices.MaxFunc(all, func(a, b Stall) int { return cmp.Compare(a.Lasted(), b.Lasted()) }), true
}

// stallsApart is how much a core must rise between two stalls, K (chosen: more than it
// rises in two hours of a stall).
const stallsApart = 5.0

// Stalls returns the stalls of a piece as known at now, ordered by time.
func (c *Cook) Stalls(piece int, now time.Time) []Stall {
	readings := thinned(c.CoreReadings(piece), stallStep)
	off, isOff := c.OffAt(piece)
	var all []Stall
	s, rose := Stall{Piece: piece}, false
	for i, r := range readings {
		if r.Time.After(now) || isOff && r.Time.After(off) {
			break
		}
		if !stallingAt(readings[:i+1], r.Time) {
			rose = true
			continue
		}
		if rose && !s.From.IsZero() && r.C > s.Core+stallsApart {
			all = append(all, s)
			s = Stall{Piece: piece}
		}
		rose, s.Between = false, false
		if s.From.IsZero() {
			s.From = r.Time
			if i > 0 && r.Time.Sub(readings[i-1].Time) > rateShort {
				s.From, s.Between = readings[i-1].Time, true
			}
		}
		s.To, s.Core = r.Time, r.C
	}
	return slices.DeleteFunc(append(all, s), func(s Stall) bool { return !s.To.After(s.From) })
}

// LongestStall returns the longest stall of the pieces on the grate, or of all pieces
// once none is on. A stall that has not ended comes before one that has. ok is false
// without a stall.
func (c *Cook) LongestStall(now time.Time) (longest Stall, ok bool) {
	var on, off []Stall
	running := false
	for i := range max(1, len(c.Pieces)) {
		stage, last := c.pieceStage(i, now)
		isOn := stage >= Cooking && stage < TakenOff
		running = running || isOn
		s, found := pickStall(c.Stalls(i, now), c.statusAt(i, now, stage, last).Stalling)
		if !found {
			continue
		}
		if isOn {
			on = append(on, s)
		} else {
			off = append(off, s)
		}
	}
	if !running {
		on = off
	}
	if len(on) == 0 {
		return Stall{}, false
	}
	return slices.MaxFunc(on, func(a, b Stall) int {
		if a.Standing != b.Standing {
			return map[bool]int{true: 1, false: -1}[a.Standing]
		}
		return cmp.Compare(a.Lasted(), b.Lasted())
	}), true
}

// stallStep is the time between the readings that are examined for a stall in a probe
// series.
const stallStep = time.Minute
