package hindsight

import (
	"testing"

	"ashbook/journal"
	"ashbook/report/forecast"
	"ashbook/samples"
)

// Record gives the same results as Replay at the same moments.
func TestRecord(t *testing.T) {
	x := learn(t, samples.FS(), 6)
	wanted := map[string]bool{x.Cooks()[2].ID: true, x.Cooks()[5].ID: true}
	got, err := Record(t.Context(), x, func(c *journal.Cook) bool { return wanted[c.ID] }, nil)
	if err != nil || len(got) != len(wanted) {
		t.Fatalf("%d cooks, %v", len(got), err)
	}
	var want []Came
	for _, m := range replayed(t, x, forecast.Earlier).Moments {
		for _, share := range Quarters {
			if a, ok := m.Answer(Ours); ok && wanted[m.Cook] && !m.Look && m.Share == share {
				want = append(want, Came{m.Left, a.Lo, a.Hours, a.Hi})
			}
		}
	}
	for i := range got {
		for k := range got[i] {
			if at := i*len(Quarters) + k; at >= len(want) || got[i][k] != want[at] {
				t.Errorf("cook %d, quarter %d: %+v; the replay has %+v", i, k, got[i][k], want)
			}
		}
	}
}
