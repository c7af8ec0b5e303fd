package watch

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/chart"
	"ashbook/report/course"
	"ashbook/report/frame"
	"ashbook/tui/backend"
	"ashbook/tui/component/curve"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// state is everything shown about a cook. It is computed once when the cook is loaded,
// so that drawing takes the same time for three notes and for a day of probe readings.
type state struct {
	backend.Cook
	thin     curve.Thinned
	Forecast backend.Forecast
	zone     *time.Location
	units    measure.System
	status   journal.Status
	on       bool // meat is on the grate

	pit     reading
	aimPit  string  // the pit setting in words; "" for none
	aimCore string  // the core wanted, with the highest possible core if that is lower; "" for none
	aimC    float64 // the core wanted, at most the highest possible at this height, °C
	bare    []bool  // by piece: on the grate and not wrapped
	cores   []core  // cores of all pieces, in the order of the file
	slowest int     // index in cores
	check   journal.Check
	owed    bool            // check is set
	unsure  []journal.Doubt // doubts about the last reading, until somebody confirms it
	event   course.Event    // what happened to a core recently; zero for nothing known
	done    journal.Entry
	acted   bool      // done is set
	off     time.Time // when the last piece came off; zero while one is on
	chart   chart.Chart
}

// reading is the last of a row of readings, and its rate of change.
type reading struct {
	c      float64
	at     time.Time // zero for no reading
	rate   float64   // K/h
	moving bool      // rate is known
}

// core is the core of one piece.
type core struct {
	reading
	piece string
	off   bool
	stall journal.Stall // the stall it is in
}

// workOut computes the state of a cook at now, with forecast f. before is the thinned
// series so far.
func workOut(l backend.Loaded, f backend.Forecast, before curve.Thinned) *state {
	now := l.Now
	thin := before.Grow(l.Cook.Cook.Series)
	few := *l.Cook.Cook
	few.Series = thin.Series(few.Series)
	c := &few
	s := &state{Cook: l.Cook, thin: thin, Forecast: f, zone: zone(l.Cook, now), units: l.Cook.Settings.Units, status: c.Status(now)}
	s.on = s.status.Stage >= journal.Settling && s.status.Stage < journal.TakenOff
	pit := c.PitReadings()
	s.pit = lastOf(pit, now)
	if aim, ok := c.AimPit(now); ok {
		s.aimPit = measure.FormatTemperature(aim, s.units)
	}
	if aim, ok := c.AimCore(now); ok {
		most := journal.HottestCore(l.Cook.Settings.Altitude)
		s.aimCore, s.aimC = measure.FormatTemperature(aim, s.units), min(aim, most)
		if aim > most {
			s.aimCore += ", at most " + measure.FormatTemperature(most, s.units) + " here"
		}
	}
	cores := make([][]journal.Reading, max(1, len(c.Pieces)))
	for i := range cores {
		cores[i] = c.CoreReadings(i)
		p := core{reading: lastOf(cores[i], now)}
		if i < len(c.Pieces) {
			p.piece = c.Pieces[i].Name
		}
		st := c.PieceStatus(i, now)
		p.off = st.Stage >= journal.TakenOff
		s.bare = append(s.bare, st.Stage == journal.Cooking)
		if st.Stalling {
			p.stall, _ = c.Stall(i, now)
		}
		s.cores = append(s.cores, p)
	}
	s.slowest = slowest(s.cores)
	s.check, s.owed = c.NextCheck(now, s.Settings)
	s.event = s.lately(course.Events(c, s.units, now), now)
	s.unsure = l.Cook.Cook.Unsure(now)
	s.done, s.acted = c.LastDone(now)
	if off, ok := c.Finish(); ok && !off.After(now) {
		s.off = off
	}
	s.chart = s.curve(now, pit, cores)
	return s
}

// zone returns the time zone of the cook: that of the journal, or that in which its
// entries or its serving hour are written.
func zone(c backend.Cook, now time.Time) *time.Location {
	switch last, ok := c.Cook.LastEntry(); {
	case c.Zone != nil:
		return c.Zone
	case ok:
		return last.Location()
	case !c.Cook.Serve.IsZero():
		return c.Cook.Serve.Location()
	}
	return now.Location()
}

func lastOf(rs []journal.Reading, now time.Time) reading {
	last, ok := journal.Last(rs, now)
	if !ok {
		return reading{}
	}
	r := reading{c: last.C, at: last.Time}
	r.rate, r.moving = journal.PerHour(rs, now)
	return r
}

