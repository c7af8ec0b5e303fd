// Package store changes the files of a journal so that nothing acknowledged and nothing
// another program wrote is lost.
//
// The files are the truth. Beside them there are, inside git's own folder, a lock
// that keeps two ashbooks apart, and the pending file: what has been saved but is
// not in history yet. History is written off the key path, in batches.
//
// # How a save keeps what is there
//
// Under the lock the file is read again and the change is made to what it holds now.
// The result is written to a temporary file, and a line saying what is about to happen
// to the pending file; both are flushed at once, with the pending file's folder. Then
// temporary file and cook are exchanged in one step, and the cook's folder is flushed.
// Only then is the save done, and the temporary file goes.
//
// After the exchange the temporary file holds what was really displaced. If that is
// not what was read, another program's save slipped in: its version is kept for
// history and the change is made to it instead. A program that writes the file in
// place (not by rename) would go on writing into what we displaced, so a file that
// is open for writing is waited for, before reading and after exchanging. Where a
// system has no exchange (Windows, some network folders) the file is compared once
// more just before the rename; a save in that moment is lost.
//
// The other way round, a program may read the file, and save it after we did,
// without our lines. The pending file therefore holds each save until history has it:
// its lines, and of the newest save of a file the whole bytes. A line that history
// does not have is always put back, however late the next command comes and whether
// the file was replaced or taken away; a notice says so. Only of a line in history may
// it be believed that a person took it out. A line that a save took out is taken out
// again in the same way. For an hour after that the pending file
// still remembers the lines of each save. What else a version lacks shows what was
// meant:
//
//   - A version that holds an entry of a later save was made by someone who saw the
//     earlier ones: what it leaves out stays out. So does a line that has an altered
//     one in its place.
//   - A version that lacks the entries of several saves, down to the newest, is an old
//     copy: they are put back where they were, and a notice says so.
//   - A version that lacks only the newest may be either. For two minutes it is taken
//     for an old copy; later the entry has been taken out by hand.
//
// A version that is empty, or ends within the front matter or a line that was whole, is
// no version yet: see Half.
//
// What is believed wrongly is not lost: every version of ours is in history.
//
// After a crash the next opening finds from the temporary file and the sums in the
// pending file how far the save came, and commits what had been saved. A save that did
// not come to the exchange, of whose two files a power cut left one or the other whole,
// has not taken place. Once history has the saves the pending file is written again and
// flushed before it takes its own place; its folder need not be, for in the old one the
// saves are found to be in history.
//
// Note: appending to the cook in place was tried and lost: an editor that saves by
// rename leaves the appended line in a file without a name.
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

// Options are what a Keeper needs from outside. Now and Fits are required.
type Options struct {
	Now  func() time.Time
	Wait time.Duration                       // how long another ashbook is waited for; 0: not at all
	Fits func(path string, size int64) error // refuses what is too large, bytes
}

// Store keeps the files of one journal. Its methods may be called from several
// goroutines. Paths are below the journal's folder, with slashes, and lead through no
// links.
type Store struct {
	dir   string
	repo  *history.Repo
	opt   Options
	disk  disk.FS
	state string // ours, inside git's folder
	temp  string // for temporary files, on the journal's own disk

	mu    sync.Mutex
	known map[string]string // path: sum of what history or the pending file has
	last  map[string][]byte // path: what we saved last
	told  []string

	// pending is what the pending file held when it was like that.
	pending     []record
	pendingInfo fs.FileInfo
	stale       bool // the pending file says something else than pending
	torn        bool // the pending file may end in a line that a crash cut short

	waiting string // why what is saved is not in history yet
}

// New returns the keeper of the journal in dir, which repo holds.
func New(dir string, repo *history.Repo, opt Options) *Store {
	k := &Store{dir: dir, repo: repo, opt: opt, disk: repo.Disk, known: map[string]string{}, last: map[string][]byte{}}
	k.state = filepath.Join(repo.State(), "at-"+url.PathEscape(repo.Prefix()))
	k.temp = k.state
	if !disk.SameDisk(filepath.Dir(repo.State()), dir) {
		k.temp = filepath.Join(dir, ".ashbook")
	}
	return k
}

// Repair does what a crash left undone, unless another ashbook is at work: then that
// one has done it. If it cannot, Notices says so, and the journal can still be read.
func (k *Store) Repair() {
	if err := k.flush(0); err != nil {
		k.Tell("what was saved last time is not in history yet: " + err.Error())
	}
}

// Create makes a new file and the folders it needs. It fails with fs.ErrExist where
// there is one. message is the line in history.
func (k *Store) Create(path string, data []byte, message string) error {
	return k.change(func(d *tx) error { return d.create(path, data, message) })
}

// NewFile is a file to be made.
type NewFile struct {
	Path    string
	Data    []byte
	Message string // its line in history
}

// CreateAll is Create for several files: all are made or none. One that is there
// already is found before any is written; should the disk fail half way, those just
// made are taken out again.
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

// Edit makes a change to a file and returns what it holds then. edit is given what
// the file holds at that moment, and may be called more than once. Where it changes
// nothing, nothing is saved. When Edit returns without error the change is on the
// disk; it reaches history later. It fails with fs.ErrNotExist where there is no
// such file, with Half, and with history.ErrLocked.
func (k *Store) Edit(path string, edit func([]byte) ([]byte, error), message string) ([]byte, error) {
	return k.edit(path, edit, message, false)
}

// EditAnyway is Edit even of a file saved only half, for a person who has seen it.
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

// HandOver puts everything saved into history and guards the lines of a file no
// longer: its reader has seen them, and what they take out stays out.
func (k *Store) HandOver(path string) error {
	return k.change(func(d *tx) error {
		if err := d.commit(); err != nil {
			return err
		}
		before := len(d.notes)
		d.notes = slices.DeleteFunc(d.notes, func(n record) bool { return n.Path == path && n.Done && !d.leftOver(n.Temp) })
		d.stale = d.stale || len(d.notes) < before
		return d.rewrite()
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

// Flush puts everything saved into history. That it cannot is no error, for nothing
// saved is lost by it: Waiting says why. It fails where the pending record cannot be
// read.
func (k *Store) Flush() error { return k.flush(k.opt.Wait) }

// flush puts what is saved into history. Of growing files those are left out that may
// wait for more rows, but for the ripe one.
func (k *Store) flush(wait time.Duration, ripe ...string) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	if _, err := os.Lstat(k.pendingFile()); err != nil {
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

// Tell adds a notice.
func (k *Store) Tell(text string) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.tell(text)
}

func (k *Store) tell(text string) { k.told = append(k.told, text) }

// Happened tells in plain words what happened to the files since the last call.
func (k *Store) Happened() []string {
	k.mu.Lock()
	defer k.mu.Unlock()
	out := k.told
	k.told = nil
	return out
}

// Notices is Happened, and why commits wait, as long as they do.
func (k *Store) Notices() []string {
	out := k.Happened()
	k.mu.Lock()
	defer k.mu.Unlock()
	if why := cmp.Or(k.repo.Why(), k.waiting); why != "" {
		out = append(out, "commits are postponed: "+why)
	}
	return out
}

// full is where a path of the journal is on the disk.
func (k *Store) full(p string) string { return filepath.Join(k.dir, filepath.FromSlash(p)) }

// subject is what a commit's message calls a file: a cook's name without its date.
func subject(p string) string {
	name := strings.TrimSuffix(path.Base(p), path.Ext(p))
	if _, ok := journal.DateOfID(name); ok {
		if slug := strings.TrimPrefix(name[len(time.DateOnly):], "-"); slug != "" {
			return slug
		}
	}
	return name
}
