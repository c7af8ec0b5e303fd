package main

import (
	"os"
	"path/filepath"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/flags"

	"github.com/spf13/cobra"
)

const mergeHelp = `Merge two versions of a file of the journal by their meaning, and write the result
over OURS. BASE is the version that both started from; it is empty where there is none.
PATH says what the file is: a cook, a table of readings or another page.

Entries of both versions are kept; an entry that either version deleted is left out. Where
both set the same thing, the newer value is kept, as far as git knows it while it merges
commits. Otherwise the one that comes last in byte order is kept. The other value goes
under "also" and is reported.

git runs this itself once you have run "ashbook init --driver".`

func (a *program) mergeCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "merge BASE OURS THEIRS PATH",
		Short: "Merge two versions of a file by their meaning, for git",
		Long:  mergeHelp,
		Args:  flags.Exactly(4),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.merge(args[:3], args[3])
		},
	}
}

// merge merges three versions of the file of a path: base, ours and theirs.
func (a *program) merge(versions []string, path string) error {
	var texts [3][]byte
	for i, name := range versions {
		data, err := os.ReadFile(a.path(name))
		if err != nil {
			return err
		}
		texts[i] = data
	}
	settings, _ := os.ReadFile(a.path("journal.md")) // git calls it in the top folder of the journal
	text, conflicts := app.Merge(app.MergeRequest{
		Dir: a.dir, Path: filepath.ToSlash(path), Base: texts[0], Ours: texts[1], Theirs: texts[2], Environ: os.Environ(), Settings: settings,
	})
	if err := os.WriteFile(a.path(versions[1]), text, 0o666); err != nil {
		return err
	}
	for _, t := range conflicts {
		a.warnf("%s: %s\n", path, t)
	}
	return nil
}
