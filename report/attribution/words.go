package attribution

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/drivers"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
)

// sides are the printed words for more and for less of a column.
var sides = map[string][2]string{
	frame.HeaviestPiece: {"heavier", "lighter"}, frame.ThickestPiece: {"thicker for its weight", "thinner for its weight"}, frame.PitMean: {"pit hotter", "pit cooler"},
	frame.CoreOn: {"meat warmer when it went on", "meat colder when it went on"}, frame.CoreOff: {"came off hotter", "came off cooler"},
	frame.LidOpened: {"lid opened more often", "lid opened less often"}, frame.Spritzed: {"spritzed more often", "spritzed less often"},
	frame.Pieces: {"more pieces", "fewer pieces"}, frame.Air: {"warmer outdoors", "colder outdoors"}, frame.Wind: {"more wind", "less wind"},
	frame.SaltRate: {"more salt", "less salt"},
}

// says describes how this cook and the other differ in one column.
func says(s drivers.Share, sys measure.System) string {
	this, other := values(s, sys)
	if s.Column.Kind == frame.Word {
		switch {
		case s.Cores[0] > 0:
			way := " put on earlier, at a core of "
			if s.Cores[0] > s.Cores[1] {
				way = " put on later, at a core of "
			}
			return wrapping(s.This.Word, "") + way + this + " against " + other
		case s.Column.Name == frame.Wrap:
			this, other = wrapping(this, "no wrap"), wrapping(other, "bare")
			if strings.HasSuffix(this, "wrap") {
				return this + ", against " + other
			}
		}
		return s.Column.Name + " " + this + ", against " + other
	}
	way := s.Column.Name
	if words, ok := sides[s.Column.Name]; ok {
		if way = words[0]; s.More < 0 {
			way = words[1]
		}
	}
	return way + ", " + this + " against " + other
}

// values returns the two compared values as printed: of one wrap, the cores at which it
// went on.
func values(s drivers.Share, sys measure.System) (this, other string) {
	if s.Cores[0] > 0 {
		core := frame.Named(frame.WrappedAt)
		return core.Format(frame.Value{Number: s.Cores[0], Known: true}, sys), core.Format(frame.Value{Number: s.Cores[1], Known: true}, sys)
	}
	return s.Column.Format(s.This, sys), s.Column.Format(s.Other, sys)
}

// A pit has fallen if it was fellBy below its mean for fellFor altogether (chosen: a lid
// takes less, and fires wander less).
const fellBy, fellFor = 20.0, 30 * time.Minute

// fell returns what is said of a cooler pit: text, or that the pit fell for a while, and to
// what, if c notes it. mean is that of c, °C.
func fell(c *journal.Cook, mean float64, text string, sys measure.System) string {
	lowest := frame.Named(frame.PitLowest).Of(c)
	off, done := c.Finish()
	readings := c.PitReadings()
	var below time.Duration
	for i := 1; i < len(readings); i++ {
		from, to := readings[i-1], readings[i]
		for _, r := range []journal.Reading{from, to} {
			if on, ok := c.OnAt(); ok && done && r.C < mean-fellBy && !from.Time.Before(on) && !to.Time.After(off) {
				below += to.Time.Sub(from.Time) / 2
			}
		}
	}
	if !lowest.Known || lowest.Number > mean-fellBy || below < fellFor {
		return text
	}
	return fmt.Sprintf("pit fell to %s, %s", frame.Named(frame.PitLowest).Format(lowest, sys), strings.Replace(text, "pit cooler, ", "mean ", 1))
}

// wrapping returns a wrap as it is printed before a comma: "loose paper", not "paper, loose".
func wrapping(wrap, none string) string {
	if wrap == "none" {
		return none
	}
	if kind, loose := strings.CutSuffix(wrap, ", loose"); loose {
		return "loose " + kind
	}
	return wrap
}

// short says what was different, without the numbers.
func (l Line) short() string {
	if words, _, ok := strings.Cut(l.Says, ","); ok {
		return words
	}
	return l.Says
}

// Thresholds of the verdict (chosen): times closer than alikeMinutes count as equal; a
// cause is named if it makes at least aPart of the difference, and what is not explained is
// most of it from mostOfIt on.
const (
	alikeMinutes = 15.0
	aPart        = .15
	mostOfIt     = .6
	mostNamed    = 2
)

// smallThings is the Cause of the line that merges the small lines.
const smallThings = "small things"

