package keys

import "ashbook/tui/intent"

// Way is how to get from a screen with Ways to another one.
type Way struct {
	Binding
	Place  intent.Place
	OfCook bool // it is about the screen's cook
}

// Ways has all ways.
var Ways = []Way{
	{Binding{Do: intent.ToWatch, More: "watch over this cook"}, intent.Watch, true},
	{Binding{Do: intent.ToCook, Keys: []string{"ctrl+p"}, Show: "ctrl+p", More: "the page of this cook"}, intent.Cook, true},
	{Binding{Do: intent.ToTasting, Keys: []string{"ctrl+t"}, Show: "ctrl+t", More: "tasting: the scores of this cook"}, intent.Tasting, true},
	{Binding{Do: intent.ToBeside, Keys: []string{"f2"}, Show: "F2", More: "beside: this cook and the most similar ones"}, intent.Beside, true},
	{Binding{Do: intent.ToWhy, Keys: []string{"ctrl+y"}, Show: "ctrl+y", More: "why this cook was early or late"}, intent.Why, true},
	{toTimeline, intent.Timeline, true},
	{toVersions, intent.Versions, true},
	{toHold, intent.Hold, true},
	{toReady, intent.Ready, true},
	{Binding{Do: intent.ToWorkback, More: toWorkback.More}, intent.Workback, false},
	{Binding{Do: intent.ToMatters, Keys: []string{"ctrl+g"}, Show: "ctrl+g", More: "what matters, over all cooks"}, intent.Matters, false},
	{Binding{Do: intent.ToPits, More: "pit book: each pit, its fuel and how its temperature drifts"}, intent.Pits, false},
	{Binding{Do: intent.ToMixes, More: "mixes: rubs, sauces and slaws, their weights and parts"}, intent.Mixes, false},
	{Binding{Do: intent.ToSettings, More: "settings: units, hot hold, usual pit, altitude, when to look again"}, intent.Settings, false},
	{Binding{Do: intent.ToHindsight, Keys: []string{"ctrl+r"}, Show: "ctrl+r", More: "hindsight: how far to trust the forecasts"}, intent.Hindsight, false},
}

// ways are the bindings of Ways.
var ways = func() []Binding {
	var out []Binding
	for _, w := range Ways {
		out = append(out, w.Binding)
	}
	return out
}()

// WayOf returns the way of an intent.
func WayOf(do intent.Do) (Way, bool) {
	for _, w := range Ways {
		if w.Do == do {
			return w, true
		}
	}
	return Way{}, false
}
