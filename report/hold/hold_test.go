package hold

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/report/numeric/heat"
	"ashbook/report/page/text"

	"pgregory.net/rapid"
)

// exact is a load in which only k is uncertain.
func exact(k, room, from float64, hours ...float64) load {
	l := load{rate: belief{math.Log(k) + .2, .4}, room: room, roomSD: 1e-6}
	for _, h := range hours {
		l.seen = append(l.seen, observed{h, heat.Cooled(from, room, k, h)})
	}
	return l
}

// Newton's law in closed form: t = ln((T−A)/(T₁−A))/k from the last reading.
func TestClosedForm(t *testing.T) {
	for _, tt := range []struct{ k, room, from, to float64 }{
		{.035, 20, 97, 60}, {.07, 20, 90, 60}, {.115, 5, 88, 57}, {.05, -5, 85, 60},
	} {
		w := exact(tt.k, tt.room, tt.from, 0, 2, 4, 6, 8, 10, 12).work()
		want := math.Log((tt.from-tt.room)/(tt.to-tt.room)) / tt.k
		if got := w.falls(tt.to, .5)[0]; math.Abs(got/want-1) > .03 {
			t.Errorf("%+v: %.2f h, closed form %.2f", tt, got, want)
		}
		if got, want := w.at(14, .5)[0], heat.Cooled(tt.from, tt.room, tt.k, 14); math.Abs(got-want) > 1 {
			t.Errorf("%+v: %.1f °C after 14 h, closed form %.1f", tt, got, want)
		}
	}
}

// Two real boxes from hobby logs, two readings each: 88 to 74 °C in 2 h, 97 to 90 °C in
// 2 h 45. The room was not noted; 20 °C is assumed. By the closed form k is .115 and .035
// per hour, and they reach 60 °C 4.6 and 18.9 h after the first reading.
func TestTwoRealBoxes(t *testing.T) {
	for _, tt := range []struct {
		a, b, hours  float64
		closed, k    float64
		widest, most float64 // limits of the early and the late end
	}{
		{88, 74, 2, 4.6, .115, 3.9, 5.8},
		{97, 90, 2.75, 18.9, .035, 11, 24 + 2.75},
	} {
		l := load{rate: anyBox(), room: usualRoom, roomSD: roomSpread, seen: []observed{{0, tt.a}, {tt.hours, tt.b}}}
		w := l.work()
		k := math.Log((tt.a-20)/(tt.b-20)) / tt.hours
		closed := math.Log((tt.a-20)/(60-20)) / k
		if math.Abs(k-tt.k) > .0005 || math.Abs(closed-tt.closed) > .05 {
			t.Errorf("%v→%v: closed form k %.4f, %.2f h", tt.a, tt.b, k, closed)
		}
		q := w.falls(60, .1, .5, .9)
		t.Logf("%v→%v °C in %v h: 60 °C after %.1f h (%.1f–%.1f), closed form %.1f; k %.3f", tt.a, tt.b, tt.hours, q[1], q[0], q[2], closed, w.rate(.5)[0])
		if q[0] > closed || q[2] < closed || q[0] < tt.widest || q[2] > tt.most+1e-9 {
			t.Errorf("%v→%v: %.1f (%.1f–%.1f), closed form %.1f", tt.a, tt.b, q[1], q[0], q[2], closed)
		}
	}
}

// Invented boxes: k of different people as anyBox assumes, a wrong room, noisy readings
// and a drifting k. Four in five times must be between the 10th and 90th percentile.
func TestCoverageOnInventedBoxes(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	pen := rand.New(rand.NewPCG(1, 2))
	const boxes = 250
	for _, readings := range []int{1, 2, 4} {
		inside, wide := 0, 0.0
		for range boxes {
			b := anyBox()
			k := math.Exp(b.mean + b.sd*pen.NormFloat64())
			air := usualRoom + roomSpread*pen.NormFloat64()
			from := 86 + 8*pen.Float64()
			l := load{rate: b, room: usualRoom, roomSD: roomSpread}
			last := 0.0
			for i := range readings {
				last = float64(i) * 2 / math.Max(1, float64(readings-1))
				l.seen = append(l.seen, observed{last, heat.Cooled(from, air, k, last) + readError*pen.NormFloat64()})
			}
			at := heat.Cooled(from, air, k, last)
			more, ok := heat.CoolingTime(at, 60, air, k*math.Exp(drift*pen.NormFloat64()))
			truth := last + min(more, horizon)
			if !ok {
				truth = last + horizon
			}
			q := l.work().falls(60, .1, .9)
			if q[0] <= truth+1e-9 && truth <= q[1]+1e-9 {
				inside++
			}
			wide += q[1] - q[0]
		}
		share := float64(inside) / boxes
		t.Logf("%d readings: %.1f %% inside, %.1f h wide", readings, 100*share, wide/boxes)
		if share < .74 || share > .90 {
			t.Errorf("%d readings: %.1f %% inside the 80 %% range", readings, 100*share)
		}
	}
}

