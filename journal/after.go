package journal

// After is one thing that is written into a cook's file when the cook is over.
type After uint8

// These things, in the order they are asked for.
const (
	ToKeep    After = iota // what to do again
	ToChange               // what to do differently
	CameOff                // weight as it came off
	Discarded              // weight of bone and fat thrown away
	LeftOver               // weight left over
	afters
)

// Afters lists all of them in order.
var Afters = [afters]After{ToKeep, ToChange, CameOff, Discarded, LeftOver}

// afterKeys are their paths in the front matter.
var afterKeys = [afters][]string{{"keep"}, {"change"}, {"yield", "off"}, {"yield", "discard"}, {"yield", "left"}}

// Keys returns the path of its key in the front matter.
func (a After) Keys() []string { return afterKeys[a] }

func (a After) String() string { return afterKeys[a][len(afterKeys[a])-1] }

// Weighs reports whether it is a weight. If not, it is text.
func (a After) Weighs() bool { return a >= CameOff }

// Of returns its text in c as typed; "" if not recorded.
func (a After) Of(c *Cook) string {
	return [afters]string{c.Keep, c.Change, c.Yield.Off.String(), c.Yield.Discard.String(), c.Yield.Left.String()}[a]
}
