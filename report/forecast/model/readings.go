package model

import (
	"math"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// Thinning of core readings (chosen): one every quarter of an hour describes a slow curve,
// and a fit with so few is fast.
const (
	thinTo   = .25 // h
	mostUsed = 72  // most readings of one piece; all pieces together have at most twice as many
)

// A core that changes faster than this means that the probe was moved (chosen: twice the
// steepest real rise, near the surface early on).
const (
	jumpRate = 60.0 // K/h
	jumpBase = 8.0  // K
	dipDepth = 8.0  // K below the last reading: the probe was out or moved
	longGap  = 3.0  // h, after which a core may really have fallen
)

// clean sets the readings of a piece between on and until: those that can be its core
// temperature, thinned out.
func (j *State) clean(p *Piece, all []journal.Reading, on, until time.Time) {
	var bin []float64
	var kept []Reading
	var from, sum float64 // h: start of the bin, sum of its times
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
		j.note("%s outside %s to %s ignored: °F written as °C, or a probe out of the meat?", measure.Count(strange, "core reading"), j.Temp(coldestCore), j.Temp(hottestCore))
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

// unbroken drops readings of a probe that was out of the meat, and all readings before a
// probe was moved for good.
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
				j.note("%s jumps from %s to %s: ignored, the probe was probably out of the meat", p.coreWords(), j.Temp(last.C), j.Temp(x.C))
				continue
			default:
				j.note("%s jumps from %s to %s: the probe seems to have been moved; earlier readings are ignored", p.coreWords(), j.Temp(last.C), j.Temp(x.C))
				out = out[:0]
			}
		}
		out = append(out, x)
	}
	return out
}

// comesBack reports whether readings that begin with a jump are back at core, or beyond
// it, within 90 min.
func comesBack(r []Reading, core float64) bool {
	for k := 1; k < len(r) && r[k].H < r[0].H+1.5; k++ {
		step := math.Abs(r[k].C-r[k-1].C) > dipDepth/2+25*(r[k].H-r[k-1].H)
		if step && math.Abs(r[k].C-core) < dipDepth+25*(r[k].H-r[0].H) {
			return true
		}
	}
	return false
}

// Believable reports whether a temperature can be that of meat.
func Believable(celsius float64) bool {
	return celsius >= coldestCore && celsius <= hottestCore
}
