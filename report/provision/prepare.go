package provision

import (
	"fmt"
	"math"
	"time"

	"ashbook/journal/measure"
)

// thawFor is how long a piece thaws in a cold box: a day for every four pounds
// ("24 hours for each 4 to 5 pounds", USDA-FSIS, The Big Thaw, from memory).
func thawFor(kg float64) time.Duration {
	return time.Duration(math.Ceil(kg/1.814*24)) * time.Hour
}

// coldWater is thawing in cold water: "about 30 minutes per pound" (the same).
func coldWater(kg float64) time.Duration {
	return time.Duration(math.Ceil(kg/.4536/2)) * time.Hour
}

// awake moves a time in the night, 22 to 7 o'clock: to seven in the morning
// where three quarters of the time until then are left, else to the evening.
func awake(t, until time.Time) time.Time {
	if h := t.Hour(); h >= 7 && h < 22 {
		return t
	}
	day := t.Day()
	if t.Hour() < 7 {
		day--
	}
	evening := time.Date(t.Year(), t.Month(), day, 21, 0, 0, 0, t.Location())
	morning := time.Date(t.Year(), t.Month(), day+1, 7, 0, 0, 0, t.Location())
	if until.Sub(morning) >= until.Sub(t)*3/4 {
		return morning
	}
	return evening
}

// trimFor is trimming (common practice, no source).
func trimFor(pieces int) time.Duration {
	return 15*time.Minute + time.Duration(pieces)*10*time.Minute
}

// prepare sets when each load comes out of the freezer, is trimmed and salted.
func (p *Plan) prepare() {
	for i := range p.Loads {
		l := &p.Loads[i]
		trim := trimFor(len(l.Cook.Pieces))
		l.Salt = awake(l.OnBy.Add(-p.Salt.Ahead), l.OnBy)
		l.Trim = l.Salt.Add(-trim)
		if l.Trim.Before(p.Moment) && l.OnBy.After(p.Moment) {
			l.Trim = p.Moment.Truncate(time.Minute)
			l.Salt = l.Trim.Add(trim)
		}
		if !p.Request.Frozen {
			continue
		}
		heaviest := 0.0
		for _, piece := range l.Cook.Pieces {
			heaviest = math.Max(heaviest, piece.Raw.Base)
		}
		thaw := thawFor(heaviest)
		l.Thaw = l.Trim.Add(-thaw)
		l.Thaw = awake(l.Thaw, l.Thaw) // sooner, never later
		if l.Thaw.Before(p.Moment) {
			p.Notes = append(p.Notes, fmt.Sprintf("It will not thaw in the cold in time%s: that wants %s. In cold water, in a tight bag, changed every half hour, it takes about %s (USDA-FSIS, The Big Thaw, from memory), and then goes on at once; or buy it fresh.",
				p.Of(l), measure.FormatSpan(thaw), measure.FormatSpan(coldWater(heaviest))))
		}
	}
}
