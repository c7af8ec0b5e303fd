package regress

import "math"

// double is a number with about 32 decimal digits, stored as a sum of two float64: hi
// is the rounded sum, lo the rounding error. Dekker (1971), Numer. Math. 18:224;
// products by fused multiply-add.
type double struct{ hi, lo float64 }

func exactly(x float64) double { return double{hi: x} }

// twoSum returns a+b with its rounding error (Knuth).
func twoSum(a, b float64) double {
	s := a + b
	t := s - a
	return double{s, (a - (s - t)) + (b - t)}
}

func (a double) plus(b double) double {
	s, t := twoSum(a.hi, b.hi), twoSum(a.lo, b.lo)
	s = twoSum(s.hi, s.lo+t.hi)
	return twoSum(s.hi, s.lo+t.lo)
}

func (a double) minus(b double) double { return a.plus(double{-b.hi, -b.lo}) }

func (a double) times(b double) double {
	p := float64(a.hi * b.hi)
	return twoSum(p, math.FMA(a.hi, b.hi, -p)+(a.hi*b.lo+a.lo*b.hi))
}

// over returns a/b by long division; b must not be zero.
func (a double) over(b double) double {
	q := a.hi / b.hi
	r := a.minus(b.times(exactly(q)))
	p := r.hi / b.hi
	r = r.minus(b.times(exactly(p)))
	return twoSum(q, p).plus(exactly(r.hi / b.hi))
}

// root returns the square root of a ≥ 0, one Newton step from that of hi.
func (a double) root() double {
	if a.hi <= 0 {
		return double{}
	}
	r := exactly(math.Sqrt(a.hi))
	return r.plus(a.minus(r.times(r)).over(r.plus(r)))
}

// rounded returns the nearest float64.
func (a double) rounded() float64 { return a.hi + a.lo }
