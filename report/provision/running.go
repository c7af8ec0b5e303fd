package provision

import (
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/report/provision/buffer"
	"ashbook/report/provision/quantity"
)

// Running returns the ways to save the meal of a running cook, starting now; the first
// changes nothing. It returns none if nothing is on or all is off. pits are the
// journal's.
func Running(c *journal.Cook, f *forecast.Forecaster, now time.Time, pits map[string]journal.Pit, s journal.Settings) (out []Way) {
	left := f.At(c, now)
	if left.Done || left.On.IsZero() {
		return nil
	}
	latest := OffBy(c.Serve, len(c.Pieces))
	add := func(what, cost string, factor float64, open bool) {
		w := Way{What: what, Late: 1, Cost: cost}
		if !open {
			moved := sooner(left, factor)
			w.Late = buffer.Late(moved, latest.Sub(now).Hours())
			off := now.Add(duration(buffer.Hours(moved, buffer.Sure)))
			w.Meal = upTo(off.Add(c.Serve.Sub(latest)))
		}
		out = append(out, w)
	}
	names := map[string]string{"leave": "left as it is", "paper": "paper now", "foil": "foil now", "pit up": "a hotter pit"}
	for _, a := range f.WhatIf(c, now, left) {
		add(names[a.Name], a.Note, a.ToGo.Mid/left.ToGo.Mid, a.OpenEnd)
	}
	oven := *c
	oven.Entries = slices.DeleteFunc(slices.Clone(c.Entries), func(e journal.Entry) bool { return e.Time.After(now) })
	oven.Entries = append(oven.Entries, journal.Entry{Time: now, Items: []journal.Item{
		{Act: journal.Oven, Temp: measure.Degrees(hotOven, measure.Metric)},
		{Act: journal.PutWrap, Wrap: journal.Foil},
	}})
	engine := forecast.Untaught(pits, s)
	was, is := engine.At(c, now), engine.At(&oven, now)
	temp := (&Plan{Settings: s}).Oven(hotOven)
	add("the kitchen oven at "+temp+", covered", "it gets no more smoke", is.Engine/was.Engine, is.OpenEnd)
	bought := Way{What: "bought cooked, reheated", Cost: "you pay for it; the meat in the pit is for tomorrow", Meal: c.Serve}
	if c.Heads > 0 {
		kg := quantity.Party{Heads: c.Heads}.Eats(quantity.Serving{}.Portion())
		bought.What = "bought cooked, " + measure.FormatMass(kg, s.Units) + ", reheated"
	}
	if ready := upTo(now.Add(reheating)); ready.After(c.Serve) {
		bought.Late, bought.Meal = 1, ready
	}
	return append(out, bought)
}
