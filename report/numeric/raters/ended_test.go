package raters

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The mean of a unit normal above z is the density over the tail. At 0 it is
// sqrt(2/pi); at 1 and 2 the densities .24197 and .05399 over the tails .15866 and
// .02275 of any table of the normal; far out, z + 1/z (Mills 1926, from memory).
func TestMeanBeyond(t *testing.T) {
	near(t, "at 0", meanBeyond(0), math.Sqrt(2/math.Pi), 1e-12)
	near(t, "at 1", meanBeyond(1), .24197/.15866, 1e-4)
	near(t, "at 2", meanBeyond(2), .05399/.02275, 1e-3)
	near(t, "no cut", meanBeyond(-9), 0, 1e-9)
	near(t, "far out", meanBeyond(30), 30+1./30, 1e-3)
	near(t, "where the two forms meet", meanBeyond(25+1e-9), meanBeyond(25), 1e-5)
}

// Two cooks are two points apart, both near the top of the scale, so the scores given
// are nearer to each other than the cooks are. The correction for the ends of the scale
// restores at least half of the difference that the scale hid, and never more than all
// of it.
func TestEndsOfTheScale(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 11))
	apart := func(res Result) (sum float64) {
		for i, c := range res.Cooks {
			sum += c.Adjusted * float64(2*(i%2)-1) / float64(len(res.Cooks)/2)
		}
		return sum
	}
	var scores, inside []Score
	const cooks, eaters = 60, 4
	for i := range cooks {
		for j := range eaters {
			v := math.Round(7.2 + 2*float64(i%2) + .5*float64(j-1) + .8*r.NormFloat64())
			scores = append(scores, Score{i, j, math.Min(9, v)})
			inside = append(inside, Score{i, j, v - 4})
		}
	}
	as, err := Fit(scores, cooks, eaters)
	if err != nil {
		t.Fatal(err)
	}
	ended, err := FitEnded(scores, cooks, eaters, 1, 9)
	if err != nil {
		t.Fatal(err)
	}
	if given, meant := apart(as), apart(ended); given > 1.6 || meant < (given+2)/2 || meant > 2.2 {
		t.Errorf("as given %.2f apart, with the ends allowed for %.2f: 2 expected", given, meant)
	}
	// Where no score is at an end nothing changes.
	plain, err := Fit(inside, cooks, eaters)
	if err != nil {
		t.Fatal(err)
	}
	same, err := FitEnded(inside, cooks, eaters, -9, 19)
	if err != nil || apart(same) != apart(plain) {
		t.Errorf("no score at an end: %v, want %v (%v)", apart(same), apart(plain), err)
	}
	if _, err := FitEnded(nil, 0, 0, 1, 9); err == nil {
		t.Error("no scores are taken")
	}
	all := []Score{{0, 0, 9}, {0, 1, 9}, {1, 0, 9}, {1, 1, 9}}
	if top, err := FitEnded(all, 2, 2, 1, 9); err != nil || math.IsNaN(top.Mean) || top.Mean < 9 || top.Mean > 11 {
		t.Errorf("all at the top: %+v, %v", top, err)
	}
}
