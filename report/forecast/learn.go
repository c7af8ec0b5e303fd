package forecast

import (
	"context"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"ashbook/journal"
	"ashbook/journal/cache"
	"ashbook/report/forecast/model"
	"ashbook/report/forecast/people"
	"ashbook/report/numeric/fit"
	"ashbook/report/numeric/score"
)

// Experience learns from a person's finished cooks: it replays each at several times and
// compares the simulation with the true times. A cook is replayed when a Forecaster first
// needs it. It is safe for concurrent use.
type Experience struct {
	cooks    []journal.Cook
	pits     map[string]journal.Pit
	settings journal.Settings
	options  Options
	lessons  []lesson // one entry for each cook of cooks

	mutex  sync.Mutex // guards the fields below
	last   *Forecaster
	chosen []int // indexes of the cooks of last
}

// Options configures Learn.
type Options struct {
	Cache *cache.Cache // stores the results of each replay; nil: not stored
	// Progress, if not nil, is called after each replayed cook, never concurrently for one
	// Forecaster.
	Progress func(done, of int)
}

// lesson holds what was learned from one cook, once known is set.
type lesson struct {
	sum    func() string // hash of everything that taught depends on
	mutex  sync.Mutex    // held during the replay
	known  bool
	taught taught
}

// taught is what is learned from one cook.
type taught struct {
	Lessons []people.Lesson
	Marks   Marks
	Stall   float64          // length of its longest stall, h
	Wrap    journal.WrapPlan // the wrap it got
}

// replayAt lists the fractions of a cook's length at which it is replayed.
var replayAt = []float64{0, .1, .25, .4, .55, .7, .85, .95}

// Learn returns the Experience of the given cooks. It ignores cooks that are not
// finished or have no start. Each cook takes about 10 ms when it is first needed.
func Learn(cooks []journal.Cook, pits map[string]journal.Pit, settings journal.Settings, opt Options) *Experience {
	x := &Experience{pits: pits, settings: settings, options: opt}
	for i := range cooks {
		if _, ok := courseOf(&cooks[i]); ok {
			x.cooks = append(x.cooks, cooks[i])
		}
	}
	slices.SortStableFunc(x.cooks, func(a, b journal.Cook) int { return a.Date().Compare(b.Date()) })
	x.lessons = make([]lesson, len(x.cooks))
	for i := range x.lessons {
		c := &x.cooks[i]
		x.lessons[i].sum = sync.OnceValue(func() string { return cache.Sum(c, pits[c.Pit], settings) })
	}
	return x
}

// replay learns from cook i unless that was done before. It fails when ctx ends.
func (x *Experience) replay(ctx context.Context, i int) error {
	l := &x.lessons[i]
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if l.known {
		return nil
	}
	c := &x.cooks[i]
	var err error
	l.taught, err = cache.Of(x.options.Cache, func() (taught, error) { return x.teach(ctx, c) }, "what a cook teaches", l.sum())
	l.known = err == nil
	return err
}

// Kept does what cache.Of does, for work that depends only on cook i of Cooks, on the
// cooks for which use is true, on their pits and on the settings. what names the work.
func Kept[T any](x *Experience, what string, i int, use func(*journal.Cook) bool, work func() (T, error)) (T, error) {
	if x.options.Cache == nil {
		return work()
	}
	from := []string{what, x.lessons[i].sum()}
	for k := range x.cooks {
		if use(&x.cooks[k]) {
			from = append(from, x.lessons[k].sum())
		}
	}
	return cache.Of(x.options.Cache, work, from)
}

// teach works out what one cook teaches, from that cook, its pit and the settings
// alone. It fails when ctx ends.
func (x *Experience) teach(ctx context.Context, c *journal.Cook) (taught, error) {
	took, _ := courseOf(c)
	t := taught{Marks: marksOf(c, took), Stall: longestStall(c), Wrap: wrapOf(c)}
	t.Lessons = Untaught(map[string]journal.Pit{c.Pit: x.pits[c.Pit]}, x.settings).replay(ctx, asDone(c, t.Wrap), took)
	return t, ctx.Err()
}

