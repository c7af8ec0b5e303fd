// Package hold forecasts for how long the box keeps the meat hot, says what to do if that is not long enough for the meal, and by when leftovers must be cold.
package hold

import (
	"fmt"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/safety"
)

// Stage says where the meat is.
type Stage string

// The stages.
const (
	StillOn Stage = "still in the pit"
	Resting Stage = "resting" // off, not in the box
	InBox   Stage = "in the box"
	Out     Stage = "out of the box" // or never boxed, and served or chilled
)

// Until is a forecast of a time: Early, Likely and Late are its 10th, 50th and 90th
// percentiles. All are zero if there is no forecast.
type Until struct {
	Early, Likely, Late time.Time
	Open                bool // Late is the end of the forecast; the time may be later
}

// Known reports whether there is a forecast.
func (u Until) Known() bool { return !u.Early.IsZero() }

// Meal says whether the meat stays hot until the meal.
type Meal string

// The answers.
const (
	NoMeal   Meal = "no serving hour"
	NoAnswer Meal = "not known"
	Lasts    Meal = "expected to last"
	May      Meal = "may not last"
	Short    Meal = "will not last"
	Fallen   Meal = "has fallen below"
)

// Action is one thing to do.
type Action struct {
	By   time.Time // the latest time for it; zero: none
	Text string
}

// Piece is one piece that came off and is not out of the box.
type Piece struct {
	Name     string
	Readings int // number of core readings in the box since the core was highest
	Last     journal.Reading
	HasLast  bool
	Now      [2]float64    // core expected now, °C: 10th and 90th percentiles
	AtLimit  Until         // when it falls to Hold.Limit
	AtLaw    Until         // when it falls to journal.SafeHold
	Rate     [3]float64    // cooling rate k, 1/h: 10th, 50th and 90th percentiles
	Unread   time.Duration // outside the box without a reading for longer than readBy; else 0
}

// Leftovers is the cooling of what is not eaten (limits: safety.FoodCode).
type Leftovers struct {
	Start    time.Time        // when the limits count from; zero: not below the limit yet
	Over     []safety.Overrun // steps that took, or may have taken, too long
	Rests    string           // why Start is that time, as printed
	Forecast Until            // when Start will be, while the meat is hot in the box
	HalfBy   time.Time        // latest time to be at 21 °C
	ColdBy   time.Time        // latest time to be at 5 °C
	HalfAt   time.Time        // first reading at or below 21 °C; zero: none yet
	ColdAt   time.Time        // first reading at or below 5 °C; zero: none yet
	Last     journal.Reading  // last core reading
	HasLast  bool
}

// Hold is the state of the meat and the forecast. With several pieces, the coolest gives
// AtLimit and AtLaw.
type Hold struct {
	Stage    Stage
	Limit    float64 // the person's hold limit, °C; at least journal.SafeHold
	Pieces   []Piece
	AtLimit  Until      // when the coolest piece falls to Limit
	AtLaw    Until      // when the coolest piece falls to journal.SafeHold
	Room     float64    // temperature the box cools towards, °C
	RoomFrom string     // what Room is based on, as printed
	Heated   bool       // the box is heated
	Loads    int        // past holds that the cooling rate is learned from
	Keeps    [3]float64 // while still in the pit: h from boxedAt to Limit; 10th, 50th, 90th percentiles
	Meal     Meal
	MealAt   time.Time // zero: no serving hour
	Do       []Action
	Left     *Leftovers // nil while the meat is in the pit
	Notes    []string   // what is missing or uncertain
}

// boxedAt is the usual core when the meat is boxed, °C: from 94 °C after a rest (chosen).
const boxedAt = 88.0

// Look returns the state and forecast at now. Past cooks show how the box cools.
func Look(c *journal.Cook, past []journal.Cook, s journal.Settings, now time.Time) Hold {
	h := Hold{Limit: s.HoldLimit(), MealAt: c.Serve, Meal: NoAnswer}
	h.Stage = stageOf(c, now)
	b, loads := fromPast(past, beginning(c))
	h.Loads = loads
	boxed, _ := c.First(journal.Boxed)
	var sd float64
	h.Room, sd, h.RoomFrom, h.Heated = room(c, boxed, now, s.Units)
	if h.Heated {
		b = anyBox()
	}
	for i := range max(1, len(c.Pieces)) {
		h.piece(c, i, load{rate: b, room: h.Room, roomSD: sd}, now, s.Units)
	}
	if h.Stage == StillOn {
		h.Keeps, _ = Keeps(boxedAt, h.Limit, c, past)
	} else {
		h.Left = leftovers(c, &h, now)
	}
	h.Meal = h.meal()
	h.plan(s, now)
	return h
}

