package model

import (
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// Thinning of core readings (chosen): a middle value every quarter of an hour
// keeps all a slow curve can say, and so many of them that a fit stays quick.
const (
	thinTo   = .25 // h
	mostUsed = 72  // of a piece, twice as many of a cook
)

// A core cannot move faster than this without the probe having been moved
// (chosen: the steepest real rise, near the surface early on, is half of it).
const (
	jumpRate = 60.0 // K/h
	jumpBase = 8.0  // K
	dipDepth = 8.0  // K below the last: the probe was out or moved
	longGap  = 3.0  // h, after which a core may have fallen by itself
)

// clean keeps the readings of a piece between on and until that can be its
// core, thinned.
func (j *State) clean(p *Piece, all []journal.Reading, on, until time.Time) {
	var bin []float64
	var kept []Reading
	var from, sum float64 // h: where the bin began, sum of its times
	flush := func() {
		if n := len(bin); n > 0 {
			slices.Sort(bin)
			kept = append(kept, Reading{sum / float64(n), bin[n/2]})
			bin, sum = bin[:0], 0
		}
	}
	strange, early := 0, 0
	for _, r := range all {
		switch {
		case r.Time.After(until):
			continue
		case !Believable(r.C):
			strange++
			continue
		case r.Time.Before(on):
			early++
			continue
		}
		h := r.Time.Sub(on).Hours()
		if len(bin) == 0 || h >= from+thinTo || !r.Probe {
			flush()
			from = h
		}
		bin, sum = append(bin, r.C), sum+h
	}
	flush()
	if strange > 0 {
		j.note("%s outside %s to %s left out: °F written as °C, or a probe out of the meat?", measure.Count(strange, "core reading"), j.Temp(coldestCore), j.Temp(hottestCore))
	}
	if early > 0 && len(kept) == 0 {
		j.note("all core readings are from before it went on")
	}
	p.Readings = j.unbroken(p, kept)
	n := len(p.Readings)
	if most := max(12, min(mostUsed, 2*mostUsed/max(1, len(j.Cook.Pieces)))); n > most {
		step := float64(n-1) / float64(most-1)
		thin := make([]Reading, 0, most)
		for i := range most {
			thin = append(thin, p.Readings[int(math.Round(float64(i)*step))])
		}
		p.Readings = thin
	}
}

// unbroken leaves out readings of a probe that was out of the meat, and, where
// a probe was moved for good, all before that.
func (j *State) unbroken(p *Piece, r []Reading) []Reading {
	var out []Reading
	for i, x := range r {
		if len(out) > 0 {
			last := out[len(out)-1]
			fell := last.C-x.C > dipDepth && x.H-last.H < longGap
			rose := x.C-last.C > jumpBase+jumpRate*(x.H-last.H)
			switch {
			case !fell && !rose:
			case i == len(r)-1 || comesBack(r[i:], last.C):
				j.note("%s jumps from %s to %s: taken for a probe out of the meat", p.coreWords(), j.Temp(last.C), j.Temp(x.C))
				continue
			default:
				j.note("%s jumps from %s to %s: the probe seems to have been moved; earlier readings left out", p.coreWords(), j.Temp(last.C), j.Temp(x.C))
				out = out[:0]
			}
		}
		out = append(out, x)
	}
	return out
}

// comesBack reports whether readings that began with a jump away from a core
// jump back to it, or past it, within an hour and a half.
func comesBack(r []Reading, core float64) bool {
	for k := 1; k < len(r) && r[k].H < r[0].H+1.5; k++ {
		step := math.Abs(r[k].C-r[k-1].C) > dipDepth/2+25*(r[k].H-r[k-1].H)
		if step && math.Abs(r[k].C-core) < dipDepth+25*(r[k].H-r[0].H) {
			return true
		}
	}
	return false
}

// Believable reports whether a temperature can be that of meat, °C.
func Believable(celsius float64) bool {
	return celsius >= coldestCore && celsius <= hottestCore
}
