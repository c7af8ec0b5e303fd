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

	"gonum.org/v1/gonum/mat"

	"ashbook/journal"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/score"
)

// Experience is what a person's finished cooks teach: each replayed at a few
// points of its course, the engine's answer against what came.
type Experience struct {
	cooks    []journal.Cook
	pits     map[string]journal.Pit
	settings journal.Settings
	taught   []taught // as long as cooks
}

// taught is what one cook teaches.
type taught struct {
	lessons []lesson
	marks   []mark
	stall   float64          // h its longest stall lasted
	perKilo float64          // h for each kg of its heaviest piece; 0 = not weighed
	wrap    journal.WrapPlan // that it came to
}

// Fractions of its course at which a past cook is replayed.
var replayAt = []float64{0, .1, .25, .4, .55, .7, .85, .95}

// lesson is one replayed moment.
type lesson struct {
	cook      int // among those a Forecaster knows
	situation situation
	y         float64 // ln(actual / engine) of the time to go
	took      float64 // h to go in truth
}

// situation is what bears on how far the engine is off.
type situation struct {
	progress float64 // share of the course behind, as the engine sees it
	engine   float64 // h to go by the engine
	cut, pit string
	wrap     string
	weight   float64 // ln(kg of the heaviest piece / 4)
	pieces   float64 // ln of their number
	heat     float64 // of the pit, as model.Hotter has it
	fired    bool    // the pit was aimed at or read
	elapsed  float64 // h
	left     float64 // K still to go by the coldest piece; NaN without readings
	leftAt   float64 // h since that reading
	kg       float64 // of the heaviest piece; 0 = not weighed
	feel     float64 // ln of the time until tender over that until at the target
	pace     float64 // h to go if the cores go on as they last went; 0 = not known
}

// wrapped is the wrap of a situation once it is on.
const wrapped = "wrapped"

// Learn replays finished cooks; unfinished ones and those without a beginning
// are left out. It takes some 10 ms a cook. Progress, if not nil, is called
// after each cook, from one goroutine at a time. The error is that of ctx.
func Learn(ctx context.Context, cooks []journal.Cook, pits map[string]journal.Pit, settings journal.Settings, progress func(done, of int)) (*Experience, error) {
	x := &Experience{pits: pits, settings: settings}
	for i := range cooks {
		if _, ok := courseOf(&cooks[i]); ok {
			x.cooks = append(x.cooks, cooks[i])
		}
	}
	slices.SortStableFunc(x.cooks, func(a, b journal.Cook) int { return a.Date().Compare(b.Date()) })
	x.taught = make([]taught, len(x.cooks))
	bare := Untaught(pits, settings)
	err := Each(ctx, len(x.cooks), progress, func(i int) error {
		c := &x.cooks[i]
		took, _ := courseOf(c)
		t := taught{marks: marksOf(c, took), stall: longestStall(c), wrap: wrapOf(c)}
		t.lessons = bare.replay(ctx, asDone(c, t.wrap), took)
		if kg := heaviest(c); kg > 0 {
			t.perKilo = took / kg
		}
		for k := range t.lessons { // what was said beforehand is what the next cook can be held to
			if s := &t.lessons[k].situation; s.wrap != wrapped {
				s.wrap = string(c.Aim.Wrap.Kind)
			}
		}
		x.taught[i] = t
		return ctx.Err()
	})
	if err != nil {
		return nil, err
	}
	return x, nil
}

// Each runs work for 0 to n−1 on all cores and reports progress, if not nil,
// from one goroutine at a time. It stops at the first error and when ctx ends,
// and returns that error.
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

// courseOf is how long a finished cook took, h, if that can be a cook.
func courseOf(c *journal.Cook) (hours float64, ok bool) {
	took, ok := c.Took()
	h := took.Hours()
	return h, ok && h >= .5 && h <= model.Longest
}

// Untaught is a Forecaster that knows the pits but no cook.
func Untaught(pits map[string]journal.Pit, settings journal.Settings) *Forecaster {
	return &Forecaster{world: model.Context{Pits: pits, Settings: settings}}
}

