package main

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/typed"

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
	before := cmd.PreRunE
	cmd.PreRunE = func(cmd *cobra.Command, args []string) error {
		if before != nil {
			if err := before(cmd, args); err != nil {
				return err
			}
		}
		*to = T(strings.ToLower(*text))
		if *text != "" && !slices.Contains(of, *to) {
			return usage("--%s %q: expected %s", name, *text, expected)
		}
		return nil
	}
}

func fixed(words ...string) func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp)
}
