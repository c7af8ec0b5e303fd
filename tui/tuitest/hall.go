package tuitest

import (
	"fmt"
	"math"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/course"
	"ashbook/tui/backend"
)

// IDs of the cooks that tests open.
const (
	Running = "2026-09-18-harvest-supper"
	Planned = "2026-11-07-lantern-supper"
	Past    = "2026-08-15-fete"
)

// zone is the time zone of the hall.
var zone = time.FixedZone("", 3600)

// Night is the time of the tests: four minutes past one, with the meat in its stall.
var Night = time.Date(2026, 9, 19, 1, 4, 0, 0, zone)

// Hall returns the invented journal of a village hall: one cook running, one planned, a
// few past.
func Hall() *Port {
	running := harvest()
	p := &Port{Clock: Night, Forecasts: map[string]backend.Forecast{Running: {
		Early: Night.Add(5*time.Hour + 46*time.Minute), Likely: Night.Add(7*time.Hour + 6*time.Minute), Late: Night.Add(8*time.Hour + 36*time.Minute),
		From: "your average of 9 shoulders", Meal: "meal 13:00: in time, hold 3½ – 6 h", MealTone: backend.Good,
		Stall: "yours 2 – 4 h", Band: band(),
	}}}
	p.Cooks = []*journal.Cook{running, lantern()}
	for i, c := range []struct {
		id, title, cut, pit string
		kg                  float64
		hours               float64
		overall             int
	}{
		{Past, "Summer fête", "pork shoulder", "brick", 8.4, 13.2, 8},
		{"2026-06-20-midsummer", "Midsummer supper", "brisket", "drum", 5.1, 11.6, 7},
		{"2026-05-01-may-day", "May Day", "pork shoulder", "brick", 9.2, 14.4, 6},
		{"2026-04-05-spring-clean", "After the spring clean, with everyone who came to help", "lamb shoulder", "kettle", 2.3, 6.4, 8},
		{"2025-12-06-st-nicholas", "St Nicholas supper", "turkey breast", "kettle", 2.8, 3.9, 7},
		{"2025-10-03-harvest-supper", "Harvest supper", "pork shoulder", "brick", 8.8, 15.1, 7},
	} {
		p.Cooks = append(p.Cooks, past(c.id, c.title, c.cut, c.pit, c.kg, c.hours, c.overall, i))
	}
	return p
}

func harvest() *journal.Cook {
	c := &journal.Cook{
		ID: Running, Title: "Harvest supper", Cut: "pork shoulder", Pit: "brick", Heads: 24,
		Pieces: []journal.Piece{
			{Name: "large", Trimmed: measure.Kilograms(4.7), Core: celsius(5)},
			{Name: "small", Trimmed: measure.Kilograms(3.6), Core: celsius(5)},
		},
		Aim:   journal.Aim{Pit: celsius(115), Core: celsius(94)},
		Serve: time.Date(2026, 9, 19, 13, 0, 0, 0, zone),
		Wood:  []journal.Wood{{Kind: "cherry"}},
	}
	c.Entries = entries(time.Date(2026, 9, 18, 19, 0, 0, 0, zone), journal.Grammar{Pieces: c.PieceNames()},
		"19:05 lit — two starters, left side",
		"20:10 on, pit 112 °C, core large 5 °C, core small 5 °C",
		"21:15 pit 118 °C, core large 24 °C, core small 27 °C, wood cherry 90 g",
		"22:20 pit 116 °C, core large 46 °C, core small 50 °C, vent",
		"23:10 pit 113 °C, core large 65 °C, core small 67 °C, wood cherry 90 g",
		"23:50 pit 112 °C, core large 67 °C, core small 69 °C, spritz",
		"00:30 pit 109 °C, core large 67.5 °C, core small 69.5 °C",
		"01:00 pit 104 °C, core large 68 °C, core small 70 °C, vent, wood cherry 90 g, recheck 45 min — pale on the left",
	)
	return c
}

// band is an invented range of the core: some hours of stall, then rising.
func band() []course.Expected {
	var all []course.Expected
	for h := 0.0; h <= 13; h += .5 {
		v := 5 + 62*(1-math.Exp(-h/1.6)) + 29/(1+math.Exp(-(h-9.5)))
		spread := .4 + .9*h
		all = append(all, course.Expected{Time: time.Date(2026, 9, 18, 20, 10, 0, 0, zone).Add(time.Duration(h * float64(time.Hour))), Low: v - spread, High: min(95, v+spread)})
	}
	return all
}

