package hold

import (
	"fmt"
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

const (
	usualRoom  = 20.0             // room temperature if none was noted, °C (chosen: a kitchen)
	steadyBand = 4.0              // K within which box air counts as steady
	steadyFor  = 45 * time.Minute // time for which it must be steady
	warmer     = 10.0             // K above the room at which steady air means a heated box
	tooHot     = 101.0            // °C: a higher core reading is a fault
)

// stay is the time of one piece in the box.
type stay struct {
	in, out time.Time // zero out: still in
	seen    []journal.Reading
	before  journal.Reading // last core reading before it was boxed
	hasPast bool
}

// readBy is how long after its last reading meat outside the box is still forecast
// (chosen: at the fastest it loses about 25 K in that time).
const readBy = 30 * time.Minute

// uncovered returns the last core reading of a piece outside the box, and the time without
// a reading since it came off.
func uncovered(c *journal.Cook, piece int, now time.Time) (last journal.Reading, unread time.Duration) {
	off, ok := c.OffAt(piece)
	if !ok {
		off = now
	}
	if r, ok := c.LastCore(piece, now); ok && r.C <= tooHot {
		last = r
	}
	if last.Time.After(off) {
		off = last.Time
	}
	return last, now.Sub(off)
}

// latest returns the last stay of a piece in the box, up to now; ok is false if none.
func latest(c *journal.Cook, piece int, now time.Time) (s stay, ok bool) {
	for _, e := range c.Entries {
		if e.Time.After(now) {
			continue
		}
		for _, it := range e.Items {
			if it.Piece != "" && c.PieceIndex(it.Piece) != piece {
				continue
			}
			switch it.Act {
			case journal.Boxed:
				s, ok = stay{in: e.Time}, true
			case journal.Unboxed, journal.Pulled, journal.Sliced, journal.Served, journal.Chilled, journal.On:
				if ok && s.out.IsZero() && e.Time.After(s.in) {
					s.out = e.Time
				}
			}
		}
	}
	if !ok {
		return s, false
	}
	for _, r := range c.CoreReadings(piece) {
		switch end := s.out; {
		case r.Time.After(now) || r.C > tooHot:
		case r.Time.Before(s.in):
			s.before, s.hasPast = r, true
		case end.IsZero() || !r.Time.After(end):
			s.seen = append(s.seen, r)
		}
	}
	s.seen = pastCarryOver(s.seen)
	return s, true
}

// pastCarryOver drops the readings from before the core was highest, while heat from
// the outer meat still raised it.
func pastCarryOver(r []journal.Reading) []journal.Reading {
	top := 0
	for i := range r {
		if r[i].C >= r[top].C {
			top = i
		}
	}
	return r[min(top, len(r)):]
}

// observations returns the readings of a stay, at most about one in five minutes.
func (s stay) observations() []observed {
	var out []observed
	var last time.Time
	for i, r := range s.seen {
		if i > 0 && r.Time.Sub(last) < 5*time.Minute && i < len(s.seen)-1 {
			continue
		}
		last = r.Time
		out = append(out, observed{r.Time.Sub(s.in).Hours(), r.C})
	}
	return out
}

// room returns the temperature the box cools towards, its standard deviation, both °C, and
// the words for what it is based on. Air in the box counts only if it is steady and well
// above the room: then the box is heated. Else it cools with the meat.
func room(c *journal.Cook, from, to time.Time, sys measure.System) (celsius, sd float64, rests string, heated bool) {
	celsius, rests = usualRoom, "assumed, because no air temperature was noted"
	if c.Weather.Air.Known {
		celsius, rests = c.Weather.Air.Base, "from the weather noted"
	}
	var inBox []journal.Reading
	for _, e := range c.Entries {
		if e.Time.After(to) {
			continue
		}
		if it, ok := e.Item(journal.ReadAir); ok && it.Temp.Known {
			celsius, rests = it.Temp.Base, "air read at "+measure.FormatTime(e.Time, measure.Clock, sys)
		}
	}
	for _, r := range c.BoxReadings() {
		if !r.Time.Before(from) && !r.Time.After(to) {
			inBox = append(inBox, r)
		}
	}
	if n := len(inBox); n >= 2 && inBox[n-1].Time.Sub(inBox[0].Time) >= steadyFor {
		low, high, sum := inBox[0].C, inBox[0].C, 0.0
		for _, r := range inBox {
			low, high, sum = min(low, r.C), max(high, r.C), sum+r.C
		}
		if mean := sum / float64(n); high-low <= steadyBand && low > celsius+warmer {
			return mean, steadyBand / 2, fmt.Sprintf("the air in the box was steady in %d readings, so it is a heated box", n), true
		}
	}
	return celsius, roomSpread, rests, false
}

// fromPast learns the cooling rate of the person's box from the cooks before a time
// that noted at least two cores in an unheated box. loads is the number of these cooks.
func fromPast(past []journal.Cook, before time.Time) (b belief, loads int) {
	var lnK, variance []float64
	for i := range past {
		c := &past[i]
		if !c.Date().Before(before) {
			continue
		}
		var sum, weight float64
		for piece := range max(1, len(c.Pieces)) {
			if k, v, ok := pastRate(c, piece); ok {
				sum += k / v
				weight += 1 / v
			}
		}
		if weight > 0 {
			lnK = append(lnK, sum/weight)
			variance = append(variance, 1/weight)
		}
	}
	return learned(lnK, variance), len(lnK)
}

// pastRate returns ln k between the first and last reading of a stay, by Newton's law
// k = ln((T₁−A)/(T₂−A))/Δt, and its variance from the errors of the readings and the room.
// Ok is false if the readings do not give a rate.
func pastRate(c *journal.Cook, piece int) (lnK, variance float64, ok bool) {
	s, ok := latest(c, piece, c.Date().AddDate(1, 0, 0))
	if !ok || len(s.seen) < 2 {
		return 0, 0, false
	}
	end := s.out
	if end.IsZero() {
		end = s.seen[len(s.seen)-1].Time
	}
	air, sd, _, heated := room(c, s.in, end, measure.Metric)
	a, b := s.seen[0], s.seen[len(s.seen)-1]
	hours := b.Time.Sub(a.Time).Hours()
	up, down := a.C-air, b.C-air
	if heated || hours < .5 || down < 1 || up-down < 2 {
		return 0, 0, false
	}
	fall := math.Log(up / down)
	byReading := readError * readError * (1/(up*up) + 1/(down*down))
	byRoom := math.Pow(sd*(1/down-1/up), 2)
	return math.Log(fall / hours), (byReading + byRoom) / (fall * fall), true
}

// Keeps returns for how many hours a box keeps meat at or above limit: 10th, 50th and 90th
// percentiles. From is the core when it is boxed, °C. The room is that of c; the rate is
// learned from past cooks, loads of them.
func Keeps(from, limit float64, c *journal.Cook, past []journal.Cook) (hours [3]float64, loads int) {
	b, loads := fromPast(past, beginning(c))
	air, sd, _, _ := room(c, time.Time{}, time.Time{}, measure.Metric)
	got := load{rate: b, room: air, roomSD: sd, start: from, startSD: readError}.work().falls(limit, .1, .5, .9)
	return [3]float64(slices.Clone(got)), loads
}

// beginning returns the time before which a cook counts as past.
func beginning(c *journal.Cook) time.Time {
	if d := c.Date(); !d.IsZero() {
		return d
	}
	return time.Unix(1<<40, 0)
}
