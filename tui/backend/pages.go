package backend

import (
	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/report/page"
	"ashbook/tui/intent"
)

// Pages is the part of the outside that makes the pages to be read.
type Pages interface {
	// Page makes a page. It fails on a place that is not a page. It may take seconds.
	Page(Wanted) (Opened, error)
	// Choose writes a choice of a page, or takes it out where the value is empty. It
	// fails, and nothing is written, where the value cannot be read.
	Choose(w Wanted, c Value, value string) error
}

// Wanted is the page that is asked for.
type Wanted struct {
	Kind intent.Place // one that is a page, or Hold
	Of   []string     // IDs of cooks
	Turn string       // one of the turns of that page; empty: the first
}

// Opened is a page, and the other turns it has.
type Opened struct {
	Page  page.Page
	Turn  string
	Turns []string // in order, Turn among them; none: it cannot be turned

	Others []journal.Other // of a cook: what two people set at once

	Values []Value // what of it may be changed
}

// Value is one value of a file that a page shows, as it is changed.
type Value struct {
	Name    string // "recheck vent"
	Written string // as the file has it; "" where it is not there
	What    string // what it is, in a few words
	Key     []string
}

// Chosen is a choice that was written.
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
