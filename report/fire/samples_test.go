package fire

import (
	"io/fs"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/journal/series"
	"ashbook/samples"
)

// probed returns the invented cooks with a probe series, and all pits.
func probed(t testing.TB) (cooks []journal.Cook, pits map[string]journal.Pit) {
	t.Helper()
	pits = map[string]journal.Pit{}
	err := fs.WalkDir(samples.FS(), ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(samples.FS(), p)
		switch {
		case err != nil:
			return err
		case strings.HasPrefix(p, "pits/"):
			pit, _, err := cookfile.ParsePit(p, data)
			pits[pit.Name] = pit
			return err
		case !strings.HasPrefix(p, "cooks/") || !strings.HasSuffix(p, ".md"):
			return nil
		}
		rows, err := fs.ReadFile(samples.FS(), strings.TrimSuffix(p, ".md")+".csv")
		if err != nil {
			return nil // this cook has no series
		}
		f, err := cookfile.Parse(p, data, cookfile.Options{Zone: samples.Now().Location()})
		if err != nil {
			return err
		}
		f.Cook.Series, _, err = series.Parse(p, rows)
		cooks = append(cooks, f.Cook)
		return err
	})
	if err != nil || len(cooks) == 0 {
		t.Fatalf("%d cooks with a series: %v", len(cooks), err)
	}
	return cooks, pits
}

// call is a stretch of time with an alert.
type call struct {
	Verdict
	from, to time.Time
}

// watch judges a cook minute by minute. Alerts of one kind within half an hour count as
// one call.
func watch(c *journal.Cook, p journal.Pit, u Usual, from, to time.Time) (calls []call, minutes map[Kind]int) {
	minutes = map[Kind]int{}
	for now := from; now.Before(to); now = now.Add(time.Minute) {
		v := Read(c, p, u, now, Defaults(), measure.Metric)
		minutes[v.Kind]++
		n := len(calls)
		switch {
		case !v.Alert:
		case n > 0 && calls[n-1].Kind == v.Kind && now.Sub(calls[n-1].to) <= 30*time.Minute:
			calls[n-1].to = now
		default:
			calls = append(calls, call{v, now, now})
		}
	}
	return calls, minutes
}

// stretch returns when a cook went on and came off, or its last reading.
func stretch(c *journal.Cook) (from, to time.Time) {
	from, _ = c.OnAt()
	to, done := c.Finish()
	if n := len(c.Series.Times); !done && n > 0 {
		to = c.Series.Times[n-1]
	}
	return from, to
}

// wolf reports a false alarm: within 90 min nobody tended the fire and it returned to its
// aim.
func wolf(c *journal.Cook, k call, to time.Time) bool {
	for _, e := range c.Entries {
		if e.Time.Before(k.from) || e.Time.Sub(k.from) > 90*time.Minute {
			continue
		}
		for _, it := range e.Items {
			if it.Act == journal.Vent || it.Act == journal.AddFuel || it.Act == journal.AddWood {
				return false
			}
		}
	}
	for now := k.from; now.Before(to) && now.Sub(k.from) <= 90*time.Minute; now = now.Add(5 * time.Minute) {
		level, ok := courseOf(c.PitReadings(), now).level(now)
		if aim, _ := c.AimPit(now); ok && level > aim-Defaults().LowBy/2 && level < aim+Defaults().HotBy/2 {
			return true
		}
	}
	return false
}

// The fires of the invented journal sink, vary and are opened: there are almost no false
// alarms.
func TestSamplesDoNotCryWolf(t *testing.T) {
	cooks, pits := probed(t)
	count := map[Kind]int{}
	hours, lids, false1, woken := 0.0, 0, 0, 0
	for i := range cooks {
		c := &cooks[i]
		from, to := stretch(c)
		hours += to.Sub(from).Hours()
		calls, minutes := watch(c, pits[c.Pit], Usual{}, from, to)
		lids += minutes[Lid]
		for _, k := range calls {
			count[k.Kind]++
			if k.Wake {
				woken++
			}
			if wolf(c, k, to) {
				false1++
				t.Logf("for nothing: %s %s: %s", c.ID, k.from.Format("15:04"), k.Says)
			}
		}
	}
	calls := count[Low] + count[Choked] + count[Runaway] + count[Out]
	t.Logf("%d cooks, %.0f h with a probe: %d calls (%d low, %d choked, %d running away, %d out), %d for nothing; %d would wake a sleeper; %d min called a lid",
		len(cooks), hours, calls, count[Low], count[Choked], count[Runaway], count[Out], false1, woken, lids)
	if count[Choked]+count[Out] > 0 || count[Runaway] != 1 {
		t.Errorf("no fire of the journal choked or went out, and one ran away: %v", count)
	}
	if false1 > 2 || woken > 3 {
		t.Errorf("%d calls for nothing, %d wake a sleeper; expected at most 2 and 3", false1, woken)
	}
	if calls < 15 {
		t.Errorf("%d calls: fires that their keepers mended are not seen any more", calls)
	}
}
