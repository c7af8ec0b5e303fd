package invent

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"ashbook/samples/invent/roast"
)

// entry is one line of the timeline.
type entry struct {
	at    int // minutes after the meat went on
	items []string
	words string
}

// course is a cook being simulated.
type course struct {
	plan
	habit
	meat      roast.Cut
	on        time.Time
	serve     int        // minutes after on
	last      int        // minute of the last entry kept
	flow      float64    // ln of the heat from the air relative to usual
	rng       *rand.Rand // for what people do
	pen       *rand.Rand // for what they write down
	words     *phrases
	fire      *roast.Fire
	weather   roast.Weather
	bodies    []*roast.Meat
	delta     []float64 // error of each probe position, as a share of the way from the centre to the mean
	spot      []float64 // K by which the place of each piece is warmer
	luck      []float64 // ln time of each piece
	juicy     float64   // share of the weight that it loses less than others
	base      float64   // the part of juicy that is luck
	off       []int     // minutes; 0: still on the grate
	graded    []int     // feel last noted
	wrapped   string
	wrapAt    int
	lids      []int     // minutes at which the lid was opened
	sprays    []int     // minutes at which it was sprayed
	late      bool      // it is late, and the person has reacted
	barkSet   int       // grade last noted
	woodG     float64   // put on so far
	woodNoted float64   // woodG at the last entry kept
	firstWood float64   // g, put on with the meat
	fuelKg    float64   // added later
	burned    float64   // kg of fuel until the end
	pits      []float64 // °C each minute
	heats     []float64
	tempsC    [][]float64 // core by the probe, each minute
	log       []entry
	holdOff   float64 // hours in the box
	meatTaste float64 // points of tenderness from the meat itself
}

func (p plan) cook(seed uint64, words *phrases, truth bool) Cook {
	c := newCourse(p, seed, words)
	if p.Form != "planned" {
		c.run()
	}
	out := Cook{ID: c.id()}
	quality := c.quality()
	out.File = c.file(quality)
	out.Series = c.series()
	out.Truth = c.truth(truth)
	out.Truth.Quality = quality
	return out
}

func newCourse(p plan, seed uint64, words *phrases) *course {
	rng := stream(seed, "cook "+p.id())
	c := &course{plan: p, meat: roast.CutNamed(p.Cut), habit: habits[p.Hand], rng: rng, pen: stream(seed, "pen "+p.id()), words: words}
	day, _ := time.Parse(time.DateOnly, p.Date) // checked
	at := func(clock string) time.Time {
		hour, minute, _ := readClock(clock)
		return localTime(day, hour, minute)
	}
	c.on = at(p.On)
	c.serve, c.last = int(at(p.Serve).Sub(c.on).Minutes()), 2*longest
	if p.Last != "" {
		c.last = c.after(p.Last)
	}
	c.weather = roast.WeatherOn(c.on, rng)
	if p.Air != 0 {
		c.weather.Air = p.Air
	}
	c.fire = &roast.Fire{Pit: roast.Pits[p.Pit], Weather: c.weather, Aim: p.Aim, Rand: stream(seed, "fire "+p.id()), Low: rng.NormFloat64() * 3}
	c.base = p.Luck + LuckTime*rng.NormFloat64()
	c.juicy = -JuiceLuck * rng.NormFloat64()
	c.meatTaste = TenderLuck * rng.NormFloat64()
	known := c.knownTime()
	for i := range c.Pieces {
		pc := &c.Pieces[i]
		pc.trim = pc.Raw * (1 - c.meat.Trim*(.7+.6*rng.Float64()))
		pc.core = 3 + 6*rng.Float64()
		_, drawn := size(c.meat, rng)
		if pc.Thick == 0 {
			pc.Thick = drawn
		}
		b := roast.NewMeat(c.meat, pc.trim, pc.Thick/100, pc.core, c.juicy)
		c.bodies = append(c.bodies, b)
		c.delta = append(c.delta, math.Abs(.05*rng.NormFloat64()))
		c.spot = append(c.spot, c.fire.Spread*(rng.Float64()-.5))
		c.luck = append(c.luck, known+c.base+PieceTime*rng.NormFloat64())
	}
	if rng.Float64() < .85 {
		c.firstWood = 10 * math.Round(c.woodWanted()*(.35+.2*rng.Float64())/10)
		c.woodG = c.firstWood
	}
	c.off, c.graded = make([]int, len(c.Pieces)), make([]int, len(c.Pieces))
	c.tempsC = make([][]float64, len(c.Pieces))
	return c
}

// knownTime is the sum of the constants that act on the time of this plan, in ln.
func (c *course) knownTime() float64 {
	known := CrowdTime * float64(len(c.Pieces)-1)
	if c.Pan == "hot" {
		known += PanHotTime
	}
	if c.Supplier == "hill farm" {
		known += HillFarmTime
	}
	if c.Wood == "cherry" {
		known += CherryTime
	}
	return known
}

