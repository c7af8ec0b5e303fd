package pitbook

import (
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/packed"
	"ashbook/report/numeric/score"
)

// Readings of a slow cook, °C: others are a figure in °F read as °C, or a probe
// in the fire or out in the rain.
const (
	coldest = 20.0
	hottest = 250.0
)

// The times by which a cook is judged (chosen; the usual rounds of a night are
// one to two hours).
const (
	settledIn   = 30 * time.Minute // after the meat went on, cold and with the lid open
	disturbed   = 30 * time.Minute // after a lid or fuel
	untouched   = 45 * time.Minute // after which an act has done what it does
	apart       = 4 * time.Minute  // readings closer together count as one
	band        = 8.0              // K about the aim that count as settled
	bandFor     = 20 * time.Minute
	backWithin  = 5.0 // K of where the pit was, that count as back
	lidBefore   = 30 * time.Minute
	lidFirst    = 10 * time.Minute // a fall is over sooner than a later reading
	lidGap      = 15 * time.Minute
	lidWindow   = 90 * time.Minute
	lowestBy    = 30 * time.Minute
	nightFrom   = 2 * time.Hour
	nightTo     = 8 * time.Hour
	nightSpan   = 3 * time.Hour
	leastSteady = 8 // readings
	leastNight  = 4
	leastAlone  = 90 * time.Minute // untouched, in all
	handNear    = 5 * time.Minute
)

// Cook is what the pit book takes of one cook. Only Pit is known of one that is not
// finished.
type Cook struct {
	Pit         string
	Finished    bool
	Hours       float64   // h from lit, else from on, to the last piece off
	Lit         bool      // it is noted when it was lit
	Stood       float64   // °C: where the pit stood over the cook
	Strange     int       // readings that cannot be believed
	Kind        string    // of fuel
	Burned      Maybe     // kg of fuel
	Unweighed   bool      // what was loaded and left is noted, and still not what was burned
	Air         Maybe     // °C
	Wind        Maybe     // m/s
	Settled     Maybe     // min from lit until it stood at its aim
	SettledRead bool      // and that was noted or read, not taken from when the meat went on
	Lids        []float64 // K it fell at each opening near which it was read
	Back        []float64 // min it took to come back, for each of Lids; 0: it hardly fell; −1: it was not seen to
	Steady      Maybe     // K: 8 in 10 readings lie within ± this of their middle
	Over        Maybe     // K over its aim
	Night       Maybe     // K/h over the night hours
	Alone       Maybe     // K/h while nobody touched it
	Hand        Maybe     // K that readings noted by hand lie over the probe's
}

// Maybe is a number that may not be known.
type Maybe struct {
	Value float64
	Known bool
}

func maybe(v float64, ok bool) Maybe {
	if !ok {
		return Maybe{}
	}
	return Maybe{v, true}
}

// addTo adds the number to a list if it is known.
func (m Maybe) addTo(list *[]float64) {
	if m.Known {
		*list = append(*list, m.Value)
	}
}

// Pack writes or reads the cook.
func (c *Cook) Pack(p *packed.Codec) {
	p.String(&c.Pit)
	p.String(&c.Kind)
	p.Float(&c.Hours)
	p.Float(&c.Stood)
	p.Int(&c.Strange)
	for _, b := range [...]*bool{&c.Finished, &c.Lit, &c.Unweighed, &c.SettledRead} {
		p.Bool(b)
	}
	for _, m := range [...]*Maybe{&c.Burned, &c.Air, &c.Wind, &c.Settled, &c.Steady, &c.Over, &c.Night, &c.Alone, &c.Hand} {
		if p.Bool(&m.Known); m.Known {
			p.Float(&m.Value)
		}
	}
	p.Floats(&c.Lids)
	p.Floats(&c.Back)
}

