package model

import (
	"math"
	"slices"

	"ashbook/report/numeric/heat"
)

// The methods in this file return variants of a cook, with its readings unchanged.

// Unchanged returns the cook as if its pit setting never changed, or as if it did not
// change from now on.
func (j *State) Unchanged(throughout bool) *State {
	u := *j
	if u.Pit.Future = j.was.Future; throughout {
		u.Pit = j.was
	}
	return &u
}

// AsCovered returns the cook without the wraps and sprays that came after h hours, and
// without planned ones.
func (j *State) AsCovered(h float64) *State {
	c := *j
	const second = 1. / 3600
	i := slices.IndexFunc(j.Changes, func(c heat.Change) bool { return c.At/3600 > h-second })
	if i >= 0 {
		c.Changes = j.Changes[:i]
	}
	c.Plan, c.May = heat.Bare, nil
	return &c
}

// Raised returns the cook with its pit raised to lowest, if the pit is too cool to make
// the meat tender.
func (j *State) Raised() *State {
	r := *j
	if r.wantsTender() {
		r.Pit.Future, r.was.Future = math.Max(lowest, r.Pit.Future), math.Max(lowest, r.was.Future)
		r.was.stopped = r.was.Future
	}
	return &r
}

// InUsualPit returns the cook in a pit without readings or a setting, which is assumed
// to be at UsualPit.
func (j *State) InUsualPit() *State {
	u := *j
	u.Pit = Pit{Future: UsualPit, stopped: UsualPit}
	return &u
}
