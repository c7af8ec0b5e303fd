package history

import (
	"bytes"
	"container/heap"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/object"
	"github.com/go-git/go-git/v5/storage"
)

// Version is one commit that changed a file.
type Version struct {
	Hash    string // hash of the commit, 40 hexadecimal digits
	Who     string // author's name
	When    time.Time
	Message string // the whole message, without the newline at its end
	Removed bool   // the commit deleted the file
	Before  string // commit with the version before this one; "" if the file is new
}

// Versions returns the versions of a file, newest first: at most limit of them, or all
// if limit is 0. path is below the journal folder. If the file was deleted and created
// again, the versions before that belong to another file and are left out.
//
// It visits commits by date, over all parents, each once. A merge is no version: the
// commits of both sides are, or only those of the side whose file the merge took.
func (r *Repo) Versions(path string, limit int) ([]Version, error) {
	return r.Past(path).Versions(time.Time{}, limit)
}

// Past is the history of one file for callers that ask again and again. It keeps what
// it has read of each commit. Several goroutines may use it.
type Past struct {
	repo *Repo
	mu   sync.Mutex
	walk walk
}

// Past returns the history of a file. path is below the journal folder.
func (r *Repo) Past(path string) *Past { return &Past{repo: r, walk: *newWalkOf(nil, r.path(path))} }

