package app

import (
	"bytes"
	"strings"
	"time"

	"ashbook/journal/cookfile"
	"ashbook/journal/history"
	"ashbook/journal/merge"
	"ashbook/journal/syncer"
)

// MergeRequest is two versions of a file that git asks to merge.
type MergeRequest struct {
	Dir                string // the top folder of the journal
	Path               string // path of the file below it, with slashes
	Base, Ours, Theirs []byte // empty Base: each version created the file
	Settings           []byte // content of journal.md; empty if there is none
	Environ            []string
}

// Merge merges two versions of a file by their meaning. It also returns the conflicts.
func Merge(r MergeRequest) (text []byte, conflicts []merge.Conflict) {
	opt := cookfile.Options{Zone: time.Local}
	if len(r.Settings) > 0 {
		opt.Settings, _, _ = cookfile.ParseSettings("journal.md", r.Settings)
	}
	base := r.Base
	if len(base) == 0 {
		base = nil
	}
	one, two := r.versions()
	return merge.File(r.Path, base, one, two, opt)
}

// headPrefix is the prefix of the environment variables in which git merge names the
// commits it merges.
const headPrefix = "GITHEAD_"

// versions returns the two versions. If git merges one commit into the current one,
// they have who set each part and when; if not, only their texts.
func (r *MergeRequest) versions() (one, two merge.Version) {
	plainOne, plainTwo := merge.Version{Text: r.Ours}, merge.Version{Text: r.Theirs}
	var heads []string
	for _, v := range r.Environ {
		if name, _, ok := strings.Cut(v, "="); ok && strings.HasPrefix(name, headPrefix) {
			heads = append(heads, strings.TrimPrefix(name, headPrefix))
		}
	}
	repo, err := history.Open(r.Dir)
	if err != nil || len(heads) != 1 {
		return plainOne, plainTwo
	}
	tip, err := repo.Tip()
	if err != nil {
		return plainOne, plainTwo
	}
	one, errOne := syncer.VersionAt(repo, tip, r.Path)
	two, errTwo := syncer.VersionAt(repo, heads[0], r.Path)
	if errOne != nil || errTwo != nil || !bytes.Equal(one.Text, r.Ours) || !bytes.Equal(two.Text, r.Theirs) {
		return plainOne, plainTwo
	}
	return one, two
}

// UseDriver sets up git to merge the cooks of the journal in dir with ashbook, and
// commits the change.
func UseDriver(dir string, now time.Time) error {
	r, err := history.Open(dir)
	if err != nil {
		return err
	}
	if err := r.UseDriver(`ashbook merge %O %A %B %P`); err != nil {
		return err
	}
	_, err = history.Init(dir, now, 0)
	return err
}
