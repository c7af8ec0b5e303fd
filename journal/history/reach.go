package history

import (
	"errors"
	"slices"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/filemode"
)

// Entry is an entry of a tree. The zero Entry means that there is none.
type Entry struct {
	Hash string // 40 hexadecimal digits
	Mode filemode.FileMode
}

// Regular reports whether it is a regular file that is not executable.
func (e Entry) Regular() bool { return e.Mode == filemode.Regular || e.Mode == filemode.Deprecated }

// Differs is how two trees differ at one path.
type Differs struct{ Was, Is Entry }

// Tree returns the hash of a commit's tree; "" for "".
func (o *Objects) Tree(commit string) (string, error) {
	if commit == "" {
		return "", nil
	}
	n, err := o.commit(plumbing.NewHash(commit))
	if err != nil {
		return "", err
	}
	return n.tree.String(), nil
}

// Diff returns the files in which two trees differ, by path below the repository's top.
// "" is the empty tree.
func (o *Objects) Diff(from, to string) (map[string]Differs, error) {
	out := map[string]Differs{}
	put := func(path string, set func(*Differs)) {
		d := out[path]
		set(&d)
		out[path] = d
	}
	err := o.diff(plumbing.NewHash(from), plumbing.NewHash(to), "", put)
	return out, err
}

func (o *Objects) diff(from, to plumbing.Hash, dir string, put func(string, func(*Differs))) error {
	if from == to {
		return nil
	}
	was, err := readTree(o.st, from)
	if err != nil {
		return err
	}
	is, err := readTree(o.st, to)
	if err != nil {
		return err
	}
	old := map[string]treeEntry{}
	for _, e := range was {
		old[e.name] = e
	}
	gone := func(e treeEntry) error {
		if e.mode == filemode.Dir {
			return o.diff(e.hash, plumbing.ZeroHash, dir+e.name+"/", put)
		}
		put(dir+e.name, func(d *Differs) { d.Was = Entry{e.hash.String(), e.mode} })
		return nil
	}
	come := func(e treeEntry) error {
		if e.mode == filemode.Dir {
			return o.diff(plumbing.ZeroHash, e.hash, dir+e.name+"/", put)
		}
		put(dir+e.name, func(d *Differs) { d.Is = Entry{e.hash.String(), e.mode} })
		return nil
	}
	for _, e := range is {
		b, both := old[e.name]
		delete(old, e.name)
		switch {
		case both && b == e:
		case both && b.mode == filemode.Dir && e.mode == filemode.Dir:
			err = o.diff(b.hash, e.hash, dir+e.name+"/", put)
		case both:
			err = errors.Join(gone(b), come(e))
		default:
			err = come(e)
		}
		if err != nil {
			return err
		}
	}
	for _, e := range old {
		if err := gone(e); err != nil {
			return err
		}
	}
	return nil
}

// Files returns the files of a tree by path.
func (o *Objects) Files(tree string) (map[string]Entry, error) {
	out := map[string]Entry{}
	err := o.files(plumbing.NewHash(tree), "", func(path string, e treeEntry) { out[path] = Entry{e.hash.String(), e.mode} })
	return out, err
}

// files calls visit for each file of a tree.
func (o *Objects) files(tree plumbing.Hash, dir string, visit func(path string, e treeEntry)) error {
	entries, err := readTree(o.st, tree)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.mode != filemode.Dir {
			visit(dir+e.name, e)
		} else if err := o.files(e.hash, dir+e.name+"/", visit); err != nil {
			return err
		}
	}
	return nil
}

// Bytes returns the content of a blob.
func (o *Objects) Bytes(hash string) ([]byte, error) {
	return readObject(o.st, plumbing.BlobObject, plumbing.NewHash(hash))
}

// New is an object reachable from one commit and not from others.
type New struct {
	Hash  plumbing.Hash
	Kind  plumbing.ObjectType
	Path  string // path of its first place below the top; "" for a commit and its top tree
	Name  string // last part of Path as stored, which may be any bytes
	Mode  filemode.FileMode
	Size  int64 // size of a file in bytes
	Again bool  // it was already visited at another path

	folder tree // a tree's content; empty if Again
}

// What is the kind of a tree entry.
type What int

// The kinds.
const (
	Folder What = iota
	File
	Program // an executable file
	Link
	Repository // a submodule: another repository, of which only a commit is named
	Nothing    // none of the kinds that git has
)

// What returns the kind of an object that has a path.
func (n New) What() What {
	switch n.Mode {
	case filemode.Dir:
		return Folder
	case filemode.Regular, filemode.Deprecated:
		return File
	case filemode.Executable:
		return Program
	case filemode.Symlink:
		return Link
	case filemode.Submodule:
		return Repository
	}
	return Nothing
}