// after converts a clock time into minutes after the meat went on.
func (c *course) after(clock string) int {
	hour, minute, _ := readClock(clock) // checked
	at := localTime(c.on, hour, minute)
	if c.on.Sub(at) > 2*time.Hour { // no fire is lit earlier than that
		at = localTime(c.on, hour+24, minute)
	}
	return int(at.Sub(c.on).Minutes())
}

const longest = 40 * 60 // most minutes that a pit is simulated

// run simulates until the last piece is off, then the hold and the meal. An unfinished
// cook keeps only entries up to its last hour.
func (c *course) run() {
	for i := range c.Fire {
		c.Fire[i].at = c.after(c.Fire[i].At)
	}
	due := map[int]string{}
	for clock, what := range c.Do {
		due[c.after(clock)] = what
	}
	next := 40 + c.rng.IntN(50)
	t := 0
	for ; t < longest && slices.Contains(c.off, 0); t++ {
		c.minute(t)
		c.burned = c.fire.Burned
		for i, b := range c.bodies {
			if c.off[i] == 0 {
				c.tempsC[i] = append(c.tempsC[i], b.Core()+c.delta[i]*(b.Mean()-b.Core()))
				b.Wrap = c.wrapped
				b.Step(60*math.Exp(-c.luck[i]), c.around(i, t))
			}
		}
		if what, told := due[t]; t == next || told {
			c.look(t, what)
			next = max(next, t+c.wait(t))
			for _, at := range slices.Sorted(maps.Keys(due)) { // no second look within minutes
				if at > t && next > at-25 && next < at+25 {
					next = at + 30
				}
			}
		}
		if t <= c.last {
			c.woodNoted = c.woodG
		}
	}
	for end := t + 6*60; t < end; t++ {
		c.minute(t)
	}
	c.start()
	c.hold()
	c.log = slices.DeleteFunc(c.log, func(e entry) bool { return e.at > c.last })
	slices.SortStableFunc(c.log, func(a, b entry) int { return a.at - b.at })
	c.say()
}

// minute advances the pit by one minute.
func (c *course) minute(t int) {
	for _, f := range c.Fire {
		if t >= f.at && float64(t) < float64(f.at)+f.For {
			c.fire.Low -= f.By / f.For
		}
	}
	keep := math.Exp(-1 / wanderTime)
	c.flow = c.flow*keep + wander*math.Sqrt(1-keep*keep)*c.rng.NormFloat64()
	c.pits = append(c.pits, c.fire.Minute())
	c.heats = append(c.heats, c.fire.Heat*math.Exp(c.flow))
}

// around returns the air at a piece in minute t.
func (c *course) around(i, t int) roast.Air {
	return roast.Air{Temp: c.pits[t] + c.spot[i], Vapour: c.weather.Vapour(), Heat: c.heats[t]}
}

// wait returns how long the person stays away, in minutes.
func (c *course) wait(t int) int {
	hour := c.on.Add(time.Duration(t) * time.Minute).Hour()
	base := c.habit.look
	if hour < 5 {
		base = c.night
	}
	hot := c.hottest()
	switch {
	case c.meat.Collagen > 0 && hot > 89, c.meat.Collagen == 0 && hot > c.meat.Off-8:
		base = 24
	case c.meat.Collagen > 0 && hot > 82, c.serve-t < 200:
		base = min(base, 50)
	}
	return max(12, int(base*math.Exp(.3*c.rng.NormFloat64())))
}

func (c *course) hottest() float64 {
	hot := 0.
	for i, b := range c.bodies {
		if c.off[i] == 0 {
			hot = max(hot, b.Core())
		}
	}
	return hot
}

var dayZero = time.Date(2020, 1, 4, 0, 0, 0, 0, time.UTC)

var (
	winter = time.FixedZone("", 0)
	summer = time.FixedZone("", 3600)
)

// atZone converts t to the clock of the hall: an hour ahead of UTC from the last Sunday
// of March to the last Sunday of October, changing at 01:00 UTC (Directive 2000/84/EC,
// articles 2 and 3, which the hall still follows).
func atZone(t time.Time) time.Time {
	y := t.UTC().Year()
	if t.Before(lastSunday(y, time.March)) || !t.Before(lastSunday(y, time.October)) {
		return t.In(winter)
	}
	return t.In(summer)
}

// lastSunday returns 01:00 UTC on the last Sunday of the month.
func lastSunday(y int, m time.Month) time.Time {
	t := time.Date(y, m+1, 0, 1, 0, 0, 0, time.UTC)
	return t.AddDate(0, 0, -int(t.Weekday()))
}

// localTime returns an hour and minute of a day at the hall. Hours from 24 on are on
// the following days.
func localTime(day time.Time, hour, minute int) time.Time {
	t := time.Date(day.Year(), day.Month(), day.Day(), hour, minute, 0, 0, time.UTC)
	_, offset := atZone(t).Zone()
	return atZone(t.Add(-time.Duration(offset) * time.Second))
}

// readClock reads "20:30"; hours may exceed 24.
func readClock(s string) (hour, minute int, err error) {
	_, err = fmt.Sscanf(s, "%d:%d", &hour, &minute)
	return hour, minute, err
}
