package forecast

import (
	"math"

	"ashbook/report/forecast/model"
)

// Pace of a core (chosen): between its last two readings, held towards the usual
// rise of the last hours by half an hour of it, so that a standing core gives no
// endless time.
const (
	paceTrust = .5  // h
	usualRise = 2.5 // K/h
)

// pace is how long the slowest piece takes if its core goes on as it last did,
// h; 0 when some piece still on has no two readings.
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
