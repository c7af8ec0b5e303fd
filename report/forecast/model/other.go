package model

import (
	"math"
	"slices"

	"ashbook/report/numeric/heat"
)

// The same cook as it might be; the readings are those of the true one.

// Unchanged is the cook had the setting of its pit not been changed since the meat went
// on: throughout, or else from now on only.
func (j *State) Unchanged(throughout bool) *State {
	u := *j
	if u.Pit.Future = j.was.Future; throughout {
		u.Pit = j.was
	}
	return &u
}

// AsCovered is the cook without the wraps and sprays from h hours after going on, and
// without those to come.
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

// Raised is the cook in a pit that is raised in the end, where it is too low to make the
// meat tender.
func (j *State) Raised() *State {
	r := *j
	if r.wantsTender() {
		r.Pit.Future, r.was.Future = math.Max(lowest, r.Pit.Future), math.Max(lowest, r.was.Future)
		r.was.stopped = r.was.Future
	}
	return &r
}

// InUsualPit is the cook in a pit of which nothing is known.
func (j *State) InUsualPit() *State {
	u := *j
	u.Pit = Pit{Future: UsualPit, stopped: UsualPit}
	return &u
}
