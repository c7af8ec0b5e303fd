package main

import (
	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/report/page"
	"ashbook/tui/backend"
)

// orNone is a text, or that there is none any more.
func orNone(s string) string {
	if s == "" {
		return "taken out"
	}
	return s
}

// tellWritten tells what was written, and in place of what.
func (a *program) tellWritten(after []app.Written, id string) {
	replaced := false
	for _, w := range after {
		a.printf("  %s: %s\n", w.What, orNone(page.Clean(w.Is)))
		if w.Was != "" && w.Was != w.Is {
			a.printf("    before: %s\n", page.Clean(w.Was))
			replaced = true
		}
		for _, flag := range w.Flags {
			a.printf("    look: %s\n", page.Clean(flag))
		}
	}
	if replaced {
		a.printf("next: ashbook history %s, where what stood before is kept\n", id)
	}
}

func (o *outside) Taste(id string, t journal.Taste) error {
	defer o.writing()()
	defer o.forgetPast()
	_, err := o.use.Taste(id, []journal.Taste{t}, nil)
	return err
}

func (o *outside) Write(id string, what journal.After, text string) (backend.Written, error) {
	defer o.writing()()
	defer o.forgetPast()
	got, err := o.use.Taste(id, nil, []app.Written{{What: what, Is: text}})
	if err != nil {
		return backend.Written{}, err
	}
	o.remember(&got.Cook)
	w := got.Written[0]
	return backend.Written{What: w.What, Was: w.Was, Is: w.Is, Flags: w.Flags}, nil
}