// replay is what a finished cook teaches; some of it when ctx ends.
func (f *Forecaster) replay(ctx context.Context, c *journal.Cook, took float64) []lesson {
	on, _ := c.OnAt()
	var out []lesson
	for _, share := range replayAt {
		if ctx.Err() != nil {
			return out
		}
		elapsed := share * took
		j := f.world.Read(c, on.Add(time.Duration(elapsed*float64(time.Hour))))
		e := model.New(j)
		post := e.Fit()
		hours, ok := e.Point(post)
		if !ok {
			continue
		}
		hours = math.Max(hours, model.Soonest)
		l := lesson{situation: situationOf(j, hours), took: took - elapsed}
		l.situation.feel = e.Feel(post)
		l.y = clamp(math.Log(math.Max(l.took, model.Soonest)/hours), 1.5)
		out = append(out, l)
	}
	return out
}

func clamp(x, most float64) float64 { return math.Max(-most, math.Min(most, x)) }

// situationOf sums up a job for which the engine says so many hours.
func situationOf(j *model.State, engine float64) situation {
	s := situation{
		progress: j.Elapsed / (j.Elapsed + engine), engine: engine, elapsed: j.Elapsed,
		cut: strings.ToLower(strings.TrimSpace(j.Cook.Cut)), pit: j.Cook.Pit, wrap: string(j.Cook.Aim.Wrap.Kind),
		pieces: math.Log(float64(len(j.Pieces))), heat: model.Hotter(j.Pit.Future), left: math.NaN(),
		fired: j.Pit.Known() || j.Cook.Aim.Pit.Known,
	}
	if j.Wrapped {
		s.wrap = wrapped
	}
	kg := 0.0 // the heaviest decides
	for i := range j.Pieces {
		p := &j.Pieces[i]
		kg = math.Max(kg, p.Meat.Mass)
		if last, ok := p.Last(); ok && !p.Done {
			left := p.Target - last.C
			if math.IsNaN(s.left) || left > s.left {
				s.left, s.leftAt = left, math.Max(0, j.Elapsed-p.Start-last.H)
			}
		}
	}
	s.weight = math.Log(kg / 4)
	s.kg, s.pace = heaviest(j.Cook), pace(j)
	return s
}

// Prior standard deviations of what makes the engine's time to go wrong, as
// ln(actual/engine), and how they fade between moments of a course. Chosen:
// shares of a fifth for what differs between pits and people, less for the
// rest, as the scatter of long cooks about any rule suggests. The slope on the
// weight is free enough to hold both the engine's power of .4 and the trade's
// so many hours a kilo.
//
// Note: halving or doubling any other of them changed the mean miss by 6 % at
// most on a dozen real cooks and by 3 % on fifty invented ones, each left out
// in turn; a slope half as free, about .54, cost 9 % on the real ones.
const (
	tauAll, tauCut, tauPit = .10, .10, .18
	tauWeight, tauPieces   = .40, .15
	tauHeat, tauWrap       = .08, .08
	byFeel, tauFeel        = .3, .5 // 0 lifts by the core, 1 when tender; past cooks tell which
	sigmaCook, sigmaMoment = .17, .08
	alikeProgress          = .3
	alikeLeft              = .5  // of ln(K to go + 4): 1 K apart near the end says as much as 15 K early on
	unread                 = .25 // a moment with and one without a core reading
	tooSlow                = .3  // ln, from 10 K to go on: see expected
	offDecision            = .3  // h: when it comes off is also when someone looks
)

// together is the prior covariance of two moments, without what is peculiar to
// one cook.
func together(a, b *situation) float64 {
	k := tauAll*tauAll + tauWeight*tauWeight*a.weight*b.weight + tauPieces*tauPieces*a.pieces*b.pieces + tauHeat*tauHeat*a.heat*b.heat
	if a.cut == b.cut {
		k += tauCut * tauCut
	}
	if a.pit == b.pit {
		k += tauPit * tauPit
	}
	if a.wrap == b.wrap {
		k += tauWrap * tauWrap
	}
	return k*like(a, b) + tauFeel*tauFeel*a.feels()*b.feels() + tauClose*tauClose*closely(a, b)
}