// stageOf returns the stage at now; InBox if any piece is in the box.
func stageOf(c *journal.Cook, now time.Time) Stage {
	switch st := c.Status(now).Stage; {
	case st < journal.TakenOff:
		return StillOn
	case st > journal.Holding:
		return Out
	}
	stage := Resting
	for i := range max(1, len(c.Pieces)) {
		s, boxed := latest(c, i, now)
		if boxed && s.out.IsZero() {
			return InBox
		}
		if boxed {
			stage = Out
		}
	}
	for _, act := range []journal.Act{journal.Pulled, journal.Sliced} {
		if t, ok := c.First(act); ok && !t.After(now) {
			stage = Out
		}
	}
	return stage
}

// piece adds a piece that is in the box, or can go in now.
func (h *Hold) piece(c *journal.Cook, i int, l load, now time.Time, sys measure.System) {
	name := ""
	if i < len(c.Pieces) {
		name = c.Pieces[i].Name
	}
	s, boxed := latest(c, i, now)
	switch {
	case h.Stage == StillOn || h.Stage == Out:
		return
	case boxed && !s.out.IsZero():
		return // already out of the box
	case !boxed:
		last, unread := uncovered(c, i, now)
		if unread > readBy {
			h.note("The piece%s is not in the box, and its core was not read for %s.", space(name), measure.FormatHours(unread.Hours()))
			h.Pieces = append(h.Pieces, Piece{Name: name, Unread: unread})
			return
		}
		if h.Stage == InBox {
			h.note("The piece%s is not in the box yet; the forecast assumes that it goes in now.", space(name))
		}
		s = stay{in: now, before: last, hasPast: last.C > 0}
		s.before.C = load{rate: bare(), room: l.room, roomSD: l.roomSD, start: last.C, startSD: readError}.work().at(unread.Hours(), .5)[0]
	}
	p := Piece{Name: name, Readings: len(s.seen)}
	switch n := len(s.seen); {
	case n > 0:
		p.Last, p.HasLast = s.seen[n-1], true
		l.seen = s.observations()
	case s.hasPast:
		p.Last, p.HasLast = s.before, true
		if !boxed {
			p.Last, _ = c.LastCore(i, now)
		}
		l.start, l.startSD = s.before.C-restFall, guessError
		h.note("The core%s was last read at %s, before it was boxed: its temperature at the start of the hold is a guess.", of(name), measure.FormatTime(p.Last.Time, measure.Clock, sys))
	default:
		h.note("No core reading%s: there is no forecast for it. Read it now.", of(name))
		h.Pieces = append(h.Pieces, p)
		return
	}
	w := l.work()
	since := now.Sub(s.in).Hours()
	p.Now = [2]float64(w.at(since, .1, .9))
	p.Rate = [3]float64(w.rate(.1, .5, .9))
	p.AtLimit = until(s.in, w.falls(h.Limit, .1, .5, .9), w.from)
	p.AtLaw = until(s.in, w.falls(journal.SafeHold, .1, .5, .9), w.from)
	h.Pieces = append(h.Pieces, p)
	h.AtLimit, h.AtLaw = earlier(h.AtLimit, p.AtLimit), earlier(h.AtLaw, p.AtLaw)
	if old := now.Sub(p.Last.Time); boxed && old > staleAfter {
		h.note("The last core reading%s is %s old: read again.", of(name), measure.FormatHours(old.Hours()))
	}
}

// unread returns the piece that has been outside the box without a reading for longest.
func (h *Hold) unread() (longest Piece, ok bool) {
	for _, p := range h.Pieces {
		if p.Unread > longest.Unread {
			longest, ok = p, true
		}
	}
	return longest, ok
}

// staleAfter is the age at which a core reading in the box is too old (chosen; the usual
// interval is one hour).
const staleAfter = 90 * time.Minute

func (h *Hold) note(format string, args ...any) {
	h.Notes = append(h.Notes, fmt.Sprintf(format, args...))
}

func of(name string) string {
	if name == "" {
		return ""
	}
	return " of " + name
}

func space(name string) string {
	if name == "" {
		return ""
	}
	return " " + name
}

func until(in time.Time, hours []float64, from float64) Until {
	at := func(h float64) time.Time {
		return in.Add(time.Duration(h * float64(time.Hour))).Truncate(time.Minute)
	}
	return Until{at(hours[0]), at(hours[1]), at(hours[2]), hours[2] >= from+horizon-1e-6}
}

// earlier returns the earlier of two forecasts, percentile by percentile.
func earlier(a, b Until) Until {
	switch {
	case !a.Known():
		return b
	case !b.Known():
		return a
	}
	first := func(x, y time.Time) time.Time {
		if x.Before(y) {
			return x
		}
		return y
	}
	return Until{first(a.Early, b.Early), first(a.Likely, b.Likely), first(a.Late, b.Late), a.Open && b.Open}
}

