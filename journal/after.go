package journal

// After is one thing a person writes into a cook when it is over.
type After uint8

// What is written, in order.
const (
	ToKeep    After = iota // what to do again
	ToChange               // what to do differently
	CameOff                // weight as it came off
	Discarded              // weight of bone and fat
	LeftOver               // weight left over
	afters
)

// Afters lists them in order.
var Afters = [afters]After{ToKeep, ToChange, CameOff, Discarded, LeftOver}

// afterKeys are where they are written in the front matter.
var afterKeys = [afters][]string{{"keep"}, {"change"}, {"yield", "off"}, {"yield", "discard"}, {"yield", "left"}}

// Keys is the path of its key in the front matter.
func (a After) Keys() []string { return afterKeys[a] }

func (a After) String() string { return afterKeys[a][len(afterKeys[a])-1] }

// Weighs reports whether it is a weight; otherwise it is words.
func (a After) Weighs() bool { return a >= CameOff }

// Of returns the field's text in c, as typed; "" if unset.
func (a After) Of(c *Cook) string {
	return [afters]string{c.Keep, c.Change, c.Yield.Off.String(), c.Yield.Discard.String(), c.Yield.Left.String()}[a]
}
