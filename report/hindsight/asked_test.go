package hindsight

import (
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/samples"
)

// If Moved asks for a core reading, the next one noted narrows the range; if it says that it
// would halve the range, it nearly does. Tested on the last third of the samples, whose meat
// follows another model than the forecast's, with the other cooks known, at cores noted at
// least 45 min after the one before.
func TestAskedReadingNarrows(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	cooks, pits, settings := readJournal(t, samples.FS())
	slices.SortFunc(cooks, func(a, b journal.Cook) int { return a.Date().Compare(b.Date()) })
	known := 2 * len(cooks) / 3
	f, err := learned(t, cooks[:known], pits, settings).All(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	type count struct{ n, narrower, left float64 }
	var asked, halve count
	for i := range cooks[known:] {
		c := &cooks[known+i]
		if len(c.Series.Times) > 0 {
			continue
		}
		for _, at := range coresApart(c, 45*time.Minute) {
			just := at.Add(-time.Second)
			told := f.At(c, just)
			says := f.Moved(c, just, told)
			is := f.Hours(c, at).ToGo
			left := (is.Hi - is.Lo) / (told.ToGo.Hi - told.ToGo.Lo)
			add := func(to *count) {
				to.n++
				to.left += left
				if left < 1 {
					to.narrower++
				}
			}
			if strings.Contains(says, " now would ") {
				add(&asked)
			}
			if strings.Contains(says, " now would halve ") {
				add(&halve)
			}
		}
	}
	t.Logf("asked for: %.0f times, then narrower %.0f, of the range left %.2f; to halve it: %.0f times, %.0f, %.2f", asked.n, asked.narrower, asked.left/asked.n, halve.n, halve.narrower, halve.left/halve.n)
	if asked.n < 20 || asked.narrower < .8*asked.n || asked.left > .85*asked.n {
		t.Errorf("asked for %.0f times: narrower %.0f, of the range left %.2f", asked.n, asked.narrower, asked.left/asked.n)
	}
	if halve.n < 3 || halve.left > .65*halve.n {
		t.Errorf("to halve the range: %.0f times, left of it %.2f", halve.n, halve.left/halve.n)
	}
}

// coresApart returns the times of cores noted at least that long after the one before, or
// after the meat went on, and not at the end.
func coresApart(c *journal.Cook, apart time.Duration) (all []time.Time) {
	last, on := c.OnAt()
	off, done := c.Finish()
	if !on || !done {
		return nil
	}
	for _, e := range c.Entries {
		if !slices.ContainsFunc(e.Items, func(it journal.Item) bool { return it.Act == journal.ReadCore }) || e.Time.Before(last) {
			continue
		}
		if e.Time.Sub(last) >= apart && e.Time.Before(off.Add(-10*time.Minute)) {
			all = append(all, e.Time)
		}
		last = e.Time
	}
	return all
}
