package journal

import "testing"

func TestParseScore(t *testing.T) {
	for in, want := range map[string]Score{"8": {8, 0}, "6+": {6, 1}, "7-": {7, -1}, "7−": {7, -1}, " 9 ": {9, 0}, "1": {1, 0}} {
		got, err := ParseScore(in)
		if err != nil || got != want {
			t.Errorf("%q: %+v, %v", in, got, err)
		}
		if again, err := ParseScore(got.String()); err != nil || again != got {
			t.Errorf("%q prints %q, which reads %+v, %v", in, got, again, err)
		}
	}
	for _, bad := range []string{"", "0", "10", "+", "8++", "8.5", "good", "-3"} {
		got, err := ParseScore(bad)
		if want := `score "` + bad + `": expected 1 to 9, with + for too much or - for too little`; err == nil || err.Error() != want || got != (Score{}) {
			t.Errorf("%q: %+v, %v", bad, got, err)
		}
	}
	if got := (Score{}).String(); got != "" {
		t.Errorf("a score not given prints %q", got)
	}
}

func TestMeanScore(t *testing.T) {
	c := &Cook{Tasting: []Taste{
		{Eater: "RT", Scores: [traits]Score{Tenderness: {8, 0}, Salt: {6, 1}}},
		{Eater: "MK", Scores: [traits]Score{Tenderness: {5, -1}}},
		{Eater: "AO", Words: "away"},
	}}
	for tr, want := range map[Trait]struct {
		mean float64
		n    int
	}{Tenderness: {6.5, 2}, Salt: {6, 1}, Smoke: {0, 0}} {
		if mean, n := c.MeanScore(tr); mean != want.mean || n != want.n {
			t.Errorf("%s: %v of %d, want %v of %d", tr, mean, n, want.mean, want.n)
		}
	}
}
