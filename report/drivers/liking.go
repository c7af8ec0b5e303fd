package drivers

import "ashbook/report/numeric/bayes"

// What is assumed before any cook is seen, for a score (points) and for a yield (share
// of the weight that is left when it comes off): the mean and standard deviation of the
// person's level, and the standard deviation of one cook. All chosen.
var (
	levelOfScore, scatterOfScore = bayes.Prior{Mean: 6.5, SD: 1.5}, .7
	levelOfYield, scatterOfYield = bayes.Prior{Mean: .6, SD: .15}, .05
)

const (
	// include is the prior probability that a thing has an effect: of a dozen that
	// people write down, few do.
	include = .3
	// usualSize is the standard deviation assumed for an effect over the usual range of
	// its cause, as a multiple of Target.worth.
	usualSize = 2.0
	// likingWorth is the weight of the assumed scatter between cooks, counted in cooks.
	likingWorth = 3.0
)

// liking returns the regression of a score or yield on all causes. The priors keep
// effects as small as those that people report, so that chance in a few cooks cannot
// make a large effect.
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
