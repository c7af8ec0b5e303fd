package raters

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Line is one line of an analysis of variance.
type Line struct {
	SS float64 // sum of squares
	DF float64 // degrees of freedom
}

// MS returns the mean square, or 0 without degrees of freedom.
func (l Line) MS() float64 {
	if l.DF <= 0 {
		return 0
	}
	return l.SS / l.DF
}

// Share is a line of the analysis and the share of its mean square that is used.
type Share struct {
	Of   Line
	Part float64
}

// Test is the result of an F test. Made is false if the data do not allow one.
type Test struct {
	F, DF1, DF2 float64
	P           float64 // probability that chance alone gives an F this large; 1 without a test
	Made        bool
}

// FTest compares the mean square of a line with the sum of the shares by an F test,
// with Satterthwaite's degrees of freedom (1946, Biometrics Bull. 2:110).
func FTest(l Line, against ...Share) Test {
	sum, bottom := 0.0, 0.0
	for _, s := range against {
		m := s.Part * s.Of.MS()
		sum += m
		if s.Of.DF > 0 {
			bottom += m * m / s.Of.DF
		}
	}
	if !(sum > 0) || !(bottom > 0) || l.DF <= 0 {
		return Test{P: 1}
	}
	t := Test{F: math.Max(0, l.MS()/sum), DF1: l.DF, DF2: sum * sum / bottom, Made: true}
	t.P = distuv.F{D1: t.DF1, D2: t.DF2}.Survival(t.F)
	return t
}

// tests makes the F tests of cooks and of eaters against the residual, each corrected
// for the other (type III).
func (t *table) tests() (cooks, eaters Test) {
	n, present := len(t.eaterN), 0
	s := newSystem(n)
	cookSS := 0.0
	for j := range n {
		s.a[j*n+j] = float64(t.eaterN[j])
		s.b[j] = t.eaterSum[j]
	}
	for i, cells := range t.byCook {
		if t.cookN[i] == 0 {
			continue
		}
		present++
		d := float64(t.cookN[i])
		cookSS += t.cookSum[i] * t.cookSum[i] / d
		for _, p := range cells {
			s.b[p.other] -= p.n * t.cookSum[i] / d
			for _, q := range cells {
				s.a[p.other*n+q.other] -= p.n * q.n / d
			}
		}
	}
	s.invert()
	eaterSS, eating := 0.0, 0
	for j := range n {
		if t.eaterN[j] > 0 {
			eating++
			eaterSS += t.eaterSum[j] * t.eaterSum[j] / float64(t.eaterN[j])
		}
	}
	both := cookSS + s.explained
	rest := Line{t.squares - both, float64(t.rows - present - s.rank)}
	if rest.SS < 1e-9*t.squares {
		return Test{P: 1}, Test{P: 1}
	}
	groups := eating - s.rank // each group of cooks and eaters loses one degree
	cooks = FTest(Line{both - eaterSS, float64(present - groups)}, Share{rest, 1})
	eaters = FTest(Line{both - cookSS, float64(s.rank)}, Share{rest, 1})
	return cooks, eaters
}

// system is a symmetric positive semidefinite system a·x = b.
type system struct {
	w         int
	a, b      []float64
	rank      int
	logDet    float64 // log determinant of the solvable part of a
	explained float64 // b'x
}

func newSystem(w int) *system { return &system{w: w, a: make([]float64, w*w), b: make([]float64, w)} }

// add adds v to both places of an off-diagonal pair.
func (s *system) add(i, j int, v float64) {
	s.a[i*s.w+j] += v
	s.a[j*s.w+i] += v
}

// invert solves the system by Gauss–Jordan elimination in place: b becomes x, and the
// inverse is returned. Rows that depend on earlier ones become zero.
func (s *system) invert() []float64 {
	w := s.w
	whole := make([]float64, w)
	for k := range w {
		whole[k] = s.a[k*w+k]
	}
	inverse := make([]float64, w*w)
	for k := range w {
		inverse[k*w+k] = 1
	}
	skipped := make([]bool, w)
	b := append([]float64(nil), s.b...)
	for k := range w {
		d := s.a[k*w+k]
		if !(d > 1e-9*math.Max(whole[k], 1e-9)) {
			skipped[k] = true
			continue
		}
		s.rank++
		s.logDet += math.Log(d)
		for j := range w {
			s.a[k*w+j] /= d
			inverse[k*w+j] /= d
		}
		s.b[k] /= d
		for i := range w {
			f := s.a[i*w+k]
			if i == k || f == 0 {
				continue
			}
			for j := range w {
				s.a[i*w+j] -= f * s.a[k*w+j]
				inverse[i*w+j] -= f * inverse[k*w+j]
			}
			s.b[i] -= f * s.b[k]
		}
	}
	for k, skip := range skipped {
		if skip {
			s.b[k] = 0
		}
		s.explained += b[k] * s.b[k]
	}
	return inverse
}
