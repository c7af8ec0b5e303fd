package backend

import (
	"cmp"
	"slices"
	"time"

	"ashbook/journal"
)

// restsFor is how long a cook that is off or in the box, and not yet served, is listed
// with the running ones: longer than the longest hold (chosen).
const restsFor = 12 * time.Hour

// plannedFor is how long after its meal a cook that was never lit is listed as planned
// (chosen: nobody lights it a day later).
const plannedFor = 24 * time.Hour

// GroupOf returns the group of a cook with that status at now. last is the time of its
// last entry, or its day if it has none; zero if not known.
func GroupOf(st journal.Status, last, now time.Time) Group {
	switch {
	case st.LeftOpen, st.Stage >= journal.Eaten, st.Stage >= journal.TakenOff && now.Sub(last) > restsFor:
		return Past
	case st.Stage == journal.Planned && !last.IsZero() && now.Sub(last) > plannedFor:
		return Past
	case st.Stage == journal.Planned:
		return Ahead
	}
	return Burning
}

// SortRows sorts running cooks first, then planned ones, the next one first, then past
// ones, the newest first.
func SortRows(rows []Row) {
	slices.SortStableFunc(rows, func(a, b Row) int {
		if a.Group != b.Group {
			return cmp.Compare(a.Group, b.Group)
		}
		order := b.Date.Compare(a.Date)
		if a.Group == Ahead {
			order = -order
		}
		return cmp.Or(order, cmp.Compare(a.ID, b.ID))
	})
}
