package syncer

import (
	"slices"
	"time"

	"ashbook/journal/history"
	"ashbook/journal/merge"
)

// authors finds out who changed what in one of the two histories of a merge.
type authors struct {
	o   *history.Objects
	tip string // newest commit of the history; "" for none
}

// version returns a file as the history has it.
func (a authors) version(path string, e history.Entry) (merge.Version, error) {
	text, err := a.o.Bytes(e.Hash)
	if err != nil || a.tip == "" {
		return merge.Version{Text: text}, err
	}
	set := func(is func(blob string) bool) (string, time.Time) { return a.since(path, is) }
	v := merge.Version{Text: text}
	v.By, v.At = set(func(blob string) bool { return blob == e.Hash })
	v.Set = func(key []string) (string, time.Time) {
		want, there := merge.Value(path, text, key)
		said := map[string]bool{e.Hash: true}
		return set(func(blob string) bool {
			same, known := said[blob]
			if !known {
				old, err := a.o.Bytes(blob)
				value, ok := "", false
				if err == nil && blob != "" {
					value, ok = merge.Value(path, old, key)
				}
				same = value == want && ok == there
				said[blob] = same
			}
			return same
		})
	}
	return v, nil
}

// VersionAt returns a file as it is in a commit, with who set each part of it and when.
func VersionAt(repo *history.Repo, commit, path string) (merge.Version, error) {
	o, err := repo.Objects()
	if err != nil {
		return merge.Version{}, err
	}
	hash, err := o.FileAt(commit, path)
	if err != nil {
		return merge.Version{}, err
	}
	return authors{o, commit}.version(path, history.Entry{Hash: hash})
}

// since returns who made the oldest commit from which on the condition is holds for the
// file, and when. It goes back from the newest commit along first parents, as long as
// the condition holds.
func (a authors) since(path string, is func(blob string) bool) (string, time.Time) {
	at := a.tip
	for {
		made, parents, err := a.o.Commit(at)
		if err != nil {
			return "", time.Time{}
		}
		before := slices.IndexFunc(parents, func(p string) bool {
			blob, err := a.o.FileAt(p, path)
			return err == nil && is(blob)
		})
		if before < 0 {
			return made.Who, made.When
		}
		at = parents[before]
	}
}
