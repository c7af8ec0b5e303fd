package invent

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

// visit is one look at the pit: what is read, done and noted.
type visit struct {
	*course
	t    int     // minute
	pit  float64 // °C as read
	acts string  // acts from the script, as written in a timeline
	entry
}

func (v *visit) add(format string, a ...any) { v.items = append(v.items, fmt.Sprintf(format, a...)) }

// note usually adds a remark for an occasion, unless the visit already has a remark.
func (v *visit) note(kind string) {
	chance := .5
	switch kind {
	case "quiet":
		chance = .25
	case "low", "high", "stall":
		chance = .4
	}
	if v.entry.words == "" && v.pen.Float64() < chance {
		v.entry.words = v.pick(kind)
	}
}

// asked reports whether the script contains an act.
func (v *visit) asked(act string) bool { return strings.Contains(v.acts, act) }

// look visits the pit at minute t. script has acts as written in a timeline.
func (c *course) look(t int, script string) {
	acts, told, _ := strings.Cut(script, "--")
	v := &visit{course: c, t: t, acts: strings.TrimSpace(acts), entry: entry{at: t, words: strings.TrimSpace(told)}}
	if script == "" && c.rng.Float64() < .6 {
		v.at = (t + 2) / 5 * 5
	}
	v.read(script != "")
	v.wrapIt()
	v.tendFire()
	v.spritzIt()
	v.gradeBark()
	if v.acts != "" {
		v.items = append(v.items, strings.Split(v.acts, ", ")...)
	}
	v.hurry()
	v.feelIt()
	if len(v.items) == 0 {
		v.add("pit %s", c.temp(v.pit))
	}
	v.takeOff()
	c.log = append(c.log, v.entry)
}

// read notes the temperatures; all of them if the script asked for the visit.
func (v *visit) read(told bool) {
	v.pit = v.pits[v.t] + .6*v.rng.NormFloat64()
	if v.rng.Float64() < .9 || told {
		v.add("pit %s", v.temp(v.pit))
	}
	cores := v.t > 100 && v.rng.Float64() < .8 || told && v.t > 30 || v.hottest() > 85
	for i := range v.bodies {
		if cores && v.off[i] == 0 && !v.asked("core") {
			v.add("core %s%s", v.name(i), v.temp(v.tempsC[i][v.t]+.3*v.rng.NormFloat64()))
		}
	}
}

// tendFire adjusts vents, fuel and wood, or does what the script says.
func (v *visit) tendFire() {
	if v.acts != "" {
		v.fireAsAsked()
		return
	}
	switch gap := v.pit - v.fire.Aim; {
	case gap < -12 && v.fire.Low > 8 && v.wrapped != "foil" && v.wrapped != "paper":
		kg := .5 * float64(1+v.rng.IntN(3))
		v.add("fuel %s", v.scoop(kg))
		v.fuelKg += kg
		v.fire.Feed()
		v.openLid(v.t)
		v.note("low")
	case gap < -6:
		v.add("vent%s", v.anyOf("", "", " bottom a finger", " bottom half", " open", " both open"))
		v.fire.Correct()
		v.note("low")
	case gap > 7:
		v.add("vent%s", v.anyOf("", " down", " bottom shut", " top half", " to a crack"))
		v.fire.Correct()
		v.note("high")
	default:
		v.note(v.mood(v.t))
	}
	early := v.t < 260 && v.wrapped == "" && v.hottest() < v.meat.Off-15
	if early && v.woodG < v.woodWanted()-40 && v.rng.Float64() < .75 {
		g := 70 + 10*float64(v.rng.IntN(6))
		v.woodG += g
		v.add("wood %s %s", v.Wood, v.chunk(g))
		v.note("wood")
	}
	if v.rng.Float64() < v.peek*.5 && v.t > 60 {
		v.add("lid")
		v.openLid(v.t)
		v.note("peek")
	}
}

func (v *visit) fireAsAsked() {
	if v.asked("vent") {
		v.fire.Correct()
	}
	if v.asked("fuel") {
		v.fire.Feed()
		v.fuelKg += 2
	}
	if v.asked("fuel") || v.asked("lid") {
		v.openLid(v.t)
	}
	if v.asked("wood") {
		v.woodG += 90
	}
}

func (v *visit) wrapIt() {
	kind, at, planned := strings.Cut(v.Wrap, "@")
	from, _ := strconv.ParseFloat(at, 64)
	if planned && v.wrapped == "" && v.hottest() >= from {
		v.wrap(kind, v.t)
		v.add("wrap %s", kind)
		v.note("wrap")
	}
}

