package provision

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"
	"unicode"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/baseline"
	"ashbook/report/forecast"
	"ashbook/report/frame"
	"ashbook/report/numeric/score"
	"ashbook/report/pitbook"
	"ashbook/report/provision/buffer"
	"ashbook/report/provision/quantity"
	"ashbook/report/safety"
)

// Plan is a meal planned backwards from its serving time.
type Plan struct {
	Request  Request
	Settings journal.Settings
	Moment   time.Time // when the plan was made
	Pits     []Pit     // with missing values filled in
	Portion  float64
	Meats    []quantity.Meat // by dish
	Thick    []float64       // m, by dish: thickness of the thickest piece, measured or estimated from its weight
	Loads    []Load          // the first is the main load: first dish, for the meal itself
	Batches  int
	CarveAt  time.Time // when pulling or slicing begins
	ReheatAt time.Time // when food cooked earlier goes into the oven; zero: there is none
	Hold     Hold
	Strip    []Start
	Levers   []Lever
	Fuel     []Fuel
	Salts    []quantity.Salt // one a dish
	Margin   float64         // by how much past plans drew the spread in (under 1) or out
	Hurry    *Hurry          // the result of lighting at once; nil if there is still time for OnBy
	Ways     []Way           // ways out of a hurry, in place of Levers
	Taken    *Way            // the one of Ways that is planned, if the meal is lost without it; else nil
	Lessons  []Lesson        // of the last cook of each cut
	Last     []*journal.Cook // by dish: the last cook of its cut; nil: there is none
	Notes    []string        // what is missing, assumed or doubtful

	like   [][]*journal.Cook // finished cooks of each dish's cut
	rooms  []float64         // m² of grate, by pit
	common []bond            // of the loads for the meal itself, which stand first in Loads
	each   measure.Mass      // the heaviest piece of the first dish
}

// Lost reports whether the meal cannot be saved: even if lit at once, some load is
// probably late, and no other way is in time.
func (p *Plan) Lost() bool { return p.Hurry != nil && p.Hurry.Late > .5 && p.Taken == nil }

// Lesson is what the person wrote to change after the last cook of a cut.
type Lesson struct {
	Cut, Change string
	Cook        string // its name
	On          time.Time
}

// Main returns the load that decides when the meal can be served.
func (p *Plan) Main() *Load { return &p.Loads[0] }

// First returns the load to be started first: the first to be lit, or to go on if its
// pit is already lit.
func (p *Plan) First() *Load {
	begins := func(l *Load) time.Time {
		if l.Light.IsZero() {
			return l.OnBy
		}
		return l.Light
	}
	first := &p.Loads[0]
	for i := range p.Loads {
		if l := &p.Loads[i]; begins(l).Before(begins(first)) {
			first = l
		}
	}
	return first
}

// whole returns the cooks of like that were read with their timelines.
func whole(like []*frame.Cook) []*journal.Cook {
	out := make([]*journal.Cook, len(like))
	for i, c := range like {
		out[i] = c.Whole()
	}
	return out
}

