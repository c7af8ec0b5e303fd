package journal

import (
	"slices"
	"strings"
	"time"

	"ashbook/journal/measure"
)

// Stage is how far a piece or a cook has come.
type Stage uint8

// The stages, in order.
const (
	Planned  Stage = iota
	Settling       // the fire is lit, nothing is on yet
	Cooking        // on the grate
	Wrapped        // on the grate, wrapped
	Tender         // on the grate, and the probe slides in (feel 3)
	TakenOff
	Holding // in the box
	Eaten   // served
	Cold    // chilled
)

func (s Stage) String() string {
	return [...]string{"planned", "settling", "on", "wrapped", "tender", "off", "holding", "served", "chilled"}[s]
}

// Status is a stage and what else is known about it.
type Status struct {
	Stage    Stage
	Stalling bool // the core is between StallFrom and StallTo and hardly rises
	LeftOpen bool // nobody noted that it came off, and there is no entry for over 36 h
}

func (s Status) String() string {
	switch {
	case s.LeftOpen:
		return "left open"
	case s.Stalling && s.Stage == Wrapped:
		return "wrapped, stalling"
	case s.Stalling:
		return "stalling"
	}
	return s.Stage.String()
}

// Limits of the stall: evaporation balances the heat while the core is at 60 to 80 °C
// and gains less than 2 K in an hour. Common practice, no source.
const (
	StallFrom = 60.0
	StallTo   = 80.0
	StallRate = 2.0
)

// openFor is how long after its last entry a cook without an end counts as running:
// longer than the longest night and the sleep after it (chosen).
const openFor = 36 * time.Hour

// Status returns the status of the cook at now: that of its slowest piece. A cook with
// one piece on and another still to come is settling, not planned. It ignores entries
// after now.
func (c *Cook) Status(now time.Time) Status { return c.slowest(now, c.PieceStatus) }

// slowest returns what Status does; of returns the status of each piece.
func (c *Cook) slowest(now time.Time, of func(piece int, now time.Time) Status) Status {
	st, first := Status{Stage: Cold}, Status{}
	for i := range max(1, len(c.Pieces)) {
		p := of(i, now)
		if p.Stage < st.Stage || p.Stage == st.Stage && p.Stalling {
			st = p
		}
		if p.Stage > first.Stage {
			first = p
		}
	}
	if st.Stage == Planned && first.Stage > Planned {
		st = Status{Stage: Settling, LeftOpen: first.LeftOpen}
	}
	return st
}

// PieceStatus returns the status of one piece at now.
func (c *Cook) PieceStatus(piece int, now time.Time) Status {
	stage, last := c.pieceStage(piece, now)
	return c.statusAt(piece, now, stage, last)
}

// statusAt returns the status of a piece at a stage. last is the time of the last entry
// up to now.
func (c *Cook) statusAt(piece int, now time.Time, stage Stage, last time.Time) Status {
	st := openStatus(now, stage, last)
	if st.Running() && stage >= Cooking {
		st.Stalling = stallingAt(c.coreSince(piece, now.Add(-2*rateGap)), now)
	}
	return st
}

// openStatus does what statusAt does, but never returns Stalling, since that needs all
// readings to be judged.
func openStatus(now time.Time, stage Stage, last time.Time) Status {
	open := stage > Planned && stage < TakenOff
	return Status{Stage: stage, LeftOpen: open && now.Sub(last) > openFor}
}

// PieceStage returns the stage of a piece at now.
func (c *Cook) PieceStage(piece int, now time.Time) Stage {
	s, _ := c.pieceStage(piece, now)
	return s
}

// pieceStage returns the stage of a piece at now, and the time of the last entry up to
// now.
func (c *Cook) pieceStage(piece int, now time.Time) (s Stage, last time.Time) {
	for i, e := range c.Entries {
		if e.Time.After(now) {
			break
		}
		last = e.Time
		for k := range e.Items {
			it := &e.Items[k]
			if next := after(s, it); next != s && (it.Piece == "" || c.PieceIndex(it.Piece) == piece) && c.feelDoubt(i, it, piece) == "" {
				s = next
			}
		}
	}
	return s, last
}

