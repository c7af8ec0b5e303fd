package tuitest

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"ashbook/journal/measure"
	"ashbook/report/page"
	"ashbook/tui/backend"
)

// Kitchen returns Cellar.
func (p *Port) Kitchen(time.Time) (backend.Kitchen, error) { return p.Cellar, nil }

// Reword accepts any words, except that a serving hour must be a clock time on the day
// of the meal.
func (p *Port) Reword(m backend.Meal, f backend.Field, text string, _ time.Time) (backend.Meal, error) {
	switch f {
	case backend.Serve:
		t, err := time.Parse(measure.Clock, text)
		if err != nil {
			return m, fmt.Errorf("time %q: expected one such as 13:00", text)
		}
		d := m.Serve
		m.Serve = time.Date(d.Year(), d.Month(), d.Day(), t.Hour(), t.Minute(), 0, 0, d.Location())
	case backend.Heads:
		m.Heads = text
	case backend.Cut:
		m.Cut = text
	case backend.Pit:
		m.Pit = text
	case backend.AimPit:
		m.AimPit = text
	case backend.Wrap:
		m.Wrap = text
	case backend.Fits:
		if _, err := strconv.Atoi(text); err != nil {
			return m, errors.New("expected 1 to 500 pieces")
		}
		m.Fits = text
	}
	return m, nil
}

// Work puts the meat on seventeen hours before the meal. A meal for nobody is refused.
func (p *Port) Work(m backend.Meal, now time.Time) (backend.Worked, error) {
	p.Worked = append(p.Worked, m)
	if strings.HasPrefix(m.Heads, "0") {
		return backend.Worked{}, errors.New("heads 0: expected 1 to 500")
	}
	if m.Pit == "shed" && m.Fits == "" && !p.Fits {
		return backend.Worked{}, backend.Asks{Question: "How many pieces of " + m.Cut + ", 4.0 kg each, fit in the shed at once? Its file does not say"}
	}
	p.Fits = p.Fits || m.Fits != ""
	w := backend.Worked{Noted: m.Fits != "", OnBy: m.Serve.Add(-17 * time.Hour), AimPit: 115, Usual: m.Pit != "kettle"}
	w.Light = w.OnBy.Add(-105 * time.Minute)
	if w.OnBy.Before(now) {
		w.TooLate = .6
	}
	w.Sentence = []string{
		fmt.Sprintf("Serve %s at %s: buy 8.0 kg of %s (6.6 – 9.9) as two pieces, on by %s.", m.Heads, m.Serve.Format(measure.ClockDay), m.Cut, w.OnBy.Format(measure.ClockDay)),
		"9 in 10 that it is off by 12:10, in time to rest and pull; most likely 10:00. Hold 0 to 4 h, your box keeps 60 °C for 10 h.",
		"11.5 kg of lump, 350 g of cherry, a quarter more than it takes. Fire out of doors only (carbon monoxide), hold at 60 °C or above; the local food code decides.",
	}
	for i := range 10 {
		w.Starts = append(w.Starts, backend.Start{On: w.OnBy.Add(time.Duration(i-5) * time.Hour), Late: float64(i*i*i) / 1000, Hold: 6 - float64(i)/2, Is: i == 5})
	}
	clock := page.Section{Heading: "The clock", Facts: []page.Fact{{Name: "Fri 18:15", Value: "light the brick"}, {Name: "Fri 20:00", Value: "on"}}}
	for i := range 20 {
		clock.Lines = append(clock.Lines, fmt.Sprintf("line %d of the plan", i+1))
	}
	w.Page = page.Page{Title: m.Cut + " for " + m.Heads}
	w.Page.Add(clock)
	return w, nil
}

// Plan saves the meal.
func (p *Port) Plan(m backend.Meal, _ time.Time) (string, error) {
	if p.Fails != nil {
		return "", p.Fails
	}
	p.Planned = append(p.Planned, m)
	return Planned, nil
}

// Begin returns Start.
func (p *Port) Begin() backend.Beginning { return p.Start }

// Make records the new journal.
func (p *Port) Make(b backend.Beginning) error {
	if p.Fails != nil {
		return p.Fails
	}
	p.Made = append(p.Made, b)
	return nil
}
