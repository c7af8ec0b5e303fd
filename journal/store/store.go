// Package store changes the files of a journal without losing anything it has
// acknowledged or another program has written.
//
// The files hold the data. Inside git's folder there is also a lock that keeps two
// ashbooks apart, and the pending file: a record of each save that is not committed
// yet. Commits are made later, in batches, so that no key waits for one.
//
// # How a save works
//
// Under the lock the file is read again, and the change is made to its current content.
// The result is written to a temporary file and a record of the save to the pending
// file, and both are flushed with the pending file's folder. Then the temporary file
// and the cook's file are exchanged in one step, and the cook's folder is flushed. Only
// then is the save acknowledged and the temporary file deleted.
//
// After the exchange the temporary file has the content that was really replaced. If
// that is not what was read, another program saved in between: its version is recorded
// for history, and the change is made to it instead. A program that writes the file in
// place, not by a rename, would go on writing to the replaced file, so ashbook waits
// for a file that is open for writing, both before reading and after the exchange.
// Systems that cannot exchange files (Windows, some network folders) compare the file
// once more just before the rename; a save in that moment is lost.
//
// A program may also read the file before our save and save it afterwards, without our
// lines. So the pending file has each save until it is committed: its lines, and the
// whole content of a file's newest save. A line that is not committed is always put
// back, however late the next command comes, and even if the file was replaced or
// deleted; a notice says so. A line that a save removed is removed again in the same
// way. Only a committed line may count as deleted by somebody. For an hour after the
// commit, a file of recent saves keeps the lines of each save. If another program's
// version lacks such a line, ashbook decides by what else that version lacks:
//
//   - If the version has an entry of a later save, whoever made it saw the earlier saves, so the line stays out. It also stays out if it was changed to another line.
//   - If the version lacks the entries of several saves, up to the newest, it is an old copy: the entries are put back in their places, and a notice says so.
//   - If the version lacks only the newest entry, it may be either. For two minutes it counts as an old copy; after that, the entry counts as deleted by hand.
//
// A file that is empty, or ends inside the front matter or inside a line, is not
// complete yet: see Half.
//
// Nothing is lost if this decides wrongly: every version of ours is in history.
//
// After a crash, the next opening finds out how far the save came, from the temporary
// file and the hashes in the pending file, and commits what was saved. A save that did
// not reach the exchange, whose temporary file or record a power cut left incomplete,
// did not happen. Once saves are committed they are written to the end of the file of
// recent saves and removed from the pending file. Neither file need be flushed: saves
// that are still in the pending file are found to be committed, and after a power cut an
// editor may delete what is committed.
//
// Note: appending to the cook's file in place was tried and dropped: if an editor saves
// by a rename, the appended line is in a file without a name.
package store

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"ashbook/journal"
	"ashbook/journal/disk"
	"ashbook/journal/history"
)

// Options are what a Store needs. Now and Fits are required.
type Options struct {
	Now  func() time.Time
	Wait time.Duration                       // how long to wait for another ashbook; 0 for not at all
	Fits func(path string, size int64) error // returns an error if size, in bytes, is too large
}

// Store changes the files of one journal. Several goroutines may call its methods.
// Paths are below the journal's folder, with slashes, and lead through no links.
type Store struct {
	dir   string
	repo  *history.Repo
	opt   Options
	disk  disk.FS
	state string // ashbook's own folder inside git's
	temp  string // folder for temporary files on the journal's own disk

	mu    sync.Mutex
	known map[string]string // by path: hash of a version that is committed or pending
	last  map[string][]byte // by path: the content we saved last
	told  []string

	// pending is the content of the pending file when pendingInfo was its state.
	pending     []record
	pendingInfo fs.FileInfo
	none        bool // there was no pending file
	stale       bool // the file on disk differs from pending
	torn        bool // the pending file may end in a line that a crash cut short

	// recent is the content of the file of recent saves when recentInfo was its state.
	recent      []recent
	recentInfo  fs.FileInfo
	recentStale bool // the file differs from recent

	waiting string // why saves are not committed yet
}

// New returns the Store of the journal in dir, a folder of repo.
func New(dir string, repo *history.Repo, opt Options) *Store {
	k := &Store{dir: dir, repo: repo, opt: opt, disk: repo.Disk, known: map[string]string{}, last: map[string][]byte{}}
	k.state = filepath.Join(repo.State(), "at-"+url.PathEscape(repo.Prefix()))
	k.temp = k.state
	if !disk.SameDisk(filepath.Dir(repo.State()), dir) {
		k.temp = filepath.Join(dir, ".ashbook")
	}
	return k
}

// Repair completes what a crash left undone, unless another ashbook has the journal
// locked, which then has done it. If it fails, Notices says so; the journal can still
// be read.
func (k *Store) Repair() {
	if err := k.flush(0); err != nil {
		k.Tell("what was saved last time is not in history yet: " + err.Error())
	}
}