// Work plans a meal. The error is a Refusal, or that of ctx.
func Work(ctx context.Context, r Request, k Known) (Plan, error) {
	if err := r.Check(k); err != nil {
		return Plan{}, err
	}
	if r.Title == "" {
		r.Title = fmt.Sprintf("%s for %d", upperFirst(r.Dishes[0].Cut), r.Party.Heads)
	}
	p := Plan{Request: r, Settings: k.Settings, Moment: k.Now.In(r.Serve.Location())}
	for _, pit := range r.Pits {
		file := map[string]journal.Pit{pit.Name: pit.Pit}
		pit.Book = pitbook.Of(pitbook.ReadAll(k.Past, file), file, pit.Name)
		p.Pits = append(p.Pits, pit)
	}
	if k.Experience == nil {
		k.Experience = forecast.Learn(nil, nil, k.Settings, forecast.Options{})
	}
	f, err := k.Experience.All(ctx)
	if err != nil {
		return Plan{}, err
	}
	if p.Margin = k.Margin; p.Margin == 0 {
		past, err := buffer.Look(ctx, k.Experience)
		if err != nil {
			return Plan{}, err
		}
		p.Margin = past.Factor()
	}
	if p.Portion = r.Portion; p.Portion == 0 {
		p.Portion = r.Serving.Portion()
	}
	if p.Request.Enough == 0 {
		p.Request.Enough = quantity.Usually
	}
	cooked := r.Party.Eats(p.Portion)
	all := frame.Cooks(k.Past)
	for d := range r.Dishes {
		like := baseline.Like(&journal.Cook{Cut: r.Dishes[d].Cut}, all)
		cooks := whole(like)
		p.like = append(p.like, cooks)
		p.Last = append(p.Last, nil)
		if last := baseline.Last(like); last != nil {
			p.Last[d] = last.Whole()
			if last.Change != "" {
				p.Lessons = append(p.Lessons, Lesson{r.Dishes[d].Cut, last.Change, last.Name, last.Date})
			}
		}
		p.Meats = append(p.Meats, quantity.Buy(r.Dishes[d].Cut, r.Dishes[d].Pieces, cooked/float64(len(r.Dishes)), p.Request.Enough, cooks, k.Settings.Units))
	}
	if err := p.spread(k); err != nil {
		return Plan{}, err
	}
	fresh := 0
	for _, l := range p.Loads {
		if l.Batch == 0 {
			fresh += len(l.Cook.Pieces)
		}
	}
	p.CarveAt = r.Serve.Add(-carving(fresh))
	if p.Batches > 1 {
		p.ReheatAt = p.CarveAt.Add(-duration(safety.ReheatWithin))
	}
	if err := p.schedule(ctx, f, k.Past); err != nil {
		return Plan{}, err
	}
	p.hurry()
	p.strip()
	ways := p.levers
	if p.Hurry != nil {
		ways = p.rescue
	}
	if err := ways(ctx, f); err != nil {
		return Plan{}, err
	}
	p.take()
	p.held(k.Past)
	p.burn(k.Past)
	for d := range p.Meats {
		p.Salts = append(p.Salts, quantity.SaltFor(&p.Meats[d], k.Past))
	}
	p.note(k)
	p.prepare()
	return p, nil
}

// habit fills in the aims that the person usually sets for a cut in a pit.
func (p *Plan) habit(aim *journal.Aim, like []*journal.Cook, in string) {
	var pit, core []float64
	for _, c := range like {
		if c.Aim.Pit.Known && c.Pit == in {
			pit = append(pit, c.Aim.Pit.Base)
		}
		if c.Aim.Core.Known {
			core = append(core, c.Aim.Core.Base)
		}
	}
	for _, h := range []struct {
		to   *measure.Temperature
		seen []float64
	}{{&aim.Pit, pit}, {&aim.Core, core}} {
		if !h.to.Known && len(h.seen) >= quantity.Enough {
			*h.to, _ = measure.ParseTemperature(p.Temp(score.Quantile(h.seen, .5)), p.Settings.Units)
		}
	}
}

// reaches refuses a load that may never reach its target.
func (p *Plan) reaches(l *Load) error {
	f := &l.Forecast
	target := 0.0
	for _, piece := range f.Pieces {
		target = math.Max(target, piece.Target)
	}
	switch {
	case f.Pit <= target:
		return refuse(PartAim, "pit at %s: the core of %s is to reach %s and cannot get hotter than the pit", p.Temp(f.Pit), l.Cook.Cut, p.Temp(target))
	case f.OpenEnd:
		return refuse(PartAim, "pit at %s: in %.0f of 100 simulated cooks %s does not reach %s within two days", p.Temp(f.Pit), math.Max(10, 100*f.MayNotReach), l.Cook.Cut, p.Temp(target))
	}
	return nil
}

// Start is the result if all fires for the meal start earlier or later by the same
// time.
type Start struct {
	On    time.Time     // of the first load to go on
	Moved time.Duration // how much later than OnBy each load goes on; negative: earlier
	Late  float64       // chance that any load is late, 0 to 1
	Each  []float64     // chance that each load is late, in the order of Loads
	Hold  float64       // h in the box, mean over the pieces
	Is    bool          // this is the planned start
}

