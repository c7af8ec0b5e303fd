package backend

import (
	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal/measure"
)

// First is what the first run needs: there is no journal yet.
type First interface {
	// Begin is with what the questions begin.
	Begin() Beginning
	// Make makes the journal, or readies the invented one.
	Make(b Beginning) error
}

// Beginning is how a journal begins.
type Beginning struct {
	Units   measure.System
	Where   string // its folder
	Sample  bool   // look around in the invented journal; nothing is made
	Usual   string // the folder in which it is found without being named
	Because string // why the questions are asked
}

// Begin is with what the questions begin, at once.
func (c *Client) Begin() Beginning { return c.port.Begin() }

// Make answers with Answer[Beginning].
func (c *Client) Make(b Beginning) (Request, tea.Cmd) {
	return ask(c, func() (Beginning, error) { return b, c.port.Make(b) })
}
