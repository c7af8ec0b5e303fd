// Package flags checks the flags and counts the arguments of commands before they run.
// All its errors are mistakes in what was typed.
package flags

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal/measure"

	"github.com/spf13/cobra"
)

// Named adds to a mistake the name of its flag, and what to type instead.
func Named(err error) error {
	var w typed.Wrong
	if !errors.As(err, &w) {
		return err
	}
	if err = wrong("--%v", w); w.Such != "" {
		err = advice.With(err, "--"+w.Field+" "+strconv.Quote(w.Such))
	}
	return err
}

// Choice adds a flag that takes one of a few words. Its help lists the words,
// followed by more, and completion offers them. Any other word is refused before the
// command runs.
func Choice[T ~string](cmd *cobra.Command, to *T, name string, of []T, more string) {
	words := make([]string, len(of))
	for i, w := range of {
		words[i] = string(w)
	}
	expected := strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
	text := cmd.Flags().String(name, string(*to), expected+more)
	cmd.RegisterFlagCompletionFunc(name, Fixed(words...))
	check(cmd, func() error {
		*to = T(strings.ToLower(*text))
		if *text != "" && !slices.Contains(of, *to) {
			return wrong("--%s %q: expected %s", name, *text, expected)
		}
		return nil
	})
}

// Exclusive refuses two or more of the flags together.
func Exclusive(cmd *cobra.Command, names ...string) {
	cmd.MarkFlagsMutuallyExclusive(names...) // for completion, which then offers one of them
	check(cmd, func() error {
		var given []string
		for _, name := range names {
			if cmd.Flags().Changed(name) {
				given = append(given, "--"+name)
			}
		}
		if len(given) > 1 {
			return advice.With(wrong("%s do not go together", strings.Join(given, " and ")), cmd.CommandPath()+" --help")
		}
		return nil
	})
}

// check adds a check of the flags before the command runs.
func check(cmd *cobra.Command, ok func() error) {
	before := cmd.PreRunE
	cmd.PreRunE = func(cmd *cobra.Command, args []string) error {
		if before != nil {
			if err := before(cmd, args); err != nil {
				return err
			}
		}
		return ok()
	}
}

// AtLeast requires n arguments or more.
func AtLeast(n int) cobra.PositionalArgs {
	return counted(n, math.MaxInt, fmt.Sprintf("needs %d or more arguments", n))
}

// AtMost requires n arguments or fewer.
func AtMost(n int) cobra.PositionalArgs {
	return counted(0, n, "takes no more than "+measure.Count(n, "argument"))
}

// Exactly requires n arguments.
func Exactly(n int) cobra.PositionalArgs {
	return counted(n, n, "needs "+measure.Count(n, "argument"))
}

// None requires that there is nothing but flags.
func None(cmd *cobra.Command, args []string) error {
	return counted(0, 0, "takes only flags, no arguments")(cmd, args)
}

// counted requires least to most arguments. Its error says so, and how the command is
// used.
func counted(least, most int, says string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if n := len(args); n < least || n > most {
			return advice.With(wrong("%s %s, %d given", cmd.Name(), says, n), cmd.UseLine())
		}
		return nil
	}
}

// Fixed completes an argument or a value from a list of words.
func Fixed(words ...string) func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp)
}

// NoSuchCommand refuses arguments of the program itself, which are no command, and
// suggests the nearest one.
func NoSuchCommand(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	err := wrong("ashbook has no command %q", args[0])
	for cmd.SuggestionsMinimumDistance = 1; cmd.SuggestionsMinimumDistance <= 2; cmd.SuggestionsMinimumDistance++ {
		if near := cmd.SuggestionsFor(args[0]); len(near) > 0 {
			return advice.With(err, "ashbook "+near[0])
		}
	}
	return advice.With(err, "ashbook --help")
}

func wrong(format string, args ...any) error {
	return typed.Mistaken(typed.Invalid, "", format, args...)
}