// Read takes from a cook what the book needs of it. pits has the pits that have a file.
func Read(c *journal.Cook, pits map[string]journal.Pit) Cook {
	took, ok := c.Took()
	if !ok {
		return Cook{Pit: c.Pit}
	}
	_, pit, _ := fileOf(pits, strings.TrimSpace(c.Pit))
	l := look(c, pit.Setting)
	out := Cook{Pit: c.Pit, Finished: true, Lit: l.hasLit, Hours: took.Hours(), Stood: l.stood(), Strange: l.strange, Kind: c.Fuel.Kind,
		Burned: maybe(c.FuelBurned()), Air: maybe(c.Weather.Air.Base, c.Weather.Air.Known), Wind: maybe(c.Weather.Wind.Base, c.Weather.Wind.Known), Hand: maybe(l.hand())}
	if l.hasLit {
		out.Hours = l.off.Sub(l.lit).Hours()
	}
	out.Unweighed = !out.Burned.Known && c.Fuel.Loaded.Known && c.Fuel.Left.Known
	out.Settled.Value, out.SettledRead, out.Settled.Known = l.settled()
	for _, o := range l.openings() {
		back := o.back
		if !o.hasBack {
			back = 0
			if o.dip > backWithin {
				back = notSeen
			}
		}
		out.Lids, out.Back = append(out.Lids, o.dip), append(out.Back, back)
	}
	points, aimed := l.points()
	if len(points) >= leastSteady {
		values := make([]float64, len(points))
		for i, p := range points {
			values[i] = p.over
		}
		out.Over = maybe(score.Quantile(values, .5), aimed)
		out.Steady = maybe(math.Max(.5, (score.Quantile(values, tail)-score.Quantile(values, 1-tail))/2), true)
	}
	out.Night, out.Alone = maybe(night(points)), maybe(l.alone(points))
	return out
}

// notSeen is in Cook.Back for a pit that was not seen to come back.
const notSeen = -1

// ReadAll is Read of each.
func ReadAll(cooks []journal.Cook, pits map[string]journal.Pit) []Cook {
	out := make([]Cook, len(cooks))
	for i := range cooks {
		out[i] = Read(&cooks[i], pits)
	}
	return out
}

// cook is one finished cook as it is read.
type cook struct {
	*journal.Cook
	lit, on, off time.Time
	hasLit       bool
	pit          []journal.Reading // measured at the grate and believable, in order
	notes        []journal.Reading // what was noted by hand, measured or the setting
	strange      int               // readings that cannot be believed
}

// look reads a finished cook. Where the notes are the setting, only a probe
// measures.
func look(c *journal.Cook, setting bool) *cook {
	l := &cook{Cook: c}
	l.on, _ = c.OnAt()
	l.off, _ = c.Finish()
	l.lit, l.hasLit = c.First(journal.Lit)
	if !l.lit.Before(l.on) || l.on.Sub(l.lit) > 12*time.Hour {
		l.hasLit = false
	}
	for _, r := range c.PitReadings() {
		if !(r.C >= coldest && r.C <= hottest) {
			l.strange++
			continue
		}
		if !r.Probe {
			l.notes = append(l.notes, r)
		}
		if r.Probe || !setting {
			l.pit = append(l.pit, r)
		}
	}
	slices.SortStableFunc(l.pit, func(a, b journal.Reading) int { return a.Time.Compare(b.Time) })
	return l
}

// stood is where the pit was over the cook, °C: the middle of its readings,
// else its aim, else what is usual.
func (c *cook) stood() float64 {
	var all []float64
	for _, r := range c.pit {
		if !r.Time.Before(c.on) && !r.Time.After(c.off) {
			all = append(all, r.C)
		}
	}
	if len(all) > 0 {
		return score.Quantile(all, .5)
	}
	if aim, ok := c.AimPit(c.on); ok && aim >= coldest && aim <= hottest {
		return aim
	}
	return usualPit
}

