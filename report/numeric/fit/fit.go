// Package fit estimates the parameters of a model from readings. It finds the most
// probable parameters under a normal prior by Gauss–Newton steps, approximates the
// uncertainty around them by a normal distribution (Laplace), and draws random
// parameters from that.
//
// Parameters are in units of their prior standard deviation, so every prior is a normal
// distribution with mean 0 and standard deviation 1.
//
// Note: tempered sequential Monte Carlo and ensemble smoothing were tried; they were as
// accurate and took three to five times as long.
package fit

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// Noise is the covariance of reading errors, which may be correlated. It converts
// residuals into independent ones.
type Noise struct {
	root blas64.Triangular // lower Cholesky factor of the covariance; N 0: no readings
}

// AR1 returns the noise of readings at the given hours. It has two parts, both in the
// unit of the readings: one with the standard deviation scale[i], whose correlation
// between two readings fades with the time constant memory, h, and an independent one
// with the standard deviation white. Hours may be in any order.
func AR1(hours, scale []float64, memory, white float64) (*Noise, error) {
	if len(hours) != len(scale) {
		return nil, errors.New("reading error: as many scales as hours expected")
	}
	n := len(hours)
	c := make([]float64, n*n)
	for i := range n {
		for j := range i + 1 {
			c[i*n+j] = scale[i] * scale[j] * math.Exp(-math.Abs(hours[i]-hours[j])/memory)
		}
		c[i*n+i] += white * white
	}
	root, ok := cholesky(c, n)
	if !ok {
		return nil, errors.New("reading error: the covariance is not positive; expected white above 0")
	}
	return &Noise{root}, nil
}

// Whiten turns residuals, in place, into independent ones of variance 1.
func (e *Noise) Whiten(r []float64) {
	if e.root.N > 0 {
		blas64.Trsv(blas.NoTrans, e.root, vector(r))
	}
}

// cholesky replaces the lower triangle of the n×n matrix a by its factor. ok is false
// if a is not positive definite.
func cholesky(a []float64, n int) (root blas64.Triangular, ok bool) {
	if n == 0 {
		return root, true
	}
	return lapack64.Potrf(blas64.Symmetric{N: n, Stride: n, Data: a, Uplo: blas.Lower})
}

func vector(v []float64) blas64.Vector { return blas64.Vector{N: len(v), Inc: 1, Data: v} }

// Problem is a model and its readings.
type Problem struct {
	Parameters int
	Readings   int
	// Residuals fills out, one value for each reading, with the model's value at z
	// minus the reading. A value that is not a number counts as a very bad fit.
	Residuals func(z, out []float64)
	Noise     *Noise
	// Steps is the largest number of Gauss–Newton steps; 0 means 6.
	Steps int
}

// Posterior is the distribution of the parameters after the fit: a normal distribution.
type Posterior struct {
	Mean   []float64         // most probable point
	Misfit float64           // ½·(sum of squares of the whitened residuals + |z|²) at Mean
	Steps  int               // Gauss–Newton steps taken
	root   blas64.Triangular // lower Cholesky factor of the precision
}

// reach is how far a parameter may move from its prior mean, in prior standard
// deviations (chosen: further away the prior must be wrong).
const reach = 4.0

// Laplace fits the problem. If the model returns no numbers, the result is the prior.
func Laplace(p Problem) Posterior {
	d, n := p.Parameters, p.Readings
	steps := p.Steps
	if steps == 0 {
		steps = 6
	}
	z, trial := make([]float64, d), make([]float64, d)
	r, next, jacobian := make([]float64, n), make([]float64, n), make([]float64, n*d)
	a, g := make([]float64, d*d), make([]float64, d)

	misfit := p.evaluate(z, r)
	post := Posterior{Mean: z, Misfit: misfit}
	if math.IsInf(misfit, 1) {
		post.root = identity(d)
		return post
	}
	for k := range steps {
		p.differentiate(z, r, next, jacobian)
		normal(a, g, jacobian, r, z)
		copy(trial, g)
		root, ok := cholesky(a, d)
		if !ok {
			break
		}
		blas64.Trsv(blas.NoTrans, root, vector(trial))
		blas64.Trsv(blas.Trans, root, vector(trial))
		// Halve the step until the misfit falls.
		improved := math.Inf(1)
		scale := 1.0
		for range 5 {
			for i := range trial {
				g[i] = math.Max(-reach, math.Min(reach, z[i]-scale*trial[i]))
			}
			improved = p.evaluate(g, next)
			if improved < misfit {
				break
			}
			scale /= 2
		}
		if !(improved < misfit) {
			break
		}
		gain := misfit - improved
		copy(z, g)
		copy(r, next)
		misfit, post.Steps = improved, k+1
		if gain < .02 {
			break
		}
	}
	p.differentiate(z, r, next, jacobian)
	normal(a, g, jacobian, r, z)
	post.Misfit = misfit
	root, ok := cholesky(a, d)
	if !ok {
		root = identity(d)
	}
	post.root = root
	return post
}

func (p Problem) evaluate(z, r []float64) float64 {
	p.Residuals(z, r)
	p.Noise.Whiten(r)
	sum := 0.0
	for _, v := range z {
		sum += v * v
	}
	for _, v := range r {
		sum += v * v
	}
	if math.IsNaN(sum) {
		return math.Inf(1)
	}
	return sum / 2
}

// differentiate fills the n×d Jacobian of the whitened residuals by forward differences
// of a tenth of a prior standard deviation. With smaller differences, the time steps of
// the simulation would distort the result.
func (p Problem) differentiate(z, r, next, jacobian []float64) {
	const h = .1
	d := p.Parameters
	for i := range d {
		was := z[i]
		z[i] += h
		bad := math.IsInf(p.evaluate(z, next), 1)
		z[i] = was
		for j := range r {
			if bad {
				jacobian[j*d+i] = 0
			} else {
				jacobian[j*d+i] = (next[j] - r[j]) / h
			}
		}
	}
}

// normal fills a with JᵀJ + I and g with Jᵀr + z.
func normal(a, g, jacobian, r, z []float64) {
	d := len(z)
	for i := range d {
		for k := range i + 1 {
			sum := 0.0
			for j := range r {
				sum += jacobian[j*d+i] * jacobian[j*d+k]
			}
			a[i*d+k] = sum
		}
		a[i*d+i]++
		g[i] = z[i]
		for j := range r {
			g[i] += jacobian[j*d+i] * r[j]
		}
	}
}

func identity(d int) blas64.Triangular {
	a := make([]float64, d*d)
	for i := range d {
		a[i*d+i] = 1
	}
	return blas64.Triangular{N: d, Stride: d, Data: a, Uplo: blas.Lower, Diag: blas.NonUnit}
}

// Draw turns standard normal random numbers into parameters drawn from the posterior,
// and stores them in out; both slices have one entry for each parameter.
func (p Posterior) Draw(normals, out []float64) {
	copy(out, normals)
	blas64.Trsv(blas.Trans, p.root, vector(out))
	for i := range out {
		out[i] = math.Max(-reach, math.Min(reach, p.Mean[i]+out[i]))
	}
}
