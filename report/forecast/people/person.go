package people

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Lesson is one moment of a finished cook of the person.
type Lesson struct {
	Cook   int // number of the cook; lessons of one cook are adjacent
	Moment Moment
	Took   float64 // true hours to go from the last reading
}

// Person is what is learned from a person's own cooks: how far the law of other
// people's cooks was off at each moment, as a Gaussian process. The nil Person has no
// cooks.
type Person struct {
	lessons []Lesson
	traits  []trait
	without []float64 // error of each lesson, predicted from the other cooks, in standard deviations of the law
	alpha   *mat.VecDense
	factor  mat.Cholesky // decomposed covariance of the lessons
}

// Spreads say how much one person's cooks may differ from the law: the standard
// deviations, in ln(hours), of each kind of difference, and how far a difference at one
// moment carries over to other moments.
type Spreads struct {
	All               float64 // constant
	Kg, Plan          float64 // slope on ln(weight), slope on Moment.Plan
	Whole, Left, Pace float64 // slopes on the terms of the law after a reading
	Physics           float64 // slope on ln(hours of the fitted simulation / hours of the law)
	Cook              float64 // deviation of a single cook
	Reach             float64 // distance in ln(share of the rise that is left) over which differences carry over
	Unread            float64 // correlation of moments with and without a core reading
}

// Note: if look is fitted as well, both it and Reach go towards 0: each moment of a
// cook then counts on its own, and forecasts get 10 % worse.
//
// spreads is printed by fit.go. The values make most probable the ten cooks of one
// person, two or three cooks of each of four people, and, with a weight of .2, the
// invented samples (maximum marginal likelihood).
var spreads = Spreads{All: .229, Kg: .701, Plan: .860, Whole: .476, Left: .158, Pace: .822, Physics: .199, Cook: .125, Reach: .523, Unread: .547}

// FittedSpreads returns the values in use.
func FittedSpreads() Spreads { return spreads }

// Limits that keep nonsense in files from doing harm: the least hours to go of a
// lesson, and the greatest error, in standard deviations of the law.
const leastTook, wildest = .2, 3.

// Learn returns the Person with these lessons; nil if there are none.
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

// prior returns how the errors of the law at the lessons are expected to vary together
// (their covariance), and the errors themselves.
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

// Evidence returns how probable a person's lessons are with the spreads in use: the log
// marginal likelihood, up to a constant.
func (s *Spreads) Evidence(lessons []Lesson) float64 {
	_, cov, miss := s.prior(lessons)
	var factor mat.Cholesky
	alpha := mat.NewVecDense(len(lessons), nil)
	if !factor.Factorize(cov) || factor.SolveVecTo(alpha, miss) != nil {
		return math.Inf(-1)
	}
	return -(mat.Dot(miss, alpha) + factor.LogDet()) / 2
}

// Lessons returns the lessons that p learned from.
func (p *Person) Lessons() []Lesson {
	if p == nil {
		return nil
	}
	return p.lessons
}

// leaveOut sets without. For the lessons B of one cook, the errors predicted from the
// other cooks are (K⁻¹_BB)⁻¹·(K⁻¹y)_B.
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

// Hours returns the distribution of the hours to go at m.
func (p *Person) Hours(m *Moment) Hours {
	if m.Tender {
		return Hours{Law: Law{math.Log(look), 1}}
	}
	return Hours{p.law(m), m.Since}
}

// law returns the law for m, corrected by the person's cooks.
func (p *Person) law(m *Moment) Law {
	t := traitOf(m)
	out := t.law
	if p == nil {
		return out
	}
	squares, cooks := 1., 1. // the standard deviation of the law counts as one cook
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
		if sum > 0 { // all moments of one cook together count as much as the nearest one
			squares, cooks = squares+most*miss/sum, cooks+most
		}
		i = k
	}
	out.Mean += p.neverTurned(&t)
	out.SD *= math.Sqrt(squares / cooks)
	return out
}

// Common returns the covariance that the errors of the law have at two moments of
// different cooks, beyond what the person's cooks explain, in ln hours squared. It is at
// most that of what a person does to every cook; slopes are not counted on.
func (p *Person) Common(a, b *Moment) float64 {
	s, t := traitOf(a), traitOf(b)
	v := spreads.together(&s, &t)
	if p != nil {
		n := len(p.lessons)
		here, there, solved := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
		for k := range n {
			here.SetVec(k, spreads.together(&s, &p.traits[k]))
			there.SetVec(k, spreads.together(&t, &p.traits[k]))
		}
		if p.factor.SolveVecTo(solved, there) != nil {
			return 0
		}
		v -= mat.Dot(here, solved)
	}
	return math.Max(0, math.Min(v, spreads.All*spreads.All))
}

// neverTurned returns how much the mean changes because a hotter pit or an earlier wrap
// never makes a cook longer. The factor on Plan has a normal distribution with mean 1,
// cut off at 0.
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
	if !(more >= -mean) { // mean is so far below 0 that the formula fails
		more = -mean
	}
	return more / v * (prior*t.Plan - mat.Dot(here, solved))
}

// trait holds the values of a moment by which moments are compared.
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

// near returns how alike two moments are in how far the core had to rise, 0 to 1.
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

// kin reports whether two moments are comparable: both poultry or neither,
// both pits only set or both measured.
func kin(a, b *trait) bool { return a.Bird == b.Bird && a.Setting == b.Setting }

// together returns how much the errors at two moments of different cooks are expected
// to vary together (their covariance).
func (s *Spreads) together(a, b *trait) float64 {
	if !kin(a, b) {
		return 0
	}
	return s.reach(a, b)*(s.All*s.All+s.Kg*s.Kg*a.kg*b.kg+s.Plan*s.Plan*a.Plan*b.Plan) +
		s.Whole*s.Whole*a.whole*b.whole + s.Left*s.Left*a.left*b.left + s.Pace*s.Pace*a.pace*b.pace + s.Physics*s.Physics*a.physics*b.physics
}

// reach returns the correlation between two moments of the constant and of the slopes.
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
