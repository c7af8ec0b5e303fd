package forecast

import (
	"math"
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/heat"
)

func wrappedIn(kind journal.Wrap, core float64) journal.Cook {
	c := shoulder(4, 110)
	c.Entries = append(c.Entries,
		entry(7, journal.Item{Act: journal.ReadCore, Temp: celsius(core)}, journal.Item{Act: journal.PutWrap, Wrap: kind}),
		entry(12, journal.Item{Act: journal.Off}))
	return c
}

func chances(all []model.MayWrap) (paper, total float64) {
	for _, m := range all {
		total += m.Chance
		if m.Kind == journal.Paper {
			paper = m.Chance
		}
	}
	return paper, total
}

// Without a mention of a wrap the person's other such cooks count; a planned wrap is no
// habit, and a plan is not doubted.
func TestHabitOfWrapping(t *testing.T) {
	running := shoulder(4, 110)
	f := Forecaster{}
	if all := f.mayWrap(&running); len(all) > 0 {
		t.Errorf("knowing no cook: %+v", all)
	}
	teach := func(c journal.Cook) {
		f.past, f.taught = append(f.past, c), append(f.taught, taught{Wrap: wrapOf(&c)})
	}
	for range 5 {
		teach(wrappedIn(journal.Paper, 76))
	}
	all := f.mayWrap(&running)
	if paper, total := chances(all); paper < .8 || total > .95 {
		t.Errorf("after five in paper: paper %.2f of %.2f", paper, total)
	}
	bird := running
	bird.Cut = "turkey"
	if paper, _ := chances(f.mayWrap(&bird)); paper > 0 {
		t.Errorf("shoulders in paper: a turkey in paper at %.2f", paper)
	}
	for _, m := range all {
		if m.Kind == journal.Paper && math.Abs(m.At-76) > 1 {
			t.Errorf("paper at %.1f °C, want about 76", m.At)
		}
	}
	f = Forecaster{}
	for range 20 {
		planned := wrappedIn(journal.Foil, 70)
		planned.Aim.Wrap = journal.WrapPlan{Kind: journal.Foil}
		teach(shoulder(4, 110))
		teach(planned)
	}
	if _, total := chances(f.mayWrap(&running)); total > .05 {
		t.Errorf("of one who stays bare unless planned: %.2f", total)
	}
}

// A possible wrap gives a time and a range between those of a certain wrap and of none.
func TestPossibleWrap(t *testing.T) {
	bare, foil, unsaid := shoulder(5, 110), shoulder(5, 110), shoulder(5, 110)
	bare.Aim.Wrap = journal.WrapPlan{Bare: true}
	foil.Aim.Wrap = journal.WrapPlan{Kind: journal.Foil, At: measure.Temperature{Base: 72, Known: true}}
	f := all(t, learned(t, wrappedIn(journal.Foil, 72)))
	now := after(3)
	a, b, c := f.At(&bare, now), f.At(&foil, now), f.At(&unsaid, now)
	if !(b.Engine < c.Engine && c.Engine < a.Engine) {
		t.Errorf("foil %.1f h, unsaid %.1f h, bare %.1f h", b.Engine, c.Engine, a.Engine)
	}
	told := func(f Forecast) bool {
		return strings.Contains(strings.Join(f.Reasons, " "), "does not say whether you wrap")
	}
	if told(a) || told(b) || !told(c) {
		t.Errorf("reasons: %q, %q, %q", a.Reasons, b.Reasons, c.Reasons)
	}
	left := f.WhatIf(&unsaid, now, c)[0]
	if left.ToGo.Mid <= c.ToGo.Mid || left.Note != "unwrapped to the end" {
		t.Errorf("left alone: %+v, forecast %+v", left, c.ToGo)
	}
	for what, change := range map[string]func(*journal.Cook){
		"far past the core at which others wrap": func(c *journal.Cook) { c.Entries = append(c.Entries, entry(9, core("", 84))) },
		"wrapped": func(c *journal.Cook) {
			c.Entries = append(c.Entries, entry(9, journal.Item{Act: journal.PutWrap, Wrap: journal.Paper}))
		},
		"unwrapped again": func(c *journal.Cook) {
			c.Entries = append(c.Entries, entry(8, journal.Item{Act: journal.PutWrap, Wrap: journal.Paper}), entry(9, journal.Item{Act: journal.Unwrap}))
		},
	} {
		cook := shoulder(5, 110)
		change(&cook)
		if j := f.world.Read(&cook, after(10)); len(j.May) > 0 {
			t.Errorf("%s: %+v", what, j.May)
		}
	}
}

// With more than MostCooks, the latest are learned from.
func TestLatestCooksTeach(t *testing.T) {
	x := learned(t, pastShoulders(MostCooks+2)...)
	latest := x.Latest(func(*journal.Cook) bool { return true })
	for i := range x.cooks {
		if latest(&x.cooks[i]) != (i >= 2) {
			t.Errorf("cook %d of %d: learned from %v", i, len(x.cooks), i < 2)
		}
	}
}

// The hours to go of a lesson count from its last reading: added to the hours before that
// reading, they are the length of the cook. Here a core is noted every three hours.
func TestLessonsCountFromTheReading(t *testing.T) {
	curve := truth(5, 110, heat.Usual)
	end := finishOf(curve, 94)
	c := noted(shoulder(5, 110), curve, 3, end, 110)
	read := 0
	for _, l := range Untaught(nil, journal.Settings{}).replay(t.Context(), &c, end) {
		if l.Moment.Read {
			read++
		}
		if got := l.Moment.At + l.Took; math.Abs(got-end) > 1e-3 {
			t.Errorf("at %.2f h, %.2f h before: %.2f h in all, took %.2f", l.Moment.At, l.Moment.Since, got, end)
		}
	}
	if read < 4 {
		t.Errorf("%d moments with a reading", read)
	}
}

// The pace is that of the slowest piece, in whichever order the pieces are.
func TestPaceFollowsTheSlowestPiece(t *testing.T) {
	var paces []float64
	for _, slow := range []string{"left", "right"} {
		c := shoulder(5, 110)
		c.Pieces = []journal.Piece{{Name: "left", Raw: kilos(5)}, {Name: "right", Raw: kilos(5)}}
		for _, h := range []float64{8, 10} {
			for _, p := range []string{"left", "right"} {
				rise := 4.
				if p == slow {
					rise = .5
				}
				c.Entries = append(c.Entries, entry(h, core(p, 72+rise*(h-8))))
			}
		}
		m := (&Forecaster{}).Moment(&c, after(10))
		paces = append(paces, m.Pace)
	}
	if paces[0] != paces[1] || paces[0] < 8 {
		t.Errorf("21 K to go, at half a kelvin an hour and 4: %v h", paces)
	}
}
