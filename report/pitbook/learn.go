package pitbook

import (
	"fmt"
	"math"

	"ashbook/journal/measure"
)

// settle learns how long the fire takes to settle. If enough cooks noted or read that
// time, only those count. For the others it is only known that the pit had settled when
// the meat went on.
func (b *Book) settle(own []Cook, s starts) {
	const enough = 3
	var noted, waited []float64
	for _, c := range own {
		if c.SettledRead {
			c.Settled.addTo(&noted)
		} else {
			c.Settled.addTo(&waited)
		}
	}
	spread := settleSpread.at(s.settle)
	switch {
	case len(noted) >= enough || len(waited) == 0:
		b.Settle = b.figure(spread, noted, measure.Count(len(noted), "cook")+", noted or read")
	case len(noted) == 0:
		b.Settle = b.figure(spread, waited, measure.Count(len(waited), "cook")+", lit to on: at most that")
	default:
		all := append(append([]float64{}, noted...), waited...)
		b.Settle = b.figure(spread, all, fmt.Sprintf("%s noted or read, %d lit to on: at most that", measure.Count(len(noted), "cook"), len(waited)))
	}
}

// lids learns the effect of opening the lid.
func (b *Book) lids(own []Cook, s starts) {
	var dips, backs []float64
	cooks, never := 0, 0
	for _, c := range own {
		if len(c.Lids) > 0 {
			cooks++
		}
		for i, dip := range c.Lids {
			dips = append(dips, math.Max(dip, 1))
			switch back := c.Back[i]; {
			case back == notSeen:
				never++
			case dip > backWithin:
				backs = append(backs, math.Max(back, 1))
			}
		}
	}
	in := " in " + measure.Count(cooks, "cook")
	b.Dip = b.figure(dipSpread.at(s.dip), dips, measure.Count(len(dips), "lid")+in)
	b.Recovery = b.figure(backSpread.at(s.recover), backs, measure.Count(len(backs), "lid")+in)
	if never > 0 {
		was := map[bool]string{true: "was", false: "were"}[never == 1]
		b.note("%s %s left out of the time to come back: it was not seen within 90 minutes, or before the next act or gap.", measure.Count(never, "lid"), was)
	}
}

// stand learns how steady the settled pit is, how far it is from its aim, and how it
// drifts over the hours.
func (b *Book) stand(own []Cook, s starts) {
	var steady, over, nights, alone, hand []float64
	strange := 0
	for _, c := range own {
		strange += c.Strange
		c.Over.addTo(&over)
		c.Steady.addTo(&steady)
		c.Night.addTo(&nights)
		c.Alone.addTo(&alone)
		c.Hand.addTo(&hand)
	}
	b.Steady = b.figure(steadySpread.at(s.steady), steady, measure.Count(len(steady), "cook")+fmt.Sprintf(", %d readings or more", leastSteady))
	b.Over = b.figure(overSpread, over, measure.Count(len(over), "cook"))
	b.Night = b.figure(nightSpread, nights, measure.Count(len(nights), "cook"))
	b.Alone = b.figure(aloneSpread.at(s.alone), alone, measure.Count(len(alone), "cook")+", 90 min untouched")
	b.Hand = b.figure(handSpread, hand, measure.Count(len(hand), "cook")+" with both")
	if strange > 0 {
		b.note("%s left out: under 20 °C (68 °F) or over 250 °C (482 °F) is no slow pit.", measure.Count(strange, "pit reading"))
	}
	if b.Hand.Own() && b.Pit.Offset.Known && math.Abs(b.Hand.Likely-b.Pit.Offset.Base) < math.Abs(b.Hand.Likely) && math.Abs(b.Pit.Offset.Base) >= 4 {
		b.note("Your hand notes agree with the lid gauge more than with the probe: note what the probe at the grate shows.")
	}
}

// ask lists what to note next time so that more figures can be learned.
func (b *Book) ask(own []Cook) {
	ask := func(missing bool, what string) {
		if missing {
			b.Next = append(b.Next, what)
		}
	}
	setting := b.Pit.Setting
	var lit, air, wind int
	for _, c := range own {
		if c.Lit {
			lit++
		}
		if c.Air.Known {
			air++
		}
		if c.Wind.Known {
			wind++
		}
	}
	const few = 3
	ask(!b.Filed, "a file pits/"+b.Name+".md with its kind, so that the starting values fit it")
	ask(b.FuelPerHour.N < few, "the fuel loaded, and next day what is left (fuel: kind, loaded, left)")
	ask(lit < few, "lit, when you light it")
	ask(b.Settle.N < few || lit > 0 && !b.settledNoted(own, few), "settled, when it first keeps its aim")
	ask(!b.Cold.Told && air < leastWeather || !b.Wind.Told && wind < leastWeather, "the air and the wind (weather: air, wind)")
	if setting {
		ask(true, "a probe at the grate: so far you note the setting, which does not show how the pit behaves")
	} else {
		ask(b.Steady.N < few, "the pit, at every look")
	}
	ask(b.Recovery.N < few, "lid, whenever you open it, with a probe series running")
	ask(!b.Pit.Offset.Known, "offset in pits/"+b.Name+".md: how much more the lid gauge shows than a probe at the grate")
}

// settledNoted reports whether at least so many cooks have a noted or read time at
// which the pit settled.
func (b *Book) settledNoted(own []Cook, enough int) bool {
	n := 0
	for _, c := range own {
		if c.SettledRead {
			n++
		}
	}
	return n >= enough
}
