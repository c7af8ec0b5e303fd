package journal

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"time"

	"ashbook/journal/measure"
)

// Doubt is an item that other notes of the cook contradict. It stays in the file and is
// shown with a question mark. CoreReadings, PitReadings, LastCore, LastPit and the
// stages ignore it, until the user confirms it (Sure) or the next reading agrees with
// it. Later entries decide about earlier moments too: to see a cook as it looked then,
// remove the later entries first.
type Doubt struct {
	Entry int // index into Cook.Entries
	Item  int // index into its Items
	Slip  Slip
	Why   string // "core 17 °C, last was 71 °C: swapped digits?"
}

// Limits of what a core can do between two readings. A steeper change has another
// cause: a typing slip, another unit, or a probe that was moved.
const (
	// A probe pushed half as deep into a slab whose outside is 50 K hotter reads
	// 50·(1−cos 45°) = 15 K more (first term of the series for a slab). Readings within
	// that agree.
	aside = 15.0 // K
	// Two readings, each correct to 1 K, differ by 2.8 K one time in twenty: a core on
	// the grate may read this much lower without having cooled.
	Dips = 3.0 // K
	// A slab of 4 cm in dry air, h = 20 W/(m²·K), warms with the time constant τ =
	// ρcL/h·(1+Bi/3) = 1.3 h. No core rises faster than (pit − core)/τ.
	quickest = 1.3   // h
	hotPit   = 150.0 // °C; the hottest a slow pit commonly is (common practice, no source)
	// A boned cut of 5 cm, wet, in air of 20 °C, h = 25 W/(m²·K): the same τ is 2.6 h,
	// so from 95 °C it loses up to 29 K/h.
	steepFall = 30.0 // K/h
)

// Steep reports whether a core cannot have gone from reading a to reading b in a pit of
// up to 150 °C.
func Steep(a, b Reading) bool { return steep(a, b, hotPit) }

func steep(a, b Reading, pit float64) bool {
	h, rise := b.Time.Sub(a.Time).Hours(), b.C-a.C
	return rise > max(aside, (pit-(a.C+b.C)/2)/quickest*h) || -rise > max(aside, steepFall*h)
}

// Limits beyond which a reading is doubted. Where a limit comes from a physical
// estimate, that is next to it; the others are common practice, no source. None was
// fitted to cooks.
const (
	// A whole cut gains 5 to 12 K/h on the way to the stall (common practice, no
	// source). A typing slip is looked for only if the core rises faster, and only from
	// slowFrom on, where even thin cuts rise slowly.
	riseUsual = 15.0 // K/h
	slowFrom  = 45.0 // °C
	// The reading with two digits swapped must fit three times as well as the written
	// one (chosen: with random digits it does one time in five).
	better = 3.0
	// Fires are built, opened and lost within an hour (common practice, no source), so
	// an older pit reading says nothing about the next.
	pitAfter = time.Hour
	// Slow pits run at 93 °C, which is 200 °F, and more: a higher number is in °F, or
	// the fire is out of control.
	pitMost   = 200.0 // °C
	probeMost = 400.0 // °C; where the insulation of braided probe wires fails (from memory)
	coldest   = -30.0 // °C; a freezer is at −18, winter nights are colder
	// Twice the 1 K of a kitchen probe, and 1 K for salt: a brine of 58 g/kg boils 1 K
	// higher (.51 K·kg/mol, two ions).
	overBoil = 3.0 // K
	// Collagen turns to gelatine from 70 to 80 °C (Encyclopedia of Meat Sciences):
	// below that no probe slides into a tough cut.
	tenderAt = 75.0 // °C
)

// quantity has the rules for readings of one kind.
type quantity struct {
	low, high float64 // limits of a reading noted by hand, °C
	probed    float64 // highest value a probe can record, °C
	tooHigh   string  // message for a noted reading above high
	borne     bool    // a second reading may confirm a reading above high
	inert     bool    // the quantity cannot jump and come back
	// odd says why a reading cannot follow the last two believed readings; "" if it
	// can. slip looks for a typing slip that explains it.
	odd func(n *note, before, last Reading, slip func() string) string
	// near does the same for a reading that agrees with the last one. If near is nil,
	// such a reading is believed.
	near func(n *note, last Reading) string
	// lone reports whether the reading last fits neither before nor next, while next
	// follows from before; nil for never.
	lone func(older, before, last, next Reading) bool
}

