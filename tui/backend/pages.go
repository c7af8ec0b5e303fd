package backend

import (
	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/report/page"
	"ashbook/tui/intent"
)

// Pages is the part of the outside that makes the pages to be read.
type Pages interface {
	// Page makes a page; it fails on a place that is none. It may take seconds.
	Page(Wanted) (Opened, error)
}

// Wanted is the page that is asked for.
type Wanted struct {
	Kind intent.Place // one that is a page, or Hold
	Of   []string     // IDs of cooks
	Turn string       // one of the turns of that page; empty: the first
}

// Opened is a page, and what it may be turned to.
type Opened struct {
	Page  page.Page
	Turn  string
	Turns []string // in order, Turn among them; none: it cannot be turned

	Others []journal.Other // of a cook: what two people set at once
}

// Page answers with Answer[Opened].
func (c *Client) Page(w Wanted) (Request, tea.Cmd) {
	return ask(&c.last, func() (Opened, error) { return c.port.Page(w) })
}
