// Package folder opens a journal's folder, lists, searches and reads its cooks, and
// saves changes through package store.
//
// The files hold the data. The index in the user's cache folder only saves reading them
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
	// ErrNotAJournal means that a folder has no cooks in it.
	ErrNotAJournal = errors.New("not a journal")
	// ErrNoCook means that there is no cook of that name.
	ErrNoCook = errors.New("no such cook")
)

// Options are what a folder needs. Now is required.
type Options struct {
	Now   func() time.Time
	Zone  *time.Location // zone of clock times without an offset in cooks; nil means UTC
	Cache string         // folder for the index and for computed results; "" for no caching
	Build string         // identifies the program's build; the index of another build is not used
	// how long to wait for another ashbook or git, at most; 0 means not at all for
	// ashbook and the usual time for git
	Wait time.Duration

	// After calls f once when d has passed, unless stop is called before. It is used to
	// commit saves Delay after the last one. If it is nil, only Flush and Close commit.
	After func(d time.Duration, f func()) (stop func())
	Delay time.Duration
}

// Folder is an open journal. Several goroutines may call its methods.
type Folder struct {
	dir  string
	opt  Options
	repo *history.Repo // nil if not under git; then nothing can be written
	keep *store.Store  // nil if repo is nil

	own  atomic.Pointer[ownSettings] // journal.md as last read
	seen atomic.Pointer[Seen]        // nil for no callback
	last atomic.Pointer[parsed]      // the cook parsed last

	mu    sync.Mutex
	stop  func() // stops the timer; nil if none runs
	saved bool   // something was saved
}

// Open opens the journal in dir. It first repairs what a crash left, unless another
// ashbook has it locked. It fails with ErrNotAJournal.
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
	stamp    string // mark of the file
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

// Dir returns the journal's folder as an absolute path.
func (f *Folder) Dir() string { return f.dir }

// Cache returns the cache for results computed from the journal; nil if nothing is
// cached.
func (f *Folder) Cache() *cache.Cache { return cache.In(f.opt.Cache, f.opt.Build) }

// Zone returns the name of the zone of clock times without an offset.
func (f *Folder) Zone() string {
	if f.opt.Zone == nil {
		return "UTC"
	}
	return f.opt.Zone.String()
}

// History returns the journal's history; nil if it is not under git.
func (f *Folder) History() *history.Repo { return f.repo }

// Settings returns the current settings of journal.md and its problems. Without the
// file the settings are zero.
func (f *Folder) Settings() (journal.Settings, []journal.Problem) {
	own := f.ownSettings()
	return own.settings, own.problems
}

// Notices returns, in plain words, what the user should act on: why commits wait, and
// what happened to their files since the last call.
func (f *Folder) Notices() (out []string) {
	if why := f.ReadOnly(); why != "" {
		out = append(out, why)
	}
	if f.repo != nil {
		out = append(out, f.keep.Notices()...)
	}
	return out
}

// Happened returns the part of Notices about what happened to files since the last call
// of either.
func (f *Folder) Happened() []string {
	if f.repo == nil {
		return nil
	}
	return f.keep.Happened()
}

// ReadOnly says in plain words why nothing can be written here; "" if something can.
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

// Remarks returns, in plain words, what the user need not act on: how commits made here
// differ from those of git itself.
func (f *Folder) Remarks() []string {
	if f.repo == nil {
		return nil
	}
	return f.repo.Remarks()
}

// Create makes the file of a new cook. It fails with fs.ErrExist if there is one
// already, and with history.ErrNotUnderGit if the journal is not under git. message is
// for the commit.
func (f *Folder) Create(id string, data []byte, message string) error {
	if err := checkID(id); err != nil {
		return err
	}
	if p, err := f.locate(id); err == nil {
		return fmt.Errorf("%s: %w", p, fs.ErrExist)
	}
	return f.CreateFile(Path(id), data, message)
}

// NewCook is the file of a cook to create.
type NewCook struct {
	ID      string
	Data    []byte
	Message string // for the commit
}

// CreateAll makes several cooks, as Create makes one: all of them or none.
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

// CreateFile makes any file of the journal, such as a pit, a mix or a probe series, as
// Create makes a cook.
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
	if bytes.Equal(data, file.Bytes()) { // lines were put back into the file
		return file, nil
	}
	return f.parse(p, data)
}

// EditFile changes the bytes of any file of the journal, as Edit changes a cook. It
// fails with fs.ErrNotExist where there is no such file.
func (f *Folder) EditFile(p string, edit func([]byte) ([]byte, error), message string) (data []byte, err error) {
	err = f.change(p, func(p string) error {
		data, err = f.keep.Edit(p, edit, message)
		return err
	})
	return data, err
}

// within calls do with the path of the file that p leads to.
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

// change does what within does, for a do that changes the file, and also schedules the
// commit.
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

// Batch makes saves be committed d after the last save.
func (f *Folder) Batch(d time.Duration) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.opt.Delay = d
}

// flushAgain is how long after a failed commit the next try is, so that a night's notes
// need not wait for another note (chosen).
const flushAgain = time.Minute

// flushIn commits everything saved after d. mu must be held.
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

// Waiting says why what is saved is not committed yet, as store.Store.Waiting does; ""
// if everything is committed. It does not mean that a save failed.
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

// Flush commits everything saved. If it cannot, that is no error: Waiting says why.
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

// flush commits unless the user has a merge or rebase in progress. Then it touches no
// file, since lines put back into one would make git fail half way.
func (f *Folder) flush() error {
	f.repo.Await()
	if f.repo.Underway() != "" {
		return nil
	}
	return f.keep.Flush()
}

// Close commits everything saved. Nothing may be written through the folder afterwards.
func (f *Folder) Close() error { return f.Flush() }

// newSettings is journal.md of a new journal.
const newSettings = `---
ashbook: 1
units: %s
hot hold: %s
---

# Cook journal
`

// Init makes dir a journal under git: journal.md, a folder for cooks, git with a first
// commit. It leaves what is there unchanged. It returns in words what it made; nothing
// if dir was a journal under git already.
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

// Find returns the journal's folder: env if that is not "", or the nearest journal at
// or above start, or data. It fails with ErrNotAJournal.
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