// strip works out starts before and after the planned one.
func (p *Plan) strip() {
	const around = 4
	l := p.First()
	for _, o := range p.Loads { // the first load for the meal itself
		if o.Batch == 0 && (l.Batch > 0 || o.OnBy.Before(l.OnBy)) {
			l = &o
		}
	}
	moved := []time.Duration{0}
	for i := -around; i <= around+1; i++ {
		if at := l.OnBy.Truncate(time.Hour).Add(time.Duration(i) * time.Hour); p.Hurry == nil || at.After(l.OnBy) {
			moved = append(moved, at.Sub(l.OnBy))
		}
	}
	slices.Sort(moved)
	for _, by := range slices.Compact(moved) {
		s := Start{On: l.OnBy.Add(by), Moved: by, Is: by == 0}
		var in, once []float64
		pieces := 0.0
		for i := range p.Loads {
			if o := &p.Loads[i]; o.Batch == 0 {
				one, n := p.start(o, o.OnBy.Add(by)), float64(len(o.Cook.Pieces))
				s.Each = append(s.Each, one.Late)
				in, once = append(in, 1-one.Late), append(once, 1)
				s.Hold, pieces = s.Hold+n*one.Hold, pieces+n
			}
		}
		s.Late, s.Hold = 1-inTime(p.common, in, once), s.Hold/pieces
		p.Strip = append(p.Strip, s)
	}
}

// start returns the result for one load that goes on at a time.
func (p *Plan) start(l *Load, on time.Time) Start {
	has := l.LatestOff.Sub(on).Hours()
	s := Start{On: on, Late: l.late(has)}
	sample := l.within(has).Sample
	boxed := l.CutAt.Add(-l.Rest()).Sub(on).Hours()
	for _, h := range sample {
		s.Hold += math.Max(0, boxed-h) / float64(len(sample))
	}
	return s
}

// Lever is one change to the plan and its result.
type Lever struct {
	What string
	Buys time.Duration // how much later it could go on; negative: earlier
	Late float64       // chance of being late, 0 to 1
	Hold float64       // mean h in the box
	Open bool          // the core may never reach its target
	Risk string
}

// raise is one step of the pit temperature, K: 107 to 121 °C (common practice, no
// source).
const raise = 14.0

// changed forecasts a load that is cooked like c. Only the difference to the plan is
// simulated, since few past cooks show each change. More heat, a wrap or smaller pieces
// never make it later, as in the what-if of package forecast.
func (p *Plan) changed(l *Load, c journal.Cook) forecast.Forecast {
	pits := map[string]journal.Pit{}
	for _, pit := range p.Pits {
		pits[pit.Name] = pit.Pit
	}
	engine := forecast.Untaught(pits, p.Settings)
	was := l.Cook
	was.Pieces = p.forecastPieces(l.Dish, was.Pieces)
	c.Pieces = p.forecastPieces(l.Dish, c.Pieces)
	usual, is := engine.Hours(&was, time.Time{}), engine.Ends(&c, time.Time{})
	out := sooner(l.Forecast, is.ToGo.Mid/usual.ToGo.Mid)
	out.OpenEnd, out.Pit = is.OpenEnd, is.Pit
	return out
}

// sooner scales the hours of a forecast by factor, at most 1. The factor itself is
// uncertain by about a third (chosen).
func sooner(f forecast.Forecast, factor float64) forecast.Forecast {
	factor = math.Min(1, factor)
	spread := math.Log(f.ToGo.Hi / f.ToGo.Mid)
	out := buffer.Drawn(f, math.Hypot(spread, math.Log(factor)/3)/spread)
	for _, h := range []*float64{&out.ToGo.Lo, &out.ToGo.Mid, &out.ToGo.Hi} {
		*h *= factor
	}
	for i := range out.Sample {
		out.Sample[i] *= factor
	}
	return out
}

