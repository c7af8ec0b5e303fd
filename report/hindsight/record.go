package hindsight

import (
	"context"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast"
)

// Quarters are the moments of Record, as shares of the course.
var Quarters = [...]float64{0, .25, .5, .75}

// Came is where in the range of its forecast a cook came off.
type Came struct {
	Left        float64 // h to go, in truth
	Lo, Mid, Hi float64 // h to go, as forecast
}

// Record replays the cooks that are wanted at Quarters, each with only those known that
// were over when it went on: for each of Quarters how its forecast did. It is Replay
// without the rules and the looks. When ctx ends it returns the error of ctx.
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

// asked is the moment of which a forecast is asked, h after going on: at once, a cook is
// only planned.
func asked(on time.Time, elapsed float64) time.Time {
	if elapsed == 0 {
		return time.Time{}
	}
	return on.Add(time.Duration(elapsed * float64(time.Hour)))
}
