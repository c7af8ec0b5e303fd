package history

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/filemode"
	"github.com/go-git/go-git/v5/plumbing/object"
	"github.com/go-git/go-git/v5/storage/memory"
)

// ErrMoved means that the branch or a file has changed since the merge was computed.
var ErrMoved = errors.New("the journal has changed meanwhile")

// joinMessage is the message of every merge commit.
const joinMessage = "journal: two histories joined\n"

// Join describes the merge of two histories.
type Join struct {
	Head    string // newest commit of the branch, which must not have moved; "" if it has none
	Other   string // newest commit of the other history
	Forward bool   // move the branch to Other itself; if false, a commit joins both
	Changes []Change
}

// Join moves the branch to the merge of itself and another history, and returns the
// newest commit. j.Changes is how the merge differs from the branch before.
//
// A merge commit depends only on its parents and the changes: its parents are sorted by
// hash, its time is the later parent's, and its author is always the same. So two
// machines that join the same two histories make the same commit.
//
// It fails with ErrMoved, and with the errors of Commit. The caller must hold Lock.
func (r *Repo) Join(j Join) (tip string, err error) {
	tip, err = r.record(j.Changes, true, func(w *writer, set *settings, parent *object.Commit, leaves []*leaf) (*object.Commit, plumbing.Hash, error) {
		var tree, at plumbing.Hash
		if parent != nil {
			tree, at = parent.TreeHash, parent.Hash
		}
		if at != plumbing.NewHash(j.Head) {
			return nil, plumbing.ZeroHash, ErrMoved
		}
		tree, err := w.tree(tree, leaves)
		if err != nil {
			return nil, plumbing.ZeroHash, err
		}
		other, err := object.GetCommit(w.store, plumbing.NewHash(j.Other))
		if err != nil {
			return nil, plumbing.ZeroHash, err
		}
		if j.Forward {
			if tree != other.TreeHash {
				return nil, plumbing.ZeroHash, fmt.Errorf("git commit %s: its files are not those that were merged", other.Hash)
			}
			return other, other.Hash, nil
		}
		c := joined(parent, other)
		c.TreeHash = tree
		hash, err := w.commit(c)
		return c, hash, err
	})
	if errors.Is(err, errMoved) {
		err = ErrMoved
	}
	return tip, err
}

// joined returns the merge commit of a and b; its tree is still missing.
func joined(a, b *object.Commit) *object.Commit {
	both := []*object.Commit{a, b}
	slices.SortFunc(both, func(x, y *object.Commit) int { return slices.Compare(x.Hash[:], y.Hash[:]) })
	when := both[0].Committer.When
	if both[1].Committer.When.After(when) {
		when = both[1].Committer.When
	}
	sig := object.Signature{Name: Unnamed, Email: unnamedMail, When: when}
	return &object.Commit{Author: sig, Committer: sig, Message: joinMessage, ParentHashes: []plumbing.Hash{both[0].Hash, both[1].Hash}}
}

// Imagine returns the hash of a tree with these files changed; nil deletes a file. The
// new objects stay in memory. It is used to merge several common ancestors into a
// version that nobody ever saved.
func (o *Objects) Imagine(tree string, files map[string][]byte) (string, error) {
	st, ok := o.st.(borrowing)
	if !ok {
		st.Storer = o.st
	}
	if st.imagined == nil {
		st.imagined = memory.NewStorage()
		o.st = st
	}
	w := &writer{store: o.st, memory: st.imagined}
	var leaves []*leaf
	for p, data := range files {
		l := &leaf{staged: staged{path: p, mode: filemode.Regular}, rest: p}
		if data != nil {
			var err error
			if l.hash, err = w.write(plumbing.BlobObject, data); err != nil {
				return "", err
			}
		}
		leaves = append(leaves, l)
	}
	slices.SortFunc(leaves, func(a, b *leaf) int { return strings.Compare(a.path, b.path) })
	got, err := w.tree(plumbing.NewHash(tree), leaves)
	return got.String(), err
}
