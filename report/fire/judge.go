package fire

import (
	"time"

	"ashbook/journal"
)

// probed judges a fire by a probe.
func (l *look) probed() Verdict {
	level, ok := l.course.level(l.now)
	if !ok {
		n := len(l.course.at) - 1
		level = l.course.c[n]
	}
	low := l.aim - level
	slow, _ := l.course.slope(l.now.Add(-45*time.Minute), l.now)
	quick, _ := l.course.slope(l.now.Add(-l.Sudden), l.now)
	if l.warming() {
		if -low >= l.HotFar && quick > -l.Ease {
			return l.runaway(l.course.movingSince(-1))
		}
		return Verdict{}
	}
	if v, ok := l.lid(); ok {
		return v
	}
	since := l.course.movingSince(1)
	share := (level - l.air) / (l.aim - l.air)
	switch {
	case low >= l.OutBy && (slow <= -l.OutFall || quick <= -l.OutFall) || share < l.OutShare && quick < l.Ease:
		return l.out(since)
	case -low >= l.HotBy && quick >= l.HotRise, -low >= l.HotFar && quick > -l.Ease && l.aimStands():
		return l.runaway(l.course.movingSince(-1))
	case low >= l.LowBy/2 && l.starved(quick):
		return l.choked(since)
	case low >= l.LowBy && quick >= l.Ease:
		return Verdict{Kind: Mending}
	case low >= l.LowBy && slow <= -l.Ease && l.held(l.LowBy), low >= l.FarBy && l.aimStands() && l.held(l.FarBy):
		return l.low(low, since)
	}
	return Verdict{Kind: Steady}
}

// held reports whether the pit was already too cold, by at least the given number of
// kelvins, a time Limits.Hold ago.
func (l *look) held(by float64) bool {
	before, ok := l.course.level(l.now.Add(-l.Hold))
	return ok && l.aim-before >= by
}

// aimStands reports whether the setting has not changed in the last hour.
func (l *look) aimStands() bool {
	return l.aimMoved.IsZero() || l.now.Sub(l.aimMoved) > time.Hour
}

// lid returns the verdict for a sharp dip that is recovering or may still recover; ok is
// false if there is none.
func (l *look) lid() (Verdict, bool) {
	d, ok := l.course.lastDip(l.DipBy, l.DipIn)
	if !ok {
		return Verdict{}, false
	}
	here := l.course.c[len(l.course.c)-1]
	back := d.before - here
	switch {
	case l.now.Sub(d.at) > l.LidBack, back < l.DipBy/2, here >= l.aim-l.LowBy/2:
		return Verdict{}, false
	case l.now.Sub(d.began) > l.DipAge && here < d.low+(d.before-d.low)/4:
		return Verdict{}, false // no recovery
	}
	return l.lidSays(d), true
}

// starved reports whether the pit falls although air or fuel was given, or falls too
// fast for a fire that only burns down. quick is the slope over Sudden, K an hour.
func (l *look) starved(quick float64) bool {
	if a, ok := l.last(func(a act) bool { return a.air }); ok {
		wait := l.VentIn
		if a.do != journal.Vent {
			wait = l.FuelIn
		}
		if age := l.now.Sub(a.at); age >= wait && age <= l.ActFor {
			then, known := l.course.level(a.at)
			here, _ := l.course.level(l.now)
			fall, ok := l.course.slope(a.at.Add(wait/2), l.now)
			if known && ok && fall <= -l.Ease && quick <= -l.Ease && here < then-3 {
				return true
			}
		}
	}
	shut, closed := l.last(func(a act) bool { return a.do == journal.Vent && !a.air })
	if closed && l.now.Sub(shut.at) < l.ActFor {
		return false
	}
	if open, ok := l.last(func(a act) bool { return a.lid }); ok && l.now.Sub(open.at) < l.LidBack {
		return false
	}
	d, dipped := l.course.lastDip(l.DipBy, l.DipIn)
	return quick <= -l.Smoulder && !(dipped && l.now.Sub(d.began) < l.DipAge)
}

// noted judges a fire by readings noted by hand, which may be hours apart, and by what was
// done between them.
func (l *look) noted() Verdict {
	n := len(l.course.at)
	if n == 0 || l.warming() || l.now.Sub(l.course.at[n-1]) > l.ReadOld {
		return Verdict{}
	}
	at, level := l.course.at[n-1], l.course.c[n-1]
	low := l.aim - level
	before, beforeAt := level, time.Time{}
	for i := n - 2; i >= 0; i-- {
		if at.Sub(l.course.at[i]) >= 15*time.Minute {
			before, beforeAt = l.course.c[i], l.course.at[i]
			break
		}
	}
	fell := before - level
	if open, ok := l.last(func(a act) bool { return a.lid && a.at.Before(at) }); ok && at.Sub(open.at) < 10*time.Minute && low >= l.LowBy {
		return Verdict{Kind: Lid, Since: open.at, Says: "low reading just after " + l.name(open) + " at " + l.here(open.at) + ", which may be the cause. Read the pit again at " + l.here(at.Add(l.VentIn))}
	}
	a, helped := l.last(func(a act) bool { return a.air && !a.at.After(at.Add(-l.VentIn)) })
	switch share := (level - l.air) / (l.aim - l.air); {
	case share < l.OutShare && fell >= 0:
		return l.out(beforeAt)
	case -low >= l.HotBy && fell < -3 || -low >= l.HotFar && l.aimStands():
		return l.runaway(beforeAt)
	case low >= l.LowBy && fell >= 3 && helped && !a.at.Before(beforeAt) && !beforeAt.IsZero() && at.Sub(a.at) <= 2*l.ActFor:
		return l.choked(beforeAt)
	case low >= l.LowBy && fell < -3:
		return Verdict{Kind: Mending}
	case low >= l.LowBy && fell >= 1, low >= l.FarBy && l.aimStands():
		return l.low(low, beforeAt)
	}
	return Verdict{Kind: Steady}
}