// levers works out the usual ways to save time. It fails with ctx's error.
func (p *Plan) levers(ctx context.Context, _ *forecast.Forecaster) error {
	main := *p.Main()
	try := func(what, risk string, change func(c *journal.Cook)) {
		if ctx.Err() != nil {
			return
		}
		l := main
		l.Cook.Pieces = slices.Clone(main.Cook.Pieces)
		change(&l.Cook)
		l.Forecast = p.changed(&main, l.Cook)
		if l.Forecast.OpenEnd {
			p.Levers = append(p.Levers, Lever{What: what, Open: true, Risk: risk})
			return
		}
		p.finish(&l)
		p.place(&l, l.LatestOff.Add(-duration(l.hours(l.Sure))).Truncate(step))
		s := p.start(&l, l.OnBy)
		p.Levers = append(p.Levers, Lever{What: what, Buys: l.OnBy.Sub(main.OnBy), Late: s.Late, Hold: s.Hold, Risk: risk})
	}
	up := main.Forecast.Pit + raise
	try("pit at "+p.Temp(up), "a darker bark and drier edges", func(c *journal.Cook) {
		c.Aim.Pit = measure.Degrees(up, measure.Metric)
	})
	if main.Cook.Aim.Wrap.Kind == journal.NoWrap {
		try("paper at "+p.Temp(72), "a softer bark, less smoke", wrapped(journal.Paper, 72))
		try("foil at "+p.Temp(72), "a soft bark", wrapped(journal.Foil, 72))
	}
	try("every piece cut in two", "more crust, a probe for each", halved)
	if evening, ok := eveningBefore(main.OnBy, p.Moment); ok {
		s := p.start(&main, evening)
		p.Levers = append(p.Levers, Lever{What: "on at " + p.At(evening) + " already", Buys: evening.Sub(main.OnBy), Late: s.Late, Hold: s.Hold,
			Risk: "a longer hold"})
	}
	return ctx.Err()
}

// eveningBefore returns eight o'clock on the evening before a start in the night, 21 to
// 6 o'clock.
func eveningBefore(on, now time.Time) (time.Time, bool) {
	if h := on.Hour(); h >= 6 && h < 21 {
		return on, false
	}
	t := time.Date(on.Year(), on.Month(), on.Day(), 20, 0, 0, 0, on.Location())
	if on.Hour() < 6 {
		t = time.Date(on.Year(), on.Month(), on.Day()-1, 20, 0, 0, 0, on.Location())
	}
	return t, t.After(now)
}

// crispSkin is the pit temperature at which the skin of a bird crisps, °C (common
// practice, no source).
const crispSkin = 150.0

// note collects what is missing or doubtful.
func (p *Plan) note(k Known) {
	say := func(format string, args ...any) {
		if s := fmt.Sprintf(format, args...); !slices.Contains(p.Notes, s) {
			p.Notes = append(p.Notes, s)
		}
	}
	if len(k.Experience.Cooks()) == 0 {
		say("Losses, fuel and box are starting values too.")
	}
	for _, l := range p.Loads {
		for _, n := range l.Forecast.Notes {
			say("%s.", upperFirst(n))
		}
	}
	if len(p.Meats) > 1 {
		say("What each guest eats is shared equally between %d cuts.", len(p.Meats))
	}
	for i := range p.Loads {
		if l := &p.Loads[i]; quantity.Find(l.Cook.Cut).Skin() && l.Forecast.Pit < crispSkin {
			say("In a pit of %s the skin of %s stays soft: crisp it over hot coals at the end, or take it off.", p.Temp(l.Forecast.Pit), l.Cook.Cut)
		}
	}
	for i := range p.Pits {
		if !slices.ContainsFunc(p.Loads, func(l Load) bool { return l.Pit == i }) {
			say("%s stays cold: everything has room in the other pit.", upperFirst(p.PitName(i)))
		}
	}
	for _, m := range p.Meats {
		if m.Ready && m.Buy < m.Raw[1]*.95 {
			say("The %s you have, %s, is %s less than the %s it takes.", m.Cut, p.Mass(m.Buy), p.Mass(m.Raw[1]-m.Buy), p.Mass(m.Raw[1]))
		}
	}
}

func upperFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}
