package bma

import "math"

// Prior says how a set of columns is judged against the constant alone.
type Prior uint8

// The priors.
const (
	// UnitInformation is Zellner's g-prior with g = rows: the prior knows as much
	// as one row (Kass & Wasserman 1995, JASA 90:928).
	UnitInformation Prior = iota
	// ZellnerSiow mixes g-priors with 1/g from a gamma distribution of shape ½
	// and rate rows/2, which makes the coefficients Cauchy; the mixture is summed
	// numerically (Zellner & Siow 1980; Liang et al. 2008, JASA 103:410).
	ZellnerSiow
	// BIC weighs by exp(−BIC/2), coefficients by least squares (Raftery 1995,
	// Sociol. Methodol. 25:111).
	BIC
)

// perfect is the smallest unexplained share told apart from none.
const perfect = 1e-12

// judge weighs sets of columns for one number of rows.
type judge struct {
	prior Prior
	rows  float64
	nodes []node
}

// node is one value of g in the numerical sum.
type node struct{ g, log1g, logWeight float64 }

// The sum over g runs by the trapezoid rule in ln g, which for a smooth summand
// that dies off at both ends is exact to the last digits at this step; below
// the first node the prior, above the last the likelihood leaves nothing
// (chosen).
const (
	firstLnG, lastLnG, stepLnG = -4.5, 32.0, .5 // from ln rows on
)

func newJudge(p Prior, rows int) judge {
	n := float64(rows)
	j := judge{prior: p, rows: n}
	switch p {
	case UnitInformation:
		j.nodes = []node{{n, math.Log1p(n), 0}}
	case ZellnerSiow:
		for t := firstLnG; t <= lastLnG; t += stepLnG {
			g := n * math.Exp(t)
			// Density √(n/2π)·g^(−3/2)·exp(−n/2g), times dg = g·d ln g.
			logWeight := .5*math.Log(n/(2*math.Pi)) - .5*math.Log(g) - n/(2*g) + math.Log(stepLnG)
			j.nodes = append(j.nodes, node{g, math.Log1p(g), logWeight})
		}
	}
	return j
}

// verdict is what a set of columns comes to.
type verdict struct {
	logBayes float64 // ln of its marginal likelihood over that of the constant alone
	keep     float64 // by how much least-squares coefficients shrink, 0 to 1
	keepSD   float64 // how sure that is
	spread   float64 // squared scale of a coefficient over total sum of squares and its diagonal in (X'X)⁻¹
	noise    float64 // variance of a row about the fit over total sum of squares
	free     float64 // degrees of freedom of its Student distribution
}

// of judges rank columns that leave the share unexplained (0 to 1) of the sum
// of squares.
func (j *judge) of(rank int, unexplained float64) verdict {
	n, p := j.rows, float64(rank)
	u := math.Max(perfect, math.Min(1, unexplained))
	if j.prior == BIC {
		return verdict{logBayes: -.5 * (n*math.Log(u) + p*math.Log(n)), keep: 1, spread: u / (n - 1 - p), noise: u / (n - 1 - p), free: n - 1 - p}
	}
	if rank == 0 {
		return verdict{keep: 1, spread: u / (n - 1), noise: u / (n - 1), free: n - 1}
	}
	most := math.Inf(-1)
	var logs [128]float64
	for k := range j.nodes {
		d := &j.nodes[k]
		logs[k] = d.logWeight + .5*((n-1-p)*d.log1g-(n-1)*math.Log1p(d.g*u))
		most = math.Max(most, logs[k])
	}
	var sum, keep, square, spread float64
	for k := range j.nodes {
		w := math.Exp(logs[k] - most)
		if w < 1e-17 {
			continue
		}
		g := j.nodes[k].g
		q := g / (1 + g)
		sum += w
		keep += w * q
		square += w * q * q
		spread += w * q * (1 - q*(1-u))
	}
	keep /= sum
	return verdict{
		logBayes: most + math.Log(sum), keep: keep, keepSD: math.Sqrt(math.Max(0, square/sum-keep*keep)),
		spread: spread / sum / (n - 1), noise: (1 - keep*(1-u)) / (n - 1), free: n - 1,
	}
}