// slowest returns the index of the coldest piece that is on. A piece without readings
// is taken only if none has any.
func slowest(cores []core) int {
	best := 0
	for i, p := range cores {
		b := cores[best]
		switch {
		case p.off != b.off:
			if b.off {
				best = i
			}
		case p.at.IsZero():
		case b.at.IsZero() || p.c < b.c:
			best = i
		}
	}
	return best
}

// others returns the indexes of the other pieces with a reading: those on the grate,
// coldest first, then those that are off.
func (s *state) others() []int {
	var all []int
	for i, p := range s.cores {
		if i != s.slowest && !p.at.IsZero() {
			all = append(all, i)
		}
	}
	slices.SortStableFunc(all, func(a, b int) int {
		x, y := s.cores[a], s.cores[b]
		if x.off != y.off {
			if x.off {
				return 1
			}
			return -1
		}
		return cmp.Compare(x.c, y.c)
	})
	return all
}

// curve returns the chart of the cook.
func (s *state) curve(now time.Time, pit []journal.Reading, cores [][]journal.Reading) chart.Chart {
	v := s.view()
	v.Now, v.Pit = now, pit
	for _, i := range s.others() {
		v.Cores = append(v.Cores, course.Core{Name: s.cores[i].piece, Kind: chart.Other, Readings: cores[i]})
	}
	v.Cores = append(v.Cores, course.Core{Name: s.cores[s.slowest].piece, Kind: chart.Main, Readings: cores[s.slowest]})
	return v.Chart()
}

// eventFor is how long Watch shows what happened to a core (chosen).
const eventFor = time.Hour

// lately returns the event of a core that was last seen within eventFor, a common one
// only if there is no other; zero for none.
func (s *state) lately(events []course.Event, now time.Time) (last course.Event) {
	for _, e := range events {
		instead := last.Name == "" || last.Common && !e.Common || last.Common == e.Common && !e.Until.Before(last.Until)
		if s.on && now.Sub(e.Until) <= eventFor && instead {
			last = e
		}
	}
	return last
}

// told returns an event as a short text.
func (s *state) told(e course.Event) string {
	return measure.FormatTime(e.At.In(s.zone), measure.Clock, s.units) + " " + e.Name + ": " + e.Says + "."
}

// notCounted returns the doubted temperature of an act in the last reading.
func (s *state) notCounted(act journal.Act) layout.Span {
	for _, d := range s.unsure {
		if it := s.Cook.Cook.Entries[d.Entry].Items[d.Item]; it.Act == act && it.Temp.Known {
			return layout.Span{Style: style.Mind, Text: layout.Tie(it.Temp.In(s.units) + journal.Questioned + " not counted")}
		}
	}
	return layout.Span{}
}

// view returns what the chart needs besides the readings.
func (s *state) view() course.Course {
	return course.Course{Cook: s.Cook.Cook, Units: s.units, Zone: s.zone, Off: s.off, Late: s.Forecast.Late, Band: s.Forecast.Band}
}

// foresee replaces the forecast, without processing the readings again.
func (s *state) foresee(f backend.Forecast) {
	s.Forecast = f
	s.chart = s.view().Foresee(s.chart)
}

// title returns the cook's name and as many details as fit: "Harvest supper · pork
// shoulder 4.7 + 3.6 kg · brick".
func (s *state) title(width int) string {
	c := s.Cook.Cook
	meat := c.Cut
	if w := frame.Weights(c, s.units); w != "" {
		meat = strings.TrimSpace(meat + " " + w)
	}
	title := c.Name()
	if strings.EqualFold(meat, title) {
		meat = "" // a cook lit with only its cut has the cut as its name
	}
	for _, part := range []string{meat, c.Pit} {
		if next := title + " · " + part; part != "" && layout.Width(next) <= width {
			title = next
		}
	}
	return title
}

// say returns an item in spoken words: "vent", "wood cherry", "bark mahogany".
func (s *state) say(it journal.Item) string {
	parts := []string{it.Act.Word(), it.Piece}
	switch word := it.GradeWord(); {
	case word != "":
		parts = append(parts, word)
	case it.Temp.Known:
		parts = append(parts, it.Temp.In(s.units))
	default:
		return it.String()
	}
	return strings.Join(strings.Fields(strings.Join(parts, " ")), " ")
}
