package journal

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"ashbook/journal/measure"
)

// note is a reading noted by hand, with what is known around it.
type note struct {
	entry, item int
	at          time.Time
	temp        measure.Temperature
	act         Act
	piece       string
	sure        bool
	why         string    // why it is doubted; "" if it is believed
	slip        Slip      // the typing slip that explains a doubted reading
	slipped     bool      // this reading is odd, not the one before it
	beside      []float64 // other readings of its line, °C
	around      float64   // for a core: last pit reading before its line, °C; 0 for none
	in          float64   // for a core: pit reading on its line, °C; 0 for none
	tainted     bool      // one reading of its line is impossible
}

// Slip is a typing slip that explains a doubted reading.
type Slip uint8

// The kinds of slip.
const (
	NoSlip        Slip = iota // no known slip explains it
	SwappedDigits             // 17 for 71
	OtherUnit                 // typed in °F instead of °C, or the other way round
	Crossed                   // the number belongs to another reading of the line
	FromPit                   // the number typed as the core is the pit's
	MissingDigit              // 11 for 110
)

// lookForSlip looks for a typing slip that fits the last reading far better than the
// written value: two digits swapped, the other unit, the number of another reading of
// the line, or a digit missing from a pit's three. It returns the doubt in words; ""
// for none.
func (n *note) lookForSlip(last float64, inert bool) string {
	if n.swapped(last, inert) {
		return n.inDigits()
	}
	if t := n.other(); n.fits(t.Base, last, inert) {
		return n.inUnit(t)
	}
	if slices.ContainsFunc(n.beside, func(c float64) bool { return n.fits(c, last, inert) }) {
		n.slip = Crossed
		return "pit and core swapped?"
	}
	for i, num := 0, figure(n.temp); !inert && i <= len(num); i++ {
		for d := '0'; d <= '9'; d++ {
			if c, ok := n.as(num[:i] + string(d) + num[i:]); ok && agree(c, last) {
				n.slip = MissingDigit
				return "a digit missing?"
			}
		}
	}
	return ""
}

// inDigits returns the doubt that two digits are swapped, in words.
func (n *note) inDigits() string {
	n.slip = SwappedDigits
	return "swapped digits?"
}

// swapped reports whether swapping two neighbouring digits explains the reading.
func (n *note) swapped(last float64, inert bool) bool {
	num := figure(n.temp)
	for i := 1; i < len(num); i++ {
		if !isDigit(num[i-1]) || !isDigit(num[i]) {
			continue
		}
		if c, ok := n.as(num[:i-1] + num[i:i+1] + num[i-1:i] + num[i+1:]); ok && n.fits(c, last, inert) {
			return true
		}
	}
	return false
}

// fits reports whether c is far nearer to the last reading than the written value.
func (n *note) fits(c, last float64, inert bool) bool {
	return math.Abs(c-last)*better <= math.Abs(n.temp.Base-last) && !(inert && c < last-Dips)
}

// as returns another number in the reading's unit as °C.
func (n *note) as(num string) (celsius float64, ok bool) {
	t, err := measure.ParseTemperature(num+" "+n.temp.Unit.Symbol, n.temp.Unit.System)
	return t.Base, err == nil
}

// other returns the number as a temperature in the unit that was not typed.
func (n *note) other() measure.Temperature {
	sys := measure.US
	if n.temp.Unit.System == measure.US {
		sys = measure.Metric
	}
	return measure.Degrees(n.temp.Unit.From(n.temp.Base), sys)
}

// inUnit returns the doubt that a reading is in the other unit, in words.
func (n *note) inUnit(t measure.Temperature) string {
	n.slip = OtherUnit
	return fmt.Sprintf("is it %s %s (%s)?", figure(n.temp), t.Unit.Symbol, like(t.Base, n.temp))
}

func (n *note) String() string {
	return strings.TrimSpace(n.act.Word()+" "+n.piece) + " " + like(n.temp.Base, n.temp)
}

// figure formats a temperature as a number, in the unit in which it was typed.
func figure(t measure.Temperature) string {
	return strconv.FormatFloat(math.Round(10*t.Unit.From(t.Base))/10, 'f', -1, 64)
}

// like formats c, in °C, in the unit in which t was typed.
func like(c float64, t measure.Temperature) string {
	return measure.FormatTemperature(c, t.Unit.System)
}

// because returns a doubt in words, "" if there is no reason for it.
func because(n *note, last Reading, reason string) string {
	if reason == "" {
		return ""
	}
	return fmt.Sprintf("%s, last was %s: %s", n, like(last.C, n.temp), reason)
}

// between returns the doubt about a reading that does not fit between the one before it
// and n, in words.
func (n *note) between(lone *note, before Reading) string {
	return fmt.Sprintf("%s, between %s and %s: a slip?", lone, like(before.C, n.temp), like(n.temp.Base, n.temp))
}
