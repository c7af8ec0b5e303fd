package hindsight

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/report/forecast"
	"ashbook/samples/invent"
)

// generated returns invented cooks, a quarter of them with a probe series.
func generated(t *testing.T, seed uint64, n int) (cooks []journal.Cook) {
	for _, g := range invent.Generate(seed, n, invent.Options{Probes: .25, Without: true}) {
		c, err := g.Read(cookfile.Options{})
		if err != nil {
			t.Fatal(err)
		}
		cooks = append(cooks, c)
	}
	return cooks
}

// TestGenerated prints the error of the forecast on five invented journals of forty cooks,
// on which the constants of LookAlike were chosen. It takes a minute.
func TestGenerated(t *testing.T) {
	if os.Getenv("ASHBOOK_LONG") != "1" {
		t.Skip("a minute of replays: ASHBOOK_LONG=1")
	}
	const journals, size = 5, 40
	for _, known := range []forecast.Known{forecast.Earlier, forecast.Others} {
		var all Report
		for seed := range uint64(journals) {
			x := learned(t, generated(t, 101+seed, size), nil, journal.Settings{})
			all.Moments = append(all.Moments, replayed(t, x, known).Moments...)
		}
		var b strings.Builder
		say := func(when string, in func(*Moment) bool) {
			row := all.table(when, in).Rows[0] // the forecast
			fmt.Fprintf(&b, "\n  %-8s miss %.3f h, score %.3f, holds %.0f %%", when, row.Mean, row.CRPS, 100*row.Covered)
		}
		for _, share := range Shares {
			say(fmt.Sprintf("at %.0f %%", 100*share), func(m *Moment) bool { return !m.Look && m.Share == share })
		}
		say("during", func(m *Moment) bool { return !m.Look && m.Share > 0 && m.Readings > 0 })
		t.Logf("%s%s", forecast.Turns[known], b.String())
	}
}