func (v *visit) spritzIt() {
	if !v.Spritz || v.wrapped != "" || v.t < 170 || v.hottest() > 85 || v.rng.Float64() > .75 {
		return
	}
	v.add("spritz")
	v.sprays = append(v.sprays, v.t)
	v.openLid(v.t)
	for i, b := range v.bodies {
		if v.off[i] == 0 {
			b.Spritz()
		}
	}
	v.note("spritz")
}

// gradeBark notes the bark now and then, more often after it changed.
func (v *visit) gradeBark() {
	if _, grade, ok := strings.Cut(v.acts, "bark "); ok {
		fmt.Sscanf(grade, "%d", &v.barkSet)
		return
	}
	if v.wrapped != "" || v.t < 150 || v.pen.Float64() > .45 {
		return
	}
	dark := 0.
	for _, b := range v.bodies {
		dark = max(dark, b.Dark)
	}
	grade := min(4, int(dark+.2+.3*v.pen.NormFloat64()))
	if grade < v.barkSet || grade == v.barkSet && v.pen.Float64() < .6 {
		return
	}
	v.barkSet = grade
	v.add("bark %d", grade)
	v.note("bark " + strconv.Itoa(grade))
}

// hurry does what the person does when the meal is near and the meat is late.
func (v *visit) hurry() {
	hot := v.hottest()
	if v.late || v.meat.Collagen == 0 || hot < 60 || float64(v.serve-v.t) > 60*(1.5+(93-hot)*.012*v.hours()) {
		return
	}
	v.late = true
	switch {
	case v.ifLate == "raise" || v.wrapped != "":
		v.fire.Raise(10)
		v.add("aim pit %s", v.temp(v.fire.Aim))
		v.note("late")
	case v.ifLate == "foil":
		v.wrap("foil", v.t)
		v.add("wrap foil")
		v.note("late")
	}
}

// feelIt probes pieces that are nearly done, and takes off those that are done or must
// come off.
func (v *visit) feelIt() {
	for i, b := range v.bodies {
		if v.off[i] > 0 || b.Core() < v.meat.Off-7 {
			continue
		}
		done := v.meat.Collagen == 0 && v.tempsC[i][v.t] >= v.meat.Off-.5
		if v.meat.Collagen > 0 {
			was := v.graded[i]
			x := b.Tender + .08*v.rng.NormFloat64()
			for g, from := range []float64{.3, .62, .97} {
				if x >= from {
					v.graded[i] = max(v.graded[i], g+1)
				}
			}
			if grade := v.graded[i]; grade > was || v.rng.Float64() < .4 || grade == 3 {
				v.add("feel %s%d", v.name(i), grade)
				v.note("feel " + strconv.Itoa(grade))
			}
			done = v.graded[i] == 3 || b.Tender > 1.25
		}
		if done || v.serve-v.t < 45 && b.Core() > 80 {
			v.off[i] = v.t
			if !done {
				v.note("forced")
			}
		}
	}
}

// takeOff notes the pieces taken off on this visit. The last piece needs no name.
func (v *visit) takeOff() {
	if !slices.Contains(v.off, v.t) {
		return
	}
	if !slices.Contains(v.off, 0) {
		v.add("off")
		if v.rng.Float64() < .6 {
			v.add("rest")
		}
		return
	}
	for i, off := range v.off {
		if off == v.t {
			v.add("off %s", strings.TrimSpace(v.name(i)))
		}
	}
}

// mood returns a remark for when nothing is wrong.
func (c *course) mood(t int) string {
	at := atZone(c.on.Add(time.Duration(t) * time.Minute))
	hot, hour, dawn := c.hottest(), at.Hour(), 5
	if at.Month() < time.April || at.Month() > time.September {
		dawn = 7
	}
	switch {
	case c.meat.Collagen > 0 && hot > 64 && hot < 76 && c.wrapped == "" && c.pen.Float64() < .6:
		return "stall"
	case c.weather.Wind > 5.5 && c.pen.Float64() < .5:
		return "wind"
	case c.weather.Air < 3 && hour < 9 && c.pen.Float64() < .5:
		return "frost"
	case hour < dawn:
		return "night"
	case hour < dawn+2:
		return "dawn"
	}
	return "quiet"
}

// woodWanted returns how much wood the people plan to burn, g.
func (c *course) woodWanted() float64 {
	if c.WoodG > 0 {
		return c.WoodG
	}
	kg := 0.
	for _, pc := range c.Pieces {
		kg += pc.trim
	}
	return BestWood * kg
}