// stage returns the stage of the slowest piece.
func (c *Cook) stage(now time.Time) Stage {
	slowest := Cold
	for i := range max(1, len(c.Pieces)) {
		s, _ := c.pieceStage(i, now)
		slowest = min(slowest, s)
	}
	return slowest
}

// after returns the stage that follows stage s and an item.
func after(s Stage, it *Item) Stage {
	grate := s >= Cooking && s < TakenOff
	switch it.Act {
	case Lit, Settled:
		return max(s, Settling)
	case On, Unwrap:
		if it.Act == On || grate {
			return Cooking
		}
	case PutWrap:
		if s < TakenOff {
			return Wrapped
		}
	case Feel:
		if grate && it.Grade == Feel.TopGrade() {
			return Tender
		}
	case Off, Rest, Unboxed:
		return TakenOff
	case Boxed:
		return Holding
	case Pulled, Sliced:
		return max(s, TakenOff)
	case Served:
		return Eaten
	case Chilled:
		return Cold
	}
	return s
}

// First returns the time of the first entry with the act.
func (c *Cook) First(act Act) (time.Time, bool) {
	for i := range c.Entries {
		if c.Entries[i].holds(act) {
			return c.Entries[i].Time, true
		}
	}
	return time.Time{}, false
}

// OnAt returns when the first piece went on.
func (c *Cook) OnAt() (time.Time, bool) { return c.First(On) }

// OffAt returns when a piece came off: at the entry that names it, or else at the last
// that names no piece. A piece put on again is off only at the next such entry.
func (c *Cook) OffAt(piece int) (time.Time, bool) {
	var at time.Time
	named := false
	for i := range c.Entries {
		e := &c.Entries[i]
		for k := range e.Items {
			it := &e.Items[k]
			if it.Act != On && it.Act != Off {
				continue
			}
			switch mine := it.Piece != "" && c.PieceIndex(it.Piece) == piece; {
			case it.Act == On && (mine || it.Piece == ""):
				at, named = time.Time{}, false
			case it.Act == Off && (mine || it.Piece == "" && !named):
				at, named = e.Time, mine
			}
		}
	}
	return at, !at.IsZero()
}

// Finish returns when the last piece came off; ok is false while a piece is on.
func (c *Cook) Finish() (time.Time, bool) {
	var last time.Time
	for i := range max(1, len(c.Pieces)) {
		t, ok := c.OffAt(i)
		if !ok {
			return time.Time{}, false
		}
		if t.After(last) {
			last = t
		}
	}
	return last, true
}

// Took returns the time from the first piece on to the last piece off.
func (c *Cook) Took() (time.Duration, bool) {
	on, ok := c.OnAt()
	off, done := c.Finish()
	return off.Sub(on), ok && done && off.After(on)
}

// Running reports whether the fire is lit or meat is on at now, and not all is off.
func (c *Cook) Running(now time.Time) bool {
	return c.slowest(now, func(piece int, now time.Time) Status {
		stage, last := c.pieceStage(piece, now)
		return openStatus(now, stage, last)
	}).Running()
}

// Running reports whether a cook with that status is lit or on, and not yet off.
func (s Status) Running() bool { return s.Stage > Planned && s.Stage < TakenOff && !s.LeftOpen }

// Wrapping is one time span in which the meat was wrapped.
type Wrapping struct {
	Kind  Wrap
	Loose bool
	From  time.Time
	To    time.Time // zero: until the end
}

// Wrappings returns these time spans in order.
func (c *Cook) Wrappings() []Wrapping {
	var all []Wrapping
	end := func(t time.Time) {
		if n := len(all); n > 0 && all[n-1].To.IsZero() {
			all[n-1].To = t
		}
	}
	for _, e := range c.Entries {
		for k := range e.Items {
			switch it := &e.Items[k]; it.Act {
			case PutWrap:
				end(e.Time)
				all = append(all, Wrapping{Kind: it.Wrap, Loose: it.Loose, From: e.Time})
			case Unwrap:
				end(e.Time)
			}
		}
	}
	return all
}

