// Package folder opens a journal's folder, lists and searches its cooks, reads them, and
// saves changes through package store.
//
// The files are the truth. The index in the person's cache folder only avoids reading them
// again.
package folder

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"syscall"
	"time"

	"ashbook/journal"
	"ashbook/journal/cache"
	"ashbook/journal/cookfile"
	"ashbook/journal/history"
	"ashbook/journal/measure"
	"ashbook/journal/store"
)

var (
	// ErrNotAJournal says that a folder has no cooks in it.
	ErrNotAJournal = errors.New("not a journal")
	// ErrNoCook says that there is no cook of that name.
	ErrNoCook = errors.New("no such cook")
)

// Options are what a folder needs from outside. Now is required.
type Options struct {
	Now   func() time.Time
	Zone  *time.Location // of bare clock times in cooks; nil: UTC
	Cache string         // folder for the index and for results; "": nothing is cached
	Build string         // names the build of the program: the index of another build is not used
	Wait  time.Duration  // how long another ashbook is waited for, and git no longer; 0: not at all, and git as usual

	// After calls f once when d has passed, unless stop is called before. It lets
	// saves reach history by themselves, Delay after the last; nil: only Flush and
	// Close commit.
	After func(d time.Duration, f func()) (stop func())
	Delay time.Duration
}

// Folder is an open journal. Its methods may be called from several goroutines.
type Folder struct {
	dir  string
	opt  Options
	repo *history.Repo // nil: not under git, nothing is written
	keep *store.Store  // nil with repo

	own  atomic.Pointer[ownSettings] // as last read
	seen atomic.Pointer[Seen]        // nil: nothing is shown

	mu    sync.Mutex
	stop  func() // of the timer; nil: none runs
	saved bool   // something was
}

// Open opens the journal in dir. What a crash left undone is put right first, unless
// another ashbook is at work on it. It fails with ErrNotAJournal.
func Open(dir string, opt Options) (*Folder, error) {
	if !isJournal(dir) {
		return nil, fmt.Errorf("%q: %w", dir, ErrNotAJournal)
	}
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	if dir, err = filepath.EvalSymlinks(dir); err != nil {
		return nil, err
	}
	f := &Folder{dir: dir, opt: opt}
	if f.repo, err = history.Open(dir); err != nil && !errors.Is(err, history.ErrNotUnderGit) {
		return nil, err
	}
	if f.repo != nil {
		f.keep = store.New(dir, f.repo, store.Options{Now: opt.Now, Wait: opt.Wait, Fits: fits})
		if opt.Wait > 0 {
			f.repo.Wait = min(f.repo.Wait, opt.Wait)
		}
		f.repo.Await()
		if f.ReadOnly() == "" && f.repo.Underway() == "" {
			f.keep.Repair()
		}
	}
	f.ownSettings()
	return f, nil
}

// ownSettings is journal.md as it was read.
type ownSettings struct {
	stamp    string // of the file, from the disk
	text     string
	settings journal.Settings
	problems []journal.Problem
}

// ownSettings reads journal.md if it has changed since it was last read.
func (f *Folder) ownSettings() *ownSettings {
	m, err := markOf(f.full(settingsName))
	stamp := fmt.Sprint(m, errors.Is(err, fs.ErrNotExist))
	if last := f.own.Load(); last != nil && last.stamp == stamp {
		return last
	}
	own := &ownSettings{stamp: stamp}
	data, err := f.Bytes(settingsName)
	if err == nil {
		own.text = string(data)
		own.settings, own.problems, err = cookfile.ParseSettings(settingsName, data)
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		own.problems = append(own.problems, problem(settingsName, err))
	}
	f.own.Store(own)
	return own
}

// Dir is the journal's folder, absolute.
func (f *Folder) Dir() string { return f.dir }

// Cache caches results worked out from the journal; nil where nothing is cached.
func (f *Folder) Cache() *cache.Cache { return cache.In(f.opt.Cache, f.opt.Build) }

// Zone names the zone of bare clock times in cooks.
func (f *Folder) Zone() string {
	if f.opt.Zone == nil {
		return "UTC"
	}
	return f.opt.Zone.String()
}

// History is the journal's history, nil where it is not under git.
func (f *Folder) History() *history.Repo { return f.repo }

// Settings returns the settings in journal.md as it is now, and what is wrong in it.
// Without the file they are zero.
func (f *Folder) Settings() (journal.Settings, []journal.Problem) {
	own := f.ownSettings()
	return own.settings, own.problems
}

