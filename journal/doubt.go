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

// Doubt is a noted item that the other notes speak against. It stays in the
// file and is shown with a question mark, but CoreReadings, PitReadings, LastCore,
// LastPit and the stages leave it out, and so does all that is worked out from
// them, until the person confirms it (Sure) or the next reading bears it out.
// What a later entry settles is settled for every moment: to see a cook as it
// looked then, cut its entries first.
type Doubt struct {
	Entry int // index into Cook.Entries
	Item  int // index into its Items
	Slip  Slip
	Why   string // "core 17 °C, last was 71 °C: swapped digits?"
}

// What a core can do between two readings. A stretch that is steeper was not
// the meat: a slip of the pen, another unit, or a probe that was moved.
const (
	// A probe pushed half as deep into a slab whose outside is 50 K hotter reads
	// 50·(1−cos 45°) = 15 K more (first term of the slab): readings this near each
	// other agree.
	aside = 15.0 // K
	// Two readings, each good to 1 K, differ by 2.8 K one time in twenty: a core on
	// the grate may be read this much lower and have lost nothing.
	Dips = 3.0 // K
	// A slab of 4 cm in dry air, h = 20 W/(m²·K), warms through with
	// τ = ρcL/h·(1+Bi/3) = 1.3 h: no core gains over (pit − core)/τ.
	quickest = 1.3   // h
	hotPit   = 150.0 // °C; the hottest a slow pit commonly is (common practice, no source)
	// A boned cut of 5 cm, wet, in air at 20 °C, h = 25 W/(m²·K): the same τ is 2.6 h,
	// so from 95 °C it loses up to 29 K/h.
	steepFall = 30.0 // K/h
)

// Steep reports whether a core cannot have gone from one reading to the next in
// a pit of up to 150 °C.
func Steep(a, b Reading) bool { return steep(a, b, hotPit) }

func steep(a, b Reading, pit float64) bool {
	h, rise := b.Time.Sub(a.Time).Hours(), b.C-a.C
	return rise > max(aside, (pit-(a.C+b.C)/2)/quickest*h) || -rise > max(aside, steepFall*h)
}

// Limits beyond which a reading is doubted. A limit based on a physical estimate has the
// estimate beside it; the others are common practice, no source. None is fitted to cooks.
const (
	// A whole cut gains 5 to 12 K/h on the way to the stall (common practice), so
	// only what rises faster is looked through for a slip, and only from where thin
	// cuts have slowed down too.
	riseUsual = 15.0 // K/h
	slowFrom  = 45.0 // °C
	// A swapped digit must explain a reading three times as well as the written value
	// (chosen: a random swap does so one time in five).
	better = 3.0
	// Fires are built, opened and lost within an hour (common practice), so a pit
	// older than that says nothing of the next.
	pitAfter = time.Hour
	// Slow pits run at 93 °C and over, which is 200 °F: a higher figure is in °F, or
	// a fire running away.
	pitMost   = 200.0 // °C
	probeMost = 400.0 // °C; the insulation of braided probe wires ends there (from memory)
	coldest   = -30.0 // °C; a freezer is set to −18, winter nights go lower
	// Twice the 1 K of a kitchen probe, and 1 K for salt: a brine of 58 g/kg boils
	// that much higher (.51 K·kg/mol, two ions).
	overBoil = 3.0 // K
	// Collagen turns to gelatine from 70 to 80 °C (Encyclopedia of Meat Sciences):
	// no probe slides into a tough cut below.
	tenderAt = 75.0 // °C
)

// quantity is what is known about the readings of one kind.
type quantity struct {
	low, high float64 // °C, of a noted reading
	probed    float64 // °C; the highest a probe may write
	tooHigh   string  // the message for a noted reading over high
	borne     bool    // one over high can be borne out
	inert     bool    // it cannot leap and come back
	// odd says why a reading cannot follow the two believed before it; slip looks
	// for a slip of the pen that explains it.
	odd func(n *note, before, last Reading, slip func() string) string
	// near says the same of one that agrees with the last; nil: it is believed.
	near func(n *note, last Reading) string
	// lone reports whether a reading has no place between the one before and the
	// next, which go on as from the one before them; nil: never.
	lone func(older, before, last, next Reading) bool
}

// can reports whether a noted reading is within bounds.
func (q quantity) can(c float64) bool { return c >= q.low && c <= q.high }

// wrote reports whether a probe can have written a value; NaN is silence.
func (q quantity) wrote(c float64) bool { return c >= q.low && c <= q.probed }

// Questioned is what is behind a doubted item wherever a person sees it.
const Questioned = " ?"

// Shown returns the body of each entry as a person sees it, doubted items with
// their question mark.
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

// Unsure returns the doubts about the last entry with a reading at or before now. Noting
// Sure confirms the reading.
func (c *Cook) Unsure(now time.Time) []Doubt {
	last := -1
	for i, e := range c.Entries {
		if !e.Time.After(now) && e.holds(doubtable...) {
			last = i
		}
	}
	return slices.DeleteFunc(c.Doubts(), func(d Doubt) bool { return d.Entry != last })
}

