package main

import (
	"bufio"
	"errors"
	"strings"

	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/report/provision"
)

// askFits asks at a terminal how many pieces a pit takes, if err is that question. It
// returns false without an answer.
func (a *program) askFits(r *provision.Request, err error) bool {
	var refused provision.Refusal
	if !errors.As(err, &refused) || refused.Ask == nil || a.json || !machine.IsTerminal(a.in) || !machine.IsTerminal(a.out) {
		return false
	}
	a.printf("%s. ", strings.ToUpper(refused.Text[:1])+refused.Text[1:])
	line := bufio.NewScanner(a.in)
	if !line.Scan() {
		a.printf("\n")
		return false
	}
	n, err := typed.Fits(line.Text())
	if err != nil {
		return false
	}
	r.Pits[refused.Ask.Pit].Takes = n
	return true
}