// Notices returns, in plain words, what the person should deal with: why commits wait, and
// what happened to their files. Each call returns what happened since the last one.
func (f *Folder) Notices() (out []string) {
	if why := f.ReadOnly(); why != "" {
		out = append(out, why)
	}
	if f.repo != nil {
		out = append(out, f.keep.Notices()...)
	}
	return out
}

// Happened is what of Notices happened to the person's files since the last call of
// either.
func (f *Folder) Happened() []string {
	if f.repo == nil {
		return nil
	}
	return f.keep.Happened()
}

// ReadOnly says in plain words why nothing can be written here; "" where it can.
func (f *Folder) ReadOnly() string {
	if f.repo == nil {
		return "the journal can be read, not written: it is not under git"
	}
	switch err := f.repo.Writable(); {
	case errors.Is(err, syscall.EROFS):
		return "the journal can be read, not written: its disk is read-only"
	case err != nil:
		return "the journal can be read, not written: its folder belongs to someone else"
	}
	return ""
}

// Remarks returns, in plain words, what the person need not act on: how commits made here
// differ from those of git itself.
func (f *Folder) Remarks() []string {
	if f.repo == nil {
		return nil
	}
	return f.repo.Remarks()
}

// Create makes the file of a new cook. It fails with fs.ErrExist where there is one
// already, and with history.ErrNotUnderGit where nothing is written. message is the
// line in history.
func (f *Folder) Create(id string, data []byte, message string) error {
	if err := checkID(id); err != nil {
		return err
	}
	if p, err := f.locate(id); err == nil {
		return fmt.Errorf("%s: %w", p, fs.ErrExist)
	}
	return f.CreateFile(Path(id), data, message)
}

// NewCook is a cook's file to be made.
type NewCook struct {
	ID      string
	Data    []byte
	Message string // its line in history
}

// CreateAll is Create for several cooks: all are made or none.
func (f *Folder) CreateAll(cooks []NewCook) error {
	files := make([]store.NewFile, len(cooks))
	for i, c := range cooks {
		if err := checkID(c.ID); err != nil {
			return err
		}
		if p, err := f.locate(c.ID); err == nil {
			return fmt.Errorf("%s: %w", p, fs.ErrExist)
		}
		p, err := f.resolve(Path(c.ID))
		if err != nil {
			return err
		}
		files[i] = store.NewFile{Path: p, Data: c.Data, Message: c.Message}
	}
	if len(files) == 0 {
		return nil
	}
	return f.change(files[0].Path, func(string) error { return f.keep.CreateAll(files) })
}

// CreateFile is Create for any file of the journal: a pit, a mix, a probe series.
func (f *Folder) CreateFile(p string, data []byte, message string) error {
	return f.change(p, func(p string) error { return f.keep.Create(p, data, message) })
}

// Edit changes a cook and returns it as saved. edit gets the current content of the file
// and may be called more than once. If it changes nothing, nothing is saved. When Edit
// returns without an error, the change is on the disk; it reaches history later. It fails
// with history.ErrNotUnderGit and history.ErrLocked.
func (f *Folder) Edit(id string, edit func(cookfile.File) (cookfile.File, error), message string) (cookfile.File, error) {
	p, err := f.locate(id)
	if err != nil {
		return cookfile.File{}, err
	}
	var file cookfile.File
	data, err := f.EditFile(p, func(old []byte) ([]byte, error) {
		file, err = f.parse(p, old)
		if err != nil {
			return nil, err
		}
		if file, err = edit(file); err != nil {
			return nil, err
		}
		return file.Bytes(), nil
	}, message)
	if err != nil {
		return cookfile.File{}, err
	}
	if bytes.Equal(data, file.Bytes()) { // else lines were put back into it
		return file, nil
	}
	return f.parse(p, data)
}

// EditFile is Edit for any file of the journal, in its bytes. It fails with
// fs.ErrNotExist where there is no such file.
func (f *Folder) EditFile(p string, edit func([]byte) ([]byte, error), message string) (data []byte, err error) {
	err = f.change(p, func(p string) error {
		data, err = f.keep.Edit(p, edit, message)
		return err
	})
	return data, err
}

// within runs do with the path of the file that p leads to.
func (f *Folder) within(p string, do func(string) error) error {
	if f.repo == nil {
		return fmt.Errorf("%q: %w", f.dir, history.ErrNotUnderGit)
	}
	if why := f.ReadOnly(); why != "" {
		return fmt.Errorf("nothing was changed: %s", why)
	}
	f.repo.Await()
	p, err := f.resolve(p)
	if err != nil {
		return err
	}
	return do(p)
}

