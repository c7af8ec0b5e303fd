package attribution

import (
	"fmt"
	"math"
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

// says tells how this cook and the other differ in a column.
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

// signed prints minutes to a step.
func signed(minutes, step float64) string {
	return measure.FormatSigned(step * math.Round(minutes/step) / 60)
}

// Chosen for the sentence: cooks of the same length differ by less than
// alikeMinutes; a cause in it makes at least aPart of the difference.
const (
	alikeMinutes = 15.0
	aPart        = .15
	mostNamed    = 2
)

// verdict puts the whole into one sentence.
func (a *Account) verdict(t *drivers.Times) {
	by := 60 * (a.Took - a.From)
	way := "longer than"
	if by < 0 {
		way = "shorter than"
	}
	if math.Abs(by) < alikeMinutes {
		a.Verdict = fmt.Sprintf("About as long as %s.", a.Against)
		return
	}
	var named []string
	for _, l := range a.Lines {
		if l.Minutes/by >= aPart && l.Cause != "small things" && len(named) < mostNamed {
			named = append(named, fmt.Sprintf("%s (%s)", l.short(), signed(l.Minutes, a.Step())))
		}
	}
	a.Verdict = fmt.Sprintf("%s %s %s", measure.FormatHours(math.Abs(by)/60), way, a.Against)
	if len(named) > 0 {
		a.Verdict += ": " + strings.Join(named, " and ")
	}
	switch share := a.Unexplained.Minutes / by; {
	case share >= .6:
		a.Verdict += "; most of it has no cause in your notes"
	case share >= .25:
		a.Verdict += "; a part of it has no cause in your notes"
	case share <= -.6:
		a.Verdict += "; something nobody noted took much of that back"
	}
	a.Verdict += "."
	rest := a.Unexplained.Minutes
	switch usual := 60 * a.Took * t.Scatter; {
	case math.Abs(rest) < alikeMinutes:
	case math.Abs(rest) <= usual:
		a.Says = append(a.Says, fmt.Sprintf("What is not explained is no more than luck: two in three of your cooks fall within %s of what is expected.", measure.FormatHours(usual/60)))
	default:
		a.Says = append(a.Says, fmt.Sprintf("What is not explained is more than the %s within which two in three of your cooks fall: look for a cause that is not in the notes.", measure.FormatHours(usual/60)))
	}
}

// earlyBy is how far below the usual core a cook came off early, K (chosen).
const earlyBy = 4.0

// words adds what else is to be said.
func (a *Account) words() {
	on, _ := a.Cook.OnAt()
	for _, e := range a.Cook.Entries {
		if it, ok := e.Item(journal.SetPit); ok && e.Time.After(on) && it.Temp.Known {
			if was, known := a.Cook.AimPit(on); known && it.Temp.Base > was+1 {
				a.Says = append(a.Says, "The pit was raised on the way: people do that because a cook is late, so it is not why it was late.")
				break
			}
		}
	}
	if off := of(a.Cook)(frame.Named(frame.CoreOff)); off.Known && model.Usual(a.Cook.Cut) && model.UsualOff(a.Cook.Cut)-off.Number > earlyBy {
		a.Says = append(a.Says, fmt.Sprintf("It came off early, at %.0f °C: such a cut usually goes on to about %.0f °C.", off.Number, model.UsualOff(a.Cook.Cut)))
	}
	a.RestsOn = restsOn(a.Cook, len(a.Cook.Pieces))
}

// restsOn tells which readings there are, and the longest gap in those of the
// core.
func restsOn(c *journal.Cook, pieces int) string {
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
		core += fmt.Sprintf(", none between %s and %s", gapAt.Format(measure.Clock), gapAt.Add(gap).Format(measure.Clock))
	}
	return pit + "; " + core
}
