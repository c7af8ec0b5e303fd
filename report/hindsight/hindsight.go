// Package hindsight replays finished cooks and measures the errors of their forecasts,
// compared with simple rules that anyone can use.
package hindsight

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"sync"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast"
	"ashbook/report/numeric/score"
)

// Method is a way to predict when a cook comes off.
type Method string

// The methods: the forecast, and rules to compare it with.
const (
	Ours         Method = "forecast"
	EngineOnly   Method = "physics alone"
	CutAverage   Method = "average of the cut"
	CoreFraction Method = "average × share of core still to rise"
	HoursPerKg   Method = "hours per kg, heaviest piece"
	HoursPerRaw  Method = "hours per kg, raw weight"
	StraightLine Method = "rise of the last hour goes on"
	Regression   Method = "regression on weight and cut"
	LookAlikes   Method = "your cooks from a similar core"
	FromCore     Method = "other people's cooks from that core"
)

// Methods lists the methods in printed order.
var Methods = []Method{Ours, EngineOnly, CutAverage, CoreFraction, HoursPerKg, HoursPerRaw, StraightLine, Regression, LookAlikes, FromCore}

// Shares are the parts of its length at which each cook is replayed.
var Shares = []float64{0, .1, .25, .5, .75, .9}

// Options configures a replay.
type Options struct {
	Known forecast.Known // which other cooks each forecast may use
	// Progress, if not nil, is called after each cook, never concurrently.
	Progress func(done, of int)
}

// Answer is the prediction of one method at one moment.
type Answer struct {
	Method Method
	Hours  float64 // time to go
	// 80 % range and sample, h; empty for methods without them.
	Lo, Hi float64
	Sample []float64
}

// Moment is one moment at which a cook was replayed.
type Moment struct {
	Cook     string // ID of the cook
	At       time.Time
	Look     bool    // somebody read a core then; false: one of Shares
	Share    float64 // part of the cook that had passed, 0 to 1
	Elapsed  float64 // h since it went on
	Left     float64 // actual time to go, h
	Past     int     // number of cooks the forecast may use
	Readings int     // core readings by then
	Dense    bool    // the cook has a probe series
	Stalling bool    // the core was in its stall
	Answers  []Answer
	Why      string // what can explain a wrong forecast, as printed
}

// Answer returns the answer of a method; ok is false if it has none.
func (m *Moment) Answer(of Method) (Answer, bool) {
	for _, a := range m.Answers {
		if a.Method == of {
			return a, true
		}
	}
	return Answer{}, false
}

// Row is the error of one method over several moments, in hours. A positive bias means
// that predictions were later than the actual time.
type Row struct {
	Method Method
	score.Summary
	// OursThere is the mean error of the forecast at the moments at which this method has
	// an answer, h.
	OursThere float64
	WorstCook string // ID of the cook with the largest error
}

// Table holds the rows for one group of moments.
type Table struct {
	Name  string
	Share float64 // part of the cook that had passed; −1: several
	Rows  []Row
}

// Part is the error of the forecast in one part of the cook.
type Part struct {
	Name string
	Row  Row
}

// Report is the result of a replay.
type Report struct {
	Known       forecast.Known
	Cooks       int // number of cooks replayed
	Moments     []Moment
	Tables      []Table // one for each of Shares
	During      Table   // Shares after going on, with a core reading
	DuringHand  Table   // moments of During, cooks noted by hand only
	DuringDense Table   // moments of During, cooks with a probe series only
	Looks       Table   // moments at which somebody read a core
	Held        Held    // how often the forecast's range contained the truth at looks
	Parts       []Part  // errors of the forecast by part: Shares with a core reading, then looks by quarter of the cook
	Stall       Row     // error of the forecast at moments during a stall
	Worst       []Moment
}

