package history

import (
	"container/heap"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/object"
	"github.com/go-git/go-git/v5/storage"
)

// Objects reads the commits, trees and files of a repository, and those of an inbox if
// there is one. It does not see later changes. It must be used by one goroutine only.
type Objects struct {
	repo    *Repo
	st      storage.Storer
	shallow map[plumbing.Hash]bool
	commits map[plumbing.Hash]*node
}

// node is the part of a commit that walking the history needs.
type node struct {
	hash, tree plumbing.Hash
	parents    []plumbing.Hash
	when       int64 // committer's time, s since 1970
}

// Objects opens the repository for reading.
func (r *Repo) Objects() (*Objects, error) {
	st, err := r.open()
	if err != nil {
		return nil, &Postponed{unwritable(err)}
	}
	return r.objects(st)
}

func (r *Repo) objects(st storage.Storer) (*Objects, error) {
	o := &Objects{repo: r, st: st, shallow: map[plumbing.Hash]bool{}, commits: map[plumbing.Hash]*node{}}
	cut, err := st.Shallow()
	for _, h := range cut {
		o.shallow[h] = true
	}
	return o, err
}

// Head returns the newest commit of the current branch; "" if it has none.
func (o *Objects) Head() (string, error) {
	c, err := o.repo.head(o.st)
	if err != nil || c == nil {
		return "", err
	}
	return c.Hash.String(), nil
}

// refIn returns the commit that a reference points to; "" for none.
func refIn(st storage.Storer, name string) string {
	ref, err := st.Reference(plumbing.ReferenceName(name))
	if err != nil || ref.Type() != plumbing.HashReference {
		return ""
	}
	return ref.Hash().String()
}

func (o *Objects) commit(h plumbing.Hash) (*node, error) {
	if n := o.commits[h]; n != nil {
		return n, nil
	}
	c, err := object.GetCommit(o.st, h)
	if err != nil {
		return nil, fmt.Errorf("git commit %s: %w", h, err)
	}
	n := &node{hash: h, tree: c.TreeHash, parents: c.ParentHashes, when: c.Committer.When.Unix()}
	if o.shallow[h] {
		n.parents = nil
	}
	o.commits[h] = n
	return n, nil
}

// ages is a heap of commits, the newest first.
type ages []*node

func (q ages) Len() int           { return len(q) }
func (q ages) Less(i, j int) bool { return q[i].when > q[j].when }
func (q ages) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *ages) Push(x any)        { *q = append(*q, x.(*node)) }
func (q *ages) Pop() any {
	old := *q
	n := old[len(old)-1]
	*q = old[:len(old)-1]
	return n
}

// mark says from which commit a commit was reached.
type mark byte

const (
	fromOne mark = 1 << iota
	fromTwo
	stale // an ancestor of a common ancestor
	common
)

// painting walks from some commits back in time, newest first. Clocks may be wrong, so
// a commit that is reached with a new mark is visited again.
type painting struct {
	*Objects
	queue ages
	in    map[plumbing.Hash]bool // commits in queue
	marks map[plumbing.Hash]mark
}

func (o *Objects) painting() *painting {
	return &painting{Objects: o, in: map[plumbing.Hash]bool{}, marks: map[plumbing.Hash]mark{}}
}

func (p *painting) reach(h plumbing.Hash, m mark) error {
	if p.marks[h]&m == m {
		return nil
	}
	p.marks[h] |= m
	if p.in[h] {
		return nil
	}
	n, err := p.commit(h)
	if err == nil {
		p.in[h] = true
		heap.Push(&p.queue, n)
	}
	return err
}

func (p *painting) next() *node {
	n := heap.Pop(&p.queue).(*node)
	delete(p.in, n.hash)
	return n
}

// open reports whether the queue has a commit that has none of the marks m.
func (p *painting) open(m mark) bool {
	return slices.ContainsFunc(p.queue, func(n *node) bool { return p.marks[n.hash]&m == 0 })
}

// Bases returns the best common ancestors of two commits, sorted by hash; none of them
// is an ancestor of another. It walks as `git merge-base` does.
func (o *Objects) Bases(one, two string) ([]string, error) {
	found, err := o.bases(plumbing.NewHash(one), plumbing.NewHash(two))
	var out []string
	for _, h := range found {
		out = append(out, h.String())
	}
	return out, err
}

