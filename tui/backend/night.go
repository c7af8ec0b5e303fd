package backend

import (
	"sort"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// Night are the methods of Port that only the screen of a running cook needs.
type Night interface {
	// Alert rings and shows text in every way there is. It fails if a way that the user
	// set up does not work.
	Alert(text string) error
	// Mark returns the state of a cook's files without reading them. It may be called
	// every few seconds.
	Mark(id string) (Mark, error)
}

// Mark identifies a state of a cook's files. Marks can only be compared.
type Mark string

// Rung is the answer to an alert.
type Rung struct{}

// Fire is the state of a fire. The zero Fire has nothing to report.
type Fire struct {
	Kind    string // "low" or "choked", for example; a new kind is a new alert
	Says    string // the state and what to do first: "cooling since 00:20. Open …, look again in 20 min"
	Caution string // a danger in doing so
	Tone    Tone
	Alert   bool // somebody should come
	Wake    bool // it is worth waking somebody
}

// Silence is a probe that has stopped writing.
type Silence struct {
	Probe string // "pit", "core large"
	Since time.Time
}

// OffBy returns the chance that the last piece is ready by time t, 0 to 1; ok is false
// without a forecast.
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
