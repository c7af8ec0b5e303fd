package history

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"time"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/filemode"
	"github.com/go-git/go-git/v5/plumbing/object"
	"github.com/go-git/go-git/v5/storage"

	"ashbook/journal/disk"
)

// Change is one file's new content.
type Change struct {
	Path   string // below the journal folder, with slashes
	Data   []byte
	Remove bool   // the file is gone; Data is not looked at
	Hash   string // of Data, where the repository has it already; ""
}

// flushedChanges is up to how many changes have their objects flushed to the disk one
// by one before the branch moves. More come only from putting a whole journal under
// git, whose files are all still there to do it again. Chosen.
const flushedChanges = 30

// Commit records the changes as one commit on the branch the person is on and
// returns its hash. Where the branch holds those bytes already no commit is made,
// the hash is "", and the index is put right if it is behind. The index remembers
// the file on the disk only if that holds the same bytes.
//
// It fails with *Postponed where a commit would disturb what the person is doing, and
// with ErrBusy where another program keeps a lock or the branch moving; Reason says
// why in plain words. The caller holds Lock.
func (r *Repo) Commit(message string, when time.Time, changes ...Change) (hash string, err error) {
	return r.record(changes, len(changes) <= flushedChanges, func(w *writer, set *settings, parent *object.Commit, leaves []*leaf) (*object.Commit, plumbing.Hash, error) {
		return r.object(w, set, parent, leaves, message, when)
	})
}

// maker writes the trees with the leaves, and the commit that the branch goes to: none,
// and nil, where it stays.
type maker func(w *writer, set *settings, parent *object.Commit, leaves []*leaf) (*object.Commit, plumbing.Hash, error)

// record moves the branch to the commit that is made with the changes, as Commit says.
// flush makes their objects outlast a power cut.
func (r *Repo) record(changes []Change, flush bool, do maker) (hash string, err error) {
	pause, waited := time.Millisecond, time.Duration(0)
	var head *plumbing.Hash
	for {
		hash, err = r.try(changes, flush, do, &head)
		if !errors.Is(err, ErrBusy) || errors.Is(err, errMoved) || waited >= r.Wait {
			return hash, err
		}
		time.Sleep(pause)
		waited += pause
		pause = min(2*pause, 100*time.Millisecond)
	}
}

// busyWait is how long another program's lock is usually waited for (chosen).
const busyWait = 3500 * time.Millisecond

// errMoved means that the branch has moved while we waited, so what is to be committed was
// made from older content.
var errMoved = fmt.Errorf("the branch moved meanwhile: %w", ErrBusy)

// try is record once. head is where the branch was at the first try, nil before that. All
// that takes time is done before git's locks are taken: a rebase that finds index.lock
// taken stops half way.
func (r *Repo) try(changes []Change, flush bool, do maker, head **plumbing.Hash) (string, error) {
	set, why := r.why()
	if why != "" {
		return "", &Postponed{why}
	}
	st, err := r.open()
	if err != nil {
		return "", &Postponed{unwritable(err)}
	}
	branch, err := r.branch()
	if err != nil {
		return "", err
	}
	parent, err := r.head(st)
	if err != nil {
		return "", r.missing(err)
	}
	at := new(plumbing.Hash)
	if parent != nil {
		*at = parent.Hash
	}
	if *head == nil {
		*head = at
	} else if **head != *at {
		return "", errMoved
	}
	perm := r.perm(set)
	if err := disk.MkdirAll(r.Disk, r.state, perm); err != nil {
		return "", err
	}
	index, err := r.stage(filepath.Join(r.git, "index"), perm)
	if err != nil {
		return "", err
	}
	defer index.release()
	if r.fetched(index.File) {
		return "", fmt.Errorf("git has fetched just now: %w", ErrBusy)
	}

	w := r.writer(st, perm, flush)
	defer w.discard()
	leaves, err := r.leaves(w, set, changes)
	if err != nil {
		return "", err
	}
	c, hash, err := do(w, set, parent, leaves)
	if err != nil {
		return "", r.missing(err)
	}
	put := make([]staged, len(leaves))
	for i, l := range leaves {
		l.ever = func(hash plumbing.Hash) bool {
			if parent == nil {
				return false
			}
			found, err := r.everWas(st, parent, l.path, hash)
			return err == nil && found
		}
		put[i] = l.staged
	}
	var ref *held
	var with []disk.File
	if c != nil {
		name := filepath.Join(r.common, filepath.FromSlash(branch.String()))
		if err := disk.MkdirAll(r.Disk, filepath.Dir(name), perm); err != nil {
			return "", err
		}
		if ref, err = r.stage(name, perm); err != nil {
			return "", err
		}
		defer ref.release()
		if err := ref.set([]byte(hash.String() + "\n")); err != nil {
			return "", err
		}
		with = append(with, ref)
	}
	seen, changed, err := index.splice(put)
	if err != nil || c == nil && !changed {
		return "", err
	}
	if changed {
		with = append(with, index)
	}
	if err := w.put(with...); err != nil {
		return "", err
	}

	if err := index.take(); err != nil {
		return "", err
	}
	if why := r.Underway(); why != "" {
		return "", &Postponed{why}
	}
	if now, err := r.branch(); err != nil || now != branch {
		return "", fmt.Errorf("git went from %s to another branch: %w", branch, ErrBusy)
	}
	if !seen.still(index.target) {
		if _, changed, err = index.splice(put); err != nil {
			return "", err
		}
		if err := index.Sync(); err != nil {
			return "", err
		}
	}
	if c != nil {
		if err := r.move(st, set, ref, branch, *at, c, hash); err != nil {
			return "", err
		}
	}
	if changed {
		if err := index.put(); err != nil {
			return "", err
		}
	}
	if c == nil {
		return "", nil
	}
	return hash.String(), nil
}

