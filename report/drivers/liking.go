package drivers

import "ashbook/report/numeric/bayes"

// Priors of a score (points) and of a yield (share of the weight that comes off): mean and
// standard deviation of the person's level, and standard deviation of one cook. All chosen.
var (
	levelOfScore, scatterOfScore = bayes.Prior{Mean: 6.5, SD: 1.5}, .7
	levelOfYield, scatterOfYield = bayes.Prior{Mean: .6, SD: .15}, .05
)

const (
	// include is the prior probability that a thing has an effect: of a dozen that
	// people write down, few do.
	include = .3
	// usualSize is the prior standard deviation of an effect over the usual range of its
	// cause, as a multiple of Target.worth.
	usualSize = 2.0
	// likingWorth is how many cooks the prior of the scatter counts for.
	likingWorth = 3.0
)

// liking returns the regression of a score or yield on all causes. The priors limit effects
// to the size that people report of any, so that a few cooks cannot exceed it.
func (d *design) liking(t Target, a answers) bayes.Problem {
	p := bayes.Problem{Y: a.y, Weights: a.weights, Constant: levelOfScore, Noise: scatterOfScore, NoiseRows: likingWorth}
	if t == Yield {
		p.Constant, p.Noise = levelOfYield, scatterOfYield
	}
	p.Columns, p.Priors = d.centred(len(a.y)), make([]bayes.Prior, len(d.columns))
	for _, f := range d.fields {
		term := bayes.Term{Include: include}
		for _, v := range f.values {
			p.Priors[v.at] = bayes.Prior{SD: usualSize * t.worth() / v.spread}
			term.Columns = append(term.Columns, v.at)
		}
		p.Terms = append(p.Terms, term)
	}
	return p
}
