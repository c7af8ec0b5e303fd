package attribution

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
)

// supper is an invented cook, noted every half hour.
type supper struct {
	hours, kg, pit float64
	foil           float64 // hours after it went on
	out            bool    // the fire is out from 4 h to 6 h
	plan           bool
}

// core is the core in °C after a share of the time with a fire: a drawn curve.
func core(share float64) float64 {
	at := []float64{0, .1, .25, .4, .55, .65, .8, 1}
	to := []float64{5, 18, 45, 64, 70, 74, 85, 95}
	for i := range at[1:] {
		if share <= at[i+1] {
			return to[i] + (to[i+1]-to[i])*(share-at[i])/(at[i+1]-at[i])
		}
	}
	return 95
}

func (s supper) cook(t *testing.T, day int) journal.Cook {
	t.Helper()
	on := time.Date(2025, 3, 1, 6, 0, 0, 0, time.UTC).AddDate(0, 0, day)
	var b strings.Builder
	put := func(hours float64, format string, a ...any) {
		at := on.Add(time.Duration(60*hours) * time.Minute)
		fmt.Fprintf(&b, "- %s %s\n", at.Format("2006-01-02T15:04-07:00"), fmt.Sprintf(format, a...))
	}
	fmt.Fprintf(&b, "---\nashbook: 1\ntitle: Supper\ncut: pork shoulder\npieces:\n  - {raw: %.1f kg, core: 5 °C}\n", s.kg)
	if s.plan {
		fmt.Fprintf(&b, "aim: {pit: 110 °C, core: 95 °C, wrap: foil at 71 °C}\n")
	}
	fmt.Fprintf(&b, "---\n\n# Supper\n\n## Timeline\n\n")
	put(0, "on, pit %.0f °C", s.pit)
	for h := .5; h < s.hours; h += .5 {
		fired, of, pit := h, s.hours, s.pit
		if s.out {
			of -= 2
			fired -= min(2, max(0, h-4))
			if h > 4 && h <= 6 {
				pit = 60
			}
		}
		put(h, "pit %.0f °C, core %.0f °C", pit, core(fired/of))
		if h <= s.foil && s.foil < h+.5 {
			put(s.foil, "wrap foil")
		}
	}
	put(s.hours, "core 95 °C, off")
	id := on.Format(time.DateOnly) + "-supper"
	f, err := cookfile.Parse("cooks/2025/"+id+".md", []byte(b.String()), cookfile.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return f.Cook
}

// One gross cause in an otherwise usual cook, which the reader knows: the verdict names it,
// whether the cook is compared with the usual one or with its plan.
func TestGrossCauseIsNamed(t *testing.T) {
	for _, c := range []struct {
		name           string
		supper         supper
		usual, planned string // in the verdict
	}{
		{"pit 20 °C hotter", supper{hours: 7.5, kg: 4, pit: 130, foil: 4.5}, "shorter than your usual pork shoulder, 8 cooks: pit hotter (−", "shorter than its plan: pit hotter (−"},
		{"fire out for two hours", supper{hours: 12, kg: 4, pit: 110, foil: 8, out: true}, "longer than your usual pork shoulder, 8 cooks: pit fell to 60 °C (+", "longer than its plan: pit fell to 60 °C (+"},
		{"twice the weight", supper{hours: 14, kg: 8, pit: 110, foil: 8.4}, "longer than your usual pork shoulder, 8 cooks: heavier (+", "longer than its plan; perhaps the plan's +"},
		{"foil three hours early", supper{hours: 8, kg: 4, pit: 110, foil: 3}, "shorter than your usual pork shoulder, 8 cooks: foil put on earlier (perhaps −", "shorter than its plan: foil put on earlier (perhaps −"},
		{"foil two hours late", supper{hours: 11.5, kg: 4, pit: 110, foil: 9}, "longer than your usual pork shoulder, 8 cooks: foil put on later (perhaps +", "longer than its plan: foil put on later (perhaps +"},
	} {
		for _, plan := range []bool{false, true} {
			var past []journal.Cook
			for i, hours := range []float64{10, 9.5, 10.5, 10, 9.8, 10.2, 10.4, 9.6} {
				past = append(past, supper{hours: hours, kg: 4 + .1*float64(i%3-1), pit: 110 + float64(i%2), foil: .6 * hours, plan: plan}.cook(t, 14*i))
			}
			c.supper.plan = plan
			it := c.supper.cook(t, 200)
			a, err := Explain(t.Context(), &it, frame.Cooks(past), model.Context{}, Options{})
			if err != nil {
				t.Fatal(err)
			}
			sound(t, a)
			want := c.usual
			if plan {
				want = c.planned
			}
			if !strings.Contains(a.Verdict, want) {
				t.Errorf("%s: %q is not in\n%s", c.name, want, print(a))
			}
		}
	}
}