// missing is the error of an object that is not there: in a partial clone that is as
// it should be.
func (r *Repo) missing(err error) error {
	if errors.Is(err, plumbing.ErrObjectNotFound) && r.partial() {
		return &Postponed{"part of the history is not on this disk (git fetch --refetch --no-filter brings it)"}
	}
	return err
}

// leaves writes the changed files, in the order of their paths.
func (r *Repo) leaves(w *writer, set *settings, changes []Change) ([]*leaf, error) {
	attrs := r.attributes(set)
	var leaves []*leaf
	for _, c := range changes {
		l := &leaf{staged: staged{path: r.path(c.Path), mode: filemode.Regular}}
		l.rest = l.path
		if !c.Remove {
			var err error
			if c.Hash != "" {
				l.hash = plumbing.NewHash(c.Hash)
			} else if what := attrs.conversion(l.path).in(c.Data); what != "" {
				if l.hash, err = r.clean(l.path, what, c.Data); err == nil {
					err = w.adopt(l.hash)
				}
			} else {
				l.hash, err = w.write(plumbing.BlobObject, c.Data)
			}
			if err != nil {
				return nil, err
			}
			l.look(filepath.Join(r.root, filepath.FromSlash(l.path)), c.Data)
		}
		leaves = append(leaves, l)
	}
	sort.Slice(leaves, func(i, j int) bool { return leaves[i].path < leaves[j].path })
	return leaves, nil
}

// object writes the trees with the leaves and the commit; none, and nil, where the
// tree is that of the parent.
func (r *Repo) object(w *writer, set *settings, parent *object.Commit, leaves []*leaf, message string, when time.Time) (*object.Commit, plumbing.Hash, error) {
	var oldTree plumbing.Hash
	if parent != nil {
		oldTree = parent.TreeHash
	}
	newTree, err := w.tree(oldTree, leaves)
	if err == nil && newTree.IsZero() {
		newTree, err = w.write(plumbing.TreeObject, nil)
	}
	if err != nil || newTree == oldTree {
		return nil, plumbing.ZeroHash, err
	}
	name, mail := identity(set)
	sig := object.Signature{Name: name, Email: mail, When: when}
	c := &object.Commit{Author: sig, Committer: sig, Message: tidy(message), TreeHash: newTree}
	if parent != nil {
		c.ParentHashes = []plumbing.Hash{parent.Hash}
	}
	hash, err := w.commit(c)
	return c, hash, err
}

// tidy makes a message git keeps as it is: no NUL, one newline at the end.
func tidy(message string) string {
	message = strings.TrimSpace(strings.ReplaceAll(message, "\x00", ""))
	if message == "" {
		message = "journal"
	}
	return message + "\n"
}

// move sets the branch from one commit, none if it is zero, to another, and adds a line
// to the reflogs, as git would.
func (r *Repo) move(st storage.Storer, set *settings, lock *held, branch plumbing.ReferenceName, from plumbing.Hash, c *object.Commit, hash plumbing.Hash) error {
	if err := lock.take(); err != nil {
		return err
	}
	var was plumbing.Hash
	kind := "commit"
	switch {
	case len(c.ParentHashes) == 0:
		kind = "commit (initial)"
	case len(c.ParentHashes) > 1:
		kind = "commit (merge)"
	}
	ref, err := st.Reference(branch)
	switch {
	case err == nil:
		was = ref.Hash()
	case !errors.Is(err, plumbing.ErrReferenceNotFound):
		return err
	}
	if was != from {
		return fmt.Errorf("%s moved from %s to %s meanwhile: %w", branch, from, was, ErrBusy)
	}
	name, mail := identity(set)
	line := fmt.Sprintf("%s %s %s <%s> %d %s\t%s: %s\n", was, hash, name, mail,
		c.Committer.When.Unix(), c.Committer.When.Format("-0700"), kind, firstLine(c.Message))
	for _, log := range []string{filepath.Join(r.git, "logs", "HEAD"),
		filepath.Join(r.common, "logs", filepath.FromSlash(branch.String()))} {
		if err := r.appendLog(log, line, lock.perm); err != nil {
			return err
		}
	}
	return lock.put()
}

