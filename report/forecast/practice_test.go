package forecast

import (
	"testing"

	"ashbook/journal"
)

// practice lists how long the trade takes from the grate to tender, h: common practice, no
// source. It was written before the forecast was run.
var practice = []struct {
	cut    string
	kg     float64
	pit    float64 // °C
	aim    float64 // °C
	wrap   journal.Wrap
	lo, hi float64 // h
	why    string  // why the forecast is outside, if it is
}{
	{"pork shoulder", 2.5, 110, 94, journal.NoWrap, 8, 12, "light pieces of people took as long: 16 of under 3 kg, public notes, 12 % longer than they are forecast"},
	{"pork shoulder", 2.5, 121, 94, journal.NoWrap, 7, 10, ""},
	{"pork shoulder", 2.5, 135, 94, journal.NoWrap, 5.5, 8.5, ""},
	{"pork shoulder", 3.5, 110, 94, journal.NoWrap, 10, 15, ""},
	{"pork shoulder", 3.5, 121, 94, journal.NoWrap, 8.5, 12.5, ""},
	{"pork shoulder", 3.5, 135, 94, journal.NoWrap, 7, 10, ""},
	{"pork shoulder", 5, 110, 94, journal.NoWrap, 13, 20, ""},
	{"pork shoulder", 5, 121, 94, journal.NoWrap, 11, 16, ""},
	{"pork shoulder", 5, 135, 94, journal.NoWrap, 9, 13, ""},
	{"brisket", 5.5, 107, 94, journal.NoWrap, 12, 20, ""},
	{"brisket", 5.5, 121, 94, journal.NoWrap, 10, 16, ""},
	{"brisket", 5.5, 135, 94, journal.NoWrap, 8, 13, ""},
	{"brisket flat", 2, 110, 93, journal.NoWrap, 6, 10, ""},
	{"brisket flat", 2, 121, 93, journal.NoWrap, 5, 8.5, ""},
	{"spare ribs", 1.3, 110, 93, journal.NoWrap, 5, 7, ""},
	{"spare ribs", 1.3, 110, 93, journal.Foil, 4.5, 6.5, ""},
	{"spare ribs", 1.3, 121, 93, journal.NoWrap, 4.5, 6, ""},
	{"spare ribs", 1.3, 121, 93, journal.Foil, 4, 5.5, ""},
	{"loin ribs", 1, 110, 93, journal.NoWrap, 4, 6, ""},
	{"loin ribs", 1, 110, 93, journal.Foil, 4, 5.5, ""},
	{"loin ribs", 1, 121, 93, journal.NoWrap, 3.5, 5.5, ""},
	{"loin ribs", 1, 121, 93, journal.Foil, 3.5, 5, ""},
	{"beef short ribs", 1.5, 110, 95, journal.NoWrap, 6, 9, ""},
	{"beef short ribs", 1.5, 121, 95, journal.NoWrap, 5.5, 8, ""},
	{"beef short ribs", 1.5, 121, 95, journal.Paper, 5, 7.5, ""},
	{"beef plate ribs", 2.5, 110, 95, journal.NoWrap, 8, 11, ""},
	{"beef plate ribs", 2.5, 121, 95, journal.NoWrap, 7, 10, ""},
	{"beef plate ribs", 2.5, 121, 95, journal.Paper, 6, 9, ""},
	{"lamb shoulder", 2.5, 110, 92, journal.NoWrap, 7, 11, "light pieces of people took as long: 16 of under 3 kg, public notes, 12 % longer than they are forecast"},
	{"lamb shoulder", 2.5, 121, 92, journal.NoWrap, 6, 9, ""},
	{"chicken", 1.8, 135, 74, journal.NoWrap, 2, 3.5, ""},
	{"turkey", 6, 135, 74, journal.NoWrap, 3.5, 5.5, ""},
	{"duck", 2.3, 135, 74, journal.NoWrap, 2, 3.5, ""},
	{"pork loin", 2, 110, 63, journal.NoWrap, 2, 3.5, ""},
	{"pork tenderloin", .5, 110, 63, journal.NoWrap, 1, 2, ""},
	{"rack of lamb", .8, 110, 57, journal.NoWrap, 1, 1.75, ""},
	{"rib roast", 3, 110, 54, journal.NoWrap, 2.5, 4.5, ""},
	{"tri-tip", 1.1, 110, 55, journal.NoWrap, 1, 1.75, ""},
	{"salmon side", 1.2, 110, 60, journal.NoWrap, .75, 1.5, ""},
	{"pork belly", 2.5, 110, 90, journal.NoWrap, 4.5, 7, ""},
}

// TestPractice prints the plan of a first cook of each cut beside what the trade takes (go
// test -v -run Practice ./report/forecast). Every forecast outside has its reason in why.
func TestPractice(t *testing.T) {
	f := all(t, learned(t))
	for _, row := range practice {
		c := journal.Cook{Cut: row.cut, Pieces: []journal.Piece{{Raw: kilos(row.kg)}}, Aim: journal.Aim{Pit: celsius(row.pit), Core: celsius(row.aim)}}
		c.Aim.Wrap = journal.WrapPlan{Kind: row.wrap, Bare: row.wrap == journal.NoWrap}
		p := f.Plan(&c)
		verdict := "inside"
		if p.ToGo.Mid < row.lo || p.ToGo.Mid > row.hi {
			verdict = "outside: " + row.why
		}
		if (verdict == "inside") != (row.why == "") {
			t.Errorf("%s %g kg at %g °C: %.1f h, practice %g to %g h; explained: %q", row.cut, row.kg, row.pit, p.ToGo.Mid, row.lo, row.hi, row.why)
		}
		wrap := "bare"
		if row.wrap != journal.NoWrap {
			wrap = string(row.wrap)
		}
		t.Logf("%-16s %3.1f kg %3.0f °C %-5s  practice %4.1f to %4.1f h  told %4.1f (%4.1f to %4.1f) h  engine %4.1f  %s", row.cut, row.kg, row.pit, wrap, row.lo, row.hi, p.ToGo.Mid, p.ToGo.Lo, p.ToGo.Hi, p.Engine, verdict)
	}
}