// The invented journal: every stay with a core at both ends, forecast from its first
// reading and the loads before it.
func TestCoverageOnTheInventedJournal(t *testing.T) {
	files, err := filepath.Glob("../../samples/journal/cooks/*/*.md")
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(files)
	var past []journal.Cook
	n, inside := 0, 0
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := cookfile.Parse(name, data, cookfile.Options{})
		if err != nil {
			t.Fatal(err)
		}
		c := f.Cook
		for i := range c.Pieces {
			end, _ := c.LastEntry()
			s, ok := latest(&c, i, end)
			if !ok || len(s.seen) < 2 {
				continue
			}
			b, _ := fromPast(past, c.Date())
			air, sd, _, _ := room(&c, s.in, s.in, measure.Metric)
			all := s.observations()
			last := all[len(all)-1]
			w := load{rate: b, room: air, roomSD: sd, seen: all[:1]}.work()
			n++
			if q := w.at(last.hours, .1, .9); q[0]-readError <= last.c && last.c <= q[1]+readError {
				inside++
			}
		}
		past = append(past, c)
	}
	share := float64(inside) / float64(n)
	t.Logf("%d stays, %.0f %% of the last readings inside (a reading's error allowed)", n, 100*share)
	if n < 20 || share < .7 {
		t.Errorf("%d stays, %.0f %% inside", n, 100*share)
	}
	_, loads := fromPast(past, time.Unix(1<<40, 0))
	if loads < 20 {
		t.Errorf("learned from %d loads only", loads)
	}
}

