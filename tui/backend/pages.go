package backend

import (
	tea "github.com/charmbracelet/bubbletea"

	"ashbook/report/page"
)

// Pages is the part of the outside that makes the pages to be read.
type Pages interface {
	// Page makes a page. It may take seconds.
	Page(Wanted) (Opened, error)
}

// Page is a kind of page to be read.
type Page uint8

// The pages, and the cooks each is of.
const (
	CookPage      Page = iota // one
	BesidePage                // two or more against each other; of one, with the closest to it
	WhyPage                   // early or late: one; further ones to hold it against
	MattersPage               // what matters: none
	HindsightPage             // how far off the forecasts would have been: none
	PitPage                   // what the pits do: none
	HoldPage                  // until when the box keeps it, and the leftovers: one
)

// Wanted is the page that is asked for.
type Wanted struct {
	Kind Page
	Of   []string // IDs of cooks
	Turn string   // one of the turns of that page; empty: the first
}

// Opened is a page, and what it may be turned to.
type Opened struct {
	Page  page.Page
	Turn  string
	Turns []string // in order, Turn among them; none: it cannot be turned
}

// Page answers with Answer[Opened].
func (c *Client) Page(w Wanted) (Request, tea.Cmd) {
	return ask(c, func() (Opened, error) { return c.port.Page(w) })
}
