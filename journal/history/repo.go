// Package history keeps the versions of a journal in git.
//
// It reads through go-git, but writes objects, moves the branch and updates the index
// itself, with the lock files git uses, so that it can stand beside a person who works with git in the same folder: what they have
// staged stays staged and out of our commits, a lock they hold is waited for and
// never broken, and `git status` is clean when we are done.
//
// The order of one commit is: objects, new index and branch into files of our own, all
// flushed at once; the objects renamed, and their folders flushed at once; then
// index.lock, a last look at what git is doing, the branch renamed and its folder
// flushed, the lock renamed over the index and its folder flushed. So a name never
// outlasts a power cut that what it leads to does not, and the index is never ahead of
// the branch: one that is behind gives way to the next commit, one that is ahead would
// be taken for something staged by hand. Git's locks are held for moments only: a
// rebase that finds index.lock taken does not wait but stops half way. A crash before
// the branch moves leaves nothing behind but loose objects; a crash after it leaves an
// index that is behind, which committing the same bytes again puts right.
//
// Note: go-git's Worktree was tried and lost: Add and Commit stat every file of
// the journal, sweep the person's staged files into our commit and do not look at
// index.lock. Its reference store writes a branch in place, so that a crash can
// leave it empty, and does not know of branch lock files.
package history

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	git "github.com/go-git/go-git/v5"
	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/object"
	"github.com/go-git/go-git/v5/storage"
	"github.com/go-git/go-git/v5/storage/memory"

	"ashbook/journal/disk"
)

var (
	// ErrNotUnderGit means that neither the folder nor one above it is under git.
	ErrNotUnderGit = errors.New("not under git")
	// ErrBusy says that another git program held a lock longer than we wait.
	ErrBusy = errors.New("git is busy in another program")
	// ErrLocked says that another ashbook held the journal longer than we wait.
	ErrLocked = errors.New("the journal is locked by another ashbook")
	// ErrNoVersion says that a file has no such version.
	ErrNoVersion = errors.New("no such version")
)

// Postponed is the error of a commit that must wait. The files are not affected.
type Postponed struct {
	Reason string // a clause in plain words: "a merge is in progress"
}

func (p *Postponed) Error() string { return "commit postponed: " + p.Reason }

// Unnamed and unnamedMail sign commits where git has no user.name.
const (
	Unnamed     = "ashbook"
	unnamedMail = "ashbook@localhost"
)

// Repo is the part of a git repository that one journal uses. The journal may be
// the repository's top folder or any folder below it.
type Repo struct {
	Disk disk.FS       // where it writes; disk.OS but in tests
	Wait time.Duration // how long a lock held by another program is waited for; 0: not at all

	dir    string // the journal folder, absolute, links resolved
	root   string // top of the working tree
	prefix string // dir below root, slashes; "" where they are the same
	git    string // holds HEAD and index
	common string // holds refs and objects; differs from git in a linked worktree
	state  string // ours, inside git

	mu   sync.Mutex
	kept map[string]*stored // by their folder

	still   time.Duration          // how long git leaves nothing new about where it waits for a person
	stopped atomic.Pointer[string] // the trace at which Await found git waiting for a person
}

// Open finds the repository that holds dir. It fails with ErrNotUnderGit where there is
// none. It also opens a repository that cannot be committed to; Why says what prevents it.
func Open(dir string) (*Repo, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	if dir, err = filepath.EvalSymlinks(dir); err != nil {
		return nil, err
	}
	for root := dir; ; root = filepath.Dir(root) {
		gitDir, err := gitFolder(root)
		if err == nil {
			return newRepo(dir, root, gitDir)
		}
		if !errors.Is(err, os.ErrNotExist) {
			return nil, err
		}
		if root == filepath.Dir(root) {
			return nil, fmt.Errorf("%q: %w", dir, ErrNotUnderGit)
		}
	}
}

func newRepo(dir, root, gitDir string) (*Repo, error) {
	r := &Repo{Disk: disk.OS, dir: dir, root: root, git: gitDir, common: gitDir, Wait: busyWait, kept: map[string]*stored{}, still: awaitStill}
	rel, err := filepath.Rel(root, dir)
	if err != nil {
		return nil, err
	}
	if rel != "." {
		r.prefix = filepath.ToSlash(rel)
	}
	if text, err := os.ReadFile(filepath.Join(gitDir, "commondir")); err == nil {
		r.common = strings.TrimSpace(string(text))
		if !filepath.IsAbs(r.common) {
			r.common = filepath.Join(gitDir, r.common)
		}
	}
	r.state = filepath.Join(r.git, "ashbook")
	return r, nil
}

// gitFolder returns the repository of the working tree whose top is root. The error is
// os.ErrNotExist where root is not a top.
func gitFolder(root string) (string, error) {
	name := filepath.Join(root, git.GitDirName)
	info, err := os.Stat(name)
	if err != nil {
		return "", err
	}
	if info.IsDir() {
		if _, err := os.Stat(filepath.Join(name, "HEAD")); err != nil {
			return "", err
		}
		return name, nil
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return "", err
	}
	target, ok := strings.CutPrefix(strings.TrimSpace(string(text)), "gitdir: ")
	if !ok {
		return "", fmt.Errorf("%s:1:1: %q: expected \"gitdir: FOLDER\"", name, firstLine(string(text)))
	}
	if !filepath.IsAbs(target) {
		target = filepath.Join(root, target)
	}
	return target, nil
}

