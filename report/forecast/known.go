package forecast

import (
	"time"

	"ashbook/journal"
)

// Known says which other cooks the replay of a cook may use.
type Known int

// The values of Known.
const (
	Earlier Known = iota // those that came off before it went on
	Others               // all, later ones too
	Nobody               // none, as for a first cook
)

// Turns are the printed names of the values.
var Turns = []string{"with earlier cooks", "with all other cooks", "with no other cook"}

// How describes a value, as printed.
func (k Known) How() string {
	return [...]string{"each with only the cooks that were over before it began", "each with all the others known", "each as somebody's first, with no other known"}[k]
}

// Of reports whether the replay of c, which went on at on, may use the cook id, which came
// off at off.
func (k Known) Of(c *journal.Cook, on time.Time, id string, off time.Time) bool {
	switch {
	case k == Nobody || id == c.ID:
		return false
	case k == Earlier:
		return off.Before(on)
	}
	return true
}
