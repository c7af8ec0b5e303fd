package people

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Lesson is one moment of a finished cook of the person.
type Lesson struct {
	Cook   int // lessons of one cook stand together
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
}

// Prior spreads of what makes the law wrong for one person, of ln hours: in all,
// by cut, pit and wrap, as slopes, for moments alike in all that is known, and
// for one cook alone. Fitted by marginal likelihood on ten cooks of one person,
// four people with two or three, and, with a fifth of the weight, the invented
// samples; rounded.
const (
	ofAll, ofCut, ofPit, ofWrap          = .12, .15, .06, .06
	onKg, onPieces, onHeat               = .30, .12, .17
	onWhole, onLeft, onGone              = .40, .13, .20
	onPace, onFeel, onPhysics            = .40, .22, .40
	ofLikeness, ofCook, ofMoment, ofLook = .12, .12, .01, .20 // the last in hours
)

// Chosen: how far what is learned at one moment reaches.
const (
	reach     = .5  // of ln(K to go + 4)
	unread    = .25 // between a moment with and one without a core reading
	otherKind = .15 // between a bird and a tough cut
	otherMark = .4  // between a pit known by its setting and one that is measured
	otherCut  = .6  // of the spread, between two cuts
	pseudo    = 2.0 // cooks the law's own spread counts as
	wildest   = 3.0 // spreads: no miss counts for more
)

// Learn makes a Person of lessons.
func Learn(lessons []Lesson) *Person {
	n := len(lessons)
	if n == 0 {
		return nil
	}
	p := &Person{lessons: lessons, traits: make([]trait, n), without: make([]float64, n)}
	traits, miss := p.traits, make([]float64, n)
	cov := mat.NewSymDense(n, nil)
	for i := range lessons {
		traits[i] = traitOf(&lessons[i].Moment)
	}
	for i := range lessons {
		a := &traits[i]
		miss[i] = clamp(math.Log(math.Max(lessons[i].Took, .1))-a.law.Mean, 1.5)
		for k := i; k < n; k++ {
			v := together(a, &traits[k])
			if lessons[i].Cook == lessons[k].Cook {
				v += ofCook * ofCook * near(a, &traits[k])
			}
			if i == k {
				look := ofLook / math.Max(lessons[i].Took, .3)
				v += ofMoment*ofMoment + look*look
			}
			cov.SetSym(i, k, v)
		}
	}
	var factor mat.Cholesky
	var inverse mat.SymDense
	p.alpha = mat.NewVecDense(n, nil)
	if !factor.Factorize(cov) || factor.SolveVecTo(p.alpha, mat.NewVecDense(n, miss)) != nil || factor.InverseTo(&inverse) != nil {
		return nil
	}
	p.leaveOut(&inverse)
	return p
}

// Lessons are those p was made of.
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
		return Hours{Law: Law{math.Log(lift), liftSpread}}
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
	squares, cooks := pseudo, pseudo
	for i := 0; i < len(p.lessons); {
		k, sum, most, miss := i, 0.0, 0.0, 0.0
		for ; k < len(p.lessons) && p.lessons[k].Cook == p.lessons[i].Cook; k++ {
			other := &p.traits[k]
			out.Mean += p.alpha.AtVec(k) * together(&t, other)
			if other.Read == t.Read {
				w := near(&t, other)
				sum, most, miss = sum+w, math.Max(most, w), miss+w*p.without[k]*p.without[k]
			}
		}
		if sum > 0 { // the moments of one cook count as much as the nearest alone
			w := most * kin(&p.lessons[i].Moment, m)
			squares, cooks = squares+w*miss/sum, cooks+w
		}
		i = k
	}
	out.SD *= math.Sqrt(squares / cooks)
	return out
}

// kin is how much a cook says of the spread of another: one of another cut less, a
// bird nothing of a tough cut.
func kin(a, b *Moment) float64 {
	switch {
	case a.Bird != b.Bird:
		return 0
	case a.Cut != b.Cut:
		return otherCut
	}
	return 1
}

// trait is a moment as the process sees it.
type trait struct {
	*Moment
	law                     Law
	whole, left, gone, pace float64
	kg, pieces, feel, soFar float64
	physics                 float64
}

func traitOf(m *Moment) trait {
	t := trait{Moment: m, law: m.Law()}
	t.kg, t.pieces = math.Log(math.Max(m.Kg, .3)/4), math.Log(float64(max(1, m.Pieces)))
	t.soFar = math.Log(math.Max(m.At+m.Since, .5)) - t.kg/2
	if m.Fitted > 0 {
		t.physics = clamp(math.Log(math.Max(m.Fitted, soonest)+m.Since)-t.law.Mean, farthest)
	}
	if m.Read {
		whole := fitted.whole(m)
		t.whole = math.Log(whole / 10)
		t.left, t.gone, t.pace = m.left(), m.gone(whole), m.pace(whole)
		t.feel = m.Feel * math.Max(0, math.Min(1, (30-m.Left)/10)) // before, other doubts drown it
	}
	return t
}

// near is how much two moments of a course have in common, 0 to 1.
func near(a, b *trait) float64 {
	switch {
	case a.Read && b.Read:
		return bell((a.left - b.left) / reach)
	case a.Read != b.Read:
		return unread
	}
	return 1
}

func bell(x float64) float64 { return math.Exp(-x * x / 2) }

// together is the prior covariance of the misses at two moments, without what is
// peculiar to one cook.
func together(a, b *trait) float64 {
	k := ofAll*ofAll + onKg*onKg*a.kg*b.kg + onPieces*onPieces*a.pieces*b.pieces + onHeat*onHeat*a.Heat*b.Heat
	if a.Cut == b.Cut {
		k += ofCut * ofCut
	}
	if a.Pit == b.Pit {
		k += ofPit * ofPit
	}
	if a.Wrapped == b.Wrapped {
		k += ofWrap * ofWrap
	}
	n := near(a, b)
	if a.Read && b.Read {
		k *= (1 + n) / 2
	} else {
		k *= n
	}
	k += onWhole*onWhole*a.whole*b.whole + onLeft*onLeft*a.left*b.left + onGone*onGone*a.gone*b.gone + onPace*onPace*a.pace*b.pace + onFeel*onFeel*a.feel*b.feel + onPhysics*onPhysics*a.physics*b.physics
	if a.Read && b.Read {
		like := n * bell((a.soFar-b.soFar)/reach) * bell((a.feel-b.feel)/reach)
		if a.Cut != b.Cut {
			like /= 2
		}
		if a.Wrapped != b.Wrapped {
			like /= 2
		}
		k += ofLikeness * ofLikeness * like
	}
	if a.Bird != b.Bird {
		k *= otherKind
	}
	if a.Setting != b.Setting {
		k *= otherMark
	}
	return k
}
