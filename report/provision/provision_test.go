package provision

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/forecast/model"
	"ashbook/report/provision/buffer"
	"ashbook/report/provision/quantity"
)

var drum = pit("drum", journal.Drum, .57)

func pit(name string, kind journal.PitKind, grate float64) Pit {
	return Pit{Pit: journal.Pit{Name: name, Kind: kind, Grate: journal.Grate{Across: measure.Length{Base: grate, Known: grate > 0}}}}
}

func mass(kg float64) measure.Mass { return measure.Kilograms(kg) }

// request is a meal for 24 at one o'clock in London, known two days ahead.
func request(t *testing.T, day string) (Request, Known) {
	t.Helper()
	london, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	serve, err := time.ParseInLocation("2006-01-02 15:04", day+" 13:00", london)
	if err != nil {
		t.Fatal(err)
	}
	return Request{
		Serve: serve, Party: quantity.Party{Heads: 24}, Pits: []Pit{drum},
		Dishes: []Dish{{Cut: "pork shoulder", Aim: journal.Aim{Pit: measure.Degrees(115, measure.Metric)}}},
	}, Known{Now: serve.AddDate(0, 0, -2).Add(-3 * time.Hour)}
}

func work(t *testing.T, r Request, k Known) Plan {
	t.Helper()
	p, err := Work(t.Context(), r, k)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// OnBy is the latest time, in steps of ten minutes, from which nine in ten cooks are
// off in time.
func TestOnBy(t *testing.T) {
	r, k := request(t, "2026-09-19")
	p := work(t, r, k)
	l := p.Main()
	before := func(on time.Time) float64 { return buffer.Late(l.Forecast, l.LatestOff.Sub(on).Hours()) }
	if before(l.OnBy) > .1+1e-9 || before(l.OnBy.Add(step)) < .1-1e-9 {
		t.Errorf("on by %s: %.3f late, ten minutes later %.3f", l.OnBy, before(l.OnBy), before(l.OnBy.Add(step)))
	}
	if want := p.Request.Serve.Add(-ShortestRest - carving(2)); !l.LatestOff.Equal(want) {
		t.Errorf("latest off %s, want %s", l.LatestOff, want)
	}
	last := 0.0
	marked := 0
	for i, s := range p.Strip {
		if s.Late < last || i > 0 && s.Hold > p.Strip[i-1].Hold || i > 0 && !s.On.After(p.Strip[i-1].On) {
			t.Errorf("strip: %+v after %+v", s, p.Strip[i-1])
		}
		if last = s.Late; s.Is {
			marked++
		}
	}
	if marked != 1 {
		t.Errorf("%d starts are marked", marked)
	}
	if p.Hold.Short > p.Hold.Mid || p.Hold.Mid > p.Hold.Long {
		t.Errorf("hold %+v", p.Hold)
	}
}

// Hours are elapsed hours. In the night when the clocks go back there is one more, so
// the clock shows an hour later; when they go forward, an hour less. (London, 25
// October 2026 and 29 March 2026: IANA time zone data.)
func TestNightOfTheClocks(t *testing.T) {
	clock := func(day string) (minutes int, hours float64) {
		r, k := request(t, day)
		p := work(t, r, k)
		l := p.Main()
		return 60*l.OnBy.Hour() + l.OnBy.Minute(), l.LatestOff.Sub(l.OnBy).Hours()
	}
	usual, hours := clock("2026-10-18")
	for day, shift := range map[string]int{"2026-10-25": 60, "2026-03-29": -60} {
		m, h := clock(day)
		if m-usual != shift || h != hours {
			t.Errorf("%s: on by %02d:%02d, %.2f h; a week before %02d:%02d, %.2f h", day, m/60, m%60, h, usual/60, usual%60, hours)
		}
	}
}

// A meal that cannot be planned is refused with the part of the request that is wrong.
func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		part   Part
		change func(r *Request, k *Known)
		says   string
	}{
		{PartServe, func(r *Request, k *Known) { k.Now = r.Serve.Add(time.Minute) }, "has passed"},
		{PartServe, func(r *Request, _ *Known) { r.Serve = time.Time{} }, "expected the time"},
		{PartHeads, func(r *Request, _ *Known) { r.Party.Heads = 0 }, "heads 0"},
		{PartHeads, func(r *Request, _ *Known) { r.Party.Heads = 10000 }, "heads 10000"},
		{PartHeads, func(r *Request, _ *Known) { r.Party.Children = 25 }, "25 children"},
		{PartHeads, func(r *Request, _ *Known) { r.Party.Vegetarians = 24 }, "none of them eats meat"},
		{PartPortion, func(r *Request, _ *Known) { r.Portion = 12 }, "12.0 kg"},
		{PartPortion, func(r *Request, _ *Known) { r.Portion = math.NaN() }, "portion"},
		{PartPiece, func(r *Request, _ *Known) { r.Dishes[0].Pieces = []journal.Piece{{Raw: mass(40)}} }, "grows to about"},
		{PartPiece, func(r *Request, _ *Known) { r.Dishes[0].Pieces = []journal.Piece{{Name: "big"}} }, "weight is missing"},
		{PartAim, func(r *Request, _ *Known) { r.Dishes[0].Aim.Pit = measure.Degrees(90, measure.Metric) }, "cannot get hotter than the pit"},
		{PartAim, func(r *Request, _ *Known) { r.Dishes[0].Aim.Pit = measure.Degrees(96, measure.Metric) }, "within two days"},
		{PartAim, func(r *Request, _ *Known) { r.Dishes[0].Aim.Core = measure.Degrees(150, measure.Metric) }, "core at 150"},
		{PartAim, func(r *Request, _ *Known) { r.Pits[0].Aim = measure.Degrees(700, measure.Metric) }, "drum at 700"},
		{PartGrate, func(r *Request, _ *Known) { r.Party.Heads = 500 }, "do not fit in 3 fires"},
		{PartGrate, func(r *Request, _ *Known) { r.Pits = nil }, "pit"},
		{PartCut, func(r *Request, _ *Known) { r.Dishes = nil }, "cut"},
	} {
		r, k := request(t, "2026-09-19")
		c.change(&r, &k)
		_, err := Work(t.Context(), r, k)
		var refused Refusal
		if !errors.As(err, &refused) || refused.Part != c.part || !strings.Contains(refused.Text, c.says) {
			t.Errorf("%s: %v, want %q", c.part, err, c.says)
		}
	}
}