// Each calls work for 0 to n−1 on all cores, and progress, if not nil, after each call,
// never concurrently. It stops at the first error or when ctx ends, and returns that error.
func Each(ctx context.Context, n int, progress func(done, of int), work func(i int) error) error {
	var next atomic.Int64
	var failed atomic.Pointer[error]
	var wait sync.WaitGroup
	var mutex sync.Mutex
	done := 0
	for range min(n, runtime.GOMAXPROCS(0)) {
		wait.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && ctx.Err() == nil && failed.Load() == nil; i = int(next.Add(1)) - 1 {
				if err := work(i); err != nil {
					failed.CompareAndSwap(nil, &err)
					return
				}
				mutex.Lock()
				done++
				if progress != nil {
					progress(done, n)
				}
				mutex.Unlock()
			}
		})
	}
	wait.Wait()
	if err := failed.Load(); err != nil {
		return *err
	}
	return ctx.Err()
}

// courseOf returns how long a finished cook took, h; ok is false if it is not finished or Counts is false.
func courseOf(c *journal.Cook) (hours float64, ok bool) {
	took, ok := c.Took()
	return took.Hours(), ok && Counts(took)
}

// Counts reports whether a cook can have taken that long: .5 h to Longest.
func Counts(took time.Duration) bool {
	h := took.Hours()
	return h >= .5 && h <= model.Longest
}

// Untaught returns a Forecaster that has learned from no cooks.
func Untaught(pits map[string]journal.Pit, settings journal.Settings) *Forecaster {
	return &Forecaster{world: model.Context{Pits: pits, Settings: settings}}
}

// replay returns the lessons of a cook at the moments of replayAt. Moments after the
// start count only once a core was read. It returns fewer if ctx ends.
func (f *Forecaster) replay(ctx context.Context, c *journal.Cook, took float64) []people.Lesson {
	on, _ := c.OnAt()
	var out []people.Lesson
	for _, share := range replayAt {
		if ctx.Err() != nil {
			return out
		}
		elapsed := share * took
		j := f.world.Read(c, on.Add(time.Duration(elapsed*float64(time.Hour))))
		e := model.New(j)
		post := e.Fit()
		m := momentOf(j, e, post)
		if share > 0 && !m.Read {
			continue
		}
		out = append(out, people.Lesson{Moment: m, Took: math.Max(took-elapsed, model.Soonest) + m.Since})
	}
	return out
}

// momentOf returns what package people needs to forecast a cook.
func momentOf(j *model.State, e *model.Engine, post fit.Posterior) people.Moment {
	m := people.Moment{
		Cut: strings.ToLower(strings.TrimSpace(j.Cook.Cut)), Setting: j.Pit.Setting, Bird: model.Bird(j.Cook.Cut), Since: j.Elapsed, Tender: tender(j),
	}
	m.Doubt = j.Doubt()
	for i := range j.Pieces {
		m.Kg = math.Max(m.Kg, j.Pieces[i].Meat.Mass)
	}
	if left, since, ok := coldest(j); ok {
		m.Read, m.Left, m.Since, m.At = true, left, since, j.Elapsed-since
	}
	whole := func(j *model.State) float64 { return model.New(j).Whole() }
	if !m.Read {
		m.Physics = whole(j.Raised())
		m.Plan = math.Log(m.Physics / whole(j.InUsualPit().AsCovered(0)))
		return m
	}
	point := func(j *model.State) float64 {
		h, _ := model.New(j).Point(post)
		return math.Max(h, model.Soonest)
	}
	covered := j.AsCovered(m.At)
	m.Physics = whole(covered.Unchanged(true))
	m.Plan = math.Log(m.Physics / whole(covered.InUsualPit()))
	m.Fitted = point(covered.Unchanged(false))
	wrapped := point(j.Unchanged(false))
	m.Wrap = math.Log((wrapped + m.Since) / (m.Fitted + m.Since))
	m.Raise = math.Log((point(j) + m.Since) / (wrapped + m.Since))
	m.Pace = pace(j)
	return m
}

