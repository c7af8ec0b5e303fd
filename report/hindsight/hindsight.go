// Package hindsight replays finished cooks and tells how far off the forecasts
// would have been, beside simple rules anyone could use.
package hindsight

import (
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast"
	"ashbook/report/numeric/score"
)

// Method is one way of saying when a cook comes off.
type Method string

// The methods: ours, and the rules it is held against.
const (
	Ours         Method = "forecast"
	EngineOnly   Method = "physics alone"
	CutAverage   Method = "average of the cut"
	CoreFraction Method = "core fraction × average"
	HoursPerKg   Method = "hours per kg, heaviest piece"
	HoursPerRaw  Method = "hours per kg, whole raw"
	StraightLine Method = "straight line, last hour"
	Regression   Method = "regression on weight and cut"
	LookAlikes   Method = "look-alikes"
)

// Methods lists them in the order of a report.
var Methods = []Method{Ours, EngineOnly, CutAverage, CoreFraction, HoursPerKg, HoursPerRaw, StraightLine, Regression, LookAlikes}

// Shares of the course at which a cook is replayed.
var Shares = []float64{0, .1, .25, .5, .75, .9}

// Options of a replay.
type Options struct {
	// LeaveOneOut uses all other cooks; otherwise only those that were over
	// when this one went on.
	LeaveOneOut bool
	// Progress, if not nil, is called after each cook, from one goroutine at a
	// time.
	Progress func(done, of int)
}

// Answer is one method's answer at one moment.
type Answer struct {
	Method Method
	Hours  float64 // to go, from the moment
	// Range, 80 %, and sample, h; empty for methods that give none.
	Lo, Hi float64
	Sample []float64
}

// Moment is one replayed moment of one cook.
type Moment struct {
	Cook     string  // its ID
	Share    float64 // of its course, 0 to 1
	Elapsed  float64 // h
	Left     float64 // h, in truth
	Past     int     // cooks known by then
	Readings int     // core readings known by then
	Dense    bool    // the cook has a probe series
	Answers  []Answer
}

// answer finds a method's answer.
func (m *Moment) answer(of Method) (Answer, bool) {
	for _, a := range m.Answers {
		if a.Method == of {
			return a, true
		}
	}
	return Answer{}, false
}

// Row is how one method did on a group of moments. Misses, bias and widths are
// in hours; positive bias is a forecast later than the truth.
type Row struct {
	Method Method
	score.Summary
	// OursThere is the mean miss of the forecast on the moments at which this
	// method had an answer, h.
	OursThere float64
	WorstCook string // ID of the cook of the worst miss
}

// Table is the rows of one group of moments.
type Table struct {
	Share float64 // of the course; −1: all moments after going on that have a core reading
	Rows  []Row
}

// Report is the outcome of a replay.
type Report struct {
	LeaveOneOut bool
	Cooks       int // replayed
	Moments     []Moment
	Tables      []Table // one for each of Shares
	During      Table   // all moments after going on with a core reading
	DuringHand  Table   // of these, cooks noted by hand
	DuringDense Table   // and cooks with a probe series
}

// Replay judges the finished cooks of an experience.
func Replay(x *forecast.Experience, opt Options) Report {
	cooks := x.Cooks()
	r := Report{LeaveOneOut: opt.LeaveOneOut, Cooks: len(cooks)}
	moments := make([][]Moment, len(cooks))
	forecast.Each(len(cooks), opt.Progress, func(i int) {
		moments[i] = replay(x, cooks, i, opt.LeaveOneOut)
	})
	r.Moments = slices.Concat(moments...)
	for _, s := range Shares {
		r.Tables = append(r.Tables, r.table(s, func(m *Moment) bool { return m.Share == s }))
	}
	during := func(m *Moment) bool { return m.Share > 0 && m.Readings > 0 }
	r.During = r.table(-1, during)
	r.DuringHand = r.table(-1, func(m *Moment) bool { return during(m) && !m.Dense })
	r.DuringDense = r.table(-1, func(m *Moment) bool { return during(m) && m.Dense })
	return r
}

func replay(x *forecast.Experience, cooks []journal.Cook, i int, leaveOneOut bool) []Moment {
	c := &cooks[i]
	on, _ := c.OnAt()
	took, _ := c.Took()
	use := func(o *journal.Cook) bool {
		if leaveOneOut {
			return o.ID != c.ID
		}
		off, _ := o.Finish()
		return o.ID != c.ID && off.Before(on)
	}
	f := x.Where(use)
	var past []known
	for k := range cooks {
		if k != i && use(&cooks[k]) {
			past = append(past, figures(&cooks[k]))
		}
	}
	var out []Moment
	for _, share := range Shares {
		elapsed := share * took.Hours()
		now := on.Add(time.Duration(elapsed * float64(time.Hour)))
		m := Moment{Cook: c.ID, Share: share, Elapsed: elapsed, Left: took.Hours() - elapsed, Past: len(past), Dense: len(c.Series.Times) > 0}
		var ours forecast.Forecast
		if share == 0 {
			ours = f.Plan(c)
		} else {
			ours = f.At(c, now)
		}
		m.Readings = ours.Readings
		m.Answers = []Answer{
			{Method: Ours, Hours: ours.ToGo.Mid, Lo: ours.ToGo.Lo, Hi: ours.ToGo.Hi, Sample: ours.Sample},
			{Method: EngineOnly, Hours: ours.Engine},
		}
		at := moment{c, now, elapsed}
		for _, rule := range rules {
			if h, ok := rule.left(at, past); ok && !math.IsNaN(h) {
				m.Answers = append(m.Answers, Answer{Method: rule.method, Hours: h})
			}
		}
		if a, ok := alikeAnswer(at, past); ok {
			m.Answers = append(m.Answers, a)
		}
		out = append(out, m)
	}
	return out
}

func (r *Report) table(share float64, in func(*Moment) bool) Table {
	t := Table{Share: share}
	for _, method := range Methods {
		var cases []score.Case
		ours, worst, worstCook := 0.0, -1.0, ""
		for i := range r.Moments {
			m := &r.Moments[i]
			if !in(m) {
				continue
			}
			a, ok := m.answer(method)
			if !ok {
				continue
			}
			cases = append(cases, score.Case{Forecast: a.Hours, Value: m.Left, Lo: a.Lo, Hi: a.Hi, Sample: a.Sample, Whole: m.Elapsed + m.Left})
			if miss := math.Abs(a.Hours - m.Left); miss > worst {
				worst, worstCook = miss, m.Cook
			}
			mine, _ := m.answer(Ours)
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
