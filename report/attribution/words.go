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

// sides are the words for more and less of a number.
var sides = map[string][2]string{
	frame.HeaviestPiece: {"heavier", "lighter"}, frame.ThickestPiece: {"thicker for its weight", "thinner for its weight"}, frame.PitMean: {"pit hotter", "pit cooler"},
	frame.CoreOn: {"meat warmer when it went on", "meat colder when it went on"}, frame.CoreOff: {"off hotter", "off cooler"},
	frame.LidOpened: {"lid opened more often", "lid opened less often"}, frame.Spritzed: {"spritzed more often", "spritzed less often"},
	frame.Pieces: {"more pieces", "fewer pieces"}, frame.Air: {"warmer outdoors", "colder outdoors"}, frame.Wind: {"more wind", "less wind"},
	frame.SaltRate: {"more salt", "less salt"},
}

// says describes how this cook and the other differ in a column.
func says(s drivers.Share, sys measure.System) string {
	this, other := s.Column.Format(s.This, sys), s.Column.Format(s.Other, sys)
	if s.Column.Kind == frame.Word {
		if s.Column.Name == frame.Wrap {
			this, other = bare(this), bare(other)
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

func bare(wrap string) string {
	if wrap == "none" {
		return "bare"
	}
	return wrap
}

// short is a line in a sentence: what was different, without the figures.
func (l Line) short() string {
	if words, _, ok := strings.Cut(l.Says, ","); ok {
		return words
	}
	return l.Says
}

// Chosen for the sentence: cooks of the same length differ by less than
// alikeMinutes; a cause in it makes at least aPart of the difference.
const (
	alikeMinutes = 15.0
	aPart        = .15
	mostNamed    = 2
)

// smallThings is the cause of the line that gathers them.
const smallThings = "small things"

// verdict puts the whole into one sentence.
func (a *Account) verdict() {
	by, rest := 60*(a.Took-a.From), a.Unexplained.Minutes
	alike := math.Abs(by) < alikeMinutes
	way := "longer than"
	if by < 0 {
		way = "shorter than"
	}
	var named, against []string
	for _, l := range a.Lines {
		text := fmt.Sprintf("%s (%s)", l.short(), measure.FormatSigned(a.Round(l.Minutes)/60))
		switch sure := math.Abs(l.Minutes) >= l.Doubt; {
		case l.Cause == smallThings:
		case alike && sure && math.Abs(l.Minutes) >= 2*alikeMinutes, !alike && sure && l.Minutes/by <= -aPart:
			against = append(against, text)
		case !alike && l.Minutes/by >= aPart:
			named = append(named, text)
		}
	}
	a.Verdict = "About as long as " + a.Against
	if !alike {
		a.Verdict = fmt.Sprintf("%s %s %s", measure.FormatHours(math.Abs(by)/60), way, a.Against)
	}
	if len(named) > 0 {
		a.Verdict += ": " + strings.Join(named[:min(len(named), mostNamed)], " and ")
	}
	if len(against) > 0 {
		a.Verdict += ", in spite of " + strings.Join(against[:min(len(against), mostNamed)], " and ")
	}
	left := measure.FormatHours(math.Abs(a.Left()) / 60)
	chance, but := "luck", ""
	if by < 0 && a.hurried() {
		chance, but = "the pit raised on the way, luck", ", but for the pit raised on the way"
	}
	switch share := rest / by; {
	case alike:
	case share > 1.1, share >= .25 && len(against) > 0:
		a.Verdict += fmt.Sprintf("; %s, or something not in your notes, made it %s %s", chance, left, strings.TrimSuffix(way, " than"))
	case share >= .9:
		a.Verdict += "; hardly any of it has a cause in your notes" + but
	case share >= .6:
		a.Verdict += fmt.Sprintf("; most of it, %s, has no cause in your notes%s", left, but)
	case share >= .25:
		a.Verdict += fmt.Sprintf("; a part of it, %s, has no cause in your notes%s", left, but)
	case share <= -.25:
		a.Verdict += fmt.Sprintf("; luck, or something not in your notes, took %s of that back", left)
	}
	a.Verdict += "."
}

// luck says whether what is not explained is more than luck; spread is how far a
// cook falls from what is expected, ln, one standard deviation.
func (a *Account) luck(spread float64) {
	rest := a.Unexplained.Minutes
	usual := 60 * a.Took * spread
	within := measure.FormatHours(usual / 60)
	switch {
	case math.Abs(rest) < alikeMinutes:
	case math.Abs(rest) <= usual:
		a.Says = append(a.Says, fmt.Sprintf("What is not explained is no more than luck: two in three such cooks fall within %s of what is expected.", within))
	case math.Abs(rest) <= 2*usual:
		a.Says = append(a.Says, fmt.Sprintf("What is not explained may be luck: two in three such cooks fall within %s of what is expected, and nearly all within twice that.", within))
	default:
		a.Says = append(a.Says, fmt.Sprintf("What is not explained is more than luck makes: nearly all such cooks fall within %s of what is expected. Look for a cause that is not in the notes.", measure.FormatHours(2*usual/60)))
	}
}

// earlyBy is how far below the usual core a cook came off early, K (chosen).
const earlyBy = 4.0

// raised reports that the setting of the pit was put up on the way.
func raised(c *journal.Cook) bool {
	on, _ := c.OnAt()
	was, known := c.AimPit(on)
	return known && slices.ContainsFunc(c.Entries, func(e journal.Entry) bool {
		it, ok := e.Item(journal.SetPit)
		return ok && e.Time.After(on) && it.Temp.Known && it.Temp.Base > was+1
	})
}

// hurried reports that a raised setting is not among the causes: what it was set to at
// first stands for the pit.
func (a *Account) hurried() bool {
	return a.Cook != nil && frame.PitIsSetting(a.Cook) && raised(a.Cook)
}

// words adds what else is to be said.
func (a *Account) words(sys measure.System) {
	switch {
	case !raised(a.Cook):
	case a.Took >= a.From:
		a.Says = append(a.Says, "The pit was raised on the way: people do that because a cook is late, so it is not why it was late.")
	case a.hurried():
		a.Says = append(a.Says, "The pit was raised on the way, which may be why it was quicker: only the setting it began with counts above.")
	}
	if off := of(a.Cook)(frame.Named(frame.CoreOff)); off.Known && model.Usual(a.Cook.Cut) && model.UsualOff(a.Cook.Cut)-off.Number > earlyBy {
		a.Says = append(a.Says, fmt.Sprintf("It came off early, at %.0f °C: such a cut usually goes on to about %.0f °C.", off.Number, model.UsualOff(a.Cook.Cut)))
	}
	a.RestsOn = restsOn(a.Cook, len(a.Cook.Pieces), sys)
}

// restsOn says which readings there are, and the longest gap in those of the
// core.
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
		pit = "the pit by its setting alone"
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