// coldest finds the piece whose core has most kelvins to rise. It returns those kelvins
// at its last reading and the hours since then; ok is false if no piece on the pit was
// read.
func coldest(j *model.State) (left, since float64, ok bool) {
	for i := range j.Pieces {
		p := &j.Pieces[i]
		last, read := p.Last()
		if !read || p.Done {
			continue
		}
		if l, _ := p.Way(); !ok || l > left {
			left, since, ok = l, math.Max(0, j.Elapsed-p.Start-last.H), true
		}
	}
	return left, since, ok
}

// All returns a Forecaster with every cook. It fails when ctx ends.
func (x *Experience) All(ctx context.Context) (*Forecaster, error) {
	return x.Where(ctx, func(*journal.Cook) bool { return true })
}

// MostCooks is the number of latest cooks learned from: more would take seconds and change
// little (chosen).
const MostCooks = 60

// Where returns a Forecaster with the latest MostCooks of the cooks for which use is true.
// It fails when ctx ends.
func (x *Experience) Where(ctx context.Context, use func(*journal.Cook) bool) (*Forecaster, error) {
	chosen := x.latest(use)
	x.mutex.Lock()
	last, same := x.last, x.last != nil && slices.Equal(x.chosen, chosen)
	x.mutex.Unlock()
	if same {
		return last, nil
	}
	if err := Each(ctx, len(chosen), x.options.Progress, func(n int) error { return x.replay(ctx, chosen[n]) }); err != nil {
		return nil, err
	}
	f := x.knowing(chosen)
	x.mutex.Lock()
	defer x.mutex.Unlock()
	x.last, x.chosen = f, chosen
	return f, nil
}

// latest returns the latest MostCooks for which use is true, in order of time.
func (x *Experience) latest(use func(*journal.Cook) bool) (chosen []int) {
	for i := len(x.cooks) - 1; i >= 0 && len(chosen) < MostCooks; i-- {
		if use(&x.cooks[i]) {
			chosen = append(chosen, i)
		}
	}
	slices.Reverse(chosen)
	return chosen
}

// Latest returns a function that is true for the latest MostCooks of the cooks for which use
// is true. It is meant for Kept and Where.
func (x *Experience) Latest(use func(*journal.Cook) bool) func(*journal.Cook) bool {
	latest := map[*journal.Cook]bool{}
	for _, i := range x.latest(use) {
		latest[&x.cooks[i]] = true
	}
	return func(c *journal.Cook) bool { return latest[c] }
}

// knowing returns a Forecaster with the chosen cooks, which must have been replayed.
func (x *Experience) knowing(chosen []int) *Forecaster {
	f := &Forecaster{world: model.Context{Pits: x.pits, Settings: x.settings, UsualPit: map[string]float64{}}}
	aims := map[string][]float64{}
	var lessons []people.Lesson
	for n, i := range chosen {
		f.past = append(f.past, x.cooks[i])
		if aim := x.cooks[i].Aim.Pit; aim.Known {
			aims[x.cooks[i].Pit] = append(aims[x.cooks[i].Pit], aim.Base)
		}
		f.taught = append(f.taught, x.lessons[i].taught)
		for _, l := range x.lessons[i].taught.Lessons {
			l.Cook = n
			lessons = append(lessons, l)
		}
	}
	for pit, all := range aims {
		f.world.UsualPit[pit] = score.Quantile(all, .5)
	}
	f.world.MayWrap = f.mayWrap
	f.person = people.Learn(lessons)
	return f
}

// Index returns the index of a cook in Cooks, or −1.
func (x *Experience) Index(id string) int {
	return slices.IndexFunc(x.cooks, func(c journal.Cook) bool { return c.ID == id })
}

// Cooks returns the finished cooks, in order of time.
func (x *Experience) Cooks() []journal.Cook { return slices.Clone(x.cooks) }