func (r *Repo) appendLog(name, line string, perm disk.Perm) error {
	if err := disk.MkdirAll(r.Disk, filepath.Dir(name), perm); err != nil {
		return err
	}
	f, err := r.Disk.OpenFile(name, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write([]byte(line))
	return errors.Join(err, perm.Settle(f), f.Close())
}

// leaf is a changed file on its way down the trees.
type leaf struct {
	staged
	rest string // the path still to go
}

// look fills in mode and stat if the file on the disk holds exactly data.
func (l *leaf) look(name string, data []byte) {
	before, err := os.Lstat(name)
	if err != nil || !before.Mode().IsRegular() || before.Size() != int64(len(data)) {
		return
	}
	got, err := os.ReadFile(name)
	if err != nil || !bytes.Equal(got, data) {
		return
	}
	after, err := os.Lstat(name)
	if err != nil || !os.SameFile(before, after) || !after.ModTime().Equal(before.ModTime()) {
		return
	}
	l.stat = newStat(after)
}

// treeEntry is one line of a git tree.
type treeEntry struct {
	mode filemode.FileMode
	name string
	hash plumbing.Hash
}

// tree returns the tree old with the leaves put in, zero if nothing is left in it.
// Each leaf learns what its file was before.
func (w *writer) tree(old plumbing.Hash, leaves []*leaf) (plumbing.Hash, error) {
	entries, err := readTree(w.store, old)
	if err != nil {
		return plumbing.ZeroHash, err
	}
	for len(leaves) > 0 {
		name, _, below := strings.Cut(leaves[0].rest, "/")
		n := 1
		if below {
			for n < len(leaves) && strings.HasPrefix(leaves[n].rest, name+"/") {
				n++
			}
		}
		group := leaves[:n]
		leaves = leaves[n:]
		put := treeEntry{mode: filemode.Dir, name: name}
		at := find(entries, name)
		if below {
			var sub plumbing.Hash
			if at >= 0 && entries[at].mode == filemode.Dir {
				sub = entries[at].hash
			}
			for _, l := range group {
				_, l.rest, _ = strings.Cut(l.rest, "/")
			}
			if put.hash, err = w.tree(sub, group); err != nil {
				return plumbing.ZeroHash, err
			}
		} else {
			l := group[0]
			if at >= 0 && entries[at].mode.IsFile() {
				l.from = entries[at].hash
				l.mode = entries[at].mode
			}
			put.hash, put.mode = l.hash, l.mode
		}
		entries = place(entries, at, put)
	}
	if len(entries) == 0 {
		return plumbing.ZeroHash, nil
	}
	var buf bytes.Buffer
	for _, e := range entries {
		fmt.Fprintf(&buf, "%o %s\x00", uint32(e.mode), e.name)
		buf.Write(e.hash[:])
	}
	return w.write(plumbing.TreeObject, buf.Bytes())
}

func find(entries []treeEntry, name string) int {
	for i := range entries {
		if entries[i].name == name {
			return i
		}
	}
	return -1
}

// place replaces the entry at at by put, or inserts put where git wants it if at is
// negative. A put without hash removes.
func place(entries []treeEntry, at int, put treeEntry) []treeEntry {
	if at >= 0 && entries[at].mode == put.mode && !put.hash.IsZero() {
		entries[at] = put
		return entries
	}
	if at >= 0 {
		entries = append(entries[:at], entries[at+1:]...)
	}
	if put.hash.IsZero() {
		return entries
	}
	key := sortKey(put.name, put.mode)
	i := sort.Search(len(entries), func(i int) bool { return sortKey(entries[i].name, entries[i].mode) > key })
	entries = append(entries, treeEntry{})
	copy(entries[i+1:], entries[i:])
	entries[i] = put
	return entries
}

// readTree returns the entries of a tree in their order; none for the zero hash.
func readTree(st storage.Storer, hash plumbing.Hash) ([]treeEntry, error) {
	if hash.IsZero() {
		return nil, nil
	}
	raw, err := readObject(st, plumbing.TreeObject, hash)
	if err != nil {
		return nil, err
	}
	return parseTree(hash, raw)
}

// shortEntry is about what an entry of a journal's trees takes, bytes.
const shortEntry = 48

func parseTree(hash plumbing.Hash, raw []byte) ([]treeEntry, error) {
	out := make([]treeEntry, 0, len(raw)/shortEntry)
	for text := string(raw); text != ""; {
		mode, rest, ok := strings.Cut(text, " ")
		name, rest, ok2 := strings.Cut(rest, "\x00")
		m, err := filemode.New(mode)
		if !ok || !ok2 || err != nil || len(rest) < len(hash) {
			return nil, fmt.Errorf("git tree %s: malformed", hash)
		}
		e := treeEntry{mode: m, name: name}
		copy(e.hash[:], rest)
		out = append(out, e)
		text = rest[len(hash):]
	}
	return out, nil
}
