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

// Limits of the pit readings that are used, °C. Other readings are probably in °F, or
// from a probe in the fire or outside.
const (
	coldest = 20.0
	hottest = 250.0
)

// Times and limits for reading a pit's behaviour from a cook (chosen; people look at a
// pit every one to two hours at night).
const (
	settledIn   = 30 * time.Minute // after the meat went on: it is cold, and the lid was open
	disturbed   = 30 * time.Minute // after a lid or fuel
	untouched   = 45 * time.Minute // after an act, when its effect is over
	apart       = 4 * time.Minute  // readings closer together count as one
	band        = 8.0              // K around the aim that count as settled
	bandFor     = 20 * time.Minute
	backWithin  = 5.0 // K from the temperature before the opening that count as back
	lidBefore   = 30 * time.Minute
	lidFirst    = 10 * time.Minute // after an opening, the first reading must come this soon to show the fall
	lidGap      = 15 * time.Minute
	lidWindow   = 90 * time.Minute
	lowestBy    = 30 * time.Minute
	nightFrom   = 2 * time.Hour
	nightTo     = 8 * time.Hour
	nightSpan   = 3 * time.Hour
	leastSteady = 8 // readings
	leastNight  = 4
	leastAlone  = 90 * time.Minute // without an act, in total
	handNear    = 5 * time.Minute
)

// Cook is what the pit book reads from one cook. Of an unfinished cook only Pit is set.
type Cook struct {
	Pit         string
	Finished    bool
	Hours       float64   // h from lit, or from on if lit is not noted, to the last piece off
	Lit         bool      // when it was lit is noted
	Stood       float64   // °C: typical pit temperature of the cook
	Strange     int       // impossible readings
	Kind        string    // of the fuel
	Burned      Maybe     // kg of fuel
	Unweighed   bool      // fuel loaded and left is noted, but not enough to know the fuel burned
	Air         Maybe     // °C
	Wind        Maybe     // m/s
	Settled     Maybe     // min from lit until it was at its aim
	SettledRead bool      // Settled was noted or read, not inferred from when the meat went on
	Lids        []float64 // K by which the pit fell at each opening that has readings near it
	Back        []float64 // min until the pit was back, for each of Lids; 0: it hardly fell; −1: not seen to come back
	Steady      Maybe     // K: 8 in 10 readings are within ± this of the median
	Over        Maybe     // K above its aim
	Night       Maybe     // K/h during the night
	Alone       Maybe     // K/h without an act
	Hand        Maybe     // K by which notes made by hand are above the probe
}

// Maybe is a number that may be unknown.
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

// Read reads one cook for the book. pits are the pits that have a file.
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

// notSeen is the value in Cook.Back if no reading showed that the pit came back to its
// aim.
const notSeen = -1

// ReadAll calls Read for each cook.
func ReadAll(cooks []journal.Cook, pits map[string]journal.Pit) []Cook {
	out := make([]Cook, len(cooks))
	for i := range cooks {
		out[i] = Read(&cooks[i], pits)
	}
	return out
}

// cook is one finished cook while it is read.
type cook struct {
	*journal.Cook
	lit, on, off time.Time
	hasLit       bool
	pit          []journal.Reading // measured at the grate and possible, sorted
	notes        []journal.Reading // noted by hand: measured, or the setting
	strange      int               // impossible readings
}

// look prepares the readings of a finished cook. If the notes are the setting, only
// probe readings count as measured.
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

// stood returns the typical pit temperature of the cook, °C: the median reading, else
// the aim, else the usual temperature.
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

// touches lists the acts that change the fire or open the pit.
var touches = []journal.Act{
	journal.SetPit, journal.On, journal.Off, journal.Vent, journal.AddFuel, journal.AddWood, journal.OpenLid,
	journal.Turn, journal.Spritz, journal.PutWrap, journal.Unwrap,
}

// opens lists the acts after which the pit temperature falls at once.
var opens = slices.DeleteFunc(journal.Acts(), func(a journal.Act) bool { return !a.OpensPit() })

// when returns the times of entries that contain one of the acts.
func (c *cook) when(acts []journal.Act) []time.Time {
	var out []time.Time
	for _, e := range c.Entries {
		if slices.ContainsFunc(e.Items, func(it journal.Item) bool { return slices.Contains(acts, it.Act) }) {
			out = append(out, e.Time)
		}
	}
	return out
}

// point is a reading relative to the aim at that time.
type point struct {
	at    time.Time
	hours float64
	over  float64 // K above the aim, or °C if there is no aim
}

// points returns the readings of the settled pit, thinned out, without those soon after
// an opening. If aimed is false, there was no aim for all of the time and over is in
// °C.
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

// settled returns the minutes from lit until the pit was at its aim. noted is true if
// that was noted or read, and false if inferred from when the meat went on.
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

// lid is the effect of opening the lid once.
type lid struct {
	dip     float64 // K
	back    float64 // min until back; 0: it hardly fell
	hasBack bool
}

// openings returns the openings that have enough readings near them.
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

// night returns the slope of the pit temperature during the night, K/h.
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

// alone returns the slope of the pit temperature while nobody touched the fire, K/h.
// All such stretches count together, each relative to its own mean.
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

// pooled fits one common slope to several stretches of readings, each around its own
// mean.
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

// hand returns by how much the notes made by hand, or the noted setting, are above the
// probe series, K: the median over pairs.
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