// Replay replays the finished cooks of an experience. It fails when ctx ends.
func Replay(ctx context.Context, x *forecast.Experience, opt Options) (Report, error) {
	cooks, ends := finished(x)
	all := sync.OnceValue(func() []known {
		out := make([]known, len(cooks))
		for i := range cooks {
			out[i] = figures(&cooks[i])
		}
		return out
	})
	r := Report{Known: opt.Known, Cooks: len(cooks)}
	moments := make([][]Moment, len(cooks))
	err := forecast.Each(ctx, len(cooks), opt.Progress, func(i int) error {
		var err error
		use := knownTo(opt.Known, &cooks[i], ends)
		moments[i], err = forecast.Kept(x, "hindsight", i, use, func() ([]Moment, error) { return replay(ctx, x, all(), i, use) })
		return err
	})
	if err != nil {
		return Report{}, err
	}
	r.Moments = slices.Concat(moments...)
	for _, s := range Shares {
		t := r.table(shareName(s), func(m *Moment) bool { return !m.Look && m.Share == s })
		t.Share = s
		r.Tables = append(r.Tables, t)
	}
	during := func(m *Moment) bool { return !m.Look && m.Share > 0 && m.Readings > 0 }
	r.During = r.table("during", during)
	r.DuringHand = r.table("during, hand notes", func(m *Moment) bool { return during(m) && !m.Dense })
	r.DuringDense = r.table("during, probe series", func(m *Moment) bool { return during(m) && m.Dense })
	r.Looks = r.table("when people looked", func(m *Moment) bool { return m.Look })
	r.Held = r.held()
	r.parts(during)
	r.Stall = r.table("at the stall", func(m *Moment) bool { return m.Stalling && m.Readings > 0 }).Rows[0]
	r.Worst = r.worst(5)
	return r, nil
}

// Held is the share of 80 % ranges that contain the actual time. Each cook counts once,
// since errors at the looks of one cook are similar; otherwise a cook read every hour
// would count as much as six others.
type Held struct {
	Share float64 // 0 to 1
	Cooks int
}

// Chance returns the limits within which Share is by chance: if the 80 % ranges are
// correct, Share is within them in 95 of 100 journals with as many cooks (by the normal
// distribution, assuming that all looks of a cook miss together).
func (h Held) Chance() (lo, hi float64) {
	const claimed = .8
	by := 1.96 * math.Sqrt(claimed*(1-claimed)/float64(max(1, h.Cooks)))
	return claimed - by, math.Min(1, claimed+by)
}

// held returns Held; moments of one cook must be adjacent.
func (r *Report) held() (h Held) {
	for i := 0; i < len(r.Moments); {
		cook, held, looks := r.Moments[i].Cook, 0.0, 0.0
		for ; i < len(r.Moments) && r.Moments[i].Cook == cook; i++ {
			m := &r.Moments[i]
			if a, ok := m.Answer(Ours); ok && m.Look {
				looks++
				if score.Covers(a.Lo, a.Hi, m.Left) {
					held++
				}
			}
		}
		if looks > 0 {
			h.Share, h.Cooks = h.Share+held/looks, h.Cooks+1
		}
	}
	h.Share /= math.Max(1, float64(h.Cooks))
	return h
}

// finished returns the cooks of an experience, and when each came off, by ID.
func finished(x *forecast.Experience) (cooks []journal.Cook, ends map[string]time.Time) {
	cooks = x.Cooks()
	ends = make(map[string]time.Time, len(cooks))
	for i := range cooks {
		ends[cooks[i].ID], _ = cooks[i].Finish()
	}
	return cooks, ends
}

func shareName(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }

// parts sets Parts.
func (r *Report) parts(during func(*Moment) bool) {
	add := func(name string, in func(*Moment) bool) {
		if row := r.table(name, in).Rows[0]; row.N > 0 {
			r.Parts = append(r.Parts, Part{name, row})
		}
	}
	for _, s := range Shares[1:] {
		add("at "+shareName(s), func(m *Moment) bool { return during(m) && m.Share == s })
	}
	for q := range 4 {
		lo, hi := float64(q)/4, float64(q+1)/4
		add(fmt.Sprintf("looks, %.0f to %.0f %%", 100*lo, 100*hi), func(m *Moment) bool { return m.Look && m.Share >= lo && m.Share < hi })
	}
}

// worst returns the n largest errors during a cook, one for each cook.
func (r *Report) worst(n int) []Moment {
	miss := func(m *Moment) float64 {
		a, _ := m.Answer(Ours)
		return math.Abs(a.Hours - m.Left)
	}
	worst := map[string]*Moment{}
	for i := range r.Moments {
		m := &r.Moments[i]
		if m.Share == 0 || m.Readings == 0 {
			continue
		}
		if w := worst[m.Cook]; w == nil || miss(m) > miss(w) {
			worst[m.Cook] = m
		}
	}
	var out []Moment
	for _, m := range worst {
		out = append(out, *m)
	}
	slices.SortFunc(out, func(a, b Moment) int {
		return cmp.Or(cmp.Compare(miss(&b), miss(&a)), cmp.Compare(a.Cook, b.Cook))
	})
	return out[:min(n, len(out))]
}

