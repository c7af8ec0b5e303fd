// Package runsheet turns a plan into instructions: its steps in order, what to prepare
// and to buy, a page, a calendar, and the files of the planned cooks.
package runsheet

import (
	"fmt"
	"slices"
	"time"

	"ashbook/report/provision"
	"ashbook/report/safety"
)

// Sheet is a plan with its steps, lists and summary.
type Sheet struct {
	*provision.Plan
	Steps    []Step
	Tasks    []Task
	Sentence []string // the plan in a few sentences
	mixes    Mixes
	turns    []turn // turns of the helpers, by night
}

// Mixes are the mixes for the meal, weighed out, each on one line with its parts. A mix
// that is not in the journal is empty, and the plan shows an estimate instead.
type Mixes struct {
	Rub, Sauce, Slaw string
	Hold             []string // allergens in them, each with its mix: "mustard (hall-rub)"
	Salt             float64  // g of salt in a gram of the rub
}

// Of makes the sheet for a plan.
func Of(plan *provision.Plan, mixes Mixes) *Sheet {
	p := &Sheet{Plan: plan, mixes: mixes}
	p.turns = p.nights()
	p.Steps = p.steps()
	p.Tasks = p.tasks()
	p.Sentence = p.sentence()
	return p
}

// Step is one step of the plan.
type Step struct {
	At     time.Time
	Kind   Kind
	What   string
	Margin string // how late the step may be, or how sure its time is
	Who    string // helper who does the step; empty: nobody is named
}

// Kind is the kind of a step. Its words are part of the JSON output and never change.
type Kind string

// The values of Kind.
const (
	Thaw      Kind = "thaw"
	TrimMeat  Kind = "trim"
	SaltMeat  Kind = "salt"
	Rub       Kind = "rub"
	Light     Kind = "light"
	Settle    Kind = "settled"
	TopUp     Kind = "top up"
	Look      Kind = "look"
	OnBy      Kind = "on by"
	LikelyOff Kind = "likely off"
	LatestOff Kind = "latest off"
	Box       Kind = "box"
	Chill     Kind = "chill"
	Reheat    Kind = "reheat"
	Carve     Kind = "carve"
	Sides     Kind = "sides"
	Serve     Kind = "serve"
	Watch     Kind = "watch"
)

// steps returns all steps, sorted by time. If the meal cannot be saved, these are only
// buying and serving.
func (p *Sheet) steps() []Step {
	var out []Step
	pit := 0
	add := func(at time.Time, kind Kind, what, margin string) {
		out = append(out, Step{at, kind, what, margin, p.who(kind, pit, at)})
	}
	lost := p.Lost()
	for i := range p.Loads {
		if l := &p.Loads[i]; !lost || l.Missed.IsZero() {
			pit = l.Pit
			p.loadSteps(l, add)
		}
	}
	if p.Batches > 1 {
		add(p.ReheatAt, Reheat, fmt.Sprintf("reheat in the oven what was chilled, to %s all through", p.Temp(safety.ReheatTo)), "within two hours (Food Code 3-403.11)")
	}
	if lost {
		add(p.Request.Serve, Serve, "the meal asked for", "this plan does not make it: see what can still save the meal")
	} else {
		add(p.Request.Serve.Add(-sidesFirst), Sides, "heat the hot sides, lay the table",
			fmt.Sprintf("keep hot food at %s or above and slaw cold until it is served (Food Code 3-501.16)", p.Temp(p.Settings.HoldLimit())))
		p.carveSteps(add)
		add(p.Request.Serve, Serve, fmt.Sprintf("serve %d", p.Request.Party.Heads), "")
	}
	for _, t := range p.turns {
		out = append(out, t.step(p))
	}
	out = slices.DeleteFunc(out, func(s Step) bool { return s.At.Before(p.Moment) })
	slices.SortStableFunc(out, func(a, b Step) int { return a.At.Compare(b.At) })
	return out
}

// sidesFirst is how long before the meal the side dishes are started (common practice,
// no source).
const sidesFirst = time.Hour

// who returns the helper for a step. One helper keeps the fire of the first pit, one
// the meat, one the table, and one the fire of each further pit; if there are fewer
// helpers, they take turns. At night it is the helper on watch.
func (p *Sheet) who(kind Kind, pit int, at time.Time) string {
	n := len(p.Request.Helpers)
	if n == 0 {
		return ""
	}
	for _, t := range p.turns {
		if !at.Before(t.from) && at.Before(t.to) {
			return t.who
		}
	}
	duty := 1
	switch kind {
	case Light, Settle, TopUp:
		if duty = 0; pit > 0 {
			duty = 2 + pit
		}
	case Sides, Carve, Serve:
		duty = 2
	}
	return p.Request.Helpers[duty%n]
}
