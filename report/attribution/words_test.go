package attribution

import (
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/drivers"
	"ashbook/report/frame"
)

// The verdict names the largest causes, those that worked against them and how much has
// no cause, in agreement with the lines.
func TestVerdict(t *testing.T) {
	line := func(says string, minutes, doubt float64) Line {
		return Line{Cause: says, Says: says + ", so against so", Minutes: minutes, Doubt: doubt}
	}
	for _, c := range []struct {
		name       string
		took, from float64 // h
		lines      []Line
		want, says string
	}{
		{"two causes", 8, 10, []Line{line("wrap foil", -80, 30), line("pit hotter", -40, 20)}, "2 h 00 shorter than your usual: wrap foil (−1 h 20) and pit hotter (−40 min).", ""},
		{"a part", 8, 10, []Line{line("wrap foil", -80, 30)}, "2 h 00 shorter than your usual: wrap foil (−1 h 20); a part of it, 40 min, has no cause in your notes.", "no more than luck"},
		{"most", 12, 10, []Line{line("heavier", 30, 15)}, "2 h 00 longer than your usual: heavier (+30 min); most of it, 1 h 30, has no cause in your notes.", "may be luck"},
		{"none", 14, 10, nil, "4 h 00 longer than your usual; hardly any of it has a cause in your notes.", "Look for a cause"},
		{"against it", 9, 10, []Line{line("pit cooler", 90, 30), line("lighter", -60, 20)}, "1 h 00 shorter than your usual: lighter (−1 h 00), in spite of pit cooler (+1 h 30); luck, or something not in your notes, made it 1 h 30 shorter.", "may be luck"},
		{"against a part", 9, 10, []Line{line("lighter", -60, 20), line("pit cooler", 30, 10)}, "1 h 00 shorter than your usual: lighter (−1 h 00), in spite of pit cooler (+30 min); luck, or something not in your notes, made it 30 min shorter.", ""},
		{"rest on the other side", 9, 10, []Line{line("wrap foil", -120, 30)}, "1 h 00 shorter than your usual: wrap foil (−2 h 00); luck, or something not in your notes, made it 1 h 00 longer.", ""},
		{"too small to tell", 9, 10, []Line{line("pit cooler", 50, 60), line("lighter", -110, 20)}, "1 h 00 shorter than your usual: lighter (−1 h 50).", ""},
		{"unsure", 8, 10, []Line{line("wrap foil", -80, 90), line("pit hotter", -40, 20)}, "2 h 00 shorter than your usual: wrap foil (perhaps −1 h 20) and pit hotter (−40 min).", ""},
		{"more than luck against a cause", 9, 10, []Line{line("pit cooler", 120, 30)}, "1 h 00 shorter than your usual, in spite of pit cooler (+2 h 00); something more than luck made it 3 h 00 shorter.", "no line above names"},
		{"alike", 10.1, 10, []Line{line("pit cooler", 50, 35), line("off cooler", -15, 20)}, "About as long as your usual, in spite of pit cooler (+50 min).", ""},
		{"alike in all", 10, 10, nil, "About as long as your usual.", ""},
	} {
		rest := 60 * (c.took - c.from)
		for _, l := range c.lines {
			rest -= l.Minutes
		}
		a := Account{Took: c.took, From: c.from, Lines: c.lines, Unexplained: Line{Minutes: rest}, Against: "your usual"}
		a.verdict(.1)
		a.luck(.1)
		if said := strings.Join(a.Says, " "); a.Verdict != c.want || !strings.Contains(said, c.says) {
			t.Errorf("%s: %q, want %q; says %q, want %q", c.name, a.Verdict, c.want, said, c.says)
		}
	}
}

// A cook that was quicker after its setting was raised: the verdict names the raise.
func TestVerdictOfRaisedSetting(t *testing.T) {
	set := func(hours time.Duration, act journal.Act, celsius float64) journal.Entry {
		return journal.Entry{Time: noon.Add(hours * time.Hour), Items: []journal.Item{{Act: act, Temp: measure.Degrees(celsius, measure.Metric)}}}
	}
	c := journal.Cook{Aim: journal.Aim{Pit: measure.Degrees(107, measure.Metric)}, Entries: []journal.Entry{set(0, journal.On, 0), set(4, journal.SetPit, 135)}}
	a := Account{Cook: &c, Took: 8, From: 12, Unexplained: Line{Minutes: -240}, Against: "its plan"}
	a.verdict(.2)
	if want := "4 h 00 shorter than its plan; hardly any of it has a cause in your notes, except for the pit raised on the way."; a.Verdict != want {
		t.Errorf("%q, want %q", a.Verdict, want)
	}
	a = Account{Cook: &c, Took: 8, From: 9, Lines: []Line{{Cause: "pit", Says: "pit cooler, so", Minutes: 180, Doubt: 30}}, Unexplained: Line{Minutes: -240}, Against: "its plan"}
	a.verdict(.2)
	a.luck(.2)
	if want := "1 h 00 shorter than its plan, in spite of pit cooler (+3 h 00); the pit raised on the way, or something not in your notes, made it 4 h 00 shorter."; a.Verdict != want {
		t.Errorf("%q, want %q", a.Verdict, want)
	}
	if said := strings.Join(a.Says, " "); !strings.Contains(said, "more than luck") || strings.Contains(said, "Look for") {
		t.Errorf("more than luck, and the notes name what it may be: %q", said)
	}
	a = Account{Cook: &c, Took: 14, From: 12, Unexplained: Line{Minutes: 120}, Against: "its plan"}
	a.verdict(.2)
	if want := "2 h 00 longer than its plan; hardly any of it has a cause in your notes."; a.Verdict != want {
		t.Errorf("%q, want %q", a.Verdict, want)
	}
}

// A wrap that is loose, and one that is missing, are named so before the comma, where the
// verdict cuts the line.
func TestWrapIsNamed(t *testing.T) {
	for _, c := range []struct{ this, other, want, short string }{
		{"foil", "none", "wrap foil, against bare", "wrap foil"},
		{"none", "foil", "no wrap, against foil", "no wrap"},
		{"paper, loose", "paper", "wrap loose paper, against paper", "wrap loose paper"},
		{"boat", "paper, loose", "wrap boat, against loose paper", "wrap boat"},
	} {
		s := drivers.Share{Column: frame.Named(frame.Wrap), This: frame.Value{Word: c.this, Known: true}, Other: frame.Value{Word: c.other, Known: true}}
		if got := says(s, measure.Metric); got != c.want || (Line{Says: got}).short() != c.short {
			t.Errorf("%q against %q: %q, want %q", c.this, c.other, got, c.want)
		}
	}
}