// Writable reports whether files can be written beside history, without trying.
func (r *Repo) Writable() error {
	err := writable(r.state)
	if errors.Is(err, os.ErrNotExist) {
		err = writable(r.git)
	}
	return err
}

// State is a folder inside git's own folder where ashbook may keep small files
// that belong to this working copy. Lock creates it.
func (r *Repo) State() string { return r.state }

// Top is the top folder of the working copy.
func (r *Repo) Top() string { return r.root }

// GitDir is git's own folder of this working copy.
func (r *Repo) GitDir() string { return r.git }

// Prefix is the journal folder below the repository's top, with slashes; "" where
// they are the same.
func (r *Repo) Prefix() string { return r.prefix }

// path turns a path below the journal folder into one below the repository's top.
func (r *Repo) path(p string) string {
	if r.prefix == "" {
		return p
	}
	return r.prefix + "/" + p
}

// open reads the repository's settings and references again.
func (r *Repo) open() (storage.Storer, error) {
	repo, err := git.PlainOpenWithOptions(r.root, &git.PlainOpenOptions{EnableDotGitCommonDir: true})
	if err != nil {
		return nil, err
	}
	st := borrowing{Storer: repo.Storer}
	st.lend(r, filepath.Join(r.common, "objects"), 0)
	return st, nil
}

// borrowing is a store that reads objects from folders of objects: its own, and those of
// other repositories that it borrows from (gitrepository-layout(5),
// objects/info/alternates).
//
// Note: go-git follows alternates only within the folder it was opened in.
type borrowing struct {
	storage.Storer
	in       []*stored
	imagined *memory.Storage // looked into as well, see Imagine; nil
}

// mostLent is how deep repositories may borrow from each other, as in git.
const mostLent = 5

func (b *borrowing) lend(r *Repo, objects string, depth int) {
	b.in = append(b.in, r.stored(objects))
	data, err := readRegular(filepath.Join(objects, "info", "alternates"))
	if err != nil || depth >= mostLent {
		return
	}
	for line := range strings.SplitSeq(string(data), "\n") {
		dir := strings.TrimSpace(line)
		if dir == "" || strings.HasPrefix(dir, "#") {
			continue
		}
		if !filepath.IsAbs(dir) {
			dir = filepath.Join(objects, dir)
		}
		b.lend(r, dir, depth+1)
	}
}

// stored are the objects in a folder: the packs that are open stay so.
func (r *Repo) stored(objects string) *stored {
	r.mu.Lock()
	defer r.mu.Unlock()
	s := r.kept[objects]
	if s == nil {
		s = storedIn(objects)
		r.kept[objects] = s
	}
	return s
}

func (b borrowing) EncodedObject(kind plumbing.ObjectType, hash plumbing.Hash) (plumbing.EncodedObject, error) {
	got, err := lent(b, func(s *stored) (content, error) { return s.get(hash) })
	if errors.Is(err, errNotFound) && b.imagined != nil {
		return b.imagined.EncodedObject(kind, hash)
	}
	if err == nil && kind != plumbing.AnyObject && kind != got.kind {
		err = errNotFound
	}
	if err != nil {
		return nil, err
	}
	obj := &plumbing.MemoryObject{}
	obj.SetType(got.kind)
	_, err = obj.Write(got.data)
	return obj, err
}

func (b borrowing) EncodedObjectSize(hash plumbing.Hash) (int64, error) {
	size, err := lent(b, func(s *stored) (int64, error) { return s.sizeOf(hash) })
	if errors.Is(err, errNotFound) && b.imagined != nil {
		return b.imagined.EncodedObjectSize(hash)
	}
	return size, err
}

func (b borrowing) HasEncodedObject(hash plumbing.Hash) error {
	_, err := b.EncodedObjectSize(hash)
	return err
}

// lent asks one folder after the other.
func lent[T any](b borrowing, ask func(*stored) (T, error)) (got T, err error) {
	err = errNotFound
	for _, s := range b.in {
		if got, err = ask(s); !errors.Is(err, errNotFound) {
			break
		}
	}
	return got, err
}

// Why says in plain words why a commit would have to wait now, and what ends that; ""
// if it would not.
func (r *Repo) Why() string {
	if _, why := r.why(); why != "" {
		return why
	}
	if _, err := r.open(); err != nil {
		return unwritable(err)
	}
	return ""
}

// unwritable is the reason where go-git does not open the repository.
func unwritable(err error) string {
	return "ashbook cannot write to this kind of git repository: " + err.Error() + " (commit with git itself)"
}