// Create makes a new file and its folders. It fails with fs.ErrExist if there is one.
// message is for the commit.
func (k *Store) Create(path string, data []byte, message string) error {
	return k.change(func(d *tx) error { return d.create(path, data, message) })
}

// NewFile is a file to make.
type NewFile struct {
	Path    string
	Data    []byte
	Message string // for the commit
}

// CreateAll makes several files, as Create does: all of them or none. It checks that
// none exists before it writes any. If the disk fails half way, it deletes those it has
// just made.
func (k *Store) CreateAll(files []NewFile) error {
	return k.change(func(d *tx) error {
		for _, f := range files {
			if err := d.free(f.Path, f.Data); err != nil {
				return err
			}
		}
		known := len(d.notes)
		for i, f := range files {
			if err := d.create(f.Path, f.Data, f.Message); err != nil {
				return errors.Join(err, d.unmake(files[:i], known))
			}
		}
		return nil
	})
}

// Edit changes a file and returns its new content. edit gets the current content and
// may be called more than once. If it changes nothing, nothing is saved. When Edit
// returns without an error, the change is on disk; it is committed later. It fails with
// fs.ErrNotExist if there is no such file, with Half, and with history.ErrLocked.
func (k *Store) Edit(path string, edit func([]byte) ([]byte, error), message string) ([]byte, error) {
	return k.edit(path, edit, message, false)
}

// EditAnyway does what Edit does, and also changes a partly saved file, for a user who
// has seen it.
func (k *Store) EditAnyway(path string, edit func([]byte) ([]byte, error), message string) ([]byte, error) {
	return k.edit(path, edit, message, true)
}

func (k *Store) edit(path string, edit func([]byte) ([]byte, error), message string, anyway bool) (data []byte, err error) {
	err = k.change(func(d *tx) error {
		d.anyway = anyway
		now, guarded, err := d.reconcile(path)
		if err != nil {
			return err
		}
		if now == nil {
			return fmt.Errorf("%s: %w", path, fs.ErrNotExist)
		}
		data, err = d.save(path, now, guarded, func(old []byte) ([]byte, error) { return edit(bytes.Clone(old)) }, message)
		return err
	})
	return data, err
}

// HandOver commits everything saved and stops guarding the lines of a file. Whoever
// edits the file from now on has seen those lines, so lines that they delete stay
// deleted.
func (k *Store) HandOver(path string) error {
	return k.change(func(d *tx) error {
		if err := d.commit(); err != nil {
			return err
		}
		if err := d.rewrite(); err != nil {
			return err
		}
		return d.rewriteRecent(d.recent, func(r recent) bool { return r.path != path })
	})
}

func (k *Store) change(do func(*tx) error) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	d, err := k.begin(k.opt.Wait)
	if err != nil {
		return err
	}
	defer d.release()
	return do(d)
}

// Flush commits everything saved. It is no error if that must wait, since nothing saved
// is lost; Waiting then says why. Flush fails if the pending file cannot be read.
func (k *Store) Flush() error { return k.flush(k.opt.Wait) }

// flush commits everything saved, except growing files that may wait for more rows and
// are not in ripe.
func (k *Store) flush(wait time.Duration, ripe ...string) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	if !there(k.pendingFile()) && !there(k.recentFile()) {
		k.waiting = ""
		return nil
	}
	d, err := k.begin(wait)
	if errors.Is(err, history.ErrLocked) {
		k.waiting = history.Reason(err)
		return nil
	}
	if err != nil {
		return err
	}
	defer d.release()
	for i, n := range d.notes {
		if slices.Contains(ripe, n.Path) {
			d.notes[i].Hold, d.notes[i].line = time.Time{}, nil
		}
	}
	return d.commit()
}

func there(name string) bool {
	_, err := os.Lstat(name)
	return err == nil
}

// Tell adds a notice.
func (k *Store) Tell(text string) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.tell(text)
}

func (k *Store) tell(text string) { k.told = append(k.told, text) }

// Happened returns, in plain words, what other programs and crashes did to the files
// since the last call.
func (k *Store) Happened() []string {
	k.mu.Lock()
	defer k.mu.Unlock()
	out := k.told
	k.told = nil
	return out
}

// Notices returns what Happened does and, if commits wait, the reason.
func (k *Store) Notices() []string {
	out := k.Happened()
	k.mu.Lock()
	defer k.mu.Unlock()
	if why := cmp.Or(k.repo.Why(), k.waiting); why != "" {
		out = append(out, "commits are postponed: "+why)
	}
	return out
}

// full returns the place of a journal's path on disk.
func (k *Store) full(p string) string { return filepath.Join(k.dir, filepath.FromSlash(p)) }

// subject returns how a commit message names a file: a cook's name without its date.
func subject(p string) string {
	name := strings.TrimSuffix(path.Base(p), path.Ext(p))
	if _, ok := journal.DateOfID(name); ok {
		if slug := strings.TrimPrefix(name[len(time.DateOnly):], "-"); slug != "" {
			return slug
		}
	}
	return name
}
