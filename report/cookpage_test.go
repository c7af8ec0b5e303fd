package report

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/report/attribution"
	"ashbook/report/course"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/report/page"
	"ashbook/samples"
)

// said checks that every figure of a page has a description.
func said(t *testing.T, name string, p page.Page) {
	t.Helper()
	for _, s := range p.Sections {
		if (s.Figure.Picture != nil || len(s.Figure.Lines) > 0) && s.Figure.Says == "" {
			t.Errorf("%s: the figure %q has no description", name, s.Figure.Title)
		}
	}
}

func TestCookPage(t *testing.T) {
	cooks := hall(t)
	c := cooks["2026-05-02-may-feast"]
	on, _ := c.OnAt()
	off, _ := c.Finish()
	told := Told{
		Expected: []course.Expected{{Time: on, Low: 4, High: 6}, {Time: off, Low: 80, High: 95}},
		Said:     []course.Said{{At: on, Early: off.Add(-2 * time.Hour), Likely: off, Late: off.Add(time.Hour)}},
		Account:  explained(c, frame.Cooks(all(cooks)), model.Context{}, attribution.Options{}),
		Lacking:  []string{"fire.jpg: damaged"},
	}
	p := CookPage(c, frame.Cooks(all(cooks)), journal.Settings{}, samples.Now(), nil, told)
	said(t, c.ID, p)
	var headings []string
	for _, s := range p.Sections {
		headings = append(headings, strings.TrimRight(s.Heading, "0123456789 hmin"))
	}
	want := []string{"", "In the cook's words", "", "Photographs", "How it was liked", "Why it took", "Set-up", "Course", "What happened (usual causes: common practice)", "Timeline", "Probe series"}
	for i, h := range headings {
		if strings.HasPrefix(h, "Why it took") {
			headings[i] = "Why it took"
		}
	}
	if !slices.Equal(headings, want) {
		t.Errorf("sections %q, want %q", headings, want)
	}
	if lead := "On at 19:20 Saturday, off at 10:28 Sunday: 15 h 08. That was 2 h 32 before the meal at 13:00 for 24. 5 eaters gave it 6.8 of 9."; p.Lead[0] != lead {
		t.Errorf("it says %q", p.Lead[0])
	}
	ch := p.Sections[0].Figure.Picture
	last := ch.Lanes[len(ch.Lanes)-1]
	if truth := ch.X.At(off); last.Name != "on" || last.Title == "" || math.Abs(last.Bars[0].At-truth) > 1e-9 {
		t.Errorf("the forecast lane is %+v, the truth at %.2f", last, truth)
	}
	// The letters of the eaters are drawn at the scores in the cook's file.
	eaten := p.Sections[4].Figure.Picture
	overall := eaten.Lanes[len(eaten.Lanes)-1]
	for i, taste := range c.Tasting {
		if d := overall.Dots[i]; d.X != float64(taste.Scores[journal.Overall].Liked) || !strings.HasPrefix(d.Word, taste.Eater) {
			t.Errorf("overall: %+v for %s", d, taste.Eater)
		}
	}
}
