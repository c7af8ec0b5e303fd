package attribution

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/samples/planted"
)

// plantedColumns maps each cause of the planted law to its column.
var plantedColumns = map[string]string{
	"weight": "heaviest piece", "pit": "pit, mean", "wrap": "wrap", "lids": "lid opened", "pan": "water pan",
	"which pit": "pit", "off": "core when it came off", "start": "core when it went on", "thickness": "thickest piece",
}

// TestPlanted compares accounts with journals made by a known law.
// ASHBOOK_PLANTED=FROM:TO, or wide:FROM:TO, takes other seeds than the few of every
// run and uses the lids of every cook, not of every fourth. The true effect of a cause
// is relative to the usual cook: medians, and the most frequent words.
func TestPlanted(t *testing.T) {
	every := os.Getenv("ASHBOOK_PLANTED") != ""
	journals, which, err := planted.Asked(os.Getenv("ASHBOOK_PLANTED"), 6)
	if err != nil {
		t.Fatal(err)
	}
	asked, first, second, held := 0, 0, 0, 0
	var errors, sizes, lids, left, wrong []float64
	hidden, found := 0.0, 0.0
	for _, j := range journals {
		cooks, err := j.Read()
		if err != nil {
			t.Fatal(err)
		}
		read, usual := frame.Cooks(cooks), usualOf(j)
		for i := range cooks {
			truth, name := 0.0, ""
			for cause, ln := range j.Cooks[i].Noted {
				if d := ln - usual[cause]; math.Abs(d) > math.Abs(truth) {
					truth, name = d, cause
				}
			}
			// Every fourth cook, unless no noted cause is large.
			judged := i%4 == 0 && math.Abs(truth) >= .1
			if !judged && !every {
				continue
			}
			a, err := Explain(t.Context(), &cooks[i], read, model.Context{}, Options{Usual: true})
			if err != nil {
				t.Fatal(err)
			}
			sound(t, a)
			ln := 60 * a.Took
			if a.Took != a.From {
				ln = 60 * (a.Took - a.From) / math.Log(a.Took/a.From)
			}
			lids, left = append(lids, float64(j.Cooks[i].Lids)), append(left, a.Unexplained.Minutes)
			wrong = append(wrong, a.Unexplained.Minutes-ln*(j.Cooks[i].Noise+j.Cooks[i].Unnoted))
			if !judged {
				continue
			}
			minutes := truth * ln
			asked++
			at := slices.IndexFunc(a.Lines, func(l Line) bool { return l.Cause == plantedColumns[name] })
			told, doubt := 0.0, 0.0
			if at >= 0 {
				told, doubt = a.Lines[at].Minutes, a.Lines[at].Doubt
			}
			if at == 0 {
				first++
			}
			if at == 0 || at == 1 {
				second++
			}
			if math.Abs(told-minutes) <= doubt {
				held++
			}
			errors, sizes = append(errors, math.Abs(told-minutes)), append(sizes, math.Abs(minutes))
			if u := j.Cooks[i].Unnoted; u != 0 {
				all := u * minutes / truth
				hidden += math.Abs(all)
				found += math.Copysign(1, all) * a.Unexplained.Minutes
			}
		}
	}
	slices.Sort(errors)
	slices.Sort(sizes)
	t.Logf("%s: %d cooks, the largest noted cause first in %d, in the first two lines in %d; median error %.0f of %.0f min; doubt holds %d\nslope of not explained on the lids of %d cooks %+.1f min a lid, of it luck %+.1f; of what nobody noted %.0f %% is in not explained; median of not explained %+.0f min",
		which, asked, first, second, errors[asked/2], sizes[asked/2], held, len(lids), slope(lids, left), slope(lids, left)-slope(lids, wrong), 100*found/math.Max(hidden, 1), median(left))
	if first*10 < asked*6 || second*10 < asked*8 || errors[asked/2] > .4*sizes[asked/2] || held*10 < asked*7 || every && found < hidden/2 {
		t.Errorf("of %d cooks the largest noted cause comes first in %d, in the first two lines in %d; its median error is %.0f of %.0f min, its doubt holds in %d; of what nobody noted %.0f %% is not explained",
			asked, first, second, errors[asked/2], sizes[asked/2], held, 100*found/math.Max(hidden, 1))
	}
}

// usualOf returns the effect of each cause in the usual cook of a journal, ln time.
func usualOf(j planted.Journal) map[string]float64 {
	out := map[string]float64{}
	for cause := range plantedColumns {
		var all []float64
		counts := map[float64]int{}
		for _, c := range j.Cooks {
			if v, ok := c.Noted[cause]; ok || cause != "thickness" {
				all = append(all, v)
				counts[v]++
			}
		}
		if len(all) == 0 {
			continue
		}
		out[cause] = median(all)
		if cause == "wrap" || cause == "pan" || cause == "which pit" {
			words := map[string]int{}
			most := ""
			for _, c := range j.Cooks {
				w := map[string]string{"wrap": c.WrapKind, "pan": c.PanKind, "which pit": c.PitName}[cause]
				words[w]++
				if words[w] > words[most] || words[w] == words[most] && w < most {
					most, out[cause] = w, c.Noted[cause]
				}
			}
		}
	}
	return out
}

func median(x []float64) float64 {
	s := slices.Sorted(slices.Values(x))
	return (s[(len(s)-1)/2] + s[len(s)/2]) / 2
}

func slope(x, y []float64) float64 {
	mx, my, xy, xx := 0.0, 0.0, 0.0, 0.0
	for i := range x {
		mx, my = mx+x[i]/float64(len(x)), my+y[i]/float64(len(x))
	}
	for i := range x {
		xy, xx = xy+(x[i]-mx)*(y[i]-my), xx+(x[i]-mx)*(x[i]-mx)
	}
	return xy / xx
}

// sound checks what is true of every account.
func sound(t testing.TB, a Account) {
	t.Helper()
	if !a.Known {
		if len(a.Says) == 0 {
			t.Errorf("%s: no account and no word why", a.Cook.ID)
		}
		return
	}
	sum := a.Unexplained.Minutes
	for _, l := range append(a.Lines, a.Unexplained) {
		if math.IsNaN(l.Minutes+l.Doubt) || math.IsInf(l.Minutes+l.Doubt, 0) || l.Says == "" || l.Doubt < 0 {
			t.Errorf("%s: %+v", a.Cook.ID, l)
		}
	}
	for _, l := range a.Lines {
		sum += l.Minutes
	}
	if math.Abs(sum-60*(a.Took-a.From)) > 1e-6 {
		t.Errorf("%s: the lines sum to %g, not %g", a.Cook.ID, sum, 60*(a.Took-a.From))
	}
}

// print formats an account for a failure message.
func print(a Account) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s %s\n  %s %s\n", a.Cook.ID, a.Verdict, strings.Join(a.Says, " "), measure.FormatHours(a.From), a.Against)
	for _, l := range append(a.Lines[:len(a.Lines):len(a.Lines)], a.Unexplained) {
		fmt.Fprintf(&b, "  %+5.0f ± %3.0f  %s\n", l.Minutes, l.Doubt, l.Says)
	}
	fmt.Fprintf(&b, "  %s this cook; missing: %s\n", measure.FormatHours(a.Took), strings.Join(a.Missing, "; "))
	return b.String()
}
