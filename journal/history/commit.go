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

// Change is the new content of one file.
type Change struct {
	Path   string // below the journal folder, with slashes
	Data   []byte
	Remove bool   // delete the file; Data is not used
	Hash   string // hash of Data's blob if the repository already has it; "" if not
}

// flushedChanges is the largest number of changes whose objects are flushed to disk
// before the branch moves (chosen). A larger commit is the first one of a whole
// journal, whose files are still on disk if the power fails.
const flushedChanges = 30

// Commit commits the changes to the current branch and returns the commit's hash. If
// the branch already has these contents, it makes no commit, brings the index up to
// date and returns "". The index gets the state of a file on disk only if the file on
// disk has the committed bytes.
//
// It fails with *Postponed if a commit would disturb what the user is doing with git,
// and with ErrBusy if another program keeps holding a lock or moving the branch. Reason
// explains both in plain words. The caller must hold Lock.
func (r *Repo) Commit(message string, when time.Time, changes ...Change) (hash string, err error) {
	return r.record(changes, len(changes) <= flushedChanges, func(w *writer, set *settings, parent *object.Commit, leaves []*leaf) (*object.Commit, plumbing.Hash, error) {
		return r.object(w, set, parent, leaves, message, when)
	})
}

// maker writes the new trees and returns the commit that the branch is to move to, with
// its hash. A nil commit leaves the branch where it is.
type maker func(w *writer, set *settings, parent *object.Commit, leaves []*leaf) (*object.Commit, plumbing.Hash, error)

// record moves the branch to the commit that do returns; see Commit. It retries for
// r.Wait while git is busy. If flush is set, the commit's objects are flushed to disk
// before the branch moves.
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

// busyWait is how long a commit waits for a lock of another program, unless Repo.Wait
// says otherwise (chosen).
const busyWait = 3500 * time.Millisecond

// errMoved means that the branch moved while record was waiting, so the changes were
// made from older content.
var errMoved = fmt.Errorf("the branch changed meanwhile: %w", ErrBusy)

// start is the state of the repository at the start of an attempt to commit.
type start struct {
	set    *settings
	st     storage.Storer
	branch plumbing.ReferenceName
	parent *object.Commit // newest commit of branch; nil for none
	at     plumbing.Hash  // its hash; zero for none
	perm   disk.Perm
}

