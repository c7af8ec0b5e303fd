package main

import (
	"bufio"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/machine"

	"ashbook/report/provision"
	"ashbook/report/provision/runsheet"
)

// readFits reads --fits into the pits of a request: "6", or "brick=6,drum=4" where
// there are several.
func readFits(texts []string, pits []provision.Pit) error {
	for _, text := range texts {
		name, count, named := strings.Cut(text, "=")
		at := 0
		switch {
		case !named && len(pits) == 1:
			count = text
		case !named:
			return hint(usage("--fits %s: in which pit?", text), "--fits "+pits[0].Name+"="+text)
		default:
			name = strings.TrimSpace(name)
			if at = slices.IndexFunc(pits, func(p provision.Pit) bool { return p.Name == name }); at < 0 {
				return usage("--fits %q: %q is none of the pits", text, name)
			}
		}
		n, err := strconv.Atoi(strings.TrimSpace(count))
		if err != nil || n < 1 || n > mostFits {
			return hint(usage("--fits %q: expected 1 to %d pieces", text, mostFits), "--fits 6")
		}
		pits[at].Takes = n
	}
	return nil
}

// mostFits is the most a pit is said to take (chosen).
const mostFits = 500

// askFits asks at the terminal what a pit takes, where the plan wants to know it and a
// person is there to answer; false where there is no answer.
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
	n, bad := strconv.Atoi(strings.TrimSpace(line.Text()))
	if bad != nil || n < 1 || n > mostFits {
		return false
	}
	r.Pits[refused.Ask.Pit].Takes = n
	return true
}

// fitsHint is what to type where a plan wants to know what a pit takes.
func fitsHint(ask *provision.Ask, pits []provision.Pit) string {
	flag, name := "--fits 4", pits[ask.Pit].Name
	if len(pits) > 1 {
		flag = "--fits " + name + "=4"
	}
	if name == "" {
		return flag + ", with --pit NAME to have it remembered"
	}
	return flag + ", or " + ask.Line(name)
}

// rememberFits writes what was answered into the pits' files, and says so where the
// output is for a person.
func (a *program) rememberFits(j *app.App, sheet *runsheet.Sheet, say bool) error {
	for _, pit := range sheet.Pits {
		if pit.Takes == 0 {
			continue
		}
		said := "look: the pit has no name, so what fits is not remembered; --pit NAME gives it one"
		if pit.Name != "" {
			path, err := j.RememberFits(pit.Name, pit.Fits)
			if err != nil {
				return err
			}
			said = fmt.Sprintf("remembered in %s: fits: %s", path, pit.Fits)
		}
		if say {
			a.printf("\n%s\n", said)
		}
	}
	return nil
}