// can reports whether a noted reading is within the limits.
func (q quantity) can(c float64) bool { return c >= q.low && c <= q.high }

// wrote reports whether a probe can have recorded a value. NaN means it recorded none.
func (q quantity) wrote(c float64) bool { return c >= q.low && c <= q.probed }

// Questioned is the mark shown after a doubted item.
const Questioned = " ?"

// Shown returns the body of each entry as shown to the user, with a mark after doubted
// items.
func (c *Cook) Shown() []string {
	doubts := c.Doubts()
	out := make([]string, len(c.Entries))
	for i, e := range c.Entries {
		out[i] = e.body(func(item int) string {
			if slices.ContainsFunc(doubts, func(d Doubt) bool { return d.Entry == i && d.Item == item }) {
				return Questioned
			}
			return ""
		})
	}
	return out
}

// Unsure returns the doubts about the last entry with a reading at or before now. An
// entry with Sure confirms such a reading.
func (c *Cook) Unsure(now time.Time) []Doubt {
	last := -1
	for i, e := range c.Entries {
		if !e.Time.After(now) && e.holds(doubtable...) {
			last = i
		}
	}
	return slices.DeleteFunc(c.Doubts(), func(d Doubt) bool { return d.Entry != last })
}

// DoubtsOf returns the doubts about an entry that is about to be added. Their Entry
// field has the index that the entry would get.
func (c *Cook) DoubtsOf(e Entry) []Doubt {
	trial := *c
	at := sort.Search(len(c.Entries), func(i int) bool { return c.Entries[i].Time.After(e.Time) })
	trial.Entries = slices.Insert(slices.Clone(c.Entries), at, e)
	return slices.DeleteFunc(trial.Doubts(), func(d Doubt) bool { return d.Entry != at })
}