// knownTo returns which cooks the replay of c may use; ends are when they came off.
func knownTo(k forecast.Known, c *journal.Cook, ends map[string]time.Time) func(*journal.Cook) bool {
	on, _ := c.OnAt()
	return func(o *journal.Cook) bool { return k.Of(c, on, o.ID, ends[o.ID]) }
}

// replay replays one cook with the cooks for which use is true. It fails when ctx ends.
func replay(ctx context.Context, x *forecast.Experience, all []known, i int, use func(*journal.Cook) bool) ([]Moment, error) {
	c := all[i].cook
	on, _ := c.OnAt()
	took, _ := c.Took()
	f, err := x.Where(ctx, use)
	if err != nil {
		return nil, err
	}
	var past []known
	for _, k := range all {
		if use(k.cook) {
			past = append(past, k)
		}
	}
	var out []Moment
	add := func(elapsed float64, look bool) {
		now := on.Add(time.Duration(elapsed * float64(time.Hour)))
		m := Moment{Cook: c.ID, At: now, Look: look, Share: elapsed / took.Hours(), Elapsed: elapsed, Left: took.Hours() - elapsed, Past: len(past), Dense: len(c.Series.Times) > 0, Stalling: c.Status(now).Stalling}
		ours := f.Hours(c, asked(on, elapsed))
		m.Readings = ours.Readings
		m.Answers = []Answer{
			{Method: Ours, Hours: ours.ToGo.Mid, Lo: ours.ToGo.Lo, Hi: ours.ToGo.Hi, Sample: ours.Sample},
			{Method: EngineOnly, Hours: ours.Engine},
		}
		at := moment{all[i], now, elapsed}
		for _, rule := range rules {
			if h, ok := rule.left(at, past); ok && !math.IsNaN(h) {
				m.Answers = append(m.Answers, Answer{Method: rule.method, Hours: h})
			}
		}
		if a, ok := alikeAnswer(at, past); ok {
			m.Answers = append(m.Answers, a)
		}
		if a, ok := fromCore(at); ok {
			m.Answers = append(m.Answers, a)
		}
		m.Why = at.why(f.Units(), ours.Notes)
		out = append(out, m)
	}
	for _, share := range Shares {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		add(share*took.Hours(), false)
		out[len(out)-1].Share = share
	}
	for _, elapsed := range looks(c, took.Hours()) {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		add(elapsed, true)
	}
	return out, nil
}

// looks returns when somebody read a core, h after going on: each note, and the full hours
// of a probe series, but not the last quarter of an hour.
func looks(c *journal.Cook, took float64) []float64 {
	on, _ := c.OnAt()
	const apart, end = .05, .25 // h
	var all []float64
	last := make([]float64, max(1, len(c.Pieces))) // last hour used of each piece's series
	for i := range last {
		for _, r := range c.CoreReadings(i) {
			h := r.Time.Sub(on).Hours()
			if h < apart || h > took-end || r.Probe && h < last[i]+1 {
				continue
			}
			if r.Probe {
				last[i] = math.Floor(h)
			}
			all = append(all, h)
		}
	}
	slices.Sort(all)
	return slices.CompactFunc(all, func(a, b float64) bool { return math.Abs(b-a) < apart })
}

func (r *Report) table(name string, in func(*Moment) bool) Table {
	t := Table{Name: name, Share: -1}
	for _, method := range Methods {
		var cases []score.Case
		ours, worst, worstCook := 0.0, -1.0, ""
		for i := range r.Moments {
			m := &r.Moments[i]
			if !in(m) {
				continue
			}
			a, ok := m.Answer(method)
			if !ok {
				continue
			}
			cases = append(cases, score.Case{Forecast: a.Hours, Value: m.Left, Lo: a.Lo, Hi: a.Hi, Sample: a.Sample, Whole: m.Elapsed + m.Left})
			if miss := math.Abs(a.Hours - m.Left); miss > worst {
				worst, worstCook = miss, m.Cook
			}
			mine, _ := m.Answer(Ours)
			ours += math.Abs(mine.Hours - m.Left)
		}
		row := Row{Method: method, Summary: score.Summarise(cases), WorstCook: worstCook}
		if n := len(cases); n > 0 {
			row.OursThere = ours / float64(n)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