// try is one attempt of record. *head is the commit the branch was at on the first
// attempt; try sets it if it is nil. Everything slow is done before git's locks are
// taken, since a rebase that finds index.lock fails half way.
func (r *Repo) try(changes []Change, flush bool, do maker, head **plumbing.Hash) (string, error) {
	s, err := r.start()
	if err != nil {
		return "", err
	}
	if *head == nil {
		*head = &s.at
	} else if **head != s.at {
		return "", errMoved
	}
	if err := disk.MkdirAll(r.Disk, r.state, s.perm); err != nil {
		return "", err
	}
	index, err := r.stage(filepath.Join(r.git, "index"), s.perm)
	if err != nil {
		return "", err
	}
	defer index.release()
	if r.fetched(index.File) {
		return "", fmt.Errorf("git has fetched just now: %w", ErrBusy)
	}

	w := r.writer(s.st, s.perm, flush)
	defer w.discard()
	leaves, err := r.leaves(w, s.set, changes)
	if err != nil {
		return "", err
	}
	c, hash, err := do(w, s.set, s.parent, leaves)
	if err != nil {
		return "", r.missing(err)
	}
	put := r.entries(s, leaves)
	var ref *held
	var with []disk.File
	if c != nil {
		if ref, err = r.stageRef(s, hash); err != nil {
			return "", err
		}
		defer ref.release()
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
	if err := r.publish(s, index, seen, changed, put, ref, c, hash); err != nil || c == nil {
		return "", err
	}
	return hash.String(), nil
}

// start reads what an attempt to commit needs to know. It fails with *Postponed if a
// commit has to wait.
func (r *Repo) start() (s start, err error) {
	set, why := r.why()
	if why != "" {
		return s, &Postponed{why}
	}
	s.set, s.perm = set, r.perm(set)
	if s.st, err = r.open(); err != nil {
		return s, &Postponed{unwritable(err)}
	}
	if s.branch, err = r.branch(); err != nil {
		return s, err
	}
	if s.parent, err = r.head(s.st); err != nil {
		return s, r.missing(err)
	}
	if s.parent != nil {
		s.at = s.parent.Hash
	}
	return s, nil
}

// entries returns the index entries for the leaves.
func (r *Repo) entries(s start, leaves []*leaf) []staged {
	put := make([]staged, len(leaves))
	for i, l := range leaves {
		l.ever = func(hash plumbing.Hash) bool {
			if s.parent == nil {
				return false
			}
			found, err := r.everWas(s.st, s.parent, l.path, hash)
			return err == nil && found
		}
		put[i] = l.staged
	}
	return put
}

// stageRef prepares the file that moves the branch to hash.
func (r *Repo) stageRef(s start, hash plumbing.Hash) (*held, error) {
	name := filepath.Join(r.common, filepath.FromSlash(s.branch.String()))
	if err := disk.MkdirAll(r.Disk, filepath.Dir(name), s.perm); err != nil {
		return nil, err
	}
	ref, err := r.stage(name, s.perm)
	if err != nil {
		return nil, err
	}
	if err := ref.set([]byte(hash.String() + "\n")); err != nil {
		ref.release()
		return nil, err
	}
	return ref, nil
}

// publish locks the index, moves the branch to c (nil for no move) and replaces the
// index if changed is set. seen is the index that put was spliced into; if it has changed
// since, publish splices again.
func (r *Repo) publish(s start, index *held, seen seen, changed bool, put []staged, ref *held, c *object.Commit, hash plumbing.Hash) (err error) {
	if err := index.take(); err != nil {
		return err
	}
	if why := r.Underway(); why != "" {
		return &Postponed{why}
	}
	if now, err := r.branch(); err != nil || now != s.branch {
		return fmt.Errorf("git went from %s to another branch: %w", s.branch, ErrBusy)
	}
	if !seen.still(index.target) {
		if _, changed, err = index.splice(put); err != nil {
			return err
		}
		if err := index.Sync(); err != nil {
			return err
		}
	}
	if c != nil {
		if err := r.move(s.st, s.set, ref, s.branch, s.at, c, hash); err != nil {
			return err
		}
	}
	if changed {
		return index.put()
	}
	return nil
}

// missing turns the error of a missing object into *Postponed in a partial clone, which
// lacks objects by design. Other errors come back unchanged.
func (r *Repo) missing(err error) error {
	if errors.Is(err, plumbing.ErrObjectNotFound) && r.partial() {
		return &Postponed{"part of the history is not on this disk (git fetch --refetch --no-filter brings it)"}
	}
	return err
}

// leaves writes a blob for each changed file and returns the files ordered by path.
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

// object writes the new trees and the commit. It returns a nil commit if the tree
// equals the parent's.
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

// tidy returns a message that git stores unchanged: without NUL, and with one newline
// at its end.
func tidy(message string) string {
	message = strings.TrimSpace(strings.ReplaceAll(message, "\x00", ""))
	if message == "" {
		message = "journal"
	}
	return message + "\n"
}

// move moves the branch from commit from (zero for none) to c, and adds a line to the
// reflogs as git does.
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
		return fmt.Errorf("%s changed from %s to %s meanwhile: %w", branch, from, was, ErrBusy)
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

// leaf is a changed file whose new trees are being written.
type leaf struct {
	staged
	rest string // rest of its path below the tree being written
}

// look sets stat from the file on disk, but only if the file has exactly the bytes of
// the leaf.
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

// treeEntry is one entry of a git tree.
type treeEntry struct {
	mode filemode.FileMode
	name string
	hash plumbing.Hash
}

// tree returns the hash of tree old with the leaves put in, or zero if nothing is left
// in it. It sets the from hash of each leaf.
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

// place replaces the entry with index at by put, or inserts put in git's order if at is
// negative. If put has no hash, it removes the entry.
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

// readTree returns the entries of a tree in order; none for the zero hash.
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

// shortEntry is about the size of one tree entry of a journal, in bytes.
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
