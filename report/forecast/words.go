package forecast

import (
	"fmt"
	"math"
	"strings"

	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/heat"
)

// reasons says in plain sentences what the forecast is based on.
func (f *Forecaster) reasons(j *model.State, out *Forecast, found heat.Factors) []string {
	var all []string
	say := func(format string, args ...any) { all = append(all, fmt.Sprintf(format, args...)) }
	switch {
	case out.Readings == 0 && j.On.IsZero():
		say("Worked out from the plan: %s at %s.", weightWords(j), j.Temp(j.Pit.Future))
	case out.Readings == 0:
		say("No core read yet: worked out from %s at %s.", weightWords(j), j.Temp(j.Pit.Future))
	default:
		say("Fitted to %s: %s.", measure.Count(out.Readings, "core reading"), fitWords(found))
	}
	if j.Pit.Setting {
		say("The pit is known by its setting only.")
	} else if j.Pit.Known() {
		say("The pit is expected at %s from now on.", j.Temp(out.Pit))
	}
	if words := mayWrapWords(j); words != "" {
		say("%s", words)
	}
	if out.PastCooks > 0 && math.Abs(out.ToGo.Mid/out.People-1) > .03 {
		say("Going by your %s, %.0f %% %s than other people take.", measure.Count(out.PastCooks, "past cook"), 100*math.Abs(out.ToGo.Mid/out.People-1), moreLess(out.ToGo.Mid > out.People, "longer", "less"))
	}
	if out.Alike.Cooks > 0 {
		say("From a like core %s of yours took %s.", measure.Count(out.Alike.Cooks, "cook"), measure.FormatHours(out.Alike.Hours))
	}
	if out.MayNotReach > .1 {
		say("May not reach its core: in %.0f of 100 simulated courses it did not within %.0f h.", 100*out.MayNotReach, model.Longest)
	}
	switch same := f.sameCut(j.Cook.Cut); {
	case out.PastCooks == 0:
		say("No finished cook of yours to learn from: the range is that of other people's.")
	case same == 0:
		say("Your first %s: the range is nearly that of other people's.", cutWord(j.Cook.Cut))
	case same < enoughCooks:
		say("Few finished cooks of this cut to learn from, so the range is wide.")
	}
	return all
}

// enoughCooks of a cut make a range one's own (chosen).
const enoughCooks = 5

// sameCut counts the past cooks of a cut.
func (f *Forecaster) sameCut(cut string) int {
	n := 0
	for i := range f.past {
		if equalCut(f.past[i].Cut, cut) {
			n++
		}
	}
	return n
}

func cutWord(cut string) string {
	if cut = strings.TrimSpace(cut); cut == "" {
		return "cook of this cut"
	}
	return cut
}

// worthSaying is the chance from which a wrap that may come is told (chosen).
const worthSaying = .15

// mayWrapWords says that the meat may be wrapped though nothing was said of it.
func mayWrapWords(j *model.State) string {
	total, likely := 0.0, model.MayWrap{}
	for _, m := range j.May {
		total += m.Chance
		if m.Chance > likely.Chance {
			likely = m
		}
	}
	if total < worthSaying {
		return ""
	}
	return fmt.Sprintf("Nothing is said of a wrap: %.0f in 10 that it comes, most likely %s near %s. “wrap: none” in the aim rules it out.", 10*total, likely.Kind, j.Temp(likely.At))
}

func moreLess(more bool, a, b string) string {
	if more {
		return a
	}
	return b
}

func weightWords(j *model.State) string {
	kg := 0.0
	for i := range j.Pieces {
		kg += j.Pieces[i].Meat.Mass
	}
	if n := len(j.Pieces); n > 1 {
		return fmt.Sprintf("%d pieces of %s on average", n, j.Mass(kg/float64(n)))
	}
	return "a piece of " + j.Mass(kg)
}

// fitWords says what the fit found.
func fitWords(found heat.Factors) string {
	percent := 100 * (found.Transfer - 1)
	if math.Abs(percent) < 3 {
		return "it takes up heat as usual"
	}
	return fmt.Sprintf("it takes up %.0f %% %s heat than usual", math.Abs(percent), moreLess(percent > 0, "more", "less"))
}
