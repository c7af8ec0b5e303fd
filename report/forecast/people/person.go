package people

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Lesson is one moment of a finished cook of the person.
type Lesson struct {
	Cook   int // lessons of one cook are together
	Moment Moment
	Took   float64 // h to go in truth, from the last reading
}

// Person is what a person's own cooks teach: a normal process over their
// moments of how far the law of people is off. The nil Person knows no cooks.
type Person struct {
	lessons []Lesson
	traits  []trait
	without []float64 // the miss that is left of each had its cook not been there, in spreads of the law
	alpha   *mat.VecDense
	factor  mat.Cholesky // of the covariance of the lessons
}

// Spreads are what makes the law wrong for one person, before any cook is known:
// spreads of ln hours, and how far what is learned reaches.
type Spreads struct {
	All               float64 // in all
	Kg, Plan          float64 // on ln of the weight, on ln of what pit and wrap of the plan make of it
	Whole, Left, Pace float64 // on the terms of the law once a core is read
	Physics           float64 // on ln of the fitted simulation over the law
	Cook              float64 // of one cook alone
	Reach             float64 // in ln of the way still to go
	Unread            float64 // share between a moment with and one without a core reading
}

// Note: free, look goes to 0 and takes Reach with it: the moments of a cook then
// teach each for itself, and forecasts get worse by a tenth.
//
// spreads is printed by fit.go: of most marginal likelihood on ten cooks of one
// person, four people with two or three, and, with a fifth of the weight, the
// invented samples.
var spreads = Spreads{All: .229, Kg: .701, Plan: .860, Whole: .476, Left: .158, Pace: .822, Physics: .199, Cook: .125, Reach: .523, Unread: .547}

// FittedSpreads are those in force.
func FittedSpreads() Spreads { return spreads }

// Guards against nonsense on file: the shortest time to go a lesson can have had,
// h, and the spreads of the law that no miss is believed beyond.
const leastTook, wildest = .2, 3.

// Learn makes a Person of lessons.
func Learn(lessons []Lesson) *Person {
	n := len(lessons)
	if n == 0 {
		return nil
	}
	traits, cov, miss := spreads.prior(lessons)
	p := &Person{lessons: lessons, traits: traits, without: make([]float64, n), alpha: mat.NewVecDense(n, nil)}
	var inverse mat.SymDense
	if !p.factor.Factorize(cov) || p.factor.SolveVecTo(p.alpha, miss) != nil || p.factor.InverseTo(&inverse) != nil {
		return nil
	}
	p.leaveOut(&inverse)
	return p
}

// prior is the covariance of how far the law is off at the lessons, and how far
// it was.
func (s *Spreads) prior(lessons []Lesson) (traits []trait, cov *mat.SymDense, miss *mat.VecDense) {
	n := len(lessons)
	traits, cov, miss = make([]trait, n), mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for i := range lessons {
		traits[i] = traitOf(&lessons[i].Moment)
	}
	for i := range lessons {
		a, took := &traits[i], math.Max(lessons[i].Took, leastTook)
		miss.SetVec(i, math.Log(took)-a.law.Mean)
		for k := i; k < n; k++ {
			v := s.together(a, &traits[k])
			if lessons[i].Cook == lessons[k].Cook {
				v += s.Cook * s.Cook * s.near(a, &traits[k])
			}
			if i == k {
				v += look * look / (took * took)
			}
			cov.SetSym(i, k, v)
		}
	}
	return traits, cov, miss
}

// Evidence is ln of the likelihood of a person's lessons.
func (s *Spreads) Evidence(lessons []Lesson) float64 {
	_, cov, miss := s.prior(lessons)
	var factor mat.Cholesky
	alpha := mat.NewVecDense(len(lessons), nil)
	if !factor.Factorize(cov) || factor.SolveVecTo(alpha, miss) != nil {
		return math.Inf(-1)
	}
	return -(mat.Dot(miss, alpha) + factor.LogDet()) / 2
}

// Lessons returns the lessons p was made from.
func (p *Person) Lessons() []Lesson {
	if p == nil {
		return nil
	}
	return p.lessons
}

// leaveOut fills in without: for the block B of one cook what is left of its
// misses is (K⁻¹_BB)⁻¹·(K⁻¹y)_B.
func (p *Person) leaveOut(inverse *mat.SymDense) {
	for i := 0; i < len(p.lessons); {
		k := i
		for k < len(p.lessons) && p.lessons[k].Cook == p.lessons[i].Cook {
			k++
		}
		n := k - i
		block, rhs, x := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
		for a := range n {
			rhs.SetVec(a, p.alpha.AtVec(i+a))
			for b := a; b < n; b++ {
				block.SetSym(a, b, inverse.At(i+a, i+b))
			}
		}
		var f mat.Cholesky
		if f.Factorize(block) && f.SolveVecTo(x, rhs) == nil {
			for a := range n {
				p.without[i+a] = clamp(x.AtVec(a)/p.traits[i+a].law.SD, wildest)
			}
		}
		i = k
	}
}