// Versions returns what Repo.Versions does, without the commits dated before from; a
// zero from leaves out none.
func (p *Past) Versions(from time.Time, limit int) ([]Version, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	st, err := p.repo.open()
	if err != nil {
		return nil, err
	}
	head, err := p.repo.head(st)
	if err != nil || head == nil {
		return nil, err
	}
	var out []Version
	p.walk.store, p.walk.from = st, from
	err = p.walk.versions(head, func(c *object.Commit, blob, before plumbing.Hash) bool {
		if len(c.ParentHashes) > 1 {
			return true
		}
		v := Version{c.Hash.String(), c.Author.Name, c.Author.When, strings.TrimRight(c.Message, "\n"), blob.IsZero(), ""}
		if !before.IsZero() {
			v.Before = before.String()
		}
		out = append(out, v)
		return limit == 0 || len(out) < limit
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// versions calls visit for each commit that changed the file, as Versions describes,
// until visit returns false. blob is zero if the commit deleted the file. before is the
// first parent that has the file, zero for none.
func (w *walk) versions(head *object.Commit, visit func(c *object.Commit, blob, before plumbing.Hash) bool) error {
	w.queue = nil
	clear(w.seen)
	w.add(head)
	there := false // whether the version visited last has the file
	for w.queue.Len() > 0 {
		c := heap.Pop(&w.queue).(*object.Commit)
		if c.Committer.When.Before(w.from) {
			return nil
		}
		blob, err := w.blob(c)
		if err != nil {
			return err
		}
		if blob.IsZero() && there {
			continue
		}
		same := false
		var before plumbing.Hash
		var parents []*object.Commit
		for _, h := range c.ParentHashes {
			p, err := w.commit(h)
			if errors.Is(err, plumbing.ErrObjectNotFound) {
				continue // a shallow clone ends here
			}
			if err != nil {
				return err
			}
			was, err := w.blob(p)
			if err != nil {
				return err
			}
			if was == blob {
				parents, same = []*object.Commit{p}, true
				break
			}
			parents = append(parents, p)
			if before.IsZero() && !was.IsZero() {
				before = h
			}
		}
		if !same && !(blob.IsZero() && len(parents) == 0) {
			if there = !blob.IsZero(); !visit(c, blob, before) {
				return nil
			}
		}
		for _, p := range parents {
			w.add(p)
		}
	}
	return nil
}

// Sum returns the hash that git gives to a file with this content: 40 hexadecimal
// digits.
func Sum(data []byte) string { return plumbing.ComputeHash(plumbing.BlobObject, data).String() }

// Newest returns the hash of sums that belongs to the newest version of the file, or ""
// if none is among its last lookBack versions.
func (r *Repo) Newest(path string, sums ...string) (string, error) {
	st, err := r.open()
	if err != nil {
		return "", err
	}
	head, err := r.head(st)
	if err != nil || head == nil {
		return "", err
	}
	var want []plumbing.Hash
	for _, s := range sums {
		want = append(want, plumbing.NewHash(s))
	}
	found, err := r.newest(st, head, r.path(path), want...)
	if err != nil || found.IsZero() {
		return "", err
	}
	return found.String(), nil
}

// lookBack is how many versions of a file are searched (chosen: more than a cook gets
// in its night).
const lookBack = 256

func (r *Repo) newest(st storage.Storer, head *object.Commit, path string, want ...plumbing.Hash) (plumbing.Hash, error) {
	found, err := (&walk{store: st, path: strings.Split(path, "/")}).blob(head)
	if err != nil || slices.Contains(want, found) {
		return found, err
	}
	found = plumbing.ZeroHash
	left := lookBack
	err = newWalkOf(st, path).versions(head, func(_ *object.Commit, blob, _ plumbing.Hash) bool {
		left--
		if slices.Contains(want, blob) {
			found, left = blob, 0
		}
		return left > 0
	})
	return found, err
}

// Blob returns the content with the given hash. It fails with ErrNoVersion if there is
// none.
func (r *Repo) Blob(sum string) ([]byte, error) {
	st, err := r.open()
	if err != nil {
		return nil, err
	}
	data, err := readObject(st, plumbing.BlobObject, plumbing.NewHash(sum))
	if errors.Is(err, plumbing.ErrObjectNotFound) {
		return nil, fmt.Errorf("%s: %w", sum, ErrNoVersion)
	}
	return data, err
}

// At returns the bytes of a file in a commit, as checked out to disk. It fails with
// ErrNoVersion if the commit does not exist or does not have the file.
func (r *Repo) At(hash, path string) ([]byte, error) {
	st, err := r.open()
	if err != nil {
		return nil, err
	}
	c, err := object.GetCommit(st, plumbing.NewHash(hash))
	if errors.Is(err, plumbing.ErrObjectNotFound) {
		return nil, fmt.Errorf("%q of %q: %w", hash, path, ErrNoVersion)
	}
	if err != nil {
		return nil, err
	}
	return r.blobOf(st, c, path)
}

// Tip returns the newest commit, 40 hexadecimal digits; "" if there is none.
func (r *Repo) Tip() (string, error) {
	st, err := r.open()
	if err != nil {
		return "", err
	}
	c, err := r.head(st)
	if err != nil || c == nil {
		return "", err
	}
	return c.Hash.String(), nil
}

// Head returns the bytes of a file in the newest commit, as At does. It fails with
// ErrNoVersion if that commit does not have the file.
func (r *Repo) Head(path string) ([]byte, error) {
	st, err := r.open()
	if err != nil {
		return nil, err
	}
	c, err := r.head(st)
	if err != nil {
		return nil, err
	}
	if c == nil {
		return nil, fmt.Errorf("%q: %w", path, ErrNoVersion)
	}
	return r.blobOf(st, c, path)
}

func (r *Repo) blobOf(st storage.Storer, c *object.Commit, path string) ([]byte, error) {
	hash, err := (&walk{store: st, path: strings.Split(r.path(path), "/")}).blob(c)
	if err != nil {
		return nil, err
	}
	if hash.IsZero() {
		return nil, fmt.Errorf("%q in %s: %w", path, c.Hash, ErrNoVersion)
	}
	data, err := readObject(st, plumbing.BlobObject, hash)
	if err != nil {
		return nil, err
	}
	return r.smudge(r.path(path), hash, data), nil
}

// everWas reports whether the file had the hash want in head or any commit before it.
// It searches at most lookBack commits that changed the file.
//
// Note: versions cannot be used here: if a merge took one side's file, it leaves out
// the other side.
func (r *Repo) everWas(st storage.Storer, head *object.Commit, path string, want plumbing.Hash) (bool, error) {
	walk := newWalkOf(st, path)
	walk.add(head)
	was := map[plumbing.Hash]bool{}
	for walk.queue.Len() > 0 && len(was) < lookBack {
		c := heap.Pop(&walk.queue).(*object.Commit)
		blob, err := walk.blob(c)
		if err != nil || blob == want {
			return blob == want, err
		}
		was[blob] = true
		for _, h := range c.ParentHashes {
			p, err := object.GetCommit(st, h)
			if errors.Is(err, plumbing.ErrObjectNotFound) {
				continue
			}
			if err != nil {
				return false, err
			}
			walk.add(p)
		}
	}
	return false, nil
}

// walk follows one path through the commits.
type walk struct {
	store storage.Storer
	path  []string
	queue byDate
	seen  map[plumbing.Hash]bool
	from  time.Time // versions stops at commits older than this

	memo    map[treeAt]plumbing.Hash // results already known; nil to keep none
	commits map[plumbing.Hash]*object.Commit
}

// newWalkOf returns a walk that keeps what it has read. path is below the repository's
// top.
func newWalkOf(st storage.Storer, path string) *walk {
	return &walk{store: st, path: strings.Split(path, "/"), seen: map[plumbing.Hash]bool{},
		memo: map[treeAt]plumbing.Hash{}, commits: map[plumbing.Hash]*object.Commit{}}
}

func (w *walk) commit(h plumbing.Hash) (*object.Commit, error) {
	if c := w.commits[h]; c != nil {
		return c, nil
	}
	c, err := object.GetCommit(w.store, h)
	if err == nil {
		w.commits[h] = c
	}
	return c, err
}

type treeAt struct {
	tree  plumbing.Hash
	depth int
}

func (w *walk) add(c *object.Commit) {
	if !w.seen[c.Hash] {
		w.seen[c.Hash] = true
		heap.Push(&w.queue, c)
	}
}

// blob returns the hash of the file in a commit, zero if it is not there.
func (w *walk) blob(c *object.Commit) (plumbing.Hash, error) { return w.below(c.TreeHash, 0) }

func (w *walk) below(tree plumbing.Hash, depth int) (plumbing.Hash, error) {
	key := treeAt{tree, depth}
	if h, ok := w.memo[key]; ok {
		return h, nil
	}
	raw, err := readObject(w.store, plumbing.TreeObject, tree)
	if err != nil {
		return plumbing.ZeroHash, err
	}
	hash, isDir := entryOf(raw, w.path[depth])
	switch last := depth == len(w.path)-1; {
	case last == isDir:
		hash = plumbing.ZeroHash
	case !last:
		if hash, err = w.below(hash, depth+1); err != nil {
			return plumbing.ZeroHash, err
		}
	}
	if w.memo != nil {
		w.memo[key] = hash
	}
	return hash, nil
}

// entryOf finds an entry by name in the bytes of a tree without parsing all of it. It
// returns the zero hash if there is none.
func entryOf(raw []byte, name string) (hash plumbing.Hash, isDir bool) {
	for len(raw) > 0 {
		space, nul := bytes.IndexByte(raw, ' '), bytes.IndexByte(raw, 0)
		if space < 0 || nul < space || nul+1+len(hash) > len(raw) {
			return plumbing.ZeroHash, false
		}
		if string(raw[space+1:nul]) == name {
			copy(hash[:], raw[nul+1:])
			return hash, string(raw[:space]) == "40000"
		}
		raw = raw[nul+1+len(hash):]
	}
	return plumbing.ZeroHash, false
}

func readObject(st storage.Storer, kind plumbing.ObjectType, hash plumbing.Hash) ([]byte, error) {
	obj, err := st.EncodedObject(kind, hash)
	if err != nil {
		return nil, fmt.Errorf("git object %s: %w", hash, err)
	}
	in, err := obj.Reader()
	if err != nil {
		return nil, err
	}
	data := make([]byte, obj.Size())
	_, err = io.ReadFull(in, data)
	return data, errors.Join(err, in.Close())
}

// byDate is a heap of commits, the newest first.
type byDate []*object.Commit

func (q byDate) Len() int           { return len(q) }
func (q byDate) Less(i, j int) bool { return q[i].Committer.When.After(q[j].Committer.When) }
func (q byDate) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *byDate) Push(x any)        { *q = append(*q, x.(*object.Commit)) }
func (q *byDate) Pop() any {
	old := *q
	c := old[len(old)-1]
	*q = old[:len(old)-1]
	return c
}
