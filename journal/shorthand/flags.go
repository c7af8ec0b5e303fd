package shorthand

import (
	"fmt"
	"math"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// longAgo is how far back a line may be dated without a flag.
const longAgo = 24 * time.Hour

// Bounds of what is flagged, K and °C (chosen). A slip is offered as the
// reason when it explains the reading at least slipBetter times as well.
const (
	slipFrom   = 15.0             // off the last reading by this much before a slip is looked for
	slipBetter = 3.0              // by how much
	jumpBy     = 30.0             // a core does not move so far
	jumpIn     = 30 * time.Minute // in so short a time
	coreLow    = -30.0            // the coldest freezer
	coreHigh   = 105.0            // meat holds water, which boils; five for the probe
	pitLow     = -30.0            // a winter night, not lit
	pitHigh    = 350.0            // a pit burning out
)

// oddities looks at the whole line and says what is odd about it.
func (p *parser) oddities() []string {
	flags := p.oddTime()
	if swapped := p.swapped(); swapped != "" {
		return append(flags, swapped)
	}
	for _, it := range p.items {
		odd := ""
		switch it.Act {
		case journal.ReadPit:
			last, read := p.lastPit()
			odd = p.oddReading(it, last, read, pitLow, pitHigh)
		case journal.ReadCore:
			last, read := p.lastCore(p.pieceIndex(it.Piece))
			odd = p.oddReading(it, last, read, coreLow, coreHigh)
			if odd == "" && read && math.Abs(it.Temp.Base-last.C) > jumpBy && p.when.Sub(last.Time) < jumpIn {
				odd = fmt.Sprintf("%s, %d min after %s", p.name(it), int(p.when.Sub(last.Time).Minutes()), p.show(last.C))
			}
		case journal.Feel:
			if on := p.piecesOn(); it.Piece == "" && len(on) > 1 {
				odd = fmt.Sprintf("feel %d without a piece counts for all %d", it.Grade, len(on))
			}
		}
		if odd != "" {
			flags = append(flags, odd)
		}
	}
	return flags
}

func (p *parser) oddTime() []string {
	var flags []string
	at := p.when.Format("15:04")
	now := p.now
	if p.mends {
		now = p.ctx.Now
	}
	switch d := now.Sub(p.when); {
	case d < 0:
		flags = append(flags, fmt.Sprintf("%s is still to come", p.when.Format("2006-01-02 15:04")))
	case d > longAgo && !p.mends:
		flags = append(flags, fmt.Sprintf("%s is over a day ago", p.when.Format("2006-01-02 15:04")))
	}
	first := func(t time.Time) bool { // before every other entry
		c := p.ctx.Cook
		return c != nil && len(c.Entries) > 0 && t.Before(c.Entries[0].Time)
	}
	if c := p.ctx.Cook; first(p.when) && !(p.mends && first(p.now)) {
		flags = append(flags, fmt.Sprintf("%s is before the first entry, %s", at, c.Entries[0].Time.In(p.when.Location()).Format("15:04")))
	}
	return flags
}

// swapped reports a pit below a core where the two fit better crosswise.
func (p *parser) swapped() string {
	var pit, core *typed
	for i := range p.items {
		switch it := &p.items[i]; {
		case it.Act == journal.ReadPit:
			pit = it
		case it.Act == journal.ReadCore && core == nil:
			core = it
		}
	}
	if pit == nil || core == nil || pit.Temp.Base >= core.Temp.Base {
		return ""
	}
	lastPit, pitRead := p.lastPit()
	lastCore, coreRead := p.lastCore(p.pieceIndex(core.Piece))
	if pitRead && coreRead {
		straight := math.Abs(pit.Temp.Base-lastPit.C) + math.Abs(core.Temp.Base-lastCore.C)
		cross := math.Abs(pit.Temp.Base-lastCore.C) + math.Abs(core.Temp.Base-lastPit.C)
		if straight <= cross {
			return ""
		}
	}
	return fmt.Sprintf("%s under %s: pit and core swapped?", p.name(*pit), p.name(*core))
}

// oddReading says why a reading looks wrong beside the last one, or by itself.
func (p *parser) oddReading(it typed, last journal.Reading, read bool, low, high float64) string {
	off := math.Abs(it.Temp.Base - last.C)
	slip, scale := p.slips(it, last.C)
	switch {
	case !read || off <= slipFrom:
	case math.Abs(slip-last.C) <= math.Abs(scale-last.C) && math.Abs(slip-last.C)*slipBetter <= off:
		return fmt.Sprintf("%s, last was %s: swapped digits?", p.name(it), p.show(last.C))
	case math.Abs(scale-last.C)*slipBetter <= off:
		return fmt.Sprintf("%s, last was %s: %s is %s", p.name(it), p.show(last.C), p.otherUnit(it), p.show(scale))
	}
	if it.Temp.Base < low || it.Temp.Base > high {
		return fmt.Sprintf("%s: a %s is not so %s", p.name(it), it.Act.Word(), map[bool]string{true: "cold", false: "hot"}[it.Temp.Base < low])
	}
	return ""
}

// slips returns the reading nearest to last that has two neighbouring digits
// swapped, and the reading in the other scale where none was typed; each is
// infinitely far off where there is none.
func (p *parser) slips(it typed, last float64) (slip, scale float64) {
	slip, scale = math.Inf(1), math.Inf(1)
	num := it.figure()
	for i := 1; i < len(num); i++ {
		if !isDigit(num[i-1]) || !isDigit(num[i]) {
			continue
		}
		b := []byte(num)
		b[i-1], b[i] = b[i], b[i-1]
		if t, err := measure.ParseTemperature(string(b)+" "+it.Temp.Unit.Symbol, p.grammar.Units); err == nil && math.Abs(t.Base-last) < math.Abs(slip-last) {
			slip = t.Base
		}
	}
	if bareNumber(it.from.text) {
		if t, err := measure.ParseTemperature(p.otherUnit(it), p.grammar.Units); err == nil {
			scale = t.Base
		}
	}
	return slip, scale
}

// figure is the number as typed.
func (t typed) figure() string {
	text, _, _ := strings.Cut(t.from.text, " ")
	num, _, _ := token{text: text}.number()
	return num
}

// otherUnit is the number as typed in the scale the journal does not use.
func (p *parser) otherUnit(it typed) string {
	other := measure.US
	if p.grammar.Units == measure.US {
		other = measure.Metric
	}
	return it.figure() + " " + map[measure.System]string{measure.Metric: "°C", measure.US: "°F"}[other]
}

// name is a reading for a flag: "core small 17 °C".
func (p *parser) name(it typed) string {
	words := []string{it.Act.Word()}
	if it.Piece != "" {
		words = append(words, it.Piece)
	}
	return strings.Join(append(words, it.Temp.In(p.grammar.Units)), " ")
}