// An unknown cut is cooked like a general one, and the plan says so. Cuts that are done
// at a core of their own need an aim.
func TestUnknownCut(t *testing.T) {
	r, k := request(t, "2026-09-19")
	for _, cut := range []string{"kangaroo", "salmon side", "pork sausage", "pork loin", "beef tenderloin", "tri-tip", "rack of lamb", "rib roast", "mushrooms"} {
		r.Dishes[0].Cut, r.Dishes[0].Aim.Core = cut, measure.Temperature{}
		var refused Refusal
		if _, err := Work(t.Context(), r, k); !errors.As(err, &refused) || refused.Part != PartCut || !strings.Contains(refused.Text, "expected the core") {
			t.Errorf("%s: %v", cut, err)
		}
	}
	r.Dishes[0].Cut, r.Dishes[0].Aim.Core = "duck", measure.Temperature{}
	r.Dishes[0].Pieces = nil
	if p := work(t, r, k); p.Loads[0].Forecast.Pieces[0].Target != model.UsualOff("duck") {
		t.Errorf("a duck goes to %g °C", p.Loads[0].Forecast.Pieces[0].Target)
	}
	r.Dishes[0].Cut, r.Dishes[0].Aim.Core = "kangaroo", measure.Degrees(90, measure.Metric)
	p := work(t, r, k)
	if all := strings.Join(p.Notes, "\n"); !strings.Contains(all, `The cut "kangaroo" is not known`) || !strings.Contains(all, "Losses, fuel and box are starting values") {
		t.Errorf("notes: %s", all)
	}
}

