package provision

import (
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// Without own cooks, frost and a gale add at most what the trade says: some 15 % in
// frost (common practice, no source).
func TestFrost(t *testing.T) {
	r, k := request(t, "2026-01-17")
	mild := work(t, r, k)
	r.Weather = journal.Weather{Air: measure.Degrees(-10, measure.Metric), Wind: measure.Speed{Base: 10, Known: true}}
	frost := work(t, r, k)
	if got := frost.Fuel[0].Likely / mild.Fuel[0].Likely; got < 1.10 || got > 1.15+1e-9 {
		t.Errorf("frost: %.3f times the fuel", got)
	}
}

// A load that does not last is topped up before it is burned, and not in the last hour;
// a load that lasts is not. A full ceramic pit burns for a night, a kettle for about
// seven hours (common practice, no source).
func TestTopUps(t *testing.T) {
	r, k := request(t, "2026-09-19")
	for kind, want := range map[journal.PitKind]bool{journal.Ceramic: false, journal.Kettle: true, journal.Offset: false} {
		r.Pits = []Pit{pit("night", kind, .6)}
		p := work(t, r, k)
		l, f := p.Main(), p.Fuel[0]
		if (len(f.TopUps) > 0) != want {
			t.Errorf("%s: topped up at %v", kind, f.TopUps)
		}
		last := l.Light
		for _, at := range f.TopUps {
			if gap := at.Sub(last).Hours(); gap <= 0 || gap > f.Lasts {
				t.Errorf("%s: %.1f h to the next top-up, a load lasts %.1f", kind, gap, f.Lasts)
			}
			last = at
		}
		if want && (last.After(l.Off[1].Add(-time.Hour)) || l.Off[1].Sub(last).Hours() > f.Lasts) {
			t.Errorf("%s: last topped up at %s, off at %s", kind, last, l.Off[1])
		}
	}
}

// Two cuts salted on one evening are trimmed by one person, one after the other, and
// each is salted after it is trimmed.
func TestTrimmedInTurn(t *testing.T) {
	r, k := request(t, "2026-09-19")
	k.Now = k.Now.AddDate(0, 0, -2)
	r.Party.Heads = 48
	r.Pits = append(r.Pits, pit("kettle", journal.Kettle, .54))
	p := work(t, r, k)
	if len(p.Loads) != 2 {
		t.Fatalf("%d loads", len(p.Loads))
	}
	first, second := p.Loads[0], p.Loads[1]
	if second.Trim.Before(first.Trim) {
		first, second = second, first
	}
	if first.Trim.Add(first.Trimming()).After(second.Trim) {
		t.Errorf("trimmed at %s for %s, and at %s", first.Trim, first.Trimming(), second.Trim)
	}
	for _, l := range p.Loads {
		if l.Salt.Before(l.Trim.Add(l.Trimming())) || l.Rub.Before(l.Salt) || l.OnBy.Before(l.Rub) {
			t.Errorf("trimmed %s, salted %s, rubbed %s, on by %s", l.Trim, l.Salt, l.Rub, l.OnBy)
		}
	}
}

// The strip moves all fires together. The chance that any load is late is at least that
// of the load most often late, and one in ten as planned.
func TestStripOfAllFires(t *testing.T) {
	r, k := request(t, "2026-09-19")
	r.Party.Heads = 48
	r.Pits = append(r.Pits, pit("kettle", journal.Kettle, .54))
	r.Dishes = append(r.Dishes, Dish{Cut: "chicken"})
	p := work(t, r, k)
	late := 0.0
	for i, s := range p.Strip {
		if len(s.Each) != len(p.Loads) {
			t.Fatalf("%d loads, %d chances", len(p.Loads), len(s.Each))
		}
		for _, one := range s.Each {
			if s.Late < one-1e-12 {
				t.Errorf("%s: any late %.3f, one of them %.3f", s.On, s.Late, one)
			}
		}
		if s.Late < late || i > 0 && s.Hold > p.Strip[i-1].Hold {
			t.Errorf("%+v after %+v", s, p.Strip[i-1])
		}
		if late = s.Late; s.Is && (s.Late > .1+1e-9 || s.Moved != 0) {
			t.Errorf("as planned: %+v", s)
		}
	}
}