// What is to be learned beyond that is learned from moments with a reading that
// are alike in all that is known of them. Chosen on 200 invented cooks of five
// journals, where it took 4 to 7 % off the miss during a cook; that on real cooks,
// which had no say in it, fell by 1 to 3 % (ASHBOOK_LONG=1 go test -v -run
// Generated ./report/hindsight).
//
// Note: the pace of the core, the pit's heat and the engine's time as further
// likenesses were no better or worse.
const (
	tauClose   = .25
	closeFeel  = .5 // of ln time, standard deviation of the likeness
	closeTime  = .5 // the same, of ln(h on / √kg)
	otherKind  = .5 // another cut
	otherState = .5 // another wrap, or not in it yet
)

// closely is how alike two moments are in all that is known, 0 to 1.
func closely(a, b *situation) float64 {
	if math.IsNaN(a.left) || math.IsNaN(b.left) {
		return 0
	}
	k := like(a, b)
	for _, d := range []float64{(a.feel - b.feel) / closeFeel, (a.soFar() - b.soFar()) / closeTime} {
		k *= math.Exp(-d * d / 2)
	}
	if a.cut != b.cut {
		k *= otherKind
	}
	if a.wrap != b.wrap {
		k *= otherState
	}
	return k
}

// soFar is the time on for the weight, ln(h/√(kg/4)).
func (s *situation) soFar() float64 { return math.Log(math.Max(s.elapsed, .5)) - s.weight/2 }

// like is how much two moments of a course have in common, 0 to 1: they lie at
// a like share of it, and what is known of the core is alike.
func like(a, b *situation) float64 {
	d := (a.progress - b.progress) / alikeProgress
	k := math.Exp(-d * d / 2)
	switch {
	case math.IsNaN(a.left) && math.IsNaN(b.left):
	case math.IsNaN(a.left) || math.IsNaN(b.left):
		k *= unread
	default:
		d := math.Log((4+math.Max(0, a.left))/(4+math.Max(0, b.left))) / alikeLeft
		k *= math.Exp(-d * d / 2)
	}
	return k
}

// feels is how much of the feeling of tenderness bears on a moment: all of it
// from 20 K to go on, none before 30, where other doubts drown it (chosen).
func (s *situation) feels() float64 {
	if math.IsNaN(s.left) {
		return 0
	}
	return s.feel * math.Max(0, math.Min(1, (30-s.left)/10))
}

// expected is ln(actual/engine) before any cook is known. Published cooking
// times grow with the .54th power of the weight (turkeys of 8 and 24 lb, a
// kitchen question page quoting McGee), the trade's with the first (common
// practice, no source), the engine's with the .4th: .7 is the middle of all
// three. The pit counts by how far it is from usual, the heat of the person's
// usual pit. Once a core is read the difference is in the fit; towards the end
// people lift in part by feel, and the physics takes too long over the last
// kelvins: with under 20 K to go by a factor exp(.13) on a dozen real cooks and
// exp(.45) on fifty invented ones, of which the middle is taken.
func (s *situation) expected(usual float64) float64 {
	if !math.IsNaN(s.left) {
		return byFeel*s.feels() - tooSlow*math.Max(0, math.Min(1, (20-s.left)/10))
	}
	k := .3 * s.weight
	if s.fired {
		k += model.HeatSlope * (s.heat - usual)
	}
	return k
}

// ownNoise is the variance of one moment alone.
func ownNoise(a *situation) float64 {
	o := offDecision / math.Max(a.engine, offDecision)
	return sigmaMoment*sigmaMoment + o*o
}

// correction is a normal process over the moments of past cooks: closed form,
// works from none on.
//
// Note: a regression per fraction of the course wastes what neighbouring
// fractions say; empirical Bayes of the curve's own parameters did harm on
// real cooks.
type correction struct {
	lessons []lesson
	usual   float64 // heat of the person's usual pit
	alpha   *mat.VecDense
	factor  mat.Cholesky
	inverse mat.SymDense
}