// Pits side by side share one dish; two dishes use a pit each; all loads together are
// in time in nine of ten meals.
func TestSideBySide(t *testing.T) {
	r, k := request(t, "2026-09-19")
	r.Pits = append(r.Pits, pit("kettle", journal.Kettle, .54))
	if lone := work(t, r, k); len(lone.Loads) != 1 || lone.Loads[0].Pit != 0 || len(lone.Fuel) != 1 {
		t.Errorf("two pieces: a second pit is lit for one of them, %d loads", len(lone.Loads))
	}
	r.Party.Heads = 48
	one := work(t, r, k)
	if got := laid(&one); got != "drum 2 kettle 2" {
		t.Errorf("four pieces, two pits: %s", got)
	}
	if all := one.Together(); all < buffer.Sure || all > buffer.Sure+.002 {
		t.Errorf("both in time in %.3f", all)
	}
	r.Dishes = append(r.Dishes, Dish{Cut: "turkey breast"})
	two := work(t, r, k)
	if len(two.Loads) != 2 || two.Loads[0].Cook.Cut == two.Loads[1].Cook.Cut || two.Loads[0].Pit == two.Loads[1].Pit {
		t.Errorf("two dishes: %+v", len(two.Loads))
	}
	if !two.Loads[1].OnBy.After(two.Loads[0].OnBy.Add(3 * time.Hour)) {
		t.Errorf("turkey on by %s, shoulder %s", two.Loads[1].OnBy, two.Loads[0].OnBy)
	}
	if !two.Loads[1].LatestOff.After(two.Loads[0].LatestOff) {
		t.Error("turkey, which does not keep, is not off last")
	}
	// One pit for both dishes is lit once.
	r.Pits = r.Pits[:1]
	r.Party.Heads = 12
	same := work(t, r, k)
	if same.Hurry != nil {
		t.Errorf("there is time, yet %+v", same.Hurry)
	}
	lit := 0
	for _, l := range same.Loads {
		if !l.Light.IsZero() {
			lit++
		}
	}
	if same.Loads[0].Forecast.Pit != same.Loads[1].Forecast.Pit {
		t.Error("one pit at two temperatures")
	}
	if len(same.Loads) != 2 || lit != 1 {
		t.Errorf("%d loads, the pit is lit %d times", len(same.Loads), lit)
	}
}

// A small piece beside a large one may go on later and come off with it.
func TestStagger(t *testing.T) {
	r, k := request(t, "2026-09-19")
	r.Dishes[0].Pieces = []journal.Piece{{Name: "large", Raw: mass(6)}, {Name: "small", Raw: mass(2)}}
	l := work(t, r, k).Loads[0]
	if len(l.Stagger) != 1 || l.Stagger[0].Piece != "small" || l.Stagger[0].OnBy.Sub(l.OnBy) < 2*time.Hour {
		t.Fatalf("%+v", l.Stagger)
	}
	if !l.Stagger[0].OnBy.Before(l.LatestOff) {
		t.Errorf("small on by %s", l.Stagger[0].OnBy)
	}
}

// More than the grate takes is cooked earlier, chilled and reheated. Each fire leaves
// time to clean the pit and to chill within the Food Code's six hours.
func TestBatches(t *testing.T) {
	r, k := request(t, "2026-09-26")
	r.Party.Heads = 100
	k.Now = k.Now.AddDate(0, 0, -4)
	p := work(t, r, k)
	if p.Batches != 2 || len(p.Loads) != 2 || p.ReheatAt.IsZero() {
		t.Fatalf("%d batches, %d loads", p.Batches, len(p.Loads))
	}
	meal, first := p.Loads[0], p.Loads[1]
	if gap := meal.Light.Sub(first.LatestOff); gap < cleanPit {
		t.Errorf("%s between the fires", gap)
	}
	if cold := p.ReheatAt.Sub(first.LatestOff); cold < ShortestRest+cutUp+6*time.Hour {
		t.Errorf("%s to chill", cold)
	}
	if p.CarveAt.Sub(p.ReheatAt) != 2*time.Hour {
		t.Error("reheating within two hours, 3-403.11")
	}
	n := 0
	for _, l := range p.Loads {
		n += len(l.Cook.Pieces)
	}
	if n != len(p.Meats[0].Pieces) {
		t.Errorf("%d pieces of %d have a place", n, len(p.Meats[0].Pieces))
	}
}