// touches are the acts that change the fire or let the heat out.
var touches = []journal.Act{
	journal.SetPit, journal.On, journal.Off, journal.Vent, journal.AddFuel, journal.AddWood, journal.OpenLid,
	journal.Turn, journal.Spritz, journal.PutWrap, journal.Unwrap,
}

// opens are those of them after which the pit falls at once.
var opens = slices.DeleteFunc(journal.Acts(), func(a journal.Act) bool { return !a.OpensPit() })

// when are the times of entries that hold one of the acts.
func (c *cook) when(acts []journal.Act) []time.Time {
	var out []time.Time
	for _, e := range c.Entries {
		if slices.ContainsFunc(e.Items, func(it journal.Item) bool { return slices.Contains(acts, it.Act) }) {
			out = append(out, e.Time)
		}
	}
	return out
}

// point is a reading against the aim in force, at hours since the meat went on.
type point struct {
	at    time.Time
	hours float64
	over  float64 // K over the aim; the temperature itself where there is none
}

// points are the readings of the settled pit, thinned, those soon after the lid
// was open left out. aimed reports that there was an aim throughout; else they
// lie over 0 °C.
func (c *cook) points() (out []point, aimed bool) {
	open := c.when(opens)
	from := c.on.Add(settledIn)
	aimed = true
	for _, r := range c.pit {
		if r.Time.Before(from) || r.Time.After(c.off) {
			continue
		}
		if n := len(out); n > 0 && r.Time.Sub(out[n-1].at) < apart {
			continue
		}
		if slices.ContainsFunc(open, func(t time.Time) bool { return r.Time.After(t) && r.Time.Sub(t) < disturbed }) {
			continue
		}
		_, ok := c.AimPit(r.Time)
		aimed = aimed && ok
		out = append(out, point{r.Time, r.Time.Sub(c.on).Hours(), r.C})
	}
	for i := range out {
		if aimed {
			aim, _ := c.AimPit(out[i].at)
			out[i].over -= aim
		}
	}
	return out, aimed
}

// settled is how long the pit took from lit to standing at its aim, and how
// that is known: it was noted, read, or is taken from when the meat went on.
func (c *cook) settled() (minutes float64, noted, ok bool) {
	if !c.hasLit {
		return 0, false, false
	}
	if t, ok := c.First(journal.Settled); ok && t.After(c.lit) && !t.After(c.on.Add(time.Hour)) {
		return t.Sub(c.lit).Minutes(), true, true
	}
	var since time.Time
	for i, r := range c.pit {
		if r.Time.Before(c.lit) || r.Time.After(c.on) {
			continue
		}
		aim, ok := c.AimPit(r.Time)
		switch {
		case !ok || math.Abs(r.C-aim) > band || !since.IsZero() && r.Time.Sub(c.pit[i-1].Time) > bandFor:
			since = time.Time{}
		case since.IsZero():
			since = r.Time
		case r.Time.Sub(since) >= bandFor:
			return since.Sub(c.lit).Minutes(), true, true
		}
	}
	return c.on.Sub(c.lit).Minutes(), false, true
}

// lid is what one opening cost.
type lid struct {
	dip     float64 // K
	back    float64 // min; 0 hardly fell
	hasBack bool
}

// openings reads the lids and spritzes near which the pit was read often enough.
func (c *cook) openings() []lid {
	var out []lid
	open := c.when(opens)
	for _, at := range c.when([]journal.Act{journal.OpenLid, journal.Spritz}) {
		if at.Before(c.on.Add(settledIn)) || at.After(c.off) {
			continue
		}
		end := at.Add(lidWindow)
		for _, t := range open {
			if t.After(at) && t.Before(end) {
				end = t
			}
		}
		if l, ok := c.opening(at, end); ok {
			out = append(out, l)
		}
	}
	return out
}

