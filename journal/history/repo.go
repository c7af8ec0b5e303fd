// Package history stores the versions of a journal in git.
//
// It reads through go-git, but writes objects, moves the branch and updates the index
// itself, with git's own lock files. So the user can work with git in the same folder
// at the same time: what they have staged stays staged and out of our commits, a lock
// that git holds is waited for and never broken, and `git status` is clean afterwards.
//
// A commit goes in this order. It writes the objects, the new index and the branch to
// temporary files and flushes them. It renames the objects and flushes their folders.
// It takes index.lock and checks once more what git is doing. It renames the branch and
// flushes its folder, then renames the lock over the index and flushes its folder. So
// after a power cut no name leads to something that is lost, and the index is never
// newer than the branch. The next commit updates an index that is older; a newer one
// would look like files that the user staged. Git's locks are held only for moments,
// since a rebase that finds index.lock does not wait but fails half way. A crash before
// the branch moves leaves only loose objects. A crash after it leaves an older index,
// which committing the same bytes again repairs.
//
// Note: go-git's Worktree was tried and dropped: Add and Commit stat every file of the
// journal, take the user's staged files into our commit and ignore index.lock. Its
// reference store writes a branch in place, so that a crash can leave it empty, and
// ignores branch lock files.
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
	// ErrBusy means that another git program held a lock for longer than we wait.
	ErrBusy = errors.New("git is busy in another program")
	// ErrLocked means that another ashbook held the lock on the journal for longer than
	// we wait.
	ErrLocked = errors.New("the journal is locked by another ashbook")
	// ErrNoVersion means that the file has no such version.
	ErrNoVersion = errors.New("no such version")
)

// Postponed is the error of a commit that has to wait. The files on disk are not
// affected.
type Postponed struct {
	Reason string // words for the user: "a merge is in progress"
}

func (p *Postponed) Error() string { return "commit postponed: " + p.Reason }

// Unnamed and unnamedMail are the author of commits if git has no user.name.
const (
	Unnamed     = "ashbook"
	unnamedMail = "ashbook@localhost"
)

// Repo is the part of a git repository that one journal uses. The journal may be the
// repository's top folder or any folder below it.
type Repo struct {
	Disk disk.FS       // where files are written; tests replace it
	Wait time.Duration // how long to wait for a lock of another program; 0 for not at all

	dir    string // the journal folder, absolute, links resolved
	root   string // top of the working tree
	prefix string // dir below root, with slashes; "" if they are the same
	git    string // folder with HEAD and index
	common string // folder with refs and objects; not git in a linked worktree
	state  string // our own folder inside git

	mu   sync.Mutex
	kept map[string]*stored // object stores by their folder

	// how long git's folder must not change to show that git waits for the user
	still   time.Duration
	stopped atomic.Pointer[string] // the trace at which Await found git waiting for the user
}

// Open finds the repository that contains dir. It fails with ErrNotUnderGit if there is
// none. It also opens a repository that cannot be committed to; Why says why not.
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

// gitFolder returns the git folder of the working tree with top root. It fails with
// os.ErrNotExist if root is not the top of one.
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

// Writable returns an error if files cannot be written in git's folder. It does not try
// to write.
func (r *Repo) Writable() error {
	err := writable(r.state)
	if errors.Is(err, os.ErrNotExist) {
		err = writable(r.git)
	}
	return err
}

// State returns a folder inside git's own where ashbook keeps small files about this
// working copy. Lock creates it.
func (r *Repo) State() string { return r.state }

// Top returns the top folder of the working copy.
func (r *Repo) Top() string { return r.root }

// GitDir returns git's own folder of this working copy.
func (r *Repo) GitDir() string { return r.git }

// Prefix returns the journal folder's path below the repository's top, with slashes; ""
// if they are the same.
func (r *Repo) Prefix() string { return r.prefix }

// path converts a path below the journal folder to one below the repository's top.
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

// borrowing is a store that reads objects from its own folder and from those of other
// repositories that it borrows from (objects/info/alternates in
// gitrepository-layout(5)).
//
// Note: go-git follows alternates only inside the folder it was opened in.
type borrowing struct {
	storage.Storer
	in       []*stored
	imagined *memory.Storage // further objects kept in memory, see Imagine; may be nil
}

// mostLent is how long a chain of repositories that borrow from each other may be; git
// has the same limit.
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

// stored returns the object store of a folder. Its packs stay open for the next call.
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

// lent calls ask for one folder after the other until one has the object.
func lent[T any](b borrowing, ask func(*stored) (T, error)) (got T, err error) {
	err = errNotFound
	for _, s := range b.in {
		if got, err = ask(s); !errors.Is(err, errNotFound) {
			break
		}
	}
	return got, err
}

// Why says in plain words why a commit would have to wait now, and what the user can do
// about it; "" if it would not have to wait.
func (r *Repo) Why() string {
	if _, why := r.why(); why != "" {
		return why
	}
	if _, err := r.open(); err != nil {
		return unwritable(err)
	}
	return ""
}

// unwritable returns the reason why go-git cannot open the repository, in plain words.
func unwritable(err error) string {
	return "ashbook cannot write to this kind of git repository: " + err.Error() + " (commit with git itself)"
}

// unfinished lists the files that git has in its folder during an operation that the
// user must finish.
var unfinished = []struct{ file, reason string }{
	{"MERGE_HEAD", "a merge is in progress (end it with git commit or git merge --abort)"},
	{"MERGE_AUTOSTASH", "a merge is in progress (end it with git commit or git merge --abort)"},
	{"rebase-merge", "a rebase is in progress (end it with git rebase --continue or --abort)"},
	{"rebase-apply", "a rebase or a mailbox import is in progress (git status says how to end it)"},
	{"CHERRY_PICK_HEAD", "a cherry-pick is in progress (end it with git cherry-pick --continue or --abort)"},
	{"REVERT_HEAD", "a revert is in progress (end it with git revert --continue or --abort)"},
	{"BISECT_LOG", "a bisect is in progress (end it with git bisect reset)"},
}

// Underway says in plain words which git operation the user has not finished, and how
// to finish it; "" for none.
func (r *Repo) Underway() string {
	for _, u := range unfinished {
		if _, err := os.Lstat(filepath.Join(r.git, u.file)); err == nil {
			return u.reason
		}
	}
	return ""
}

// why does what Why does, but does not open the repository with go-git. It also returns
// the settings that a commit needs.
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
// only when needed.
func (r *Repo) partial() bool {
	set, err := r.settings()
	if err != nil {
		return false
	}
	_, ok := set.get("extensions.partialclone")
	return ok
}

// branch returns the name of the current branch, which may have no commit yet.
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

// head returns the newest commit; nil for a branch without any.
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

// Remarks says in plain words how commits made here differ from those git would make.
// The user need not do anything about them.
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

// identity returns the author of commits, without the characters that git does not
// allow there.
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
