package provision

import (
	"fmt"
	"math"
	"slices"
	"time"

	"ashbook/journal/measure"
)

// thawFor returns how long a piece thaws in a cold box: a day for every four pounds
// ("24 hours for each 4 to 5 pounds", USDA-FSIS, The Big Thaw, from memory).
func thawFor(kg float64) time.Duration {
	return time.Duration(math.Ceil(kg/1.814*24)) * time.Hour
}

// coldWater returns how long a piece thaws in cold water: "about 30 minutes per pound"
// (same source).
func coldWater(kg float64) time.Duration {
	return time.Duration(math.Ceil(kg/.4536/2)) * time.Hour
}

// awake moves the start t of work out of the night, 22:00 to 07:00: to 07:00 if at least
// three quarters of the time between t and until are still left then, else to the
// evening before.
func awake(t, until time.Time, work time.Duration) time.Time {
	if h, end := t.Hour(), t.Add(work).Add(-1); h >= 7 && h < 22 && end.Day() == t.Day() && end.Hour() < 22 {
		return t
	}
	day := t.Day()
	if t.Hour() < 7 {
		day--
	}
	evening := time.Date(t.Year(), t.Month(), day, 22, 0, 0, 0, t.Location()).Add(-max(work, time.Hour))
	morning := time.Date(t.Year(), t.Month(), day+1, 7, 0, 0, 0, t.Location())
	if until.Sub(morning) >= until.Sub(t)*3/4 {
		return morning
	}
	return evening
}

// Trimming returns how long it takes to trim a load (common practice, no source).
// Cutting pieces in two adds nothing.
func (l *Load) Trimming() time.Duration {
	n := len(l.Cook.Pieces)
	if l.Halved {
		n /= 2
	}
	return 15*time.Minute + time.Duration(n)*10*time.Minute
}

// salting is how long it takes to salt a load (chosen).
const salting = 15 * time.Minute

// rubFor is how long before it goes on a piece is rubbed: while the fire settles, so
// that the surface is still moist (common practice, no source).
const rubFor = 30 * time.Minute

// prepare sets when each load leaves the freezer and is trimmed, salted and rubbed. One
// person trims one load after the other.
func (p *Plan) prepare() {
	order := make([]*Load, len(p.Loads))
	for i := range p.Loads {
		l := &p.Loads[i]
		order[i] = l
		l.Trim = awake(l.OnBy.Add(-p.Salts[l.Dish].Ahead-l.Trimming()), l.OnBy, l.Trimming()+salting)
	}
	slices.SortStableFunc(order, func(a, b *Load) int { return b.Trim.Compare(a.Trim) })
	for i, l := range order {
		trim := l.Trimming()
		if i > 0 && l.Trim.Add(trim).After(order[i-1].Trim) {
			l.Trim = order[i-1].Trim.Add(-trim)
		}
		if l.Trim.Before(p.Moment) && l.OnBy.After(p.Moment) {
			l.Trim = p.Moment.Truncate(time.Minute)
		}
		l.Salt = l.Trim.Add(trim)
		l.Rub = later(l.OnBy.Add(-rubFor), l.Salt)
		if p.Request.Frozen {
			p.thaw(l)
		}
	}
}

// later returns the later of two times.
func later(a, b time.Time) time.Time {
	if a.Before(b) {
		return b
	}
	return a
}

// thaw sets when a load leaves the freezer.
func (p *Plan) thaw(l *Load) {
	heaviest := 0.0
	for _, piece := range l.Cook.Pieces {
		heaviest = math.Max(heaviest, piece.Raw.Base)
	}
	thaw := thawFor(heaviest)
	l.Thaw = l.Trim.Add(-thaw)
	l.Thaw = awake(l.Thaw, l.Thaw, 0) // never later
	if l.Thaw.Before(p.Moment) {
		p.Notes = append(p.Notes, fmt.Sprintf("It will not thaw in the fridge in time%s: that takes %s. In cold water, in a tight bag, changed every half hour, it takes about %s (USDA-FSIS, The Big Thaw, from memory), and then goes on at once; or buy it fresh.",
			p.Of(l), measure.FormatSpan(thaw), measure.FormatSpan(coldWater(heaviest))))
	}
}
