package main

import (
	"os"
	"path/filepath"
	"time"

	"ashbook/journal/cookfile"
	"ashbook/journal/merge"

	"github.com/spf13/cobra"
)

const mergeHelp = `Merge two versions of a file of the journal by what they mean, and write the
result in place of OURS. BASE is the version both were made from; an empty file
where there is none. PATH says what the file is: a cook, a table of readings or
another page.

An entry of either version stays, one that either took out is out. Of two values
for one thing the file keeps the one whose bytes sort last, since nothing here says
which is newer; the other is kept under "also" and reported.

git calls this itself once "ashbook init --driver" has set it up.`

func (a *program) mergeCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "merge BASE OURS THEIRS PATH",
		Short: "Merge two versions of a file by what they mean, for git",
		Long:  mergeHelp,
		Args:  cobra.ExactArgs(4),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.merge(args[0], args[1], args[2], args[3])
		},
	}
}

func (a *program) merge(base, ours, theirs, path string) error {
	var texts [3][]byte
	for i, name := range []string{base, ours, theirs} {
		data, err := os.ReadFile(a.path(name))
		if err != nil {
			return err
		}
		texts[i] = data
	}
	if len(texts[0]) == 0 {
		texts[0] = nil
	}
	text, told := merge.File(filepath.ToSlash(path), texts[0], merge.Version{Text: texts[1]}, merge.Version{Text: texts[2]}, a.mergeOptions())
	if err := os.WriteFile(a.path(ours), text, 0o666); err != nil {
		return err
	}
	for _, t := range told {
		a.warnf("%s: %s\n", path, t)
	}
	return nil
}

// mergeOptions are the journal's units, where git calls from its top folder.
func (a *program) mergeOptions() cookfile.Options {
	opt := cookfile.Options{Zone: time.Local}
	if data, err := os.ReadFile(a.path("journal.md")); err == nil {
		opt.Settings, _, _ = cookfile.ParseSettings("journal.md", data)
	}
	return opt
}
