package main

import (
	"fmt"
	"io"

	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/report/page"
	"ashbook/report/page/text"
)

// The commands print through these alone, so that no text of a file, a name or an
// argument reaches the terminal as it is.

func (a *program) printJSON(shape any) error { return jsonout.Write(a.out, shape) }

// printPage sets a page, which cleans its text, as wide as the terminal.
func (a *program) printPage(p page.Page) { io.WriteString(a.out, text.Render(p, machine.Width(a.out))) }

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

// show prints what a command found: its shape with --json, else the page of it. A
// command that was stopped prints nothing.
func (a *program) show(shape any, p page.Page) error {
	if err := a.ctx.Err(); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(shape)
	}
	a.printPage(p)
	return nil
}

// say prints what a command did: its shape with --json, else the lines.
func (a *program) say(shape any, lines []string) error {
	if a.json {
		return a.printJSON(shape)
	}
	a.printLines(lines)
	return nil
}

// printLines prints texts, each made harmless, on lines of their own.
func (a *program) printLines(lines []string) {
	for _, l := range lines {
		a.printf("%s\n", l)
	}
}
