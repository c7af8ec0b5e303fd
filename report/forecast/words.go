package forecast

import (
	"fmt"
	"math"
	"strings"

	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/heat"
)

// reasons returns sentences on what the forecast is based on.
func (f *Forecaster) reasons(j *model.State, out *Forecast, found heat.Factors) []string {
	var all []string
	say := func(format string, args ...any) { all = append(all, fmt.Sprintf(format, args...)) }
	switch {
	case out.Readings == 0 && j.On.IsZero():
		say("Worked out from the plan: %s at %s.", weightWords(j), j.Temp(j.Pit.Future))
	case out.Readings == 0:
		say("No core read yet: worked out from %s at %s.", weightWords(j), j.Temp(j.Pit.Future))
	default:
		say("Based on %s: %s.", measure.Count(out.Readings, "core reading"), fitWords(found))
	}
	if j.Pit.Setting {
		say("Only the setting of the pit is known, not its temperature.")
	} else if j.Pit.Known() {
		say("The pit is expected at %s from now on.", j.Temp(out.Pit))
	}
	if words := mayWrapWords(j); words != "" {
		say("%s", words)
	}
	if out.PastCooks > 0 && math.Abs(out.ToGo.Mid/out.People-1) > .03 {
		say("Going by your %s, it takes %.0f %% %s than for other people.", measure.Count(out.PastCooks, "past cook"), 100*math.Abs(out.ToGo.Mid/out.People-1), moreLess(out.ToGo.Mid > out.People, "longer", "shorter"))
	}
	if out.Alike.Cooks > 0 {
		say("From a similar core temperature, %s of yours still took about %s.", measure.Count(out.Alike.Cooks, "cook"), measure.FormatHours(out.Alike.Hours))
	}
	if out.MayNotReach > .1 {
		say("It may not reach its core temperature: in %.0f of 100 simulations it does not within %.0f h.", 100*out.MayNotReach, model.Longest)
	}
	switch same := f.sameCut(j.Cook.Cut); {
	case out.PastCooks == 0:
		say("You have no finished cook yet: the range comes from other people's cooks.")
	case same == 0:
		say("Your first %s: the range comes mostly from other people's cooks.", cutWord(j.Cook.Cut))
	case same < enoughCooks:
		say("You have few finished cooks of this cut, so the range is wide.")
	}
	return all
}

// enoughCooks is the number of cooks of a cut from which the range is the person's own
// (chosen).
const enoughCooks = 5

// sameCut counts past cooks of a cut.
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

// worthSaying is the least chance of a wrap that is printed (chosen).
const worthSaying = .15

// mayWrapWords returns a sentence on how likely you are to wrap, if the plan does not
// say; "" if the chance is below worthSaying.
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
	return fmt.Sprintf("The plan does not say whether you wrap. You probably do in %.0f of 10 such cooks, most likely in %s near %s. Write “wrap: none” in the aim if you do not.", 10*total, likely.Kind, j.Temp(likely.At))
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

// fitWords returns sentences that describe the fitted factors.
func fitWords(found heat.Factors) string {
	percent := 100 * (found.Transfer - 1)
	if math.Abs(percent) < 3 {
		return "the meat heats as fast as usual"
	}
	return fmt.Sprintf("the meat takes up %.0f %% %s heat than usual", math.Abs(percent), moreLess(percent > 0, "more", "less"))
}
