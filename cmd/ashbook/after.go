package main

import (
	"ashbook/cmd/ashbook/internal/app"
)

// orNone is a text, or that there is none any more.
func orNone(s string) string {
	if s == "" {
		return "deleted"
	}
	return s
}

// tellWritten tells what was written, and in place of what.
func (a *program) tellWritten(after []app.Written, id string) {
	replaced := false
	for _, w := range after {
		a.printf("  %s: %s\n", w.What, orNone(w.Is))
		if w.Was != "" && w.Was != w.Is {
			a.printf("    before: %s\n", w.Was)
			replaced = true
		}
		for _, flag := range w.Flags {
			a.printf("    look: %s\n", flag)
		}
	}
	if replaced {
		a.printf("next: ashbook history %s, where what stood before is kept\n", id)
	}
}
