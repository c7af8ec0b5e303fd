package main

import (
	"errors"
	"testing"

	"ashbook/journal"
	"ashbook/report/provision"
)

// A user at a terminal answers how many pieces fit. Anything but a number, or another
// error, is no answer.
func TestAskFits(t *testing.T) {
	ask := provision.Refusal{Part: provision.PartFits, Text: "how many fit?", Ask: &provision.Ask{Pit: 1, Fits: journal.Fits{Cut: "brisket"}}}
	for _, c := range []struct {
		typed string
		err   error
		takes int
	}{{"6\n", ask, 6}, {" 12 \n", ask, 12}, {"\n", ask, 0}, {"some\n", ask, 0}, {"0\n", ask, 0}, {"6\n", errors.New("other"), 0}, {"6\n", nil, 0}} {
		master, slave := openTerminal(t)
		if _, err := master.WriteString(c.typed); err != nil {
			t.Fatal(err)
		}
		a := &program{environment: environment{in: slave, out: slave}}
		r := provision.Request{Pits: make([]provision.Pit, 2)}
		if got := a.askFits(&r, c.err); got != (c.takes > 0) || r.Pits[1].Takes != c.takes || r.Pits[0].Takes != 0 {
			t.Errorf("%q, %v: %v, takes %d", c.typed, c.err, got, r.Pits[1].Takes)
		}
		a.json = true
		if a.askFits(&r, c.err) {
			t.Error("asks where a program reads the answer")
		}
		master.Close()
		slave.Close()
	}
}
