package app

import (
	"context"
	"maps"
	"slices"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/mix"
	"ashbook/report/provision"
	"ashbook/report/provision/quantity"
	"ashbook/report/provision/runsheet"
)

// WorkBack plans back from a meal and lays the plan out, with the journal's mixes
// weighed out for it. It fails with a provision.Refusal or with ctx's error.
func (a *App) WorkBack(ctx context.Context, r provision.Request, known provision.Known) (*runsheet.Sheet, error) {
	p, err := provision.Work(ctx, r, known)
	if err != nil {
		return nil, err
	}
	return runsheet.Of(&p, a.mixesFor(&p)), nil
}

// WorkBackCook plans a saved, planned cook again from its meal and lays the plan out.
// learned is what past cooks teach. It fails with NoMealSet, a provision.Refusal, or
// ctx's error.
func (a *App) WorkBackCook(ctx context.Context, c *journal.Cook, past []journal.Cook, learned *forecast.Experience) (*runsheet.Sheet, error) {
	if c.Serve.IsZero() {
		return nil, noMeal(c)
	}
	serving, err := typed.Serving("", c.Cut)
	if err != nil {
		return nil, err
	}
	pit, ok := a.Pits()[c.Pit]
	if !ok {
		pit = journal.Pit{Name: c.Pit}
	}
	return a.WorkBack(ctx, provision.Request{
		Title: c.Name(), Serve: c.Serve, Party: quantity.Party{Heads: max(1, c.Heads)}, Serving: serving, Weather: c.Weather,
		Dishes: []provision.Dish{{Cut: c.Cut, Pieces: weighed(c.Pieces), Aim: c.Aim}}, Pits: []provision.Pit{{Pit: pit, Takes: oneFire}},
	}, provision.Known{Experience: learned, Past: past, Settings: a.Settings(), Now: c.Serve.Add(-planAhead)})
}

func noMeal(c *journal.Cook) error {
	return typed.Mistaken(typed.NoMealSet, c.ID, "%s: no serving hour is noted, so there is nothing to work back from", c.ID)
}

const (
	// oneFire is a number of pieces that every pit takes, since the file of a cook is
	// one fire.
	oneFire = 500
	// planAhead is how long before the meal a cook's plan begins. Since it is fixed,
	// the plan's sheet is the same whenever it is printed, and an old sheet can be
	// typed in (chosen).
	planAhead = 72 * time.Hour
)

// weighed returns the pieces if all their weights are known, and nil if not. Then the
// plan computes what is needed.
func weighed(pieces []journal.Piece) []journal.Piece {
	for _, p := range pieces {
		if !p.Weight().Known {
			return nil
		}
	}
	return pieces
}

// Rescue returns what can still save a meal from now on, for a cook on the pit. It
// fails with NoMealSet if there is no serving hour, with NoneRunning if no meat is on,
// or with ctx's error.
func (a *App) Rescue(ctx context.Context, c *journal.Cook, now time.Time, learning Progress) ([]provision.Way, error) {
	if c.Serve.IsZero() {
		return nil, noMeal(c)
	}
	past, err := a.latest(ctx, c)
	if err != nil {
		return nil, err
	}
	know, err := Before(ctx, a.Experience(past, learning), c)
	if err != nil {
		return nil, err
	}
	ways := provision.Running(c, know, now, a.Pits(), a.Settings())
	if len(ways) == 0 {
		return nil, typed.Mistaken(typed.NoneRunning, c.ID, "%s: none of its meat is on the pit", c.ID)
	}
	return ways, ctx.Err()
}

// PlanPit returns a pit to plan with; without a name, the usual one in journal.md. aim
// is its temperature, if known. It fails with NoSuchPit if the journal has pits but not
// this one.
func (a *App) PlanPit(name string, aim measure.Temperature) (provision.Pit, error) {
	known := a.Pits()
	named := name != ""
	if !named {
		name = a.Settings().Pit
	}
	p, ok := known[name]
	if !ok && named && len(known) > 0 {
		m := typed.Mistaken(typed.NoSuchPit, name, "pit %q: pits has no such file", name)
		m.Names = slices.Sorted(maps.Keys(known))
		return provision.Pit{}, m
	}
	p.Name = name
	return provision.Pit{Pit: p, Aim: aim}, nil
}

// mixesFor weighs out mixes for a plan: the rub that past cooks name, for the meat to
// buy, and the sauce and the slaw for the number of people, if the journal has only one
// of each.
func (a *App) mixesFor(p *provision.Plan) runsheet.Mixes {
	mixes, _ := a.journal.Mixes()
	line := func(m *journal.Mix, w mix.Want) string {
		b, err := mix.Scale(*m, w, p.Settings.Units)
		if err != nil || len(b.Lines) == 0 {
			return ""
		}
		return b.Line(p.Settings.Units)
	}
	inRub := 0.0
	rub := func() string {
		grams := 0.0
		for _, s := range p.Salts {
			grams += s.RubG
		}
		for i := range mixes {
			m := &mixes[i]
			if m.For.Of != journal.ForMeat || !mix.Named(m, p.Salts[0].Mix) {
				continue
			}
			if one, err := mix.Scale(*m, mix.Want{Meat: 1}, p.Settings.Units); err == nil && one.Grams > 0 {
				inRub = one.Content.Salt / one.Grams
				return line(m, mix.Want{Meat: grams / one.Grams})
			}
		}
		return ""
	}
	only := func(what string) string {
		found := ""
		for i := range mixes {
			m := &mixes[i]
			if m.For.Of == journal.ForMeat || !strings.Contains(strings.ToLower(m.Name+" "+m.Title), what) {
				continue
			}
			if found != "" {
				return ""
			}
			found = line(m, mix.Want{Heads: float64(p.Request.Party.Heads)})
		}
		return found
	}
	out := runsheet.Mixes{Rub: rub(), Sauce: only("sauce"), Slaw: only("slaw")}
	out.Salt = inRub
	out.Hold = held(out.Rub, out.Sauce, out.Slaw)
	return out
}

// held returns the allergens in mixes, each weighed out on one line, with the mixes
// that have them: "mustard (hall-rub, hall-sauce)".
func held(lines ...string) []string {
	var order []string
	in := map[string][]string{}
	for _, line := range lines {
		name, parts, _ := strings.Cut(line, ", ")
		for _, a := range mix.Allergens(parts) {
			if in[a] == nil {
				order = append(order, a)
			}
			in[a] = append(in[a], name)
		}
	}
	for i, a := range order {
		order[i] = a + " (" + strings.Join(in[a], ", ") + ")"
	}
	return order
}

// SavePlan makes the files of a plan's cooks, all or none, and returns their IDs.
func (a *App) SavePlan(p *runsheet.Sheet) ([]string, error) {
	var cooks []fresh
	for i, c := range p.Cooks() {
		cooks = append(cooks, fresh{p.Loads[i].OnBy, c})
	}
	return a.create("planned", cooks...)
}
