package backend

import (
	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal/measure"
)

// First has the methods that the first run needs before there is a journal.
type First interface {
	Clock
	// Begin returns the suggested answers to the questions.
	Begin() Beginning
	// Make makes the journal, or prepares the invented one.
	Make(b Beginning) error
}

// Beginning is the answers to the first run's questions.
type Beginning struct {
	Units   measure.System
	Where   string // its folder
	Sample  bool   // look around in the invented journal; no journal is made
	Usual   string // folder in which ashbook finds a journal without being told where
	Because string // why the questions are asked
}

// FirstClient calls a First by commands. Only Update may use it.
type FirstClient struct {
	ticker
	port First
	last Request
}

// NewFirstClient returns a client of p.
func NewFirstClient(p First) *FirstClient { return &FirstClient{ticker: ticker{p}, port: p} }

// Begin returns the suggested answers without a command.
func (c *FirstClient) Begin() Beginning { return c.port.Begin() }

// Make answers with Answer[Beginning].
func (c *FirstClient) Make(b Beginning) (Request, tea.Cmd) {
	return ask(&c.last, func() (Beginning, error) { return b, c.port.Make(b) })
}