func (o *Objects) bases(one, two plumbing.Hash) ([]plumbing.Hash, error) {
	p := o.painting()
	if err := errors.Join(p.reach(one, fromOne), p.reach(two, fromTwo)); err != nil {
		return nil, err
	}
	var found []plumbing.Hash
	for p.open(stale) {
		n := p.next()
		m := p.marks[n.hash] & (fromOne | fromTwo | stale)
		if m&(fromOne|fromTwo) == fromOne|fromTwo {
			if p.marks[n.hash]&common == 0 {
				p.marks[n.hash] |= common
				found = append(found, n.hash)
			}
			m |= stale
		}
		for _, h := range n.parents {
			if err := p.reach(h, m); err != nil {
				return nil, err
			}
		}
	}
	found = slices.DeleteFunc(found, func(h plumbing.Hash) bool { return p.marks[h]&stale != 0 })
	slices.SortFunc(found, func(a, b plumbing.Hash) int { return slices.Compare(a[:], b[:]) })
	if len(found) < 2 {
		return found, nil
	}
	var best []plumbing.Hash
	for _, h := range found {
		under := false
		for _, other := range found {
			if other == h || under {
				continue
			}
			of, err := o.bases(h, other)
			if err != nil {
				return nil, err
			}
			under = len(of) == 1 && of[0] == h
		}
		if !under {
			best = append(best, h)
		}
	}
	return best, nil
}

// Within reports whether older is newer or an ancestor of it.
func (o *Objects) Within(older, newer string) (bool, error) {
	if older == newer {
		return true, nil
	}
	found, err := o.bases(plumbing.NewHash(older), plumbing.NewHash(newer))
	return len(found) == 1 && found[0].String() == older, err
}

// clocksOff is how many seconds a parent may be dated after its child for between to be
// exact (chosen). With larger errors, between may return commits that are known.
const clocksOff = 24 * 60 * 60

// between returns the commits reachable from tip but not from known, newest first.
func (o *Objects) between(tip plumbing.Hash, known ...plumbing.Hash) ([]*node, error) {
	p := o.painting()
	for _, h := range known {
		if err := p.reach(h, fromTwo); err != nil {
			return nil, err
		}
	}
	if err := p.reach(tip, fromOne); err != nil {
		return nil, err
	}
	var found []*node
	oldest := int64(1<<63 - 1)
	for len(p.queue) > 0 && (p.open(fromTwo) || len(found) > 0 && p.queue[0].when > oldest-clocksOff) {
		n := p.next()
		m := p.marks[n.hash]
		if m&fromTwo == 0 {
			oldest = min(oldest, n.when)
			found = append(found, n)
		}
		for _, h := range n.parents {
			if err := p.reach(h, m); err != nil {
				return nil, err
			}
		}
	}
	return slices.DeleteFunc(found, func(n *node) bool { return p.marks[n.hash]&fromTwo != 0 }), nil
}

// Made is a commit as it is shown to people.
type Made struct {
	Hash    string
	Who     string // author's name
	When    time.Time
	Message string
	Merge   bool // it joins two histories and has no note of its own
}

// Between returns the commits reachable from tip but not from known, newest first. It
// ignores a known commit that is "" or not in the repository.
func (o *Objects) Between(tip string, known ...string) ([]Made, error) {
	if tip == "" {
		return nil, nil
	}
	nodes, err := o.between(plumbing.NewHash(tip), o.has(known)...)
	if err != nil {
		return nil, err
	}
	var out []Made
	for _, n := range nodes {
		c, err := object.GetCommit(o.st, n.hash)
		if err != nil {
			return nil, err
		}
		out = append(out, Made{n.hash.String(), c.Author.Name, c.Author.When, c.Message, len(c.ParentHashes) > 1})
	}
	return out, nil
}

// has returns the commits of the list that are in the repository.
func (o *Objects) has(names []string) (found []plumbing.Hash) {
	for _, name := range names {
		if h := plumbing.NewHash(name); !h.IsZero() && o.st.HasEncodedObject(h) == nil {
			found = append(found, h)
		}
	}
	return found
}

// Commit returns one commit, and the hashes of its parents.
func (o *Objects) Commit(hash string) (made Made, parents []string, err error) {
	c, err := object.GetCommit(o.st, plumbing.NewHash(hash))
	if err != nil {
		return Made{}, nil, err
	}
	n, err := o.commit(c.Hash)
	if err != nil {
		return Made{}, nil, err
	}
	for _, h := range n.parents {
		parents = append(parents, h.String())
	}
	return Made{hash, c.Author.Name, c.Author.When, c.Message, len(parents) > 1}, parents, nil
}

// FileAt returns the hash of a file in a commit; "" if the commit lacks it. path is
// below the repository's top.
func (o *Objects) FileAt(commit, path string) (string, error) {
	n, err := o.commit(plumbing.NewHash(commit))
	if err != nil {
		return "", err
	}
	return o.FileIn(n.tree.String(), path)
}

// FileIn returns the hash of a file in a tree, as FileAt does for a commit.
func (o *Objects) FileIn(tree, path string) (string, error) {
	if tree == "" {
		return "", nil
	}
	hash, err := (&walk{store: o.st, path: strings.Split(path, "/")}).below(plumbing.NewHash(tree), 0)
	if err != nil || hash.IsZero() {
		return "", err
	}
	return hash.String(), nil
}
