package runsheet

import (
	"bytes"
	"strings"
	"testing"
	"time"

	ical "github.com/emersion/go-ical"
)

// The clock of a plan is read back by another implementation of RFC 5545, over a
// night in which the clocks go back (Europe/London, 25 October 2026, 02:00 to
// 01:00; IANA time zone database).
func TestCalendar(t *testing.T) {
	r, k := request(t, "2026-10-25")
	r.Title = "Harvest; supper, with a \"long\" name that does not fit on one line of seventy-five bytes — ünd ümlauts"
	p := work(t, r, k)
	data := p.Calendar()
	for l := range strings.Lines(string(data)) {
		if !strings.HasSuffix(l, "\r\n") || len(l) > 77 { // section 3.1
			t.Errorf("line %q: expected at most 75 bytes and CRLF", l)
		}
	}
	c, err := ical.NewDecoder(bytes.NewReader(data)).Decode()
	if err != nil {
		t.Fatal(err)
	}
	if err := ical.NewEncoder(&bytes.Buffer{}).Encode(c); err != nil { // checks what must stand where
		t.Error(err)
	}
	rings := map[Kind]time.Time{}
	events := c.Events()
	at := 0
	for _, s := range p.Steps {
		if s.At.Before(p.Moment) {
			continue
		}
		e := events[at]
		at++
		start, err := e.DateTimeStart(time.UTC)
		if err != nil || !start.Equal(s.At.Truncate(time.Second)) {
			t.Errorf("%s begins %v (%v), the step is at %v", s.Kind, start, err, s.At)
		}
		summary, _ := e.Props.Text(ical.PropSummary)
		if want := oneLine(r.Title + ": " + s.What); summary != want {
			t.Errorf("%s is called %q, want %q", s.Kind, summary, want)
		}
		for _, a := range e.Children {
			before, err := a.Props.Get(ical.PropTrigger).Duration()
			if err != nil || a.Name != ical.CompAlarm {
				t.Fatal(a.Name, err)
			}
			rings[s.Kind] = start.Add(before)
		}
	}
	if at != len(events) && at+1 != len(events) { // the last may be the box
		t.Errorf("%d events for %d steps", len(events), at)
	}
	for kind, before := range map[Kind]time.Duration{Light: 15 * time.Minute, OnBy: 15 * time.Minute, LatestOff: 0} {
		for _, s := range p.Steps {
			if s.Kind == kind && !rings[kind].Equal(s.At.Truncate(time.Second).Add(-before)) {
				t.Errorf("%s rings at %v, the step is at %v", kind, rings[kind], s.At)
			}
		}
	}
	if !bytes.Equal(data, p.Calendar()) {
		t.Error("made again it differs")
	}
}
