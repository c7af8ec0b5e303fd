// Package hold says for how long the box keeps the meat hot, what to do if that
// is not until the meal, and when what is left over must be cold.
package hold

import (
	"fmt"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/safety"
)

// Stage is how far the meat is on its way from the pit to the table.
type Stage string

// The stages.
const (
	StillOn Stage = "still in the pit"
	Resting Stage = "resting" // off, not in the box
	InBox   Stage = "in the box"
	Out     Stage = "out of the box" // or never in it, and served or chilled
)

// Until is a moment as a range: one time in ten earlier than Early, one in ten
// later than Late. All zero where nothing can be told.
type Until struct {
	Early, Likely, Late time.Time
	Open                bool // Late is as far as is foretold; it may be later
}

// Known reports whether there were enough readings for an answer.
func (u Until) Known() bool { return !u.Early.IsZero() }

// Meal is what the hold means for the meal.
type Meal string

// The answers.
const (
	NoMeal   Meal = "no serving hour"
	NoAnswer Meal = "not told"
	Lasts    Meal = "expected to last"
	May      Meal = "may not last"
	Short    Meal = "will not last"
	Fallen   Meal = "has fallen below"
)

// Action is something to do.
type Action struct {
	By   time.Time // the latest; zero: no hour
	Text string
}

// Piece is one piece in the box.
type Piece struct {
	Name     string
	Readings int // of its core since it was boxed, past the carry-over
	Last     journal.Reading
	HasLast  bool
	Now      [2]float64 // °C expected now: tenth and ninetieth percentiles
	AtLimit  Until
	AtLaw    Until
	Rate     [3]float64    // per hour: tenth, fiftieth, ninetieth percentiles
	Unread   time.Duration // out of the box, and for so long without a reading; 0: read lately
}

// Leftovers is the cooling of what is not eaten.
type Leftovers struct {
	Start    time.Time        // from which the limits count; zero: not yet fallen below
	Over     []safety.Overrun // steps that took, or may have taken, too long
	Rests    string           // why from there
	Forecast Until            // of the start, while it is still hot in the box
	HalfBy   time.Time        // 21 °C
	ColdBy   time.Time        // 5 °C
	HalfAt   time.Time        // read at or below 21 °C; zero: not yet
	ColdAt   time.Time
	Last     journal.Reading // the last core
	HasLast  bool
}

// Hold is the box and what comes of it. Where there are several pieces the
// coolest gives the answer.
type Hold struct {
	Stage    Stage
	Limit    float64 // °C, the person's own, never below the law's
	Pieces   []Piece
	AtLimit  Until
	AtLaw    Until
	Room     float64 // °C the box cools towards
	RoomFrom string
	Heated   bool
	Loads    int        // past loads of the box that were learned from
	Keeps    [3]float64 // h a box at 88 °C keeps the limit; while nothing is in it
	Meal     Meal
	MealAt   time.Time
	Do       []Action
	Left     *Leftovers // nil while it is on
	Notes    []string   // what is missing or weak
}

// boxedAt is the core a box is usually closed on, °C: from 94 °C after a rest
// (chosen).
const boxedAt = 88.0

// Look reads the box at now; past cooks teach how it cools.
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

// stageOf tells the stage at now: in the box as long as one piece is.
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

// piece adds one piece that is in the box, or is about to be.
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
		return // this one is out already
	case !boxed:
		last, unread := uncovered(c, i, now)
		if unread > readBy {
			h.note("The piece%s is not in the box, and was not read for %s.", space(name), measure.FormatHours(unread.Hours()))
			h.Pieces = append(h.Pieces, Piece{Name: name, Unread: unread})
			return
		}
		if h.Stage == InBox {
			h.note("The piece%s is not in the box yet; it is taken to go in now.", space(name))
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
		l.start, l.startSD = s.before.C-restFall, unread
		h.note("The core was last read at %s, before the box%s: the first temperature in it is a guess.", measure.FormatTime(p.Last.Time, measure.Clock, sys), of(name))
	default:
		h.note("No core reading%s: nothing can be told of it. Read it now.", of(name))
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

// unread is the piece that has been out of the box and unread for longest.
func (h *Hold) unread() (longest Piece, ok bool) {
	for _, p := range h.Pieces {
		if p.Unread > longest.Unread {
			longest, ok = p, true
		}
	}
	return longest, ok
}

// staleAfter is when a reading in the box is due again (chosen: the usual look
// into a box is hourly).
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

// earlier joins two pieces: the coolest counts, and the ends of the range with
// it.
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

// read reports whether a piece was read below a temperature last.
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

// leftovers finds from when the limits of cooling count, and what was read
// since. The piece that fell first starts the clock, the last to be cold ends
// it.
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

// lastOf is the later of two moments; one that has not come is later still.
func lastOf(first bool, a, b time.Time) time.Time {
	switch {
	case first || !a.IsZero() && b.After(a):
		return b
	case b.IsZero():
		return b
	}
	return a
}

// cooledPiece is what was read of one piece since it came off; Start is zero
// while it was never read below the law's limit.
func cooledPiece(c *journal.Cook, i int, now time.Time) (l Leftovers) {
	off, ok := c.OffAt(i)
	if !ok {
		return l
	}
	var fell []journal.Reading // from the last at the limit on
	defer func() { l.Over = safety.FoodCode.Overran(fell) }()
	hot, rests := off, "it was never read above the limit after it came off"
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

// lastHot is the last moment the meat was known to be at or above the hot
// limit: read so, else when it came off.
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

// degrees prints a temperature for the reader.
func degrees(celsius float64, s journal.Settings) string {
	return measure.FormatTemperature(celsius, s.Units)
}
