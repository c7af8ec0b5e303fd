package drivers

import "ashbook/report/numeric/bayes"

// Of a score, or of the share of the weight that comes off, nothing is known
// beforehand but what size things are. In the unit of the answer (all chosen):
// the middle and spread of a person's level, and the scatter of one cook, worth
// so many cooks.
var (
	levelOfScore, scatterOfScore = bayes.Prior{Mean: 6.5, SD: 1.5}, .7
	levelOfYield, scatterOfYield = bayes.Prior{Mean: .6, SD: .15}, .05
)

const (
	// include is the probability that a thing matters before any cook is seen: of
	// a dozen things people write down, few do.
	include = .3
	// usualSize is how large an effect is that there is, over what most cooks
	// differ by, as a standard deviation in what is worth knowing.
	usualSize = 2.0
	// likingWorth is how many cooks the scatter beforehand counts for.
	likingWorth = 3.0
)

// liking is a score or the yield on all causes. No effect is larger beforehand
// than people tell of any, so that a few cooks cannot make it so.
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
