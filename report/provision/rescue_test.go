package provision

import (
	"math"
	"strings"
	"testing"
	"time"
)

// A plan that comes too late lists what is still possible, each way with its chance of
// being late and the earliest meal for it. It plans the first way that saves the meal,
// and has no times that can no longer be met.
func TestRescue(t *testing.T) {
	r, k := request(t, "2026-09-26")
	k.Now = r.Serve.Add(-8 * time.Hour)
	p := work(t, r, k)
	l := p.Main()
	if p.Hurry == nil || p.Taken == nil || p.Lost() || p.Hurry.Missed.IsZero() || !l.Missed.IsZero() || l.Light.Before(k.Now) || !l.OnBy.After(l.Light) || len(p.Levers) > 0 {
		t.Fatalf("eight hours for a shoulder: %+v", p.Hurry)
	}
	by := map[string]Way{}
	for _, w := range p.Ways {
		by[strings.Fields(w.What)[0]] = w
		if w.Late < 0 || w.Late > 1 || w.Cost == "" {
			t.Errorf("%+v", w)
		}
		if !w.Meal.IsZero() && w.InTime() != !w.Meal.After(r.Serve) {
			t.Errorf("%s: late in %.2f, yet for a meal at %s", w.What, w.Late, w.Meal)
		}
	}
	planned := by["as"]
	if p.Hurry.Late <= .5 || p.Taken.What != by["the"].What || !l.Oven || !l.Halved || len(l.Cook.Pieces) != 2*len(p.Meats[0].Pieces) ||
		l.OnBy.Before(l.Salt) || l.Off[2].Sub(l.LatestOff).Abs() > 2*step || len(p.Fuel) > 0 {
		t.Errorf("planned %+v: %+v", p.Taken, l)
	}
	for _, word := range []string{"pit", "foil", "every", "all", "the"} {
		if w := by[word]; w.Late > planned.Late || !w.Meal.Before(planned.Meal) {
			t.Errorf("%s: late %.2f for %s; as planned %.2f, %s", w.What, w.Late, w.Meal, planned.Late, planned.Meal)
		}
	}
	// A chicken takes about four hours, a shoulder twelve or more (common practice, no
	// source).
	if w := by["chicken"]; !w.InTime() {
		t.Errorf("chicken: %+v", w)
	}
	if w := by["bought"]; !w.InTime() {
		t.Errorf("bought: %+v", w)
	}
	// A way is in time for the meal it names.
	r.Serve = planned.Meal
	if later := work(t, r, k); later.Hurry != nil && later.Hurry.Late > .1+1e-9 {
		t.Errorf("%s was named as the meal for it, and it is late in %.2f", r.Serve, later.Hurry.Late)
	}
	r.Serve = k.Now.Add(90 * time.Minute)
	if soon := work(t, r, k); !soon.Lost() || soon.Taken != nil || soon.Ways[len(soon.Ways)-1].InTime() {
		t.Error("what is bought cold is hot within an hour and a half")
	}
}

// A load that a way out makes faster goes on no sooner than in a normal plan. What
// stays on the pit has a fire of its own.
func TestUnhurried(t *testing.T) {
	r, k := request(t, "2026-09-26")
	r.Dishes = append(r.Dishes, Dish{Cut: "chicken"})
	k.Now = r.Serve.Add(-11 * time.Hour)
	p := work(t, r, k)
	if p.Taken == nil {
		t.Fatalf("%+v", p.Hurry)
	}
	for i := range p.Loads {
		l := &p.Loads[i]
		if l.Missed.IsZero() && math.Abs(l.Late()-(1-l.Sure)) > .02 {
			t.Errorf("%s is on at %s, late in %.2f", l.Cook.Cut, l.OnBy, l.Late())
		}
		lit := l.Oven
		for _, o := range p.batch(l.Batch) {
			lit = lit || o.Pit == l.Pit && !o.Light.IsZero() && o.Light.Before(l.OnBy)
		}
		if !lit || l.Light.After(l.OnBy) {
			t.Errorf("%s goes on at %s, lit %s", l.Cook.Cut, l.OnBy, l.Light)
		}
	}
}

// A plan in time has no ways out, and its levers.
func TestNoRescue(t *testing.T) {
	r, k := request(t, "2026-09-26")
	if p := work(t, r, k); p.Hurry != nil || len(p.Ways) > 0 || len(p.Levers) == 0 || !p.Main().Missed.IsZero() {
		t.Errorf("%+v", p.Ways)
	}
}