func lantern() *journal.Cook {
	return &journal.Cook{
		ID: Planned, Title: "Lantern supper", Cut: "brisket", Pit: "drum", Heads: 16,
		Pieces: []journal.Piece{{Trimmed: measure.Kilograms(5.4)}},
		Aim:    journal.Aim{Pit: celsius(120), Core: celsius(95)},
		Serve:  time.Date(2026, 11, 7, 18, 0, 0, 0, zone),
	}
}

func past(id, title, cut, pit string, kg, hours float64, overall, n int) *journal.Cook {
	day, _ := journal.DateOfID(id)
	on := time.Date(day.Year(), day.Month(), day.Day(), 19, 30+n, 0, 0, zone)
	off := on.Add(time.Duration(hours * float64(time.Hour)))
	item := func(a journal.Act) []journal.Item { return []journal.Item{{Act: a}} }
	c := &journal.Cook{ID: id, Title: title, Cut: cut, Pit: pit, Pieces: []journal.Piece{{Trimmed: measure.Kilograms(kg)}},
		Keep: "cherry only in the first two hours", Change: "start an hour later",
		Entries: []journal.Entry{
			{Time: on, Items: []journal.Item{{Act: journal.On}, {Act: journal.ReadPit, Temp: celsius(112)}}},
			{Time: on.Add(4 * time.Hour), Items: []journal.Item{{Act: journal.ReadCore, Temp: celsius(66)}, {Act: journal.Vent}}, Words: "pale on the left"},
			{Time: off, Items: item(journal.Off)},
			{Time: off.Add(2 * time.Hour), Items: item(journal.Served)},
		}}
	for i, eater := range []string{"RT", "MB", "KL"} {
		t := journal.Taste{Eater: eater, Words: "more of the edge"}
		for k := range t.Scores {
			t.Scores[k] = journal.Score{Liked: min(9, overall-1+(i*7+k*k)%3), Lean: (i+k)%4/3 - (i+k)%5/4}
		}
		t.Scores[journal.Overall] = journal.Score{Liked: overall}
		c.Tasting = append(c.Tasting, t)
	}
	return c
}

// Four gives the running cook two more pieces, one of them further than the others.
func Four(p *Port) {
	c := p.Cooks[0]
	c.Pieces = append(c.Pieces, journal.Piece{Name: "left flank", Trimmed: measure.Kilograms(2.1)}, journal.Piece{Name: "end", Trimmed: measure.Kilograms(1.4)})
	c.Entries = append(c.Entries, entries(Night, journal.Grammar{Pieces: c.PieceNames()}, "01:02 core left flank 74 °C, core end 81 °C")...)
	c.Entries[len(c.Entries)-1].Time = Night.Add(-2 * time.Minute)
}

// Many returns a journal of n past cooks, for benchmarks.
func Many(n int) *Port {
	p := Hall()
	for i := range n {
		day := Night.AddDate(0, 0, -i-30)
		p.Cooks = append(p.Cooks, past(fmt.Sprintf("%s-supper-%d", day.Format(time.DateOnly), i), fmt.Sprintf("Supper no %d", i), "pork shoulder", "brick", 4, 12, 7, i))
	}
	return p
}

// Day gives the running cook a probe series of one day, one row a second, of the pit
// and two cores.
func Day(p *Port) {
	const rows = 24 * 3600
	c := p.Cooks[0]
	s := journal.Series{Times: make([]time.Time, rows), Pit: make([]float64, rows),
		Cores: []journal.CoreSeries{{Piece: "large", C: make([]float64, rows)}, {Piece: "small", C: make([]float64, rows)}}}
	from := Night.Add(-rows * time.Second)
	for i := range rows {
		h := float64(i) / 3600
		s.Times[i] = from.Add(time.Duration(i) * time.Second)
		s.Pit[i] = 112 + 4*math.Sin(h*5) + math.Sin(float64(i))
		s.Cores[0].C[i] = 5 + 63*(1-math.Exp(-h/2))
		s.Cores[1].C[i] = 5 + 66*(1-math.Exp(-h/1.8))
	}
	c.Series = s
	c.Entries[0].Time, c.Entries[1].Time = from, from.Add(time.Minute)
}
