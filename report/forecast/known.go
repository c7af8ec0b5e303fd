package forecast

import (
	"time"

	"ashbook/journal"
)

// Known says which other cooks the replay of a cook may use.
type Known int

// The values of Known.
const (
	Earlier Known = iota // cooks that came off before this one went on
	Others               // all other cooks, later ones too
	Nobody               // no other cooks, as for a first cook
)

// Turns are the names of the values, as printed.
var Turns = []string{"with earlier cooks", "with all other cooks", "with no other cook"}

// How returns the words that describe a value on a page.
func (k Known) How() string {
	return [...]string{"each one with only the cooks that were over before it began", "each one with all the others known", "each one as if it were a first cook, with no other known"}[k]
}

// Of reports whether the replay of cook c, which went on at the time on, may use the
// cook id, which came off at the time off.
func (k Known) Of(c *journal.Cook, on time.Time, id string, off time.Time) bool {
	switch {
	case k == Nobody || id == c.ID:
		return false
	case k == Earlier:
		return off.Before(on)
	}
	return true
}
