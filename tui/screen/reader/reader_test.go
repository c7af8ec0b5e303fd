package reader_test

import (
	"strings"
	"testing"

	"ashbook/tui"
	"ashbook/tui/intent"
	"ashbook/tui/tuitest"
)

func start(place intent.Place, cook string) *tuitest.Driver {
	p := tuitest.Hall()
	return tuitest.Start(tui.New(p, tui.Options{Place: place, Cook: cook}), p, 80, 24)
}

func shows(t *testing.T, d *tuitest.Driver, want string) {
	t.Helper()
	if !strings.Contains(d.Text(), want) {
		t.Errorf("%q is not shown:\n%s", want, d.Text())
	}
}

// What matters is asked about one target after the other, round and round.
func TestMattersTurnsTargets(t *testing.T) {
	d := start(intent.Matters, "")
	shows(t, d, "What moves time")
	d.Press("right")
	shows(t, d, "What moves bark")
	d.Press("right")
	shows(t, d, "What moves time")
	d.Press("left")
	shows(t, d, "What moves bark")
	d.Press("esc")
	shows(t, d, "type to narrow")
}

// The shelf and a cook's page lead to why and back again, step by step.
func TestWays(t *testing.T) {
	d := start(intent.Shelf, "")
	d.Press("ctrl+r")
	shows(t, d, "Hindsight")
	d.Press("esc", "ctrl+g")
	shows(t, d, "What moves time")
	d.Press("esc", "down", "down", "enter")
	shows(t, d, "Summer fête")
	d.Type("y")
	shows(t, d, "Esc back")
	d.Press("esc")
	shows(t, d, "y why")
	d.Type("t")
	shows(t, d, "Tasting · Summer fête")
	d.Press("esc", "esc")
	shows(t, d, "type to narrow")
}

// What cannot be worked out is said.
func TestMissingCook(t *testing.T) {
	d := start(intent.Why, "2026-01-01-none")
	shows(t, d, "not in the journal")
}