func newCorrection(lessons []lesson, usual float64) *correction {
	c := &correction{lessons: lessons, usual: usual}
	n := len(lessons)
	if n == 0 {
		return c
	}
	k := mat.NewSymDense(n, nil)
	y := mat.NewVecDense(n, nil)
	for i := range n {
		a := &lessons[i]
		y.SetVec(i, a.y-a.situation.expected(usual))
		for j := i; j < n; j++ {
			b := &lessons[j]
			v := together(&a.situation, &b.situation)
			if a.cook == b.cook {
				v += sigmaCook * sigmaCook * like(&a.situation, &b.situation)
			}
			if i == j {
				v += ownNoise(&a.situation)
			}
			k.SetSym(i, j, v)
		}
	}
	if !c.factor.Factorize(k) {
		return &correction{}
	}
	c.alpha = mat.NewVecDense(n, nil)
	if c.factor.SolveVecTo(c.alpha, y) != nil || c.factor.InverseTo(&c.inverse) != nil {
		return &correction{}
	}
	return c
}

// at is the expected ln(actual/engine) and its standard deviation, all doubt
// of a single cook included.
func (c *correction) at(s situation) (mean, sd float64) {
	own := together(&s, &s) + sigmaCook*sigmaCook + ownNoise(&s)
	n := len(c.lessons)
	if n == 0 {
		return s.expected(c.usual), math.Sqrt(own)
	}
	k := mat.NewVecDense(n, nil)
	for i := range n {
		k.SetVec(i, together(&s, &c.lessons[i].situation))
	}
	v := mat.NewVecDense(n, nil)
	if c.factor.SolveVecTo(v, k) != nil {
		return s.expected(c.usual), math.Sqrt(own)
	}
	return s.expected(c.usual) + mat.Dot(k, c.alpha), math.Sqrt(math.Max(ownNoise(&s), own-mat.Dot(k, v)))
}

// without is at for every lesson, the mean alone, had its own cook not been
// there: for the block B of one cook, y_B − (K⁻¹_BB)⁻¹·(K⁻¹y)_B.
func (c *correction) without() []float64 {
	out := make([]float64, len(c.lessons))
	for i := 0; i < len(c.lessons); {
		k := i
		for k < len(c.lessons) && c.lessons[k].cook == c.lessons[i].cook {
			k++
		}
		n := k - i
		block := mat.NewSymDense(n, nil)
		rhs := mat.NewVecDense(n, nil)
		for a := range n {
			rhs.SetVec(a, c.alpha.AtVec(i+a))
			for b := a; b < n; b++ {
				block.SetSym(a, b, c.inverse.At(i+a, i+b))
			}
		}
		var f mat.Cholesky
		x := mat.NewVecDense(n, nil)
		if f.Factorize(block) && f.SolveVecTo(x, rhs) == nil {
			for a := range n {
				out[i+a] = c.lessons[i+a].y - x.AtVec(a)
			}
		}
		i = k
	}
	return out
}

// All is a Forecaster that knows every cook.
func (x *Experience) All() *Forecaster {
	return x.Where(func(*journal.Cook) bool { return true })
}

// mostCooks is how many of the latest cooks are learned from: more would cost
// seconds and change little (chosen).
const mostCooks = 60

// Where is a Forecaster that knows the cooks for which use is true, the latest
// sixty of them.
func (x *Experience) Where(use func(*journal.Cook) bool) *Forecaster {
	var chosen []int
	for i := range x.cooks {
		if use(&x.cooks[i]) {
			chosen = append(chosen, i)
		}
	}
	chosen = chosen[max(0, len(chosen)-mostCooks):]
	f := &Forecaster{world: model.Context{Pits: x.pits, Settings: x.settings, UsualPit: map[string]float64{}}}
	aims := map[string][]float64{}
	var lessons []lesson
	for n, i := range chosen {
		f.past = append(f.past, x.cooks[i])
		if aim := x.cooks[i].Aim.Pit; aim.Known {
			aims[x.cooks[i].Pit] = append(aims[x.cooks[i].Pit], aim.Base)
		}
		f.taught = append(f.taught, x.taught[i])
		for _, l := range x.taught[i].lessons {
			l.cook = n
			lessons = append(lessons, l)
		}
	}
	for pit, all := range aims {
		f.world.UsualPit[pit] = score.Quantile(all, .5)
	}
	f.world.MayWrap = f.mayWrap
	f.learn(lessons)
	return f
}

// Cooks are the finished cooks learned from, in order of time.
func (x *Experience) Cooks() []journal.Cook { return slices.Clone(x.cooks) }
