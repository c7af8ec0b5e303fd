package backend

import (
	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/report/page"
	"ashbook/tui/intent"
)

// Pages are the methods that make pages to read.
type Pages interface {
	// Page makes a page. It fails for a place that is no page. It may take seconds.
	Page(Wanted) (Opened, error)
	// Choose writes a value of a page, or removes it if value is "". If the value
	// cannot be read, it fails and writes nothing.
	Choose(w Wanted, c Value, value string) error
}

// Wanted is a request for a page.
type Wanted struct {
	Kind intent.Place // a place that is a page, or Hold
	Of   []string     // IDs of cooks
	Turn string       // name of one of the page's turns, its variants, such as one for each score; "" for the first
}

// Opened is a page, with the names of its turns: variants that the user can switch to,
// such as one for each score.
type Opened struct {
	Page  page.Page
	Turn  string
	Turns []string // names of all turns in order, Turn among them; empty if it has only one

	Others []journal.Other // of a cook's page: what two people set for the same thing

	Values []Value // values that can be changed
}

// Value is one value of a file that a page shows and that can be changed.
type Value struct {
	Name    string // "recheck vent"
	Written string // value in the file; "" for none
	What    string // its meaning in a few words
	Key     []string
}

// Chosen is a value that was written.
type Chosen struct{ Value }

// Choose answers with Answer[Chosen].
func (c *Client) Choose(w Wanted, choice Value, value string) (Request, tea.Cmd) {
	return ask(&c.last, func() (Chosen, error) {
		was := choice
		choice.Written = value
		return Chosen{choice}, c.port.Choose(w, was, value)
	})
}

// Page answers with Answer[Opened].
func (c *Client) Page(w Wanted) (Request, tea.Cmd) {
	return ask(&c.last, func() (Opened, error) { return c.port.Page(w) })
}