func at(t *testing.T, s string) time.Time {
	t.Helper()
	got, err := time.Parse("2006-01-2 15:04", "2026-09-"+s)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func cook(t *testing.T, serve string, lines ...string) *journal.Cook {
	t.Helper()
	c := &journal.Cook{ID: "2026-09-18-supper", Title: "Harvest supper", Cut: "pork shoulder", Pieces: []journal.Piece{{}}}
	if serve != "" {
		c.Serve = at(t, serve)
	}
	for _, l := range lines {
		items, words, notes := journal.ParseBody(l[9:], journal.Grammar{})
		if len(notes) > 0 {
			t.Fatal(notes)
		}
		c.Entries = append(c.Entries, journal.Entry{Time: at(t, l[:8]), Items: items, Words: words})
	}
	return c
}

func TestLook(t *testing.T) {
	on := []string{"18 20:00 lit, on, pit 115 °C", "19 06:00 core 93 °C", "19 06:10 off"}
	with := func(more ...string) []string { return append(slices.Clone(on), more...) }
	cases := []struct {
		name  string
		serve string
		lines []string
		now   string
		stage Stage
		meal  Meal
		lead  string // part of the first line
		do    []string
		notes []string
	}{
		{"still on", "19 13:00", on[:2], "19 06:05", StillOn, NoAnswer, "Still in the pit. Boxed at 88 °C, it stays at or above 60 °C for", nil, nil},
		{"resting", "19 08:00", on, "19 06:15", Resting, Lasts, "if it is boxed now", []string{"uncovered"}, []string{"before it was boxed"}},
		{"a slow box", "19 12:00", with("19 06:40 boxed, core 90 °C", "19 08:40 core 84 °C"), "19 08:45", InBox, Lasts, "At or above 60 °C until", []string{"Read the core again"}, nil},
		{"a quick box", "19 15:00", with("19 06:40 boxed, core 88 °C", "19 08:40 core 74 °C"), "19 08:45", InBox, Short, "At or above 60 °C until 11:", []string{"Low oven", "The pit again"}, []string{"too late to chill"}},
		{"a quick box, the meal next day", "20 13:00", with("19 06:40 boxed, core 88 °C", "19 08:40 core 74 °C"), "19 08:45", InBox, Short, "", []string{"Low oven", "The pit again", "Chill and reheat"}, nil},
		{"one reading, and a meal in between", "19 14:00", with("19 06:40 boxed, core 88 °C"), "19 07:00", InBox, May, "At or above 60 °C until", []string{"Low oven"}, nil},
		{"boxed unread", "19 09:00", with("19 06:40 boxed"), "19 07:00", InBox, Lasts, "At or above 60 °C until", nil, []string{"before it was boxed"}},
		{"boxed, no core at all", "19 09:00", []string{"18 20:00 lit, on", "19 06:10 off, boxed"}, "19 07:00", InBox, NoAnswer, "No core reading", []string{"Read the core"}, []string{"No core reading"}},
		{"rising at first", "19 12:00", with("19 06:20 boxed, core 88 °C", "19 06:50 core 91 °C", "19 08:50 core 84 °C"), "19 08:55", InBox, Lasts, "At or above", nil, nil},
		{"near 63", "19 12:00", with("19 06:40 boxed, core 80 °C", "19 08:40 core 66 °C"), "19 09:00", InBox, Short, "", []string{"near 63 °C"}, nil},
		{"fallen below the law", "19 12:00", with("19 06:40 boxed, core 80 °C", "19 09:40 core 55 °C"), "19 09:45", InBox, Fallen, "Below 57 °C since about 09:", []string{"four hours"}, nil},
		{"no meal noted", "", with("19 06:40 boxed, core 88 °C", "19 08:40 core 82 °C"), "19 08:45", InBox, NoMeal, "At or above", nil, nil},
		{"a heated box", "19 20:00", with("19 06:40 boxed, core 85 °C, box 68 °C", "19 08:40 core 78 °C, box 69 °C"), "19 08:45", InBox, Lasts, "At or above", nil, nil},
		{"box air that falls is not the room", "19 20:00", with("19 06:40 boxed, core 85 °C, box 75 °C", "19 08:40 core 78 °C, box 66 °C"), "19 08:45", InBox, Short, "At or above", nil, nil},
		{"read four hours ago", "19 09:00", with("19 06:40 boxed, core 88 °C"), "19 10:45", InBox, NoAnswer, "", nil, []string{"read again"}},
		{"out and served", "19 10:00", with("19 06:40 boxed, core 88 °C", "19 09:50 unboxed, core 72 °C", "19 10:05 pulled, served"), "19 12:00", Out, NoAnswer, "the time limits for leftovers count from 09:50", nil, nil},
	}
	for _, tt := range cases {
		t.Run(tt.name, func(t *testing.T) {
			c := cook(t, tt.serve, tt.lines...)
			s := journal.Settings{HotHold: measure.Degrees(40, measure.Metric)}
			if tt.name != "fallen below the law" {
				s = journal.Settings{}
			}
			h := Look(c, nil, s, at(t, tt.now))
			if h.Limit < journal.SafeHold {
				t.Errorf("limit %v", h.Limit)
			}
			if h.Stage != tt.stage || h.Meal != tt.meal && tt.name != "read four hours ago" {
				t.Errorf("%s, %s; want %s, %s", h.Stage, h.Meal, tt.stage, tt.meal)
			}
			p := Page(c, nil, s, at(t, tt.now))
			if !strings.Contains(p.Lead[0], tt.lead) {
				t.Errorf("first line %q, want %q", p.Lead[0], tt.lead)
			}
			all := ""
			for _, a := range h.Do {
				all += a.Text + "\n"
				if !a.By.IsZero() && a.By.Before(at(t, tt.now)) {
					t.Errorf("to be done in the past: %+v", a)
				}
			}
			for _, w := range tt.do {
				if !strings.Contains(all, w) {
					t.Errorf("nothing says %q: %s", w, all)
				}
			}
			for _, w := range tt.notes {
				if !strings.Contains(strings.Join(h.Notes, "\n"), w) {
					t.Errorf("no note says %q: %q", w, h.Notes)
				}
			}
			if h.AtLimit.Known() && (h.AtLimit.Likely.Before(h.AtLimit.Early) || h.AtLimit.Late.Before(h.AtLimit.Likely) || h.AtLaw.Early.Before(h.AtLimit.Early)) {
				t.Errorf("ranges %+v %+v", h.AtLimit, h.AtLaw)
			}
			if last := p.Sections[len(p.Sections)-1]; last.Heading != "Cautions" || len(last.Lines) != 1 {
				t.Errorf("the page does not end in cautions: %+v", last)
			}
			if m := regexp.MustCompile(`(?i)\b(NaN|safe|cleared|okay|fit to eat|no problem)\b`).FindString(text.Render(p, 80)); m != "" {
				t.Errorf("the page says %q", m)
			}
		})
	}
}

// FDA Food Code 3-501.14(A): within two hours to 21 °C, within six to 5 °C, counted from
// when the meat falls below 57 °C, not from when it was served.
func TestLeftovers(t *testing.T) {
	lines := []string{"18 20:00 lit, on", "19 06:00 core 93 °C", "19 06:10 off", "19 06:40 boxed, core 88 °C", "19 09:30 core 58 °C", "19 10:00 core 52 °C", "19 10:30 served"}
	l := Look(cook(t, "19 10:30", lines...), nil, journal.Settings{}, at(t, "19 11:00")).Left
	if l == nil || !l.Start.Equal(at(t, "19 09:30")) || !l.HalfBy.Equal(at(t, "19 11:30")) || !l.ColdBy.Equal(at(t, "19 15:30")) {
		t.Fatalf("%+v", l)
	}
	lines = append(lines, "19 12:00 core 20 °C", "19 15:00 core 4 °C, chilled")
	c := cook(t, "19 10:30", lines...)
	l = Look(c, nil, journal.Settings{}, at(t, "19 16:00")).Left
	if !l.HalfAt.Equal(at(t, "19 12:00")) || !l.ColdAt.Equal(at(t, "19 15:00")) {
		t.Fatalf("%+v", l)
	}
	out := text.Render(Page(c, nil, journal.Settings{}, at(t, "19 16:00")), 0)
	if !strings.Contains(out, "30 min late: throw it out") {
		t.Error(out)
	}
	p := Page(c, nil, journal.Settings{Units: measure.US}, at(t, "19 16:00"))
	if out := text.Render(p, 0); strings.Contains(out, " °C until") || !strings.Contains(out, "70 °F") {
		t.Error(out)
	}
}

// Whatever is noted, in whatever order: no panic, no NaN, no limit below journal.SafeHold,
// no range with its ends swapped.
func TestAnythingNoted(t *testing.T) {
	acts := []string{"lit", "on", "off", "rest", "boxed", "unboxed", "served", "chilled", "pulled", "on large", "off small", "boxed large", "unboxed small"}
	rapid.Check(t, func(rt *rapid.T) {
		c := &journal.Cook{ID: "2026-09-18-supper", Cut: "turkey", Pieces: []journal.Piece{{Name: "large"}, {Name: "small"}}}
		start := at(t, "18 20:00")
		for range rapid.IntRange(0, 12).Draw(rt, "lines") {
			when := start.Add(time.Duration(rapid.IntRange(0, 30*60).Draw(rt, "minute")) * time.Minute)
			temp := rapid.Float64Range(-20, 240).Draw(rt, "temp")
			e := journal.Entry{Time: when}
			body := rapid.SampledFrom(acts).Draw(rt, "act")
			items, _, _ := journal.ParseBody(body, journal.Grammar{Pieces: c.PieceNames()})
			e.Items = append(items, journal.Item{Act: rapid.SampledFrom([]journal.Act{journal.ReadCore, journal.ReadPit, journal.ReadBox, journal.ReadAir}).Draw(rt, "read"),
				Piece: rapid.SampledFrom(c.PieceNames()).Draw(rt, "piece"), Temp: measure.Degrees(temp, measure.Metric)})
			c.Entries = append(c.Entries, e)
		}
		if rapid.Bool().Draw(rt, "sorted") {
			journal.SortEntries(c.Entries)
		}
		c.Serve = start.Add(time.Duration(rapid.IntRange(-60, 3000).Draw(rt, "serve")) * time.Minute)
		now := start.Add(time.Duration(rapid.IntRange(-60, 3000).Draw(rt, "now")) * time.Minute)
		h := Look(c, []journal.Cook{*c}, journal.Settings{}, now)
		for _, u := range []Until{h.AtLimit, h.AtLaw} {
			if u.Likely.Before(u.Early) || u.Late.Before(u.Likely) {
				rt.Fatalf("%+v", u)
			}
		}
		for _, p := range h.Pieces {
			for _, v := range append(p.Rate[:], p.Now[:]...) {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					rt.Fatalf("%+v", p)
				}
			}
		}
		p := Page(c, nil, journal.Settings{}, now)
		if out := text.Render(p, 60); strings.Contains(out, "NaN") || len(p.Lead) != 2 || !strings.Contains(text.Render(p, 0), "not a verdict") {
			rt.Fatal(out)
		}
	})
}

func BenchmarkLook(b *testing.B) {
	c := &journal.Cook{Pieces: []journal.Piece{{}}}
	start := time.Date(2026, 9, 19, 6, 0, 0, 0, time.UTC)
	for i, body := range []string{"on", "off, boxed, core 88 °C", "core 84 °C", "core 80 °C"} {
		items, _, _ := journal.ParseBody(body, journal.Grammar{})
		c.Entries = append(c.Entries, journal.Entry{Time: start.Add(time.Duration(i) * time.Hour), Items: items})
	}
	b.ReportAllocs()
	for b.Loop() {
		Look(c, nil, journal.Settings{}, start.Add(4*time.Hour))
	}
}
