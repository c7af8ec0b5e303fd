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

// note is a reading noted by hand.
type note struct {
	entry, item int
	at          time.Time
	temp        measure.Temperature
	act         Act
	piece       string
	sure        bool
	why         string    // doubted; "" believed
	slip        Slip      // why so, of a doubted one
	slipped     bool      // it is this one that is odd, not the one before it
	beside      []float64 // °C of the other readings of the line
	around      float64   // °C last noted of the pit before the line of a core; 0: none
	in          float64   // °C of the pit on the line of a core; 0: none
	tainted     bool      // one of them cannot be true
}

// Slip is the slip of the pen that explains a doubted reading.
type Slip uint8

// The slips of the pen.
const (
	NoSlip        Slip = iota // none that is known explains it
	SwappedDigits             // 17 for 71
	OtherUnit                 // typed in °F where °C is meant, or the other way round
	Crossed                   // the figure of another reading of the line
	FromPit                   // a core that is the pit's reading
	MissingDigit              // 11 for 110
)

// lookForSlip looks for a slip of the pen that explains a reading far better than what
// is written: two digits swapped, the other unit, the figure of another reading
// of the line, a digit left out of a pit's three.
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

// inDigits words the doubt that two digits are swapped.
func (n *note) inDigits() string {
	n.slip = SwappedDigits
	return "swapped digits?"
}

// swapped reports whether two neighbouring digits swapped explain the reading.
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

// fits reports whether c is far nearer to the last reading than what is written.
func (n *note) fits(c, last float64, inert bool) bool {
	return math.Abs(c-last)*better <= math.Abs(n.temp.Base-last) && !(inert && c < last-Dips)
}

// as is another figure in the unit of the reading, °C.
func (n *note) as(num string) (celsius float64, ok bool) {
	t, err := measure.ParseTemperature(num+" "+n.temp.Unit.Symbol, n.temp.Unit.System)
	return t.Base, err == nil
}

// other is the figure as a temperature in the unit that was not typed.
func (n *note) other() measure.Temperature {
	sys := measure.US
	if n.temp.Unit.System == measure.US {
		sys = measure.Metric
	}
	return measure.Degrees(n.temp.Unit.From(n.temp.Base), sys)
}

// inUnit words the doubt that a reading is in the other unit.
func (n *note) inUnit(t measure.Temperature) string {
	n.slip = OtherUnit
	return fmt.Sprintf("is it %s %s (%s)?", figure(n.temp), t.Unit.Symbol, like(t.Base, n.temp))
}

func (n *note) String() string {
	return strings.TrimSpace(n.act.Word()+" "+n.piece) + " " + like(n.temp.Base, n.temp)
}

// figure is a temperature as a number of the unit typed.
func figure(t measure.Temperature) string {
	return strconv.FormatFloat(math.Round(10*t.Unit.From(t.Base))/10, 'f', -1, 64)
}

// like prints a temperature in the unit another was typed in.
func like(c float64, t measure.Temperature) string {
	return measure.FormatTemperature(c, t.Unit.System)
}

// because words a doubt; "" without a reason.
func because(n *note, last Reading, reason string) string {
	if reason == "" {
		return ""
	}
	return fmt.Sprintf("%s, last was %s: %s", n, like(last.C, n.temp), reason)
}

// between words the doubt that a reading is alone between the one before it
// and n.
func (n *note) between(lone *note, before Reading) string {
	return fmt.Sprintf("%s, between %s and %s: a slip?", lone, like(before.C, n.temp), like(n.temp.Base, n.temp))
}
