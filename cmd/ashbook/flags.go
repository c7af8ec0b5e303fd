package main

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

// flagged adds to a mistake the name of its flag, and what to type instead.
func flagged(err error) error {
	var w typed.Wrong
	if !errors.As(err, &w) {
		return err
	}
	if err = usage("--%v", w); w.Such != "" {
		err = advice.With(err, "--"+w.Field+" "+strconv.Quote(w.Such))
	}
	return err
}

// choiceFlag adds a flag that takes one of a few words. Its help lists the words,
// followed by more, and completion offers them. Any other word is refused before the
// command runs.
func choiceFlag[T ~string](cmd *cobra.Command, to *T, name string, of []T, more string) {
	words := make([]string, len(of))
	for i, w := range of {
		words[i] = string(w)
	}
	expected := strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
	text := cmd.Flags().String(name, string(*to), expected+more)
	cmd.RegisterFlagCompletionFunc(name, fixed(words...))
	checkFlags(cmd, func() error {
		*to = T(strings.ToLower(*text))
		if *text != "" && !slices.Contains(of, *to) {
			return usage("--%s %q: expected %s", name, *text, expected)
		}
		return nil
	})
}

// exclusive refuses two or more of the flags together.
func exclusive(cmd *cobra.Command, names ...string) {
	cmd.MarkFlagsMutuallyExclusive(names...) // for completion, which then offers one of them
	checkFlags(cmd, func() error {
		var given []string
		for _, name := range names {
			if cmd.Flags().Changed(name) {
				given = append(given, "--"+name)
			}
		}
		if len(given) > 1 {
			return advice.With(usage("%s do not go together", strings.Join(given, " and ")), cmd.CommandPath()+" --help")
		}
		return nil
	})
}

// checkFlags adds a check of the flags before the command runs.
func checkFlags(cmd *cobra.Command, check func() error) {
	before := cmd.PreRunE
	cmd.PreRunE = func(cmd *cobra.Command, args []string) error {
		if before != nil {
			if err := before(cmd, args); err != nil {
				return err
			}
		}
		return check()
	}
}

// atLeast requires n arguments or more.
func atLeast(n int) cobra.PositionalArgs {
	return counted(n, math.MaxInt, fmt.Sprintf("needs %d or more arguments", n))
}

// atMost requires n arguments or fewer.
func atMost(n int) cobra.PositionalArgs {
	return counted(0, n, "takes no more than "+measure.Count(n, "argument"))
}

// exactly requires n arguments.
func exactly(n int) cobra.PositionalArgs {
	return counted(n, n, "needs "+measure.Count(n, "argument"))
}

// noWords requires that there is nothing but flags.
func noWords(cmd *cobra.Command, args []string) error {
	return counted(0, 0, "takes only flags, no arguments")(cmd, args)
}

// counted requires least to most arguments. Its error says so, and how the command is
// used.
func counted(least, most int, says string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if n := len(args); n < least || n > most {
			return advice.With(usage("%s %s, %d given", cmd.Name(), says, n), cmd.UseLine())
		}
		return nil
	}
}

func fixed(words ...string) func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp)
}