// DoubtsOf returns the doubts about an entry that is about to be added. Their Entry is the
// place it would have.
func (c *Cook) DoubtsOf(e Entry) []Doubt {
	trial := *c
	at := sort.Search(len(c.Entries), func(i int) bool { return c.Entries[i].Time.After(e.Time) })
	trial.Entries = slices.Insert(slices.Clone(c.Entries), at, e)
	return slices.DeleteFunc(trial.Doubts(), func(d Doubt) bool { return d.Entry != at })
}

// Doubts returns all doubted items, in the order of the cook.
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

// coreSeries is the probe of a piece; nil where it has none.
func (c *Cook) coreSeries(piece int) []float64 {
	for _, s := range c.Series.Cores {
		if c.PieceIndex(s.Piece) == piece {
			return s.C
		}
	}
	return nil
}

// notes gathers the noted readings of one quantity.
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
	var at time.Time // of the pit
	for e := range c.Entries {
		before = pit
		here, noted := c.Entries[e].Item(ReadPit)
		old := c.Entries[e].Time.Sub(at) > pitAfter // nothing else shows a swap then
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

// swapped reports whether a core too hot for meat reads as the pit did, and the pit beside
// it does not: they changed places.
func (c *Cook) swapped(pit float64, it, core *Item) bool {
	return core.Act == ReadCore && core.Temp.Base > BoilingPoint(c.Altitude)+overBoil && pit > 0 && agree(pit, core.Temp.Base) && !agree(pit, it.Temp.Base)
}

// confirmed is, by entry, whether a person said that its readings are right:
// Sure on the line, or later with no reading between.
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

// doubtable are the acts of items that can be doubted.
var doubtable = []Act{ReadPit, ReadCore, Feel}

// impossible reports a reading so far out of bounds that its line may be in
// another unit. A core barely over the boiling point is its own probe's fault.
func (c *Cook) impossible(it *Item) bool {
	if it.Act == ReadCore {
		return it.Temp.Base > BoilingPoint(c.Altitude)+overBoil+aside || it.Temp.Base < coldest
	}
	return it.Temp.Base > pitMost || it.Temp.Base < coldest
}

// judged looks at the notes of one quantity in order. Each is compared with the
// last believed reading, noted or probed. One that agrees with a doubted one bears
// it out, but not where both may be in the wrong unit.
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

// doubt says why a reading is doubted beside the last two believed.
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

// pitRule: a pit may do anything, but within an hour of the last reading a slip
// of the pen shows, unless it hits the setting or is back where it was.
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

// coreRule: a core does not go above the boiling point, and on the grate it neither jumps
// nor falls. Off the grate it falls slowly; once it is opened or in the cold it may fall
// at any rate.
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
				// Where the last one is on its way from the one before, it is this one that
				// is odd.
				n.slipped = n.slipped || last.C-before.C <= Dips+riseUsual*last.Time.Sub(before.Time).Hours()
				return because(n, last, cmp.Or(why, "meat does not cool in a pit at "+like(n.in, n.temp)))
			case steep(last, Reading{Time: n.at, C: n.temp.Base}, hottest):
				return because(n, last, cmp.Or(slip(), "faster than meat can"))
			case rise < 0 && after(last.Time, off): // a slow fall is what a box does
				return ""
			case rise < 0, last.C >= slowFrom && rise > aside+riseUsual*h:
				return because(n, last, slip())
			}
			return ""
		}}
}

// litIn reports whether the fire was lit between two moments.
func (c *Cook) litIn(from, to time.Time) bool {
	return slices.ContainsFunc(c.Entries, func(e Entry) bool {
		_, lit := e.Item(Lit)
		return lit && e.Time.After(from) && !e.Time.After(to)
	})
}

// hottestPit is the hottest pit noted or aimed at, at least hotPit.
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

// firstOf is when one of the acts was first noted; zero: not yet.
func (c *Cook) firstOf(acts ...Act) (at time.Time) {
	for _, e := range c.Entries {
		if e.holds(acts...) {
			return e.Time
		}
	}
	return at
}

// feelDoubt says why a probe cannot have slid in: by its last reading the core of
// the piece is still too cold. A second such feel bears it out.
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

// firstAfter returns the first value of a probe after one moment and before
// another.
func (s Series) firstAfter(from, to time.Time, values []float64, q quantity) (Reading, bool) {
	for i := sort.Search(len(s.Times), func(i int) bool { return s.Times[i].After(from) }); i < min(len(values), len(s.Times)) && s.Times[i].Before(to); i++ {
		if q.wrote(values[i]) {
			return Reading{Time: s.Times[i], C: values[i], Probe: true}, true
		}
	}
	return Reading{}, false
}