// verdict sets the sentence that sums up the account. spread is the standard deviation of
// ln(time) of one cook around the expected time.
func (a *Account) verdict(spread float64) {
	by, rest := 60*(a.Took-a.From), a.Unexplained.Minutes
	alike := math.Abs(by) < alikeMinutes
	way, back := "longer", "shorter"
	if by < 0 {
		way, back = back, way
	}
	var named, against []string
	for _, l := range a.Lines {
		sure, perhaps := math.Abs(l.Minutes) >= l.Doubt, ""
		if !sure {
			perhaps = "perhaps "
		}
		text := fmt.Sprintf("%s (%s%s)", l.short(), perhaps, measure.FormatSigned(a.Round(l.Minutes)/60))
		switch {
		case l.Cause == smallThings:
		case alike && sure && math.Abs(l.Minutes) >= 2*alikeMinutes, !alike && sure && l.Minutes/by <= -aPart:
			against = append(against, text)
		case !alike && l.Minutes/by >= aPart:
			named = append(named, text)
		}
	}
	a.Verdict = "About as long as " + a.Against
	if !alike {
		a.Verdict = fmt.Sprintf("%s %s than %s", measure.FormatHours(math.Abs(by)/60), way, a.Against)
	}
	if len(named) > 0 {
		a.Verdict += ": " + strings.Join(named[:min(len(named), mostNamed)], " and ")
	}
	if len(against) > 0 {
		a.Verdict += ", in spite of " + strings.Join(against[:min(len(against), mostNamed)], " and ")
	}
	left := measure.FormatHours(math.Abs(a.Left()) / 60)
	chance, but := "luck, or something not in your notes,", ""
	switch raised := by < 0 && a.hurried(); {
	case raised && a.strange(spread):
		chance, but = "the pit raised on the way, or something not in your notes,", ", except for the pit raised on the way"
	case raised:
		chance, but = "the pit raised on the way, "+chance, ", except for the pit raised on the way"
	case a.strange(spread):
		chance = "something more than luck"
	}
	switch share := rest / by; {
	case alike:
	case share > 1.1, share >= .25 && len(against) > 0:
		a.Verdict += fmt.Sprintf("; %s made it %s %s", chance, left, way)
	case share >= mostOfIt && a.counted != "" && but == "":
		a.Verdict += "; " + a.counted
	case share >= .9 && len(named) == 0:
		a.Verdict += "; hardly any of it has a cause in your notes" + but
	case share >= mostOfIt:
		a.Verdict += fmt.Sprintf("; most of it, %s, has no cause in your notes%s", left, but)
	case share >= .25:
		a.Verdict += fmt.Sprintf("; a part of it, %s, has no cause in your notes%s", left, but)
	case share <= -.25:
		a.Verdict += fmt.Sprintf("; %s made it %s %s", chance, left, back)
	}
	a.Verdict += "."
}

// strange reports whether Unexplained is more than chance, at two standard deviations.
func (a *Account) strange(spread float64) bool {
	return math.Abs(a.Unexplained.Minutes) > math.Max(alikeMinutes, 2*60*a.Took*spread)
}

// luck adds a sentence that says whether Unexplained may be chance. spread is the
// standard deviation of ln(time) of one cook around the expected time.
func (a *Account) luck(spread float64) {
	rest := a.Unexplained.Minutes
	usual := 60 * a.Took * spread
	within := measure.FormatHours(usual / 60)
	switch {
	case math.Abs(rest) < alikeMinutes:
	case math.Abs(rest) <= usual:
		a.Says = append(a.Says, fmt.Sprintf("What is not explained is no more than luck: two in three such cooks fall within %s of what is expected.", within))
	case !a.strange(spread):
		a.Says = append(a.Says, fmt.Sprintf("What is not explained may be luck: two in three such cooks fall within %s of what is expected, and nearly all within twice that.", within))
	default:
		text := fmt.Sprintf("What is not explained is more than luck: nearly all such cooks fall within %s of what is expected.", measure.FormatHours(2*usual/60))
		if rest > 0 || !a.hurried() { // else words names the raised pit
			text += " Look for a cause that no line above names."
		}
		a.Says = append(a.Says, text)
	}
}

// earlyBy is how far below the usual core a cook counts as off early, K (chosen).
const earlyBy = 4.0

// raised reports whether the pit setting was raised during the cook.
func raised(c *journal.Cook) bool {
	on, _ := c.OnAt()
	was, known := c.AimPit(on)
	return known && slices.ContainsFunc(c.Entries, func(e journal.Entry) bool {
		it, ok := e.Item(journal.SetPit)
		return ok && e.Time.After(on) && it.Temp.Known && it.Temp.Base > was+1
	})
}

// hurried reports whether the setting was raised in a cook whose pit temperature is only
// known by its first setting, so that no line includes the raise.
func (a *Account) hurried() bool {
	return a.Cook != nil && frame.PitIsSetting(a.Cook) && raised(a.Cook)
}

// words adds further sentences to the account, and says what it is based on.
func (a *Account) words(sys measure.System) {
	switch {
	case !raised(a.Cook):
	case a.Took >= a.From:
		a.Says = append(a.Says, "The pit was raised on the way: people do that when a cook is late, so it is not counted as a cause.")
	case a.hurried():
		a.Says = append(a.Says, "The pit was raised on the way, which may be why it was quicker: the lines above count only the first setting.")
	}
	col, usual := frame.Named(frame.CoreOff), model.UsualOff(a.Cook.Cut)
	if off := rowOf(a.Cook)(col); off.Known && model.Usual(a.Cook.Cut) && usual-off.Number > earlyBy {
		a.Says = append(a.Says, fmt.Sprintf("It came off early, at a core of %s: this cut usually comes off at about %s.", col.Format(off, sys), col.Format(frame.Value{Number: usual, Known: true}, sys)))
	}
	a.RestsOn = restsOn(a.Cook, len(a.Cook.Pieces), sys)
}

// restsOn counts the readings and names the longest gap in the core readings of the
// first piece.
func restsOn(c *journal.Cook, pieces int, sys measure.System) string {
	pits, cores := len(c.PitReadings()), 0
	var gap time.Duration
	var gapAt time.Time
	for i := range pieces {
		readings := c.CoreReadings(i)
		cores += len(readings)
		for k := 1; k < len(readings); k++ {
			if d := readings[k].Time.Sub(readings[k-1].Time); d > gap && i == 0 {
				gap, gapAt = d, readings[k-1].Time
			}
		}
	}
	pit := measure.Count(pits, "pit reading")
	if pits == 0 {
		pit = "no pit reading, only its setting"
	}
	core := measure.Count(cores, "core reading")
	if cores == 0 {
		core = "no core reading"
	}
	if gap >= gapFrom {
		core += fmt.Sprintf(", none between %s and %s", measure.FormatTime(gapAt, measure.Clock, sys), measure.FormatTime(gapAt.Add(gap), measure.Clock, sys))
	}
	return pit + "; " + core
}