// The plan says so when meat cannot thaw in time, and when a fire should already be
// lit.
func TestTooLate(t *testing.T) {
	r, k := request(t, "2026-09-19")
	r.Frozen = true
	k.Now = r.Serve.Add(-3 * time.Hour)
	p := work(t, r, k)
	if p.Hurry == nil || p.Hurry.Late < .99 || p.Hurry.On.Before(k.Now) || !strings.Contains(strings.Join(p.Notes, " "), "will not thaw") {
		t.Errorf("too late: %+v, %v", p.Hurry, p.Notes)
	}
	k.Now = r.Serve.AddDate(0, 0, -9)
	for _, l := range work(t, r, k).Loads {
		if got, need := l.Trim.Sub(l.Thaw), thawFor(l.Cook.Pieces[0].Raw.Base); got < need || got > need+10*time.Hour || l.Thaw.Hour() < 7 {
			t.Errorf("thaws for %s, needs %s", got, need)
		}
	}
	if thawFor(1.814) != 24*time.Hour {
		t.Errorf("four pounds thaw in %s", thawFor(1.814))
	}
}

// Nothing is trimmed at night.
func TestAwake(t *testing.T) {
	for h := range 48 {
		on := time.Date(2026, 9, 18, h%24, 20, 0, 0, time.UTC).AddDate(0, 0, h/24)
		const work = 80 * time.Minute
		got := awake(on.Add(-12*time.Hour), on, work)
		if end := got.Add(work); end.Day() != got.Day() || end.After(time.Date(got.Year(), got.Month(), got.Day(), 22, 0, 0, 0, time.UTC)) {
			t.Errorf("on at %s: trimming until %s", on.Format("15:04"), end.Format("15:04"))
		}
		if got.Hour() < 7 || got.Hour() >= 22 || on.Sub(got) < 9*time.Hour || on.Sub(got) > 22*time.Hour {
			t.Errorf("on at %s: salt at %s", on.Format("15:04"), got.Format("Mon 15:04"))
		}
	}
}

// The lesson is what the last cook of the cut says, not an older one.
func TestLessons(t *testing.T) {
	r, k := request(t, "2026-09-19")
	cook := func(day int, cut, change string) journal.Cook {
		on := time.Date(2026, 5, day, 6, 0, 0, 0, time.UTC)
		entry := func(at time.Time, act journal.Act) journal.Entry {
			return journal.Entry{Time: at, Items: []journal.Item{{Act: act}}}
		}
		return journal.Cook{ID: on.Format(time.DateOnly), Title: "Supper " + on.Format("2"), Cut: cut, Change: change,
			Entries: []journal.Entry{entry(on, journal.On), entry(on.Add(12*time.Hour), journal.Off)}}
	}
	k.Past = []journal.Cook{cook(9, "Pork shoulder", "an hour later"), cook(2, "pork shoulder", "more salt"), cook(16, "brisket", "less smoke")}
	p := work(t, r, k)
	if len(p.Lessons) != 1 || p.Lessons[0].Change != "an hour later" || p.Lessons[0].Cook != "Supper 9" {
		t.Errorf("%+v", p.Lessons)
	}
	k.Past = append(k.Past, cook(23, "pork shoulder", ""))
	if p := work(t, r, k); len(p.Lessons) != 0 {
		t.Errorf("the last cook left nothing to change: %+v", p.Lessons)
	}
}