// change is within for what changes a file, and sees to it that the change reaches
// history.
func (f *Folder) change(p string, do func(string) error) error {
	if err := f.within(p, do); err != nil {
		return err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.saved = true
	f.flushIn(f.opt.Delay)
	return nil
}

// Batch has everything saved reach history d after the last save.
func (f *Folder) Batch(d time.Duration) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.opt.Delay = d
}

// flushAgain is how long after a failed commit it is tried again, so that a night's notes
// need not wait for the next one (chosen).
const flushAgain = time.Minute

// flushIn puts everything saved into history after d; mu is held.
func (f *Folder) flushIn(d time.Duration) {
	if f.opt.After == nil {
		return
	}
	if f.stop != nil {
		f.stop()
	}
	f.stop = f.opt.After(d, func() {
		if err := f.flush(); err != nil {
			f.keep.Tell("what was saved is not in history yet: " + history.Reason(err))
		}
		f.mu.Lock()
		defer f.mu.Unlock()
		if f.stop != nil && f.waiting() != "" {
			f.flushIn(flushAgain)
		}
	})
}

// Saved reports whether anything was saved through this Folder.
func (f *Folder) Saved() bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.saved
}

func (f *Folder) hasSaved() {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.saved = true
}

// Waiting says why what is saved is not in history yet, as store.Store.Waiting does;
// "" when history has everything. It does not mean that a save failed.
func (f *Folder) Waiting() string {
	if f.repo == nil {
		return ""
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.waiting()
}

func (f *Folder) waiting() string {
	if why := f.keep.Waiting(); why != "" || !f.saved {
		return why
	}
	return f.repo.Underway()
}

// Flush puts everything saved into history. That it cannot is no error: Waiting says
// why.
func (f *Folder) Flush() error {
	if f.repo == nil || f.ReadOnly() != "" {
		return nil
	}
	f.mu.Lock()
	if f.stop != nil {
		f.stop()
		f.stop = nil
	}
	f.mu.Unlock()
	return f.flush()
}

// flush is Flush in the middle of nothing else: while the person merges or rebases no
// file is touched, for what would be put back into one would make git stop half way.
func (f *Folder) flush() error {
	f.repo.Await()
	if f.repo.Underway() != "" {
		return nil
	}
	return f.keep.Flush()
}

// Close flushes. Nothing is written through the folder afterwards.
func (f *Folder) Close() error { return f.Flush() }

// newSettings is journal.md as a new journal has it.
const newSettings = `---
ashbook: 1
units: %s
hot hold: %s
---

# Cook journal
`

// Init makes dir a journal under git: journal.md, a folder for cooks, git with a first
// commit. It leaves alone what is there already. It returns in words what it made, or
// nothing if dir was a journal under git already.
func Init(dir string, units measure.System, now time.Time) (made []string, err error) {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, err
	}
	hold := measure.Degrees(60, measure.Metric)
	if units == measure.US {
		hold = measure.Degrees(140, measure.US)
	}
	name := filepath.Join(dir, settingsName)
	f, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	switch {
	case errors.Is(err, fs.ErrExist):
	case err != nil:
		return nil, err
	default:
		_, err = fmt.Fprintf(f, newSettings, units, hold)
		if err = errors.Join(err, f.Close()); err != nil {
			return nil, errors.Join(err, os.Remove(name))
		}
		made = append(made, settingsName)
	}
	if !isJournal(dir) {
		if err := os.Mkdir(filepath.Join(dir, cooksDir), 0o777); err != nil {
			return made, err
		}
		made = append(made, cooksDir)
	}
	_, before := history.Open(dir)
	if _, err := history.Init(dir, now, 0); err != nil {
		return made, err
	}
	if errors.Is(before, history.ErrNotUnderGit) {
		made = append(made, "git, with a first commit")
	}
	return made, nil
}

// Find returns the journal's folder: the nearest one at or above start, or env if that is
// given, or data. It fails with ErrNotAJournal.
func Find(start, env, data string) (string, error) {
	if abs, err := filepath.Abs(start); err == nil && start != "" {
		for dir := abs; ; dir = filepath.Dir(dir) {
			if isJournal(dir) {
				return dir, nil
			}
			if dir == filepath.Dir(dir) {
				break
			}
		}
	}
	if env != "" {
		data = env
	}
	if data == "" {
		return "", fmt.Errorf("%q and the folders above it: %w", start, ErrNotAJournal)
	}
	if !isJournal(data) {
		return "", fmt.Errorf("%q: %w", data, ErrNotAJournal)
	}
	return data, nil
}

func isJournal(dir string) bool {
	info, err := os.Stat(filepath.Join(dir, cooksDir))
	return err == nil && info.IsDir()
}

const (
	cooksDir     = "cooks"
	settingsName = "journal.md"
)
