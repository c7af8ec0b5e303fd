package main

import (
	"fmt"
	"io"

	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/machine"
	"ashbook/report/page"
	"ashbook/report/page/text"
)

// Commands print only through these functions, so that no text of a file, a name or an
// argument reaches the terminal with control characters.

func (a *program) printJSON(shape any) error { return jsonout.Write(a.out, shape) }

// printPage prints a page as wide as the terminal. Rendering cleans its text.
func (a *program) printPage(p page.Page) {
	io.WriteString(a.out, text.Render(p, machine.Width(a.out, a.getenv)))
}

// printf prints a text of ours, with every argument cleaned and on one line.
func (a *program) printf(format string, args ...any) { printf(a.out, format, args...) }

// warnf does what printf does, on standard error.
func (a *program) warnf(format string, args ...any) { printf(a.err, format, args...) }

func printf(w io.Writer, format string, args ...any) {
	for i, arg := range args {
		args[i] = harmless{arg}
	}
	fmt.Fprintf(w, format, args...)
}

// harmless is a value whose formatted text is cleaned.
type harmless struct{ value any }

func (h harmless) Format(s fmt.State, verb rune) {
	io.WriteString(s, page.Clean(fmt.Sprintf(fmt.FormatString(s, verb), h.value)))
}

// show prints a result: as JSON with --json, as a page without. If the command was
// stopped, it prints nothing.
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

// say prints what a command did: as JSON with --json, as lines without.
func (a *program) say(shape any, lines []string) error {
	if a.json {
		return a.printJSON(shape)
	}
	a.printLines(lines)
	return nil
}

// sayWarned is say for a command that ends with exit code 3 if warned is set.
func (a *program) sayWarned(shape any, lines []string, warned bool) error {
	if err := a.say(shape, lines); err != nil || !warned {
		return err
	}
	return errWarnings
}

// printLines prints texts, each cleaned and on its own line.
func (a *program) printLines(lines []string) {
	for _, l := range lines {
		a.printf("%s\n", l)
	}
}
