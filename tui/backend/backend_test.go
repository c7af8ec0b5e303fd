package backend

import (
	"errors"
	"slices"
	"testing"
	"time"

	"ashbook/journal"
)

func TestSortRows(t *testing.T) {
	day := func(d int) time.Time { return time.Date(2026, 9, d, 0, 0, 0, 0, time.UTC) }
	rows := []Row{
		{ID: "old", Group: Past, Date: day(1)}, {ID: "later", Group: Ahead, Date: day(28)}, {ID: "new", Group: Past, Date: day(9)},
		{ID: "b", Group: Burning, Date: day(19)}, {ID: "next", Group: Ahead, Date: day(21)}, {ID: "a", Group: Burning, Date: day(19)},
	}
	SortRows(rows)
	var got []string
	for _, r := range rows {
		got = append(got, r.ID)
	}
	if want := []string{"a", "b", "next", "later", "new", "old"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestGroupOf(t *testing.T) {
	now := time.Date(2026, 9, 19, 12, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		st   journal.Status
		ago  time.Duration
		want Group
	}{
		{journal.Status{Stage: journal.Planned}, 0, Ahead},
		{journal.Status{Stage: journal.Planned}, -48 * time.Hour, Ahead},
		{journal.Status{Stage: journal.Planned}, plannedFor + 1, Past},
		{journal.Status{Stage: journal.Settling}, time.Hour, Burning},
		{journal.Status{Stage: journal.Cooking}, 35 * time.Hour, Burning},
		{journal.Status{Stage: journal.Cooking, LeftOpen: true}, 40 * time.Hour, Past},
		{journal.Status{Stage: journal.TakenOff}, time.Hour, Burning},
		{journal.Status{Stage: journal.Holding}, restsFor, Burning},
		{journal.Status{Stage: journal.Holding}, restsFor + 1, Past},
		{journal.Status{Stage: journal.Eaten}, time.Minute, Past},
		{journal.Status{Stage: journal.Cold}, time.Minute, Past},
	} {
		if got := GroupOf(c.st, now.Add(-c.ago), now); got != c.want {
			t.Errorf("%v, last entry %v ago: %d, want %d", c.st, c.ago, got, c.want)
		}
	}
}

func TestRequestsAreNumberedOnce(t *testing.T) {
	c := NewClient(nil)
	a, first := ask(&c.last, func() (int, error) { return 1, nil })
	b, second := ask(&c.last, func() (int, error) { return 0, errors.New("no") })
	if a == b || a == 0 || b == 0 {
		t.Errorf("requests %d and %d", a, b)
	}
	if got := second().(Answer[int]); got.Request != b || got.Err == nil {
		t.Errorf("%+v", got)
	}
	if got := first().(Answer[int]); got.Request != a || got.Value != 1 {
		t.Errorf("%+v", got)
	}
}
