package hindsight

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast"
	"ashbook/samples"
)

// Within one forecast neither a hotter pit nor an earlier wrap is later (common practice,
// no source), whatever the person's cooks took: in the invented cooks, those in hot pits
// took long, and an earlier forecast was later at 128 °C than at 120.
func TestHotterOrWrappedEarlierIsNeverLater(t *testing.T) {
	histories := map[string]*forecast.Experience{
		"nobody's cooks": learned(t, nil, nil, journal.Settings{}), "the samples": learn(t, samples.FS(), math.MaxInt), "cooks late in hot pits": lateWhenHot(t),
	}
	type meat struct {
		cut     string
		kg, aim float64
	}
	meats := []meat{{"pork shoulder", 2.5, 94}, {"brisket", 5.5, 95}, {"spare ribs", 1.3, 93}}
	if testing.Short() {
		meats = meats[1:2]
	}
	for who, x := range histories {
		f, err := x.All(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range meats {
			for _, wrap := range []journal.Wrap{journal.NoWrap, journal.Paper, journal.Foil} {
				sooner{t, f, fmt.Sprintf("%s, %s %g kg, %s", who, m.cut, m.kg, wrap), wrap, func() journal.Cook {
					c := cook("one", m.cut, m.kg, 0, map[float64]float64{1: 20, 3: 50, 4.5: 62})
					c.Entries = slices.DeleteFunc(c.Entries, func(e journal.Entry) bool { _, off := e.Item(journal.Off); return off })
					c.Pit, c.Aim = "offset", journal.Aim{Pit: degrees(110), Core: degrees(m.aim), Wrap: journal.WrapPlan{Kind: wrap}}
					return c
				}}.check()
			}
		}
	}
}

func degrees(c float64) measure.Temperature { return measure.Degrees(c, measure.Metric) }

// sooner compares a cook with itself hotter, or wrapped earlier.
type sooner struct {
	*testing.T
	f    *forecast.Forecaster
	what string
	wrap journal.Wrap
	cook func() journal.Cook
}

func (s sooner) check() {
	pit := func(i int) float64 { return 96 + 8*float64(i) }
	core := func(i int) float64 { return 86 - 4*float64(i) }
	s.series("pit of the plan", 7, true, func(c *journal.Cook, i int) { c.Aim.Pit = degrees(pit(i)) })
	s.series("pit set now", 7, false, func(c *journal.Cook, i int) {
		s.now(c, journal.Item{Act: journal.SetPit, Temp: degrees(pit(i))})
	})
	if s.wrap != journal.NoWrap {
		s.series("wrap of the plan", 6, true, func(c *journal.Cook, i int) { c.Aim.Wrap.At = degrees(core(i)) })
		s.series("wrap to come", 6, false, func(c *journal.Cook, i int) { c.Aim.Wrap.At = degrees(core(i)) })
		s.series("wrapped now", 2, false, func(c *journal.Cook, i int) {
			if i > 0 {
				s.now(c, journal.Item{Act: journal.PutWrap, Wrap: s.wrap})
			}
		})
	}
	c := s.cook()
	ways := s.f.WhatIf(&c, at(5), s.f.At(&c, at(5)))
	if len(ways) != 4 {
		s.Errorf("%s: %d alternatives", s.what, len(ways))
	}
	for _, way := range ways {
		planned := s.wrap != journal.NoWrap && (way.Name == "paper" || way.Name == "foil") // paper now may be slower than foil later
		if way.Saves < 0 && !planned {
			s.Errorf("%s: %s costs %.2f h", s.what, way.Name, -way.Saves)
		}
	}
}

// now adds an entry at 5 h.
func (s sooner) now(c *journal.Cook, it journal.Item) {
	c.Entries = append(c.Entries, journal.Entry{Time: at(5), Items: []journal.Item{it}})
}

// series changes a cook in n steps, in the plan or at 5 h; none may be later than the one
// before.
func (s sooner) series(what string, n int, plan bool, change func(c *journal.Cook, i int)) {
	const chance = .001 // h: two simulations that end within one step
	var was forecast.Range
	for i := range n {
		c, now := s.cook(), at(5)
		if plan {
			c.Entries, now = nil, time.Time{}
		}
		change(&c, i)
		r := s.f.Hours(&c, now).ToGo
		if i > 0 && r.Mid > was.Mid+chance {
			s.Errorf("%s: %s, step %d: %.2f h, was %.2f h", s.what, what, i, r.Mid, was.Mid)
		}
		was = r
	}
}

// lateWhenHot returns a forecaster for a person whose cooks took longer the hotter the pit
// was.
func lateWhenHot(t *testing.T) *forecast.Experience {
	var cooks []journal.Cook
	for i := range 12 {
		c := cook(fmt.Sprint("late-", i), "pork shoulder", 4, 10+float64(i)/2, map[float64]float64{4: 60})
		c.Pit, c.Aim.Pit = "offset", degrees(105+3*float64(i))
		for k := range c.Entries {
			c.Entries[k].Time = c.Entries[k].Time.AddDate(0, 0, i-20)
		}
		cooks = append(cooks, c)
	}
	return learned(t, cooks, nil, journal.Settings{})
}
