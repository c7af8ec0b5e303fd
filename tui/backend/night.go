package backend

import (
	"sort"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// Night are the methods that only the screen of a running cook needs. They are part of
// Port and called in the same way.
type Night interface {
	// Alert rings for the person and says why, in every way there is. An error
	// says that one of the ways the person asked for does not work.
	Alert(text string) error
	// Mark names the state of a cook's files; it changes when they do. It reads
	// none of them, and may be asked every few seconds.
	Mark(id string) (Mark, error)
}

// Mark names a state of a cook's files. Two marks can only be compared.
type Mark string

// Rung is the answer to an alert.
type Rung struct{}

// Fire is how a fire does. The zero Fire has nothing to say.
type Fire struct {
	Kind    string // "low", "choked": another one is another alert
	Says    string // with what to do first: "cooling since 00:20. Open …, look again in 20 min"
	Caution string // what can hurt somebody in doing so
	Tone    Tone
	Alert   bool // somebody should come
	Wake    bool // worth a night's sleep
}

// Silence is a probe that wrote and does not any more.
type Silence struct {
	Probe string // "pit", "core large"
	Since time.Time
}

// OffBy is the chance that the last piece is off by a moment, 0 to 1; ok is
// false where there is no forecast.
func (f Forecast) OffBy(t time.Time) (chance float64, ok bool) {
	n := len(f.Off)
	if n == 0 {
		return 0, false
	}
	return float64(sort.Search(n, func(i int) bool { return f.Off[i].After(t) })) / float64(n), true
}

// Alert rings and shows the person a text. It answers with Answer[Rung].
func (c *Client) Alert(text string) tea.Cmd {
	_, cmd := ask(&c.last, func() (Rung, error) { return Rung{}, c.port.Alert(text) })
	return cmd
}
