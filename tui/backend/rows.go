package backend

import (
	"cmp"
	"slices"
	"time"

	"ashbook/journal"
)

// restsFor is how long a cook that is off, or in the box, and not yet served
// stays among those that burn: longer than the longest hold (chosen).
const restsFor = 12 * time.Hour

// plannedFor is how long after its meal a cook that was never lit still counts as planned
// (chosen: a day later nobody lights it).
const plannedFor = 24 * time.Hour

// GroupOf says where a cook with that status is at now; last is its last
// entry, or while it has none its day; zero: not known.
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

// SortRows puts running cooks first, then planned ones with the next one first, then past
// ones with the newest first.
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
