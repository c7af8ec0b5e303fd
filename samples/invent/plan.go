package invent

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"ashbook/samples/invent/roast"
)

// plan is what is decided before a cook, and the script of a scripted one.
type plan struct {
	Date, Title, Cut string
	Pieces           []piece
	Supplier         string
	Salt             float64 // g/kg; 0: not salted ahead
	Wood             string
	WoodG            float64 `yaml:"wood g"` // total, g; 0: a usual amount
	Pit, Pan         string
	Aim              float64 // °C
	Wrap             string  // "paper@70"; "": none
	On               string  // clock time
	Serve            string  // clock time; from 24:00 on it is the next day
	Heads            int
	Hand             string // initials of the person at the pit
	Eaters           string
	Probe, Spritz    bool
	US               bool              `yaml:"us"` // typed in lb and °F
	Air              float64           // °C, 0: usual for the season
	Fire             []trouble         // unplanned changes of the fire
	Form             string            // "running", "planned", "open", "bare"; "": a finished cook
	Last             string            // clock time of the last entry of an unfinished cook
	Luck             float64           // ln time, added to the random luck
	Do               map[string]string // clock time -> acts and words; the pit is looked at then
	Say              map[string]string // clock time -> remark for the closest entry
	Omit             string            // front matter keys that were left out
	Remark           map[string]string // front matter key -> comment
	Prose            string
	Keep, Change     string
}

type piece struct {
	Name  string
	Raw   float64 // kg
	Thick float64 // cm; 0: not measured, drawn at random
	trim  float64 // kg
	core  float64 // °C at the start
}

// trouble is an unplanned change of the fire.
type trouble struct {
	At  string  // clock time at which it begins
	By  float64 // K; negative: falls
	For float64 // minutes until it is complete
	at  int
}

// habit is how a person tends a pit.
type habit struct {
	look   float64 // minutes between looks in the evening
	night  float64 // minutes between looks from midnight to five
	peek   float64 // chance of opening the lid without a reason
	ifLate string  // when late: "raise", "foil", "wait"
}

var habits = map[string]habit{
	"RT": {75, 120, .10, "wait"}, "MB": {60, 95, .45, "raise"}, "PW": {85, 165, .15, "foil"}, "JK": {65, 140, .25, "raise"},
}

// check returns an error for a plan that has unknown names or times.
func (p plan) check() error {
	if _, err := time.Parse(time.DateOnly, p.Date); err != nil {
		return fmt.Errorf("date %q: %w", p.Date, err)
	}
	if roast.CutNamed(p.Cut).Name != p.Cut {
		return fmt.Errorf("%s: cut %q not known", p.id(), p.Cut)
	}
	if _, ok := roast.Pits[p.Pit]; !ok {
		return fmt.Errorf("%s: pit %q not known", p.id(), p.Pit)
	}
	if _, ok := habits[p.Hand]; !ok && p.Form != "planned" {
		return fmt.Errorf("%s: hand %q not known", p.id(), p.Hand)
	}
	clocks := append([]string{p.On, p.Serve}, slices.Collect(maps.Keys(p.Say))...)
	clocks = slices.AppendSeq(clocks, maps.Keys(p.Do))
	for _, f := range p.Fire {
		clocks = append(clocks, f.At)
	}
	if p.Last != "" {
		clocks = append(clocks, p.Last)
	}
	for _, clock := range clocks {
		if _, _, err := readClock(clock); err != nil {
			return fmt.Errorf("%s: clock time %q: %w", p.id(), clock, err)
		}
	}
	return nil
}

// id returns the name of the cook's files, without extension.
func (p plan) id() string {
	return p.Date + "-" + strings.NewReplacer(" ", "-", "'", "").Replace(strings.ToLower(p.Title))
}

var occasions = []string{"Harvest supper", "Shearing supper", "Quiz night", "Feast day", "Cricket tea", "Choir supper", "Village lunch", "Wedding", "Market day", "Bell ringers"}

// randomPlan draws a plan for a cook some days after the last.
func randomPlan(rng *rand.Rand, day *int, o Options) plan {
	*day += 5 + rng.IntN(22)
	pick := func(of ...string) string { return of[rng.IntN(len(of))] }
	c := roast.Cuts[pickIndex(rng, .55, .2, .1, .1, .05)]
	p := plan{
		Date: dayZero.AddDate(0, 0, *day).Format("2006-01-02"), Title: occasions[rng.IntN(len(occasions))],
		Cut: c.Name, Supplier: pick("market hall", "hill farm"), Pit: pick("brick", "drum"),
		Wood: pick("oak", "cherry"), Hand: pick("RT", "MB", "PW", "JK"), Eaters: pick("RT MB", "RT MB JK", "JK AL PW SD", "AL", "RT MB JK AL SD"),
		Probe: rng.Float64() < o.Probes, Spritz: rng.Float64() < .3, Salt: float64(6 + rng.IntN(9)), Heads: 8 + 2*rng.IntN(16),
	}
	p.Pan = pick("hot", "dry", "none")
	if p.Pit == "brick" && rng.Float64() < .5 {
		p.Pan = "hot" // the pan is kept at the brick pit
	}
	p.Aim = c.Pit + float64(rng.IntN(9)-4)
	if c.Collagen > 0 {
		p.Wrap = pick("", "", "", "foil@70", "paper@70", "boat@71")
	}
	for k := range 1 + pickIndex(rng, .6, .33, .07) {
		kg, cm := size(c, rng)
		p.Pieces = append(p.Pieces, piece{Name: []string{"left", "right", "back"}[k], Raw: kg, Thick: cm})
	}
	hours := p.hours()
	on, serve := 20, "37:00"
	if hours < 10 {
		on, serve = 6, "18:30"
	}
	p.On = fmt.Sprintf("%02d:%02d", on+rng.IntN(2), 5*rng.IntN(12))
	p.Serve = serve
	return p
}

func pickIndex(rng *rand.Rand, shares ...float64) int {
	u := rng.Float64()
	for i, s := range shares {
		if u -= s; u < 0 {
			return i
		}
	}
	return 0
}

// size draws a raw weight, kg, and a thickness, cm.
func size(c roast.Cut, rng *rand.Rand) (kg, cm float64) {
	at := map[string][2]float64{"pork shoulder": {4.4, 12.3}, "brisket": {6.4, 9.5}, "lamb shoulder": {2.5, 8.8}, "beef plate ribs": {2.6, 6.5}, "turkey breast": {2.9, 10}}[c.Name]
	f := 1 + .2*max(-1.6, min(1.6, rng.NormFloat64()))
	return at[0] * f, at[1] * (1 + .4*(f-1) + .04*rng.NormFloat64())
}

// hours returns the duration that people expect before a cook, h.
func (p plan) hours() float64 {
	heaviest := 0.
	for _, pc := range p.Pieces {
		heaviest = max(heaviest, pc.Raw)
	}
	h := map[string]float64{"pork shoulder": 8.5 + 1.3*heaviest, "brisket": 7.5 + .9*heaviest, "lamb shoulder": 5.5 + 1.6*heaviest, "beef plate ribs": 5 + 1.1*heaviest, "turkey breast": 1.4 + heaviest}[p.Cut]
	if p.Wrap != "" {
		h -= 1.5
	}
	return h
}
