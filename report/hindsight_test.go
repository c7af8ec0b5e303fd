package report

import (
	"strings"
	"testing"

	"ashbook/report/hindsight"
	"ashbook/report/numeric/score"
)

// With 51 cooks the standard error of .8 is √(.8·.2/51) = .056, so that .69 to .91 hold
// in 95 journals of 100 (normal distribution).
func TestTrustSaysWhatIsChance(t *testing.T) {
	at := func(share float64, cooks int) string {
		half := hindsight.Row{Summary: score.Summary{N: 40, Median: .58}}
		return trust(hindsight.Report{During: hindsight.Table{Rows: []hindsight.Row{half}}, Tables: []hindsight.Table{{Rows: []hindsight.Row{half}}}, Held: hindsight.Held{Share: share, Cooks: cooks}})
	}
	const narrow, wide = ": your ranges are too narrow.", ": your ranges are wider than they need be."
	for _, c := range []struct {
		share float64
		cooks int
		ends  string
	}{
		{.89, 51, "89 times in 100, each cook counted once; 80 are expected, and with 51 cooks anything from 69 to 91 can be chance."},
		{.92, 51, wide}, {.68, 51, narrow}, {.68, 12, "from 57 to 100 can be chance."}, {1, 12, "can be chance."}, {.9, 4, "within 35 min."},
	} {
		if got := at(c.share, c.cooks); !strings.HasSuffix(got, c.ends) {
			t.Errorf("%g of %d cooks: %q, want %q at the end", c.share, c.cooks, got, c.ends)
		}
	}
}
