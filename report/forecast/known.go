package forecast

import (
	"time"

	"ashbook/journal"
)

// Known says which cooks a replayed one knows.
type Known int

// Which cooks are known.
const (
	Earlier Known = iota // those that were over when it went on
	Others               // all the others, later ones too
	Nobody               // none, as for somebody's first cook
)

// Turns names the values of Known for people.
var Turns = []string{"cooks before it known", "all others known", "no other known"}

// How says the same of every cook of a replay.
func (k Known) How() string {
	return [...]string{"each with only the cooks that were over before it began", "each with all the others known", "each as somebody's first, with no other known"}[k]
}

// Of reports whether c, which went on at on, knows the cook id that came off at off.
func (k Known) Of(c *journal.Cook, on time.Time, id string, off time.Time) bool {
	switch {
	case k == Nobody || id == c.ID:
		return false
	case k == Earlier:
		return off.Before(on)
	}
	return true
}