// New calls visit for each object reachable from tip but not from known: the commits
// oldest first, each followed by those of its trees and files that none of its parents
// has. It may visit some that are known. It fails if an object is missing.
func (o *Objects) New(tip string, known []string, visit func(New) error) error {
	if tip == "" {
		return nil
	}
	nodes, err := o.between(plumbing.NewHash(tip), o.has(known)...)
	if err != nil {
		return err
	}
	w := newWalk{o, map[plumbing.Hash]bool{}, map[plumbing.Hash]tree{}, visit}
	for _, n := range slices.Backward(nodes) {
		if err := visit(New{Hash: n.hash, Kind: plumbing.CommitObject}); err != nil {
			return err
		}
		var trees []plumbing.Hash
		for _, h := range n.parents {
			p, err := o.commit(h)
			if err != nil {
				return err
			}
			trees = append(trees, p.tree)
		}
		if err := w.entry(treeEntry{mode: filemode.Dir, hash: n.tree}, trees, ""); err != nil {
			return err
		}
	}
	return nil
}

type newWalk struct {
	*Objects
	done  map[plumbing.Hash]bool
	trees map[plumbing.Hash]tree // trees read last; most of the next commit's are the same
	visit func(New) error
}

// mostTrees is the number of trees kept in memory (chosen: the latest ones of a
// lifetime of cooks).
const mostTrees = 128

// tree is a git tree: its bytes and its entries.
type tree struct {
	raw     []byte
	entries []treeEntry
}

func (w *newWalk) tree(h plumbing.Hash) (t tree, err error) {
	if t, ok := w.trees[h]; ok {
		return t, nil
	}
	if t.raw, err = readObject(w.st, plumbing.TreeObject, h); err == nil {
		t.entries, err = parseTree(h, t.raw)
	}
	if len(w.trees) >= mostTrees {
		clear(w.trees)
	}
	if err == nil {
		w.trees[h] = t
	}
	return t, err
}

// entry visits an entry with everything below it. was has the trees that the parents
// have at the same path.
func (w *newWalk) entry(e treeEntry, was []plumbing.Hash, path string) error {
	if slices.Contains(was, e.hash) {
		return nil
	}
	n := New{Hash: e.hash, Kind: plumbing.BlobObject, Path: path, Name: e.name, Mode: e.mode, Again: w.done[e.hash]}
	w.done[e.hash] = true
	var err error
	switch e.mode {
	case filemode.Dir:
		n.Kind = plumbing.TreeObject
		if !n.Again {
			n.folder, err = w.tree(e.hash)
		}
	case filemode.Submodule:
		n.Kind = plumbing.CommitObject
	default:
		n.Size, err = w.st.EncodedObjectSize(e.hash)
	}
	if err == nil {
		err = w.visit(n)
	}
	if err != nil || e.mode != filemode.Dir || n.Again {
		return err
	}
	return w.below(n.folder.entries, was, path)
}

// below visits the entries that none of the parents' trees has. That is nearly always
// one file, so it first skips the equal entries at the start and at the end.
func (w *newWalk) below(entries []treeEntry, was []plumbing.Hash, path string) error {
	from, to := 0, len(entries)
	old := map[string][]treeEntry{}
	for _, h := range was {
		t, err := w.tree(h)
		if err != nil {
			return err
		}
		before := t.entries
		head, tail := 0, 0
		for most := min(len(entries), len(before)); head < most && entries[head] == before[head]; {
			head++
		}
		for most := min(len(entries), len(before)) - head; tail < most && entries[len(entries)-1-tail] == before[len(before)-1-tail]; {
			tail++
		}
		for _, e := range before[head : len(before)-tail] {
			old[e.name] = append(old[e.name], e)
		}
		from, to = max(from, head), min(to, len(entries)-tail)
	}
	if path != "" {
		path += "/"
	}
	for _, e := range entries[from:max(from, to)] {
		if slices.Contains(old[e.name], e) {
			continue
		}
		var folders []plumbing.Hash
		for _, b := range old[e.name] {
			if b.mode == filemode.Dir {
				folders = append(folders, b.hash)
			}
		}
		if err := w.entry(e, folders, path+e.name); err != nil {
			return err
		}
	}
	return nil
}

// Missing returns the objects reachable from tip but not from old.
func (o *Objects) Missing(tip, old string) (all []plumbing.Hash, err error) {
	err = o.New(tip, []string{old}, func(n New) error {
		if n.ours() {
			all = append(all, n.Hash)
		}
		return nil
	})
	return all, err
}

// ours reports whether to copy the object. An object that was already visited, or that
// belongs to another repository, is not copied.
func (n New) ours() bool { return !n.Again && n.What() != Repository }

// Known reports whether the repository has a commit with everything it needs, since it
// is one of known or an ancestor of one.
func (o *Objects) Known(commit string, known []string) bool {
	if len(o.has([]string{commit})) == 0 {
		return false
	}
	for _, k := range known {
		if within, err := o.Within(commit, k); err == nil && within {
			return true
		}
	}
	return false
}

// farBack is the largest number of commits that Haves goes back from known (chosen: the
// remote nearly always has known itself).
const farBack = 1 << 10

// Haves returns commits from which a remote can find out what is known here: known
// itself, and its ancestors at distances that double each time.
func (o *Objects) Haves(known []string) ([]string, error) {
	var out []string
	for _, at := range o.has(known) {
		next := 0
		for i := range farBack {
			if i == next {
				out = append(out, at.String())
				next = max(1, 2*i)
			}
			n, err := o.commit(at)
			if err != nil {
				return nil, err
			}
			if len(n.parents) == 0 {
				break
			}
			at = n.parents[0]
		}
	}
	return out, nil
}
