package forecast

import (
	"slices"
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/report/numeric/heat"
)

// A core far below what was expected moves the forecast later, and the line says so. A cook
// not read for hours asks for a core reading; one just read does not.
func TestMoved(t *testing.T) {
	f := all(t, learned(t))
	curve := truth(5, 110, heat.Usual)
	c := noted(shoulder(5, 110), curve, 1, 6, 110)
	at := func(c *journal.Cook, h float64) string { return f.Moved(c, after(h), f.At(c, after(h))) }
	read := at(&c, 6)
	if read == "" || strings.Contains(read, "core reading now") {
		t.Errorf("just read: %q", read)
	}
	if says := at(&c, 12); !strings.Contains(says, "a core reading now would") {
		t.Errorf("not read for 6 h: %q", says)
	}
	slow := c
	slow.Entries = append(slow.Entries, entry(10, core("", 71)))
	if says := at(&slow, 10); !strings.Contains(says, "later") {
		t.Errorf("hardly any rise in 4 h: %q", says)
	}
	fresh := shoulder(5, 110)
	if says := at(&fresh, .1); says != "" {
		t.Errorf("nothing noted since it went on: %q", says)
	}
	// A line is named by the core in it, whatever else is in it.
	both := c
	both.Entries = append(slices.Clone(c.Entries), entry(10, core("", 71), pitAt(110)))
	if says := at(&both, 10); !strings.Contains(says, "last core: ") {
		t.Errorf("a core and a pit in one line: %q", says)
	}
	two := noted(shoulder(5, 110), curve, 1, 6, 110)
	two.Pieces = []journal.Piece{{Name: "left", Raw: kilos(5)}, {Name: "right", Raw: kilos(3)}}
	if says := at(&two, 13); !strings.Contains(says, "a core reading of left now would") {
		t.Errorf("two pieces, neither read for 7 h: %q", says)
	}
	open := f.At(&c, after(12))
	open.OpenEnd = true
	if says := f.Moved(&c, after(12), open); strings.Contains(says, "range") {
		t.Errorf("an end that is open has no width: %q", says)
	}
	probe := probed(shoulder(5, 110), curve, 60, 8, 110)
	if says := at(&probe, 8); !strings.Contains(says, "last hour: ") {
		t.Errorf("a probe series: %q", says)
	}
	if says := f.Moved(&c, after(6), f.Plan(&c)); says != "" {
		t.Errorf("not on: %q", says)
	}
}
