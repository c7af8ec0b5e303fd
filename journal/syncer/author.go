package syncer

import (
	"slices"
	"time"

	"ashbook/journal/history"
	"ashbook/journal/merge"
)

// authors tells who changed what in one of two histories that are merged.
type authors struct {
	o   *history.Objects
	tip string // "" where nobody is known
}

// version is a file as that history has it.
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

// VersionAt is a file as it is in a commit, with who set what in it and when.
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

// since returns who made the commit since which a file is so, and when: the walk goes
// from the newest commit to the first parent in which it is so as well.
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