// A pit that burns pellets needs no other wood.
func TestPellets(t *testing.T) {
	r, k := request(t, "2026-09-19")
	r.Pits = []Pit{pit("hopper", journal.Pellet, .6)}
	if f := work(t, r, k).Fuel[0]; f.Kind != "wood pellets" || f.Wood.Buy != 0 || f.Rate != .6 {
		t.Errorf("%+v", f)
	}
}

// Heat, a wrap and smaller pieces allow a later start, and their relative uncertainty
// is never below that of the plan.
func TestLevers(t *testing.T) {
	r, k := request(t, "2026-09-19")
	p := work(t, r, k)
	if len(p.Levers) < 4 {
		t.Fatalf("%d levers", len(p.Levers))
	}
	for _, l := range p.Levers[:4] {
		if l.Buys <= 0 || l.Late > .1+1e-9 {
			t.Errorf("%+v", l)
		}
	}
	main := p.Main()
	c := main.Cook
	halved(&c)
	f, was := p.changed(main, c), main.Forecast
	if f.ToGo.Mid >= was.ToGo.Mid || f.ToGo.Hi/f.ToGo.Mid < was.ToGo.Hi/was.ToGo.Mid || len(f.Sample) != len(was.Sample) || main.Forecast.Sample[0] != was.Sample[0] {
		t.Errorf("halved %+v, whole %+v", f.ToGo, was.ToGo)
	}
	if same := p.changed(main, main.Cook); same.ToGo != was.ToGo {
		t.Errorf("nothing changed: %+v, was %+v", same.ToGo, was.ToGo)
	}
}

// Any request is refused or fully planned: on before off, off before the meal, every
// piece in a pit.
func TestAnyRequest(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 26))
	pick := func(of ...string) string { return of[random.IntN(len(of))] }
	for range 12 {
		r, k := request(t, "2026-10-25")
		r.Serve = r.Serve.Add(time.Duration(random.IntN(24*60)) * time.Minute)
		r.Party = quantity.Party{Heads: 1 + random.IntN(160), Children: random.IntN(3)}
		r.Serving = quantity.Serving{Plated: random.IntN(2) == 0, Sliced: random.IntN(2) == 0}
		r.Frozen, r.NoBox = random.IntN(3) == 0, random.IntN(3) == 0
		k.Now = r.Serve.Add(-time.Duration(1+random.IntN(200)) * time.Hour)
		k.Margin = .5 + random.Float64()
		r.Dishes[0].Cut = pick("pork shoulder", "brisket", "épaule d'agneau", "spare ribs", "turkey", "\xff")
		r.Dishes[0].Aim.Pit = measure.Degrees(100+40*random.Float64(), measure.Metric)
		if random.IntN(2) == 0 {
			r.Pits = append(r.Pits, pit("second", journal.PitKinds[random.IntN(len(journal.PitKinds))], 0))
		}
		if random.IntN(3) == 0 {
			r.Dishes = append(r.Dishes, Dish{Cut: "lamb shoulder"})
		}
		p, err := Work(t.Context(), r, k)
		if err != nil {
			if !errors.As(err, new(Refusal)) {
				t.Errorf("%+v: %v", r, err)
			}
			continue
		}
		n, pieces := 0, 0
		for _, m := range p.Meats {
			pieces += len(m.Pieces)
		}
		for _, l := range p.Loads {
			n += len(l.Cook.Pieces)
			if l.Missed.IsZero() && !l.OnBy.Before(l.LatestOff) || !l.LatestOff.Before(r.Serve) || l.Off[0].Before(l.OnBy) || l.Off[2].Before(l.Off[0]) || l.Sure < .9 || l.Sure >= 1 {
				t.Errorf("%+v: load %+v", r, l)
			}
		}
		if n != pieces {
			t.Errorf("%d pieces of %d have a place", n, pieces)
		}
		for _, f := range p.Fuel {
			if f.Likely <= 0 || f.Need < f.Likely || f.Buy < f.Need || math.IsNaN(f.Buy) {
				t.Errorf("fuel %+v", f)
			}
		}
	}
}
