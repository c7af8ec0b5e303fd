package report

import (
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/report/page"
)

// A phone shows the last readings with their times, the overdue check and the last
// notes, latest first. A core without a reading is named as not read yet.
func TestPhone(t *testing.T) {
	const text = "---\ntitle: Harvest\ncut: pork shoulder\npieces: [{name: large}, {name: small}]\n---\n\n## Timeline\n\n" +
		"- 2026-09-18T20:00+01:00 on, pit 112 °C\n- 2026-09-19T00:30+01:00 pit 108 °C, core large 64 °C\n- 2026-09-19T01:00+01:00 pit 104 °C, core large 66 °C, vent, by JS — pale\n"
	f, err := cookfile.Parse("cooks/2026/2026-09-18-harvest.md", []byte(text), cookfile.Options{Zone: time.FixedZone("", 3600)})
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, 9, 19, 2, 0, 0, 0, time.FixedZone("", 3600))
	p := Phone(&f.Cook, Running{Ready: "07:00 – 09:00", Likely: "likely 08:00", Meal: "meal 13:00: in time", Care: "take care"}, journal.Settings{Units: measure.Metric}, now)
	want := []page.Fact{
		{Name: "Pit", Value: "104 °C", Note: "at 01:00 · −8 °C/h"},
		{Name: "Core large", Value: "66 °C", Note: "at 01:00 · +4 °C/h"},
		{Name: "Core small", Value: "–", Note: "not read yet"},
		{Name: "Ready to take off", Value: "07:00 – 09:00", Note: "likely 08:00 · meal 13:00: in time"},
		{Name: "Next check", Value: "40 min overdue", Note: "at 01:20 · vent"},
		{Name: "Last done", Value: "1 h 00 ago", Note: "vent, by JS"},
	}
	for i, got := range p.Sections[0].Facts {
		if i >= len(want) || got.Name != want[i].Name || got.Value != want[i].Value || got.Note != want[i].Note {
			t.Errorf("%d: %+v", i, got)
		}
	}
	if len(p.Sections[0].Facts) != len(want) || !slices.Equal(p.Lead, []string{"take care"}) {
		t.Errorf("%+v", p)
	}
	last := p.Sections[len(p.Sections)-1]
	if len(last.Lines) != 3 || !strings.HasPrefix(last.Lines[0], "01:00 pit 104 °C") || !strings.HasSuffix(last.Lines[0], "by JS — pale") {
		t.Errorf("%q", last.Lines)
	}
	ch := p.Sections[1].Figure.Picture
	if at := ch.X.At(now); at < ch.From || at > ch.To {
		t.Errorf("now is not on the curve: %v of %v to %v", at, ch.From, ch.To)
	}
}
