// Package manual writes the manual pages of commands, with the macros of man(7). The
// generator that comes with cobra would add a Markdown parser, which took a third of
// the program's start.
package manual

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Write writes the pages of a command and of the commands below it into a folder.
func Write(dir string, c *cobra.Command, day time.Time) error {
	file := filepath.Join(dir, name(c)+".1")
	if err := os.WriteFile(file, []byte(page(c, day)), 0o666); err != nil {
		return err
	}
	for _, sub := range c.Commands() {
		if !sub.IsAvailableCommand() {
			continue
		}
		if err := Write(dir, sub, day); err != nil {
			return err
		}
	}
	return nil
}

func name(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }

// page returns the manual page of one command.
func page(c *cobra.Command, day time.Time) string {
	c.InitDefaultHelpFlag()
	var b strings.Builder
	own := name(c)
	fmt.Fprintf(&b, ".TH %q 1 %q ashbook\n", strings.ToUpper(own), day.Format(time.DateOnly))
	fmt.Fprintf(&b, ".SH NAME\n%s \\- %s\n", roff(own), roff(c.Short))
	fmt.Fprintf(&b, ".SH SYNOPSIS\n.B %s\n", roff(c.UseLine()))
	b.WriteString(".SH DESCRIPTION\n")
	roffText(&b, cmp.Or(c.Long, c.Short))
	roffFlags(&b, "OPTIONS", c.NonInheritedFlags())
	roffFlags(&b, "OPTIONS OF EVERY COMMAND", c.InheritedFlags())
	if c.Example != "" {
		b.WriteString(".SH EXAMPLES\n")
		roffText(&b, c.Example)
	}
	var also []string
	if c.HasParent() {
		also = append(also, name(c.Parent()))
	}
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() {
			also = append(also, name(sub))
		}
	}
	if len(also) > 0 {
		b.WriteString(".SH SEE ALSO\n")
		for i, n := range also {
			also[i] = fmt.Sprintf("\\fB%s\\fR(1)", roff(n))
		}
		b.WriteString(strings.Join(also, ",\n") + "\n")
	}
	return b.String()
}

// roff escapes a line so that no part of it is read as a macro.
func roff(line string) string {
	line = strings.NewReplacer(`\`, `\e`, "-", `\-`, "\n", " ").Replace(line)
	if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
		return `\&` + line
	}
	return line
}

// roffText writes paragraphs. Lines that begin with a space or a digit, as in a list,
// keep their breaks.
func roffText(b *strings.Builder, text string) {
	kept := false
	keep := func(k bool) {
		switch {
		case k && !kept:
			b.WriteString(".nf\n")
		case kept && !k:
			b.WriteString(".fi\n")
		}
		kept = k
	}
	for line := range strings.SplitSeq(strings.TrimRight(text, "\n"), "\n") {
		if line == "" {
			keep(false)
			b.WriteString(".PP\n")
			continue
		}
		keep(line[0] == ' ' || '0' <= line[0] && line[0] <= '9')
		b.WriteString(roff(line) + "\n")
	}
	keep(false)
}

func roffFlags(b *strings.Builder, heading string, flags *pflag.FlagSet) {
	if !flags.HasAvailableFlags() {
		return
	}
	fmt.Fprintf(b, ".SH %s\n", heading)
	flags.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		value, usage := pflag.UnquoteUsage(f)
		b.WriteString(".TP\n")
		if f.Shorthand != "" {
			fmt.Fprintf(b, "\\fB\\-%s\\fR, ", f.Shorthand)
		}
		fmt.Fprintf(b, "\\fB\\-\\-%s\\fR", roff(f.Name))
		if value != "" {
			fmt.Fprintf(b, " \\fI%s\\fR", roff(value))
		}
		b.WriteString("\n" + roff(usage) + "\n")
	})
}