// Doubts returns the doubts about all items, in the order of the cook.
func (c *Cook) Doubts() []Doubt {
	var all []Doubt
	add := func(notes []note) {
		for _, n := range notes {
			if n.why != "" {
				all = append(all, Doubt{n.entry, n.item, n.slip, n.why})
			}
		}
	}
	add(c.judgedPit())
	for i := range max(1, len(c.Pieces)) {
		notes, _ := c.judgedCore(i)
		add(notes)
	}
	for e := range c.Entries {
		for k := range c.Entries[e].Items {
			for i := range max(1, len(c.Pieces)) {
				if why := c.feelDoubt(e, &c.Entries[e].Items[k], i); why != "" {
					all = append(all, Doubt{e, k, NoSlip, why})
					break
				}
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Doubt) int {
		return cmp.Or(cmp.Compare(a.Entry, b.Entry), cmp.Compare(a.Item, b.Item))
	})
	return all
}

func (c *Cook) judgedPit() []note {
	return c.judged(aroundMeat, c.pitRule(), c.Series.Pit)
}

func (c *Cook) judgedCore(piece int) ([]note, quantity) {
	rule := c.coreRule()
	return c.judged(func(it *Item) bool { return it.Act == ReadCore && c.PieceIndex(it.Piece) == piece }, rule, c.coreSeries(piece)), rule
}

// coreSeries returns the probe series of a piece; nil for none.
func (c *Cook) coreSeries(piece int) []float64 {
	for _, s := range c.Series.Cores {
		if c.PieceIndex(s.Piece) == piece {
			return s.C
		}
	}
	return nil
}

// notes returns the readings of one quantity noted by hand.
func (c *Cook) notes(want func(*Item) bool) []note {
	n := 0
	for _, e := range c.Entries {
		for k := range e.Items {
			if it := &e.Items[k]; it.Temp.Known && want(it) {
				n++
			}
		}
	}
	if n == 0 {
		return nil
	}
	out := make([]note, 0, n)
	sure := c.confirmed()
	pit, before := 0.0, 0.0
	var at time.Time // time of the last pit reading
	for e := range c.Entries {
		before = pit
		here, noted := c.Entries[e].Item(ReadPit)
		old := c.Entries[e].Time.Sub(at) > pitAfter // without a recent pit reading, nothing else shows that they were swapped
		if noted = noted && here.Temp.Known && !c.impossible(&here); noted {
			pit, at = here.Temp.Base, c.Entries[e].Time
		}
		items := c.Entries[e].Items
		for k := range items {
			it := &items[k]
			if !it.Temp.Known || !want(it) {
				continue
			}
			n := note{entry: e, item: k, at: c.Entries[e].Time, temp: it.Temp, sure: sure[e], act: it.Act, piece: it.Piece}
			if it.Act == ReadCore {
				if n.around = before; noted {
					n.in = pit
				}
			}
			for j := range items {
				if other := &items[j]; j != k && other.Temp.Known && (other.Act == ReadPit || other.Act == ReadCore) {
					n.beside = append(n.beside, other.Temp.Base)
					n.tainted = n.tainted || c.impossible(other) || it.Act == ReadPit && old && c.swapped(before, it, other)
				}
			}
			out = append(out, n)
		}
	}
	return out
}

// swapped reports whether a core too hot for meat fits the last pit reading, and the
// pit on the same line does not: the two were swapped.
func (c *Cook) swapped(pit float64, it, core *Item) bool {
	return core.Act == ReadCore && core.Temp.Base > BoilingPoint(c.Altitude)+overBoil && pit > 0 && agree(pit, core.Temp.Base) && !agree(pit, it.Temp.Base)
}

// confirmed returns, for each entry, whether an entry with Sure confirms its readings:
// itself, or a later one with no reading in between.
func (c *Cook) confirmed() []bool {
	sure := make([]bool, len(c.Entries))
	last := -1
	for i, e := range c.Entries {
		if e.holds(doubtable...) {
			last = i
		}
		if last >= 0 && e.holds(Sure) {
			sure[last] = true
		}
	}
	return sure
}

// doubtable are the acts whose items can be doubted.
var doubtable = []Act{ReadPit, ReadCore, Feel}

// impossible reports whether a reading is so far outside the limits that its line may
// be in another unit. A core slightly above the boiling point is only an error of its
// probe.
func (c *Cook) impossible(it *Item) bool {
	if it.Act == ReadCore {
		return it.Temp.Base > BoilingPoint(c.Altitude)+overBoil+aside || it.Temp.Base < coldest
	}
	return it.Temp.Base > pitMost || it.Temp.Base < coldest
}

// judged checks the noted readings of one quantity in order. Each is compared with the
// last believed reading, noted or from a probe. A reading that agrees with a doubted
// one confirms it, unless both may be in the wrong unit.
func (c *Cook) judged(want func(*Item) bool, q quantity, probe []float64) []note {
	notes := c.notes(want)
	var last, before, older Reading
	var lastNote *note
	var waiting []*note
	settle := func(c float64, slip Slip) (found bool) {
		for _, w := range waiting {
			nearer := last.Time.IsZero() || math.Abs(w.temp.Base-c) < math.Abs(last.C-c)
			if agree(w.temp.Base, c) && nearer && !(slip == OtherUnit && w.slip == OtherUnit) {
				w.why, found = "", true
			}
		}
		return found
	}
	for i := range notes {
		n := &notes[i]
		r := Reading{Time: n.at, C: n.temp.Base}
		if p, ok := c.Series.later(last, !last.Time.IsZero(), probe, n.at, q); ok && p != last {
			if len(waiting) > 0 {
				if first, ok := c.Series.firstAfter(waiting[len(waiting)-1].at, n.at, probe, q); ok {
					settle(first.C, NoSlip)
				}
			}
			older, before, last, lastNote, waiting = before, last, p, nil, nil
		}
		if n.why = q.doubt(n, before, last); n.why != "" && q.can(r.C) && !n.tainted && settle(r.C, n.slip) {
			n.why = ""
		}
		switch {
		case n.why == "" && lastNote != nil && !lastNote.sure && q.lone != nil && !before.Time.IsZero() && q.lone(older, before, last, r):
			lastNote.why, lastNote.slip, last, before = n.between(lastNote, before), NoSlip, before, older
		case n.why == "":
			settle(r.C, NoSlip)
		case lastNote != nil && !lastNote.sure && !n.slipped && q.inert && q.can(r.C) && !n.tainted && !before.Time.IsZero() && agree(before.C, r.C) && !agree(before.C, last.C):
			lastNote.why, lastNote.slip = n.between(lastNote, before), NoSlip
			n.why, last, before = "", before, older
		default:
			if q.borne || q.can(r.C) {
				waiting = append(waiting, n)
			}
			continue
		}
		older, before, last, lastNote, waiting = before, last, r, n, nil
	}
	if n := len(waiting); n > 0 {
		if p, ok := c.Series.firstAfter(waiting[n-1].at, waiting[n-1].at.Add(pitAfter), probe, q); ok {
			settle(p.C, NoSlip)
		}
	}
	return notes
}

func agree(a, b float64) bool { return math.Abs(a-b) <= aside }

// doubt says why a reading is doubted, given the last two believed; "" if it is not.
func (q quantity) doubt(n *note, before, last Reading) string {
	known := !last.Time.IsZero()
	switch c := n.temp.Base; {
	case n.sure:
		return ""
	case c > q.high && n.around > 0 && agree(n.around, c) && !n.tainted:
		n.slip = FromPit
		return n.String() + ": " + q.tooHigh + "; is it the pit?"
	case c > q.high:
		if t := n.other(); n.temp.Unit.System != measure.US && q.can(t.Base) && (!known || agree(t.Base, last.C)) {
			return n.String() + ": " + q.tooHigh + "; " + n.inUnit(t)
		}
		return n.String() + ": " + q.tooHigh
	case c < q.low:
		return n.String() + ": colder than any freezer"
	case known && agree(c, last.C):
		if q.near == nil {
			return ""
		}
		return q.near(n, last)
	case n.tainted:
		return n.String() + ", beside a reading that cannot be true: another unit, or pit and core swapped?"
	case !known:
		return ""
	}
	return q.odd(n, before, last, func() string {
		why := n.lookForSlip(last.C, q.inert)
		n.slipped = why != ""
		return why
	})
}

// pitRule returns the rules for pit readings. A pit may change at any rate. Within an
// hour of the last reading a typing slip is looked for, unless the reading is at the
// setting or back at the value before.
func (c *Cook) pitRule() quantity {
	return quantity{low: coldest, high: pitMost, probed: probeMost, borne: true, tooHigh: "hotter than a slow pit",
		odd: func(n *note, before, last Reading, slip func() string) string {
			back := !before.Time.IsZero() && agree(before.C, n.temp.Base)
			if aim, ok := c.AimPit(n.at); back || n.at.Sub(last.Time) > pitAfter || ok && agree(aim, n.temp.Base) {
				return ""
			}
			return because(n, last, slip())
		}}
}

// coreRule returns the rules for core readings. A core never exceeds the boiling point.
// On the grate it neither jumps nor falls. Off the grate it falls slowly, and at any
// rate once it is cut open or in the cold.
func (c *Cook) coreRule() quantity {
	boils := BoilingPoint(c.Altitude)
	hottest := c.hottestPit()
	open := c.firstOf(Unboxed, Pulled, Sliced, Served, Chilled)
	off := c.firstOf(Off, Rest, Boxed)
	after := func(t, since time.Time) bool { return !since.IsZero() && !t.Before(since) }
	return quantity{low: coldest, high: boils + overBoil, probed: boils + overBoil, inert: true, tooHigh: "meat does not get hotter than boiling water",
		near: func(n *note, last Reading) string {
			h, rise := n.at.Sub(last.Time).Hours(), n.temp.Base-last.C
			if cooking := last.C >= slowFrom && !after(n.at, off); cooking && (rise > Dips+riseUsual*h || rise < -Dips) && n.swapped(last.C, true) {
				return because(n, last, n.inDigits())
			}
			return ""
		},
		lone: func(older, before, last, next Reading) bool {
			pace := riseUsual
			if h := before.Time.Sub(older.Time).Hours(); !older.Time.IsZero() && h > 0 {
				pace = max(pace, (before.C-older.C)/h)
			}
			usual := func(a, b Reading) bool {
				rise := b.C - a.C
				return rise >= -Dips && rise <= Dips+pace*b.Time.Sub(a.Time).Hours()
			}
			return last.C >= slowFrom && !after(next.Time, off) && next.C < last.C-Dips && !usual(before, last) && usual(before, next)
		},
		odd: func(n *note, before, last Reading, slip func() string) string {
			h, rise := n.at.Sub(last.Time).Hours(), n.temp.Base-last.C
			switch {
			case rise < 0 && after(n.at, open):
				return ""
			case -rise > aside && !after(n.at, off) && min(n.around, n.in) > last.C+aside && !c.litIn(last.Time, n.at):
				why := slip()
				// If the last reading follows from the one before, this one is odd.
				n.slipped = n.slipped || last.C-before.C <= Dips+riseUsual*last.Time.Sub(before.Time).Hours()
				return because(n, last, cmp.Or(why, "meat does not cool in a pit at "+like(n.in, n.temp)))
			case steep(last, Reading{Time: n.at, C: n.temp.Base}, hottest):
				return because(n, last, cmp.Or(slip(), "faster than meat can change"))
			case rise < 0 && after(last.Time, off): // a box cools slowly
				return ""
			case rise < 0, last.C >= slowFrom && rise > aside+riseUsual*h:
				return because(n, last, slip())
			}
			return ""
		}}
}

// litIn reports whether the fire was lit between two times.
func (c *Cook) litIn(from, to time.Time) bool {
	return slices.ContainsFunc(c.Entries, func(e Entry) bool {
		_, lit := e.Item(Lit)
		return lit && e.Time.After(from) && !e.Time.After(to)
	})
}

// hottestPit returns the highest pit temperature noted or aimed at, °C, at least
// hotPit.
func (c *Cook) hottestPit() float64 {
	hottest := max(hotPit, c.Aim.Pit.Base)
	for _, e := range c.Entries {
		for k := range e.Items {
			if it := &e.Items[k]; (it.Act == ReadPit || it.Act == SetPit) && it.Temp.Base <= pitMost {
				hottest = max(hottest, it.Temp.Base)
			}
		}
	}
	return hottest
}

// firstOf returns when one of the acts was first noted; zero for never.
func (c *Cook) firstOf(acts ...Act) (at time.Time) {
	for _, e := range c.Entries {
		if e.holds(acts...) {
			return e.Time
		}
	}
	return at
}

// feelDoubt says why a probe cannot have slid in: the piece's last core reading is
// still too low. A second such feel confirms the first.
func (c *Cook) feelDoubt(entry int, it *Item, piece int) string {
	if it.Act != Feel || it.Grade < Feel.TopGrade() || it.Piece != "" && c.PieceIndex(it.Piece) != piece || c.confirmed()[entry] {
		return ""
	}
	at := c.Entries[entry].Time
	core, ok := c.LastCore(piece, at)
	if !ok || core.C+riseUsual*at.Sub(core.Time).Hours() >= tenderAt {
		return ""
	}
	for i, e := range c.Entries {
		for k := range e.Items {
			if o := &e.Items[k]; i != entry && o.Act == Feel && o.Grade == Feel.TopGrade() && (o.Piece == "" || c.PieceIndex(o.Piece) == piece) {
				return ""
			}
		}
	}
	return fmt.Sprintf("%s at a core of %s: too cold for a probe to slide in", it, measure.FormatTemperature(core.C, measure.Metric))
}

// firstAfter returns the first value of a probe between two times.
func (s Series) firstAfter(from, to time.Time, values []float64, q quantity) (Reading, bool) {
	for i := sort.Search(len(s.Times), func(i int) bool { return s.Times[i].After(from) }); i < min(len(values), len(s.Times)) && s.Times[i].Before(to); i++ {
		if q.wrote(values[i]) {
			return Reading{Time: s.Times[i], C: values[i], Probe: true}, true
		}
	}
	return Reading{}, false
}
