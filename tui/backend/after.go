package backend

import (
	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
)

// After is one thing a person writes into a cook when it is over.
type After uint8

// What is written, in order.
const (
	Keep      After = iota // what to do again
	Change                 // what to do differently
	CameOff                // weight as it came off
	Discarded              // bone and fat
	LeftOver
	afters
)

// Afters lists them in order.
var Afters = [afters]After{Keep, Change, CameOff, Discarded, LeftOver}

func (a After) String() string {
	return [afters]string{"keep", "change", "off", "discard", "left"}[a]
}

// Weighs reports whether it is a weight; else it is words.
func (a After) Weighs() bool { return a >= CameOff }

// Of is what stands in a cook, as typed; empty: nothing.
func (a After) Of(c *journal.Cook) string {
	return [afters]string{c.Keep, c.Change, c.Yield.Off.String(), c.Yield.Discard.String(), c.Yield.Left.String()}[a]
}

// Written is what was put in place of what stood there; empty: nothing.
type Written struct {
	What    After
	Was, Is string
	Flags   []string // doubts: "off 52 kg: more than the 8.3 kg that went on"
}

// Write answers with Answer[Written].
func (c *Client) Write(id string, what After, text string) (Request, tea.Cmd) {
	return ask(c, func() (Written, error) { return c.port.Write(id, what, text) })
}