// read reports whether the last reading of any piece is below a temperature.
func (h *Hold) read(below float64) bool {
	for _, p := range h.Pieces {
		if p.HasLast && p.Last.C < below {
			return true
		}
	}
	return false
}

func (h *Hold) meal() Meal {
	unread := false
	for _, p := range h.Pieces {
		unread = unread || !p.HasLast || p.Unread > 0
	}
	switch {
	case h.Stage == StillOn || h.Stage == Out:
		return NoAnswer
	case h.read(journal.SafeHold):
		return Fallen
	case !h.AtLimit.Known() || unread:
		return NoAnswer
	case h.MealAt.IsZero():
		return NoMeal
	case h.AtLimit.Late.Before(h.MealAt):
		return Short
	case h.AtLimit.Early.Before(h.MealAt):
		return May
	}
	return Lasts
}

// leftovers returns the cooling of leftovers. The limits count from the piece that fell
// below the hot limit first; HalfAt and ColdAt are those of the last piece.
func leftovers(c *journal.Cook, h *Hold, now time.Time) *Leftovers {
	l := &Leftovers{}
	first := true
	for i := range max(1, len(c.Pieces)) {
		p := cooledPiece(c, i, now)
		if p.HasLast && (!l.HasLast || p.Last.Time.After(l.Last.Time)) {
			l.Last, l.HasLast = p.Last, true
		}
		if p.Start.IsZero() {
			continue
		}
		l.Over = append(l.Over, p.Over...)
		if first || p.Start.Before(l.Start) {
			l.Start, l.Rests = p.Start, p.Rests
		}
		l.HalfAt, l.ColdAt = lastOf(first, l.HalfAt, p.HalfAt), lastOf(first, l.ColdAt, p.ColdAt)
		first = false
	}
	if l.Start.IsZero() && h.Stage != Out && h.AtLaw.Known() {
		l.Forecast = h.AtLaw
		return l
	}
	if l.Start.IsZero() {
		l.Start, l.Rests = lastHot(c, now)
	}
	if !l.Start.IsZero() {
		l.HalfBy = l.Start.Add(time.Duration(safety.FirstCooling * float64(time.Hour)))
		l.ColdBy = l.Start.Add(time.Duration(safety.WholeCooling * float64(time.Hour)))
	}
	return l
}

// lastOf returns the later of two times. The zero time means "not yet" and counts as
// later than any other.
func lastOf(first bool, a, b time.Time) time.Time {
	switch {
	case first || !a.IsZero() && b.After(a):
		return b
	case b.IsZero():
		return b
	}
	return a
}

// cooledPiece returns how one piece cooled since it came off. Start is zero if no
// reading was below journal.SafeHold.
func cooledPiece(c *journal.Cook, i int, now time.Time) (l Leftovers) {
	off, ok := c.OffAt(i)
	if !ok {
		return l
	}
	var fell []journal.Reading // readings from the last one at or above the limit
	defer func() { l.Over = safety.FoodCode.Overran(fell) }()
	hot, rests := off, "when it came off; it was never read at or above the limit after that"
	for _, r := range c.CoreReadings(i) {
		if r.Time.Before(off) || r.Time.After(now) {
			continue
		}
		l.Last, l.HasLast = r, true
		fell = append(fell, r)
		if l.Start.IsZero() && r.C >= journal.SafeHold {
			hot, rests, fell = r.Time, "the last reading at or above the limit", []journal.Reading{r}
		}
		if r.C < journal.SafeHold && l.Start.IsZero() {
			l.Start, l.Rests = hot, rests
		}
		if r.C <= safety.CoolHalf && l.HalfAt.IsZero() {
			l.HalfAt = r.Time
		}
		if r.C <= safety.ColdHold && l.ColdAt.IsZero() {
			l.ColdAt = r.Time
		}
	}
	return l
}

// lastHot returns when the meat was last known to be at or above the hot limit: by a
// reading, else when it came off; and the words for why.
func lastHot(c *journal.Cook, now time.Time) (time.Time, string) {
	var last time.Time
	piece := ""
	for i := range max(1, len(c.Pieces)) {
		r, ok := c.LastCore(i, now)
		if ok && r.C >= journal.SafeHold && (last.IsZero() || r.Time.Before(last)) {
			last = r.Time
			if len(c.Pieces) > 1 {
				piece = c.Pieces[i].Name
			}
		}
	}
	if last.IsZero() {
		last, _ = c.Finish()
		return last, "when it came off; no core was read since"
	}
	return last, fmt.Sprintf("the last reading%s at or above the limit; it was not read since", of(piece))
}

// degrees prints a temperature in the unit of s.
func degrees(celsius float64, s journal.Settings) string {
	return measure.FormatTemperature(celsius, s.Units)
}
