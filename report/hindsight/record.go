package hindsight

import (
	"context"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast"
)

// Quarters are the shares of a cook at which Record replays it.
var Quarters = [...]float64{0, .25, .5, .75}

// Came compares a forecast with the time at which the meat really came off.
type Came struct {
	Left        float64 // actual time to go, h
	Lo, Mid, Hi float64 // forecast: 10th, 50th and 90th percentile, h
}

// Record replays the cooks for which want is true at Quarters, each with only the cooks
// that were off when it went on, without rules and looks. It fails when ctx ends.
func Record(ctx context.Context, x *forecast.Experience, want func(*journal.Cook) bool, progress func(done, of int)) ([][len(Quarters)]Came, error) {
	cooks, ends := finished(x)
	var wanted []int
	for i := range cooks {
		if want(&cooks[i]) {
			wanted = append(wanted, i)
		}
	}
	out := make([][len(Quarters)]Came, len(wanted))
	err := forecast.Each(ctx, len(wanted), progress, func(n int) error {
		c := &cooks[wanted[n]]
		use := x.Latest(knownTo(forecast.Earlier, c, ends))
		var err error
		out[n], err = forecast.Kept(x, "record", wanted[n], use, func() (came [len(Quarters)]Came, err error) {
			know, err := x.Where(ctx, use)
			if err != nil {
				return came, err
			}
			on, _ := c.OnAt()
			took, _ := c.Took()
			for k, share := range Quarters {
				elapsed := share * took.Hours()
				togo := know.Hours(c, asked(on, elapsed)).ToGo
				came[k] = Came{took.Hours() - elapsed, togo.Lo, togo.Mid, togo.Hi}
			}
			return came, ctx.Err()
		})
		return err
	})
	return out, err
}

// asked returns the time of a forecast, elapsed hours after going on; the zero time, for a
// plan, if elapsed is 0.
func asked(on time.Time, elapsed float64) time.Time {
	if elapsed == 0 {
		return time.Time{}
	}
	return on.Add(time.Duration(elapsed * float64(time.Hour)))
}
