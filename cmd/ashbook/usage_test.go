package main

import (
	"slices"
	"testing"

	"ashbook/cmd/ashbook/internal/advice"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Too few or too many arguments are wrong usage for every command, and so are flags
// that exclude each other. The error says what to type instead.
func TestWrongUsage(t *testing.T) {
	const group = "cobra_annotation_mutually_exclusive" // of cobra 1.10, flag_groups.go
	isWrong := func(cmd *cobra.Command, err error) {
		t.Helper()
		if !isUsage(err) || advice.Next(err) == "" {
			t.Errorf("%s: %v, next %q; expected wrong usage and a next step", cmd.Name(), err, advice.Next(err))
		}
	}
	refused, excluded := 0, 0
	for i := range new(program).root().Commands() {
		for n := range 9 {
			cmd := new(program).root().Commands()[i]
			if err := cmd.ValidateArgs(slices.Repeat([]string{"x"}, n)); err != nil {
				refused++
				isWrong(cmd, err)
			}
		}
		cmd := new(program).root().Commands()[i]
		in := map[string][]*pflag.Flag{}
		cmd.Flags().VisitAll(func(f *pflag.Flag) {
			for _, names := range f.Annotations[group] {
				in[names] = append(in[names], f)
			}
		})
		for _, flags := range in {
			for _, f := range flags {
				f.Changed = true
			}
			excluded++
			isWrong(cmd, cmd.PreRunE(cmd, nil))
			for _, f := range flags {
				f.Changed = false
			}
		}
	}
	if refused < 20 || excluded < 6 {
		t.Errorf("%d wrong counts and %d groups of flags were tried; expected more", refused, excluded)
	}
}