// Check is a time at which to look at the cook.
type Check struct {
	Due time.Time
	For string // what it is for: "vent", "wood", "look"
}

// checkEarly is how long before it is due a look already counts as that check.
const checkEarly = 5 * time.Minute

// How long after the last entry to look again if no act sets a time. On the grate and
// in the box it is an hour (common practice, no source). Off the grate and not in the
// box, the core falls fast, so it is half of the hour that USDA-FSIS allows food in hot
// air.
const (
	lookAgain = time.Hour
	lookOff   = 30 * time.Minute
)

// NextCheck returns the earliest check that is still due at now. Each act sets one
// after its interval, the user's own or the usual one. A "recheck" in an entry replaces
// the check of that entry and removes older ones. A check is done by any later entry at
// its time or after, or up to five minutes before, and by the same act again. From the
// fire to the meal there is always a check: an entry that sets none, such as readings
// alone, sets the usual one.
func (c *Cook) NextCheck(now time.Time, s Settings) (Check, bool) {
	if st := c.Status(now); st.Stage >= Eaten || st.LeftOpen {
		return Check{}, false
	}
	var owed []Check
	var usual Check
	for _, e := range c.Entries {
		if e.Time.After(now) {
			break
		}
		owed = slices.DeleteFunc(owed, func(k Check) bool { return !e.Time.Before(k.Due.Add(-checkEarly)) })
		if _, ok := e.Item(Recheck); ok {
			owed = nil
		}
		for _, k := range e.checks(s) {
			owed = slices.DeleteFunc(owed, func(o Check) bool { return o.For == k.For })
			owed = append(owed, k)
		}
		stage := c.stage(e.Time)
		if stage >= TakenOff {
			owed = slices.DeleteFunc(owed, func(k Check) bool { return k.For != Boxed.Word() && k.For != lookWord })
		}
		usual = Check{}
		if stage > Planned {
			usual = Check{e.Time.Add(lookAgain), lookWord}
		}
		if stage == TakenOff {
			usual.Due = e.Time.Add(lookOff)
		}
	}
	if len(owed) == 0 {
		return usual, !usual.Due.IsZero()
	}
	return slices.MinFunc(owed, func(a, b Check) int { return a.Due.Compare(b.Due) }), true
}

// lookWord names a check that only "recheck", or no act, has set.
const lookWord = "look"

func (e Entry) checks(s Settings) []Check {
	var acts []string
	var all []Check
	for _, it := range e.Items {
		after := it.Act.DefaultRecheck()
		if own, ok := s.Recheck[it.Act]; ok {
			after = measure.Duration(own)
		}
		if after > 0 {
			acts = append(acts, it.Act.Word())
			all = append(all, Check{e.Time.Add(after), it.Act.Word()})
		}
	}
	if it, ok := e.Item(Recheck); ok {
		label := lookWord
		if len(acts) > 0 {
			label = strings.Join(acts, ", ")
		}
		return []Check{{e.Time.Add(measure.Duration(it.After)), label}}
	}
	return all
}

// LastDone returns the last entry at or before now in which something was done and not
// only read, with only those items.
func (c *Cook) LastDone(now time.Time) (Entry, bool) {
	for _, e := range slices.Backward(c.Entries) {
		if e.Time.After(now) {
			continue
		}
		done := slices.DeleteFunc(slices.Clone(e.Items), func(it Item) bool {
			return it.Act.TakesTemperature() && it.Act != SetPit && it.Act != SetCore || it.Act == Recheck || it.Act == Sure
		})
		if len(done) > 0 {
			e.Items = done
			return e, true
		}
	}
	return Entry{}, false
}

// LastEntry returns the time of the last entry.
func (c *Cook) LastEntry() (time.Time, bool) {
	if len(c.Entries) == 0 {
		return time.Time{}, false
	}
	return c.Entries[len(c.Entries)-1].Time, true
}