// Hours is how long m has to go by people's cooks and the person's own.
func (p *Person) Hours(m *Moment) Hours {
	if m.Tender {
		return Hours{Law: Law{math.Log(look), 1}}
	}
	return Hours{p.law(m), m.Since}
}

// law is what people's cooks and the person's own say of m.
func (p *Person) law(m *Moment) Law {
	t := traitOf(m)
	out := t.law
	if p == nil {
		return out
	}
	squares, cooks := 1., 1. // the law's own spread counts as one cook
	for i := 0; i < len(p.lessons); {
		k, sum, most, miss := i, 0.0, 0.0, 0.0
		for ; k < len(p.lessons) && p.lessons[k].Cook == p.lessons[i].Cook; k++ {
			other := &p.traits[k]
			out.Mean += p.alpha.AtVec(k) * spreads.together(&t, other)
			if other.Read == t.Read && other.Cut == t.Cut && kin(&t, other) {
				w := spreads.near(&t, other)
				sum, most, miss = sum+w, math.Max(most, w), miss+w*p.without[k]*p.without[k]
			}
		}
		if sum > 0 { // the moments of one cook count as much as the nearest alone
			squares, cooks = squares+most*miss/sum, cooks+most
		}
		i = k
	}
	out.Mean += p.neverTurned(&t)
	out.SD *= math.Sqrt(squares / cooks)
	return out
}

// neverTurned is what it adds to the mean to know that a hotter pit and an earlier wrap
// make no cook longer: the person's share of what the simulation makes of a plan, 1 at
// first, is normal, cut off at 0.
func (p *Person) neverTurned(t *trait) float64 {
	n := len(p.lessons)
	share, here, solved := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	for k := range n {
		o := &p.traits[k]
		share.SetVec(k, spreads.reach(t, o)*spreads.Plan*spreads.Plan*o.Plan)
		here.SetVec(k, spreads.together(t, o))
	}
	if p.factor.SolveVecTo(solved, share) != nil {
		return 0
	}
	mean, prior := 1+mat.Dot(share, p.alpha), spreads.Plan*spreads.Plan
	v := prior - mat.Dot(share, solved)
	if v <= 0 {
		return 0
	}
	z := mean / math.Sqrt(v)
	more := math.Sqrt(2*v/math.Pi) * math.Exp(-z*z/2) / math.Erfc(-z/math.Sqrt2)
	if !(more >= -mean) { // far out
		more = -mean
	}
	return more / v * (prior*t.Plan - mat.Dot(here, solved))
}

// trait is a moment as the process sees it.
type trait struct {
	*Moment
	law                            Law
	whole, left, pace, kg, physics float64
}

func traitOf(m *Moment) trait {
	t := trait{Moment: m, law: m.Law()}
	t.kg = math.Log(math.Max(m.Kg, .3) / 4)
	if m.Fitted > 0 {
		t.physics = clamp(math.Log(math.Max(m.Fitted, soonest)+m.Since)-fitted.goingOn(m).Mean, farthest)
	}
	if m.Read {
		whole := fitted.whole(m)
		t.whole = math.Log(whole / 10)
		t.left, t.pace = m.left(), fitted.pace(m, whole)
	}
	return t
}

// near is how much two moments of a course have in common, 0 to 1.
func (s *Spreads) near(a, b *trait) float64 {
	switch {
	case a.Read && b.Read:
		x := (a.left - b.left) / s.Reach
		return math.Exp(-x * x / 2)
	case a.Read != b.Read:
		return s.Unread
	}
	return 1
}

// kin reports whether a moment says anything of another: a bird says nothing of a
// tough cut, nor a pit known by its setting of one that is measured.
func kin(a, b *trait) bool { return a.Bird == b.Bird && a.Setting == b.Setting }

// together is the prior covariance of the misses at two moments, without what is
// peculiar to one cook.
func (s *Spreads) together(a, b *trait) float64 {
	if !kin(a, b) {
		return 0
	}
	return s.reach(a, b)*(s.All*s.All+s.Kg*s.Kg*a.kg*b.kg+s.Plan*s.Plan*a.Plan*b.Plan) +
		s.Whole*s.Whole*a.whole*b.whole + s.Left*s.Left*a.left*b.left + s.Pace*s.Pace*a.pace*b.pace + s.Physics*s.Physics*a.physics*b.physics
}

// reach is how far a moment's level and slopes on the plan tell of another's.
func (s *Spreads) reach(a, b *trait) float64 {
	switch n := s.near(a, b); {
	case !kin(a, b):
		return 0
	case a.Read && b.Read:
		return (1 + n) / 2
	default:
		return n
	}
}
