package bma

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// student is the distribution function of Student's t by a table, since an
// interval over thousands of models asks for it millions of times.
type student struct {
	free  float64
	table []float64 // over x/√(free+x²), which runs from −1 to 1
}

const (
	tablePoints = 2048
	asNormal    = 1000.0 // degrees of freedom from which the normal stands in
)

func newStudent(free float64) *student {
	s := &student{free: free}
	if free >= asNormal {
		return s
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: free}
	s.table = make([]float64, tablePoints+1)
	for i := range s.table {
		u := 2*float64(i)/tablePoints - 1
		switch i {
		case 0:
		case tablePoints:
			s.table[i] = 1
		default:
			s.table[i] = t.CDF(u * math.Sqrt(free/(1-u*u)))
		}
	}
	return s
}

// below is the probability of a value under x.
func (s *student) below(x float64) float64 {
	if s.table == nil {
		return .5 * math.Erfc(-x/math.Sqrt2)
	}
	at := (x/math.Sqrt(s.free+x*x) + 1) / 2 * tablePoints
	i := min(int(at), tablePoints-1)
	return s.table[i] + (at-float64(i))*(s.table[i+1]-s.table[i])
}

// part is one distribution of a mixture.
type part struct {
	weight, middle, scale float64
	of                    *student
}

// quantile is the value under which the share q of a mixture lies; the weights
// sum to total.
func quantile(parts []part, total, q float64) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range parts {
		lo, hi = math.Min(lo, p.middle-2*p.scale), math.Max(hi, p.middle+2*p.scale)
	}
	below := func(x float64) float64 {
		sum := 0.0
		for _, p := range parts {
			switch {
			case p.scale > 0:
				sum += p.weight * p.of.below((x-p.middle)/p.scale)
			case p.middle < x:
				sum += p.weight
			}
		}
		return sum / total
	}
	for width := hi - lo; width > 0 && below(lo) > q && !math.IsInf(lo, 0); width *= 2 {
		lo -= width
	}
	for width := hi - lo; width > 0 && below(hi) < q && !math.IsInf(hi, 0); width *= 2 {
		hi += width
	}
	for range 40 {
		if hi-lo <= 1e-7*(math.Abs(lo)+math.Abs(hi)) {
			break
		}
		if mid := lo + (hi-lo)/2; below(mid) < q {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo + (hi-lo)/2
}
