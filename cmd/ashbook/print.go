package main

import (
	"fmt"
	"io"

	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/report/page"
)

// The commands print through these four alone, so that no text of a file, a name
// or an argument reaches the terminal as it is.

func (a *program) printJSON(shape any) error { return jsonout.Write(a.out, shape) }

// print prints a page that is set already.
func (a *program) print(page string) { io.WriteString(a.out, page) }

// printf prints a text of ours, in which every argument is harmless and on one line.
func (a *program) printf(format string, args ...any) { printf(a.out, format, args...) }

// warnf is printf on standard error.
func (a *program) warnf(format string, args ...any) { printf(a.err, format, args...) }

func printf(w io.Writer, format string, args ...any) {
	for i, arg := range args {
		args[i] = harmless{arg}
	}
	fmt.Fprintf(w, format, args...)
}

// harmless is a value that is cleaned once it is formatted.
type harmless struct{ value any }

func (h harmless) Format(s fmt.State, verb rune) {
	io.WriteString(s, page.Clean(fmt.Sprintf(fmt.FormatString(s, verb), h.value)))
}
