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

// ErrMoved says that the branch or a file is not as it was when a merge was made of it.
var ErrMoved = errors.New("the journal has changed meanwhile")

// joinMessage is the message of every commit that joins two histories.
const joinMessage = "journal: two histories joined\n"

// Join is what two histories become.
type Join struct {
	Head    string // the newest commit of the branch, which is not to have moved; "" of none
	Other   string // of the other history
	Forward bool   // the branch goes to Other as it is; else a commit joins both
	Changes []Change
}

// Join moves the branch to what it and another history become, and returns the newest
// commit. The changes are what differs from the branch then.
//
// A commit that joins is made of its parents and the changes alone: the parents in order
// of their names, the later parent's time, always the same signer. Two machines that
// join the same two histories write the same commit.
//
// It fails with ErrMoved, and as Commit does. The caller holds Lock.
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
				return nil, plumbing.ZeroHash, fmt.Errorf("git commit %s: its files are not those that were taken in", other.Hash)
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

// joined is the commit that joins two, but for its tree.
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

// Imagine returns the tree that another becomes with these files, nil for one that is
// gone. It is kept in memory: the merge of several common ancestors is nobody's version.
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