func (c *cook) opening(at, end time.Time) (lid, bool) {
	var before []float64
	var after []journal.Reading
	for _, r := range c.pit {
		switch {
		case r.Time.After(end) || r.Time.Before(at.Add(-lidBefore)):
		case r.Time.After(at):
			after = append(after, r)
		default:
			before = append(before, r.C)
		}
	}
	if len(before) == 0 || len(after) == 0 || after[0].Time.Sub(at) > lidFirst {
		return lid{}, false
	}
	stood := score.Quantile(before, .5)
	lowest := 0
	for i, r := range after {
		if i > 0 && r.Time.Sub(after[i-1].Time) > lidGap {
			after = after[:i]
			break
		}
		if r.C < after[lowest].C && r.Time.Sub(at) <= lowestBy {
			lowest = i
		}
	}
	l := lid{dip: math.Max(0, stood-after[lowest].C)}
	if l.dip <= backWithin {
		return l, true
	}
	want := stood - backWithin
	for i := lowest + 1; i < len(after); i++ {
		if a, b := after[i-1], after[i]; b.C >= want {
			share := (want - a.C) / (b.C - a.C)
			t := a.Time.Add(time.Duration(share * float64(b.Time.Sub(a.Time))))
			l.back, l.hasBack = t.Sub(at).Minutes(), true
			break
		}
	}
	return l, true
}

// night is the slope over the night hours, K/h.
func night(points []point) (slope float64, ok bool) {
	var in []point
	for _, p := range points {
		if p.hours >= nightFrom.Hours() && p.hours <= nightTo.Hours() {
			in = append(in, p)
		}
	}
	if len(in) < leastNight || in[len(in)-1].hours-in[0].hours < nightSpan.Hours() {
		return 0, false
	}
	var s pooled
	s.add(in)
	return s.slope()
}

// alone is the slope while nobody touched the fire, K/h, over all such
// stretches together, each about its own middle.
func (c *cook) alone(points []point) (slope float64, ok bool) {
	var s pooled
	var span time.Duration
	marks := append(c.when(touches), c.off)
	slices.SortFunc(marks, time.Time.Compare)
	for i := 1; i < len(marks); i++ {
		var in []point
		for _, p := range points {
			if !p.at.Before(marks[i-1].Add(untouched)) && !p.at.After(marks[i]) {
				in = append(in, p)
			}
		}
		if len(in) > 1 {
			s.add(in)
			span += in[len(in)-1].at.Sub(in[0].at)
		}
	}
	if span < leastAlone {
		return 0, false
	}
	return s.slope()
}

// pooled gathers a common slope from stretches that lie at different heights.
type pooled struct{ xx, xy float64 }

func (s *pooled) add(in []point) {
	var x, y float64
	for _, p := range in {
		x += p.hours / float64(len(in))
		y += p.over / float64(len(in))
	}
	for _, p := range in {
		s.xx += (p.hours - x) * (p.hours - x)
		s.xy += (p.hours - x) * (p.over - y)
	}
}

func (s *pooled) slope() (float64, bool) {
	if s.xx <= 0 {
		return 0, false
	}
	return s.xy / s.xx, true
}

// hand is how far the notes made by hand, or the setting they hold, lie over the
// probe series, K: the middle of the pairs.
func (c *cook) hand() (over float64, ok bool) {
	var probed, pairs []float64
	var times []time.Time
	for _, r := range c.pit {
		if r.Probe {
			probed, times = append(probed, r.C), append(times, r.Time)
		}
	}
	for _, r := range c.notes {
		i, _ := slices.BinarySearchFunc(times, r.Time, time.Time.Compare)
		best := -1
		for _, k := range []int{i - 1, i} {
			if k >= 0 && k < len(times) && times[k].Sub(r.Time).Abs() <= handNear && (best < 0 || times[k].Sub(r.Time).Abs() < times[best].Sub(r.Time).Abs()) {
				best = k
			}
		}
		if best >= 0 {
			pairs = append(pairs, r.C-probed[best])
		}
	}
	const least = 3
	if len(pairs) < least {
		return 0, false
	}
	return score.Quantile(pairs, .5), true
}
