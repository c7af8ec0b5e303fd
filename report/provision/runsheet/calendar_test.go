package runsheet

import (
	"bytes"
	"strings"
	"testing"
	"time"

	ical "github.com/emersion/go-ical"
)

// Another implementation of RFC 5545 reads the calendar back, over a night in which the
// clocks go back (Europe/London, 25 October 2026, 02:00 to 01:00; IANA time zone
// database).
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
	if err := ical.NewEncoder(&bytes.Buffer{}).Encode(c); err != nil { // checks required properties
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
	if at != len(events) && at+1 != len(events) { // the last may be the warning about the box
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

// On the night in which the clocks go back a phone shows the hours of the plan, before and
// after: in London BST is an hour ahead of UTC until Sunday 01:00 UTC, then GMT is UTC; in
// New York EDT is four hours behind until Sunday 06:00 UTC, then EST five (25 October and
// 1 November 2026; IANA time zone database). The numbers are read out of the file, not
// through a zone of ours.
func TestCalendarOverTheChange(t *testing.T) {
	for _, c := range []struct {
		zone, sunday            string
		saturdayAhead, nowAhead int // hours of the zone's clock over UTC
	}{
		{"Europe/London", "2026-10-25", 1, 0},
		{"America/New_York", "2026-11-01", -4, -5},
	} {
		zone, err := time.LoadLocation(c.zone)
		if err != nil {
			t.Fatal(err)
		}
		r, k := request(t, c.sunday)
		if r.Serve, err = time.ParseInLocation("2006-01-02 15:04", c.sunday+" 13:00", zone); err != nil {
			t.Fatal(err)
		}
		r.Helpers = []string{"ann", "bo"}
		k.Now = r.Serve.AddDate(0, 0, -2)
		p := work(t, r, k)
		cal, err := ical.NewDecoder(bytes.NewReader(p.Calendar())).Decode()
		if err != nil {
			t.Fatal(err)
		}
		begins := map[string]string{} // DTSTART by summary
		for _, e := range cal.Events() {
			summary, _ := e.Props.Text(ical.PropSummary)
			begins[summary] = e.Props.Get(ical.PropDateTimeStart).Value
		}
		nights := map[int]int{}
		for _, s := range p.Steps {
			text := p.Request.Title + ": " + s.What
			if s.Who != "" {
				text = p.Request.Title + ": " + s.Who + ": " + s.What
			}
			at, err := time.Parse("20060102T150405Z", begins[oneLine(text)])
			if err != nil {
				t.Errorf("%q: %v", text, err)
				continue
			}
			ahead := c.saturdayAhead
			if s.At.In(zone).Format(time.DateOnly) == c.sunday && s.At.In(zone).Hour() >= 2 {
				ahead = c.nowAhead
			}
			if s.At.In(zone).Format(time.DateOnly) == c.sunday && s.At.In(zone).Hour() == 1 {
				continue // that hour is there twice
			}
			nights[ahead]++
			if phone, page := at.Add(time.Duration(ahead)*time.Hour).Format("Mon 15:04"), p.At(s.At); phone != page {
				t.Errorf("%s, %s: %s on the phone, %s on the page", c.zone, s.What, phone, page)
			}
		}
		if nights[c.saturdayAhead] < 4 || nights[c.nowAhead] < 4 {
			t.Errorf("%s: steps before and after the change: %v", c.zone, nights)
		}
	}
}
