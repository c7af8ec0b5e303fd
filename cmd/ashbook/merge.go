package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"time"

	"ashbook/journal/cookfile"
	"ashbook/journal/history"
	"ashbook/journal/merge"
	"ashbook/journal/syncer"

	"github.com/spf13/cobra"
)

const mergeHelp = `Merge two versions of a file of the journal by what they mean, and write the
result in place of OURS. BASE is the version both were made from; an empty file
where there is none. PATH says what the file is: a cook, a table of readings or
another page.

An entry of either version stays, one that either took out is out. Of two values
for one thing the file keeps the newer one, as git knows it while it merges commits.
Where nothing says which is newer, it keeps the one that comes last in the order of
bytes. The other is kept under "also" and reported.

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
	one, two := a.whoSet(filepath.ToSlash(path), texts[1], texts[2])
	text, told := merge.File(filepath.ToSlash(path), texts[0], one, two, a.mergeOptions())
	if err := os.WriteFile(a.path(ours), text, 0o666); err != nil {
		return err
	}
	for _, t := range told {
		a.warnf("%s: %s\n", path, t)
	}
	return nil
}

// headPrefix begins the variables in which git merge names the commits that it merges.
const headPrefix = "GITHEAD_"

// whoSet returns the two versions with who set what in them and when, where git merges
// one commit into the newest one here; else the texts alone.
func (a *program) whoSet(path string, ours, theirs []byte) (one, two merge.Version) {
	plainOne, plainTwo := merge.Version{Text: ours}, merge.Version{Text: theirs}
	var heads []string
	for _, v := range os.Environ() {
		if name, _, ok := strings.Cut(v, "="); ok && strings.HasPrefix(name, headPrefix) {
			heads = append(heads, strings.TrimPrefix(name, headPrefix))
		}
	}
	repo, err := history.Open(a.dir)
	if err != nil || len(heads) != 1 {
		return plainOne, plainTwo
	}
	tip, err := repo.Tip()
	if err != nil {
		return plainOne, plainTwo
	}
	one, errOne := syncer.VersionAt(repo, tip, path)
	two, errTwo := syncer.VersionAt(repo, heads[0], path)
	if errOne != nil || errTwo != nil || !bytes.Equal(one.Text, ours) || !bytes.Equal(two.Text, theirs) {
		return plainOne, plainTwo
	}
	return one, two
}

// mergeOptions are the journal's units, where git calls from its top folder.
func (a *program) mergeOptions() cookfile.Options {
	opt := cookfile.Options{Zone: time.Local}
	if data, err := os.ReadFile(a.path("journal.md")); err == nil {
		opt.Settings, _, _ = cookfile.ParseSettings("journal.md", data)
	}
	return opt
}