func (c *course) openLid(t int) {
	c.lids = append(c.lids, t)
	c.fire.OpenLid()
}

func (c *course) wrap(kind string, t int) {
	c.wrapped, c.wrapAt = kind, t
	c.openLid(t)
}

func (c *course) anyOf(words ...string) string { return words[c.pen.IntN(len(words))] }

// pick returns a remark for an occasion. Cuts without a bone have none about bones.
func (c *course) pick(kind string) string {
	words := c.words.pick(kind)
	if !c.boned() && strings.Contains(words, "bone") {
		return ""
	}
	return words
}

// start notes lighting the fire and putting the meat on.
func (c *course) start() {
	lit := -(45 + 5*c.pen.IntN(10))
	on := entry{items: []string{"on", "pit " + c.temp(c.pits[0])}}
	if c.firstWood > 0 {
		on.items = append(on.items, fmt.Sprintf("wood %s %s", c.Wood, c.chunk(c.firstWood)))
	}
	if c.pen.Float64() < .5 {
		on.words = c.words.pick("on")
	}
	c.log = append(c.log, on)
	first := entry{at: lit, items: []string{"lit"}}
	if c.pen.Float64() < .55 {
		first.words = c.words.pick("lit")
	}
	c.log = append(c.log, first)
	if c.pen.Float64() < .4 {
		c.log = append(c.log, entry{at: lit / 3, items: []string{"settled", "pit " + c.temp(c.Aim+2*c.pen.NormFloat64())}})
	}
	c.burned += c.fire.Burn * .9
}

// hold notes the box and the meal.
func (c *course) hold() {
	if slices.Contains(c.off, 0) {
		return
	}
	done := slices.Max(c.off)
	serve := c.serve + 5*c.pen.IntN(4) - 5
	carve := "pulled"
	if c.Cut == "brisket" || c.Cut == "turkey breast" || c.Cut == "beef plate ribs" {
		carve = "sliced"
	}
	room := serve - 20 - done
	heat := 0.
	for i, b := range c.bodies {
		heat = max(heat, b.Core()-float64(done-c.off[i])/60*9)
	}
	if room < 75 || c.meat.Collagen == 0 {
		at := max(done+20, serve-12)
		e := entry{at: max(at+8, serve), items: []string{"served"}}
		if room < 15 {
			e.words = c.words.pick("served late")
		} else if c.pen.Float64() < .5 {
			e.words = c.words.pick("served")
		}
		c.log = append(c.log, entry{at: at, items: []string{carve}}, e)
		c.holdOff = float64(at-done) / 60
		return
	}
	boxed := done + 10 + c.pen.IntN(16)
	rate := .055 * math.Exp(.25*c.pen.NormFloat64()) // per hour, the hall's box
	in := heat - 2 - 3*c.pen.Float64()
	core := func(t int) float64 { return 20 + (in-20)*math.Exp(-rate*float64(t-boxed)/60) }
	read := func(t int) string {
		return "core " + c.name(len(c.Pieces)-1) + c.temp(core(t)+.4*c.pen.NormFloat64())
	}
	e := entry{at: boxed, items: []string{"boxed", read(boxed)}}
	if c.pen.Float64() < .5 {
		e.words = c.words.pick("boxed")
	}
	c.log = append(c.log, e)
	if room > 150 {
		mid := boxed + (serve-boxed)/2 + c.pen.IntN(30)
		c.log = append(c.log, entry{at: mid, items: []string{read(mid)}})
	}
	out := serve - 18 - c.pen.IntN(15)
	c.holdOff = float64(out-boxed) / 60
	c.log = append(c.log, entry{at: out, items: []string{"unboxed", read(out)}})
	e = entry{at: serve, items: []string{carve, "served"}}
	if c.pen.Float64() < .5 {
		e.words = c.words.pick("served")
	}
	c.log = append(c.log, e)
	if c.pen.Float64() < .35 {
		c.log = append(c.log, entry{at: serve + 75 + c.pen.IntN(40), items: []string{"chilled"}, words: c.words.pick("chilled")})
	}
}

// say adds the script's remarks to the entries closest in time.
func (c *course) say() {
	for _, clock := range slices.Sorted(maps.Keys(c.Say)) {
		at := c.after(clock)
		best, off := 0, math.Inf(1)
		for i, e := range c.log {
			if d := math.Abs(float64(e.at - at)); d < off {
				best, off = i, d
			}
		}
		c.log[best].words = c.Say[clock]
	}
}