// unfinished lists what git leaves in its folder while a person is in the middle
// of something.
var unfinished = []struct{ file, reason string }{
	{"MERGE_HEAD", "a merge is in progress (end it with git commit or git merge --abort)"},
	{"MERGE_AUTOSTASH", "a merge is in progress (end it with git commit or git merge --abort)"},
	{"rebase-merge", "a rebase is in progress (end it with git rebase --continue or --abort)"},
	{"rebase-apply", "a rebase or a mailbox import is in progress (git status says how to end it)"},
	{"CHERRY_PICK_HEAD", "a cherry-pick is in progress (end it with git cherry-pick --continue or --abort)"},
	{"REVERT_HEAD", "a revert is in progress (end it with git revert --continue or --abort)"},
	{"BISECT_LOG", "a bisect is in progress (end it with git bisect reset)"},
}

// Underway says in plain words what the person is in the middle of with git, and how to
// end it; "" for nothing.
func (r *Repo) Underway() string {
	for _, u := range unfinished {
		if _, err := os.Lstat(filepath.Join(r.git, u.file)); err == nil {
			return u.reason
		}
	}
	return ""
}

// why is Why as far as it can be told without go-git. It returns the settings that a
// commit needs.
func (r *Repo) why() (set *settings, why string) {
	if why := r.Underway(); why != "" {
		return nil, why
	}
	set, err := r.settings()
	if err != nil {
		return nil, "git's settings cannot be read (git config --list says where)"
	}
	if set.isTrue("core.bare") {
		return nil, "the git repository is bare, without working files (git config core.bare false)"
	}
	if set.isTrue("core.sparsecheckout") {
		return nil, "only part of the git repository is checked out (git sparse-checkout disable brings the rest)"
	}
	if format, ok := set.get("extensions.objectformat"); ok && !strings.EqualFold(format, "sha1") {
		return nil, "ashbook cannot write a git repository that names objects by " + strings.ToUpper(format) + " (commit with git itself)"
	}
	if _, err := r.branch(); err != nil {
		return nil, err.Error()
	}
	return set, ""
}

// partial reports whether the repository is a partial clone, which fetches some objects
// only when they are needed.
func (r *Repo) partial() bool {
	set, err := r.settings()
	if err != nil {
		return false
	}
	_, ok := set.get("extensions.partialclone")
	return ok
}

// branch returns the name of the branch the person is on, which may have no
// commit yet.
func (r *Repo) branch() (plumbing.ReferenceName, error) {
	text, err := os.ReadFile(filepath.Join(r.git, "HEAD"))
	if err != nil {
		return "", err
	}
	name, ok := strings.CutPrefix(strings.TrimSpace(string(text)), "ref: ")
	if !ok || !strings.HasPrefix(name, "refs/heads/") {
		return "", errors.New("git is not on a branch (go back to yours, such as git switch main)")
	}
	return plumbing.ReferenceName(name), nil
}

// head returns the newest commit, nil on a branch without any.
func (r *Repo) head(st storage.Storer) (*object.Commit, error) {
	ref, err := st.Reference(plumbing.HEAD)
	if err == nil && ref.Type() == plumbing.SymbolicReference {
		ref, err = st.Reference(ref.Target())
	}
	if errors.Is(err, plumbing.ErrReferenceNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return object.GetCommit(st, ref.Hash())
}

// Remarks says in plain words how commits made here differ from those git would make. The
// person need not act on them.
func (r *Repo) Remarks() []string {
	set, err := r.settings()
	if err != nil {
		return nil
	}
	var out []string
	if set.isTrue("commit.gpgsign") {
		out = append(out, "git is set to sign commits; those of ashbook are not signed")
	}
	hooks := filepath.Join(r.common, "hooks")
	if dir, ok := set.get("core.hookspath"); ok {
		hooks = expand(dir, r.root)
	}
	var found []string
	for _, name := range []string{"pre-commit", "prepare-commit-msg", "commit-msg", "post-commit", "reference-transaction"} {
		if info, err := os.Stat(filepath.Join(hooks, name)); err == nil && runnable(info) {
			found = append(found, name)
		}
	}
	if len(found) > 0 {
		out = append(out, "git hooks are not run for commits of ashbook: "+strings.Join(found, ", "))
	}
	if name, _ := identity(set); name == Unnamed {
		out = append(out, "git has no user.name; commits are signed "+Unnamed)
	}
	return out
}

// Author returns git's user.name, or "".
func (r *Repo) Author() string {
	set, err := r.settings()
	if err != nil {
		return ""
	}
	name, _ := identity(set)
	if name == Unnamed {
		return ""
	}
	return name
}

// identity returns who signs a commit, stripped of what git does not allow there.
func identity(set *settings) (name, mail string) {
	name, _ = set.get("user.name")
	mail, _ = set.get("user.email")
	if name = printable(name); name == "" {
		return Unnamed, unnamedMail
	}
	if mail = printable(mail); mail == "" {
		mail = unnamedMail
	}
	return name, mail
}

func printable(s string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if r < ' ' || r == '<' || r == '>' || r == 0x7f {
			return -1
		}
		return r
	}, s))
}

func firstLine(s string) string {
	s, _, _ = strings.Cut(strings.TrimSpace(s), "\n")
	return s
}
