package backend

import (
	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal/measure"
)

// First is what the first run needs, before there is a journal.
type First interface {
	Clock
	// Begin returns the first answers to the questions.
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

// FirstClient asks a First by commands. It is used from Update alone.
type FirstClient struct {
	ticker
	port First
	last Request
}

// NewFirstClient returns a client of p.
func NewFirstClient(p First) *FirstClient { return &FirstClient{ticker: ticker{p}, port: p} }

// Begin returns the first answers to the questions, at once.
func (c *FirstClient) Begin() Beginning { return c.port.Begin() }

// Make answers with Answer[Beginning].
func (c *FirstClient) Make(b Beginning) (Request, tea.Cmd) {
	return ask(&c.last, func() (Beginning, error) { return b, c.port.Make(b) })
}
