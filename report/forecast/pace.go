package forecast

import (
	"math"

	"ashbook/report/forecast/model"
)

// Constants of pace (chosen). The rate between the last two readings is averaged with
// half an hour at the usual rate of the last hours of a cook, so that a core that does
// not rise still gives a finite time.
const (
	paceTrust = .5  // h
	usualRise = 2.5 // K/h
)

// pace returns the time to go if every core goes on rising as between its last two
// readings, h; 0 if a piece still on has fewer than two.
func pace(j *model.State) float64 {
	worst := 0.0
	for i := range j.Pieces {
		p := &j.Pieces[i]
		last, ok := p.Last()
		if !ok || p.Done {
			continue
		}
		k := len(p.Readings) - 2
		if k < 0 {
			return 0
		}
		before := p.Readings[k]
		rate := (math.Max(0, last.C-before.C) + usualRise*paceTrust) / (last.H - before.H + paceTrust)
		way, _ := p.Way()
		worst = math.Max(worst, math.Max(0, way)/rate-math.Max(0, j.Elapsed-p.Start-last.H))
	}
	return worst
}
