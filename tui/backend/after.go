package backend

import (
	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
)

// Written is a new text and the one it replaced; "" for none.
type Written struct {
	What    journal.After
	Was, Is string
	Flags   []string // warnings: "off 52 kg: more than the 8.3 kg that went on"
}

// Write answers with Answer[Written].
func (c *Client) Write(id string, what journal.After, text string) (Request, tea.Cmd) {
	return ask(&c.last, func() (Written, error) { return c.port.Write(id, what, text) })
}
