// Package folder opens a journal's folder, lists and searches its cooks, and saves
// changes so that nothing acknowledged and nothing another program wrote is lost.
//
// The files are the truth. Beside them there are, inside git's own folder, a lock
// that keeps two ashbooks apart, and the pending file: what has been saved but is
// not in history yet. History is written off the key path, in batches.
//
// # How a save keeps what is there
//
// Under the lock the file is read again and the change is made to what it holds now.
// The result is written to a temporary file and flushed; a line saying what is about
// to happen goes into the pending file and is flushed; then temporary file and cook
// are exchanged in one step, and the folder is flushed. Only then is the save done.
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
// without our lines. The pending file therefore remembers for an hour the lines of
// each save; when the file is next looked at and has none of them, nor an altered
// one in their place, they are put back where they were, and a notice says so. That
// a person takes out a fresh entry in an editor cannot be told from this: within
// the hour it is taken back by undoing it.
//
// After a crash the next opening finds from the temporary file and the sums in the
// pending file how far the save came, and commits what had been saved.
//
// Note: appending to the cook in place was tried and lost: an editor that saves by
// rename leaves the appended line in a file without a name.
package folder

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/history"
)

var (
	// ErrNotAJournal says that a folder has no cooks in it.
	ErrNotAJournal = errors.New("not a journal")
	// ErrNoCook says that there is no cook of that name.
	ErrNoCook = errors.New("no such cook")
)

// maxFile is the largest file taken for a cook, bytes. Chosen: a thousand times a
// long cook; more is not a cook's file.
const maxFile = 4 << 20

func fits(path string, size int64) error {
	if size > maxFile && !strings.HasSuffix(path, ".csv") {
		return fmt.Errorf("%s: %d bytes, expected at most %d", path, size, maxFile)
	}
	return nil
}

// Options are what a folder needs from outside. Now is required.
type Options struct {
	Now   func() time.Time
	Zone  *time.Location // of bare clock times in cooks; nil: UTC
	Cache string         // folder for the index; "": none is kept
	Build string         // tells one build of the program from another: an index made by another is not used
	Wait  time.Duration  // how long another ashbook is waited for; 0: not at all

	// After calls f once when d has passed, unless stop is called before. It lets
	// saves reach history by themselves, Delay after the last; nil: only Flush and
	// Close commit.
	After func(d time.Duration, f func()) (stop func())
	Delay time.Duration
}

// Folder is an open journal. Its methods may be called from several goroutines.
type Folder struct {
	dir   string
	opt   Options
	repo  *history.Repo // nil: not under git, nothing is written
	state string        // ours, inside git's folder
	temp  string        // for temporary files, on the journal's own disk

	mu       sync.Mutex
	settings journal.Settings
	problems []journal.Problem // of journal.md
	front    string            // sum of journal.md
	known    map[string]string // path: sum of what history or the pending file has
	last     map[string][]byte // path: what we saved last
	told     []string

	// pending is what the pending file held when it had that mark.
	pending     []note
	pendingMark mark

	waiting string // why the last commit had to wait
	stop    func() // of the timer
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
	f := &Folder{dir: dir, opt: opt, known: map[string]string{}, last: map[string][]byte{}}
	if f.repo, err = history.Open(dir); err != nil && !errors.Is(err, history.ErrNotUnderGit) {
		return nil, err
	}
	if f.repo != nil {
		f.state = filepath.Join(f.repo.State(), "at-"+url.PathEscape(f.repo.Prefix()))
		f.temp = f.state
		if !sameDisk(filepath.Dir(f.repo.State()), dir) {
			f.temp = filepath.Join(dir, ".ashbook")
		}
		f.repair()
	}
	f.readSettings()
	return f, nil
}

// repair does at opening what a crash left undone. That it cannot is no reason not
// to read the journal.
func (f *Folder) repair() {
	if _, err := os.Lstat(filepath.Join(f.state, pendingName)); err != nil {
		return
	}
	opt := f.opt
	f.opt.Wait = 0
	err := f.Flush()
	f.opt = opt
	if err != nil && !errors.Is(err, history.ErrLocked) {
		f.tell("what was saved last time is not in history yet: " + err.Error())
	}
}

func (f *Folder) readSettings() {
	const name = settingsName
	data, err := os.ReadFile(filepath.Join(f.dir, name))
	if errors.Is(err, fs.ErrNotExist) {
		return
	}
	f.front = sum(data)
	if err == nil {
		f.settings, f.problems, err = cookfile.ParseSettings(name, data)
	}
	if err != nil {
		f.problems = append(f.problems, problem(name, err))
	}
}

// problem turns an error about a file into a record.
func problem(path string, err error) journal.Problem {
	var p journal.Problem
	if errors.As(err, &p) {
		return p
	}
	var pe *fs.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	return journal.Problem{File: path, Text: strings.TrimPrefix(err.Error(), path+": ")}
}

// Dir is the journal's folder, absolute.
func (f *Folder) Dir() string { return f.dir }

// History is the journal's history, nil where it is not under git.
func (f *Folder) History() *history.Repo { return f.repo }

// Settings are those of journal.md, with what is wrong in it. Without the file they
// are zero.
func (f *Folder) Settings() (journal.Settings, []journal.Problem) { return f.settings, f.problems }

// tell adds a notice.
func (f *Folder) tell(text string) { f.told = append(f.told, text) }

// Notices tells in plain words what a person should know: why commits wait, and what
// happened to their files. Each call returns what happened since the last.
func (f *Folder) Notices() []string {
	if f.repo == nil {
		return []string{fmt.Sprintf("%s is not under git: it can be read, not written", f.dir)}
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	out := append(f.repo.Notices(), f.told...)
	if f.waiting != "" && len(out) == len(f.told) {
		out = append(out, f.waiting)
	}
	f.told = nil
	return out
}

// full is where a path of the journal lies on the disk.
func (f *Folder) full(p string) string { return filepath.Join(f.dir, filepath.FromSlash(p)) }

// resolve checks that a path is one of the journal's own and returns the path of
// the file it leads to. It refuses names that climb out, and links that lead out.
func (f *Folder) resolve(p string) (string, error) {
	if !fs.ValidPath(p) || !filepath.IsLocal(filepath.FromSlash(p)) || strings.ContainsRune(p, '\\') {
		return "", fmt.Errorf("%q: not a path in the journal", p)
	}
	for part := range strings.SplitSeq(p, "/") {
		if strings.HasPrefix(part, ".") {
			return "", fmt.Errorf("%q: hidden files are not the journal's", p)
		}
	}
	real, err := filepath.EvalSymlinks(f.full(p))
	if errors.Is(err, fs.ErrNotExist) && path.Dir(p) != "." {
		dir, err := f.resolve(path.Dir(p))
		if err != nil {
			return "", err
		}
		if _, err := os.Lstat(f.full(p)); err == nil {
			return "", fmt.Errorf("%s: a link that leads nowhere", p)
		}
		return path.Join(dir, path.Base(p)), nil
	}
	if errors.Is(err, fs.ErrNotExist) {
		return p, nil
	}
	if err != nil {
		return "", err
	}
	rel, err := filepath.Rel(f.dir, real)
	if err != nil || !filepath.IsLocal(rel) {
		return "", fmt.Errorf("%s: a link out of the journal", p)
	}
	return filepath.ToSlash(rel), nil
}

// badInNames are the bytes that no system, or not every one, takes in a file's name.
const badInNames = `<>:"/\|?*` + "\x7f" +
	"\x00\x01\x02\x03\x04\x05\x06\x07\x08\x09\x0a\x0b\x0c\x0d\x0e\x0f" +
	"\x10\x11\x12\x13\x14\x15\x16\x17\x18\x19\x1a\x1b\x1c\x1d\x1e\x1f"

// checkID refuses what is no cook's name: DATE or DATE-slug, usable as a file's
// name on every system.
func checkID(id string) error {
	bad := strings.ContainsAny(id, badInNames)
	if _, ok := journal.DateOfID(id); !ok || bad || len(id) > 120 || strings.HasSuffix(id, ".") || strings.HasSuffix(id, " ") {
		return fmt.Errorf("cook %q: expected such as 2026-09-18-harvest-supper", id)
	}
	return nil
}

// Path is where the file of a new cook goes: "cooks/2026/2026-09-18-supper.md".
func Path(id string) string { return path.Join(cooksDir, id[:min(4, len(id))], id+".md") }

// locate returns the path of a cook's file, wherever below cooks it lies.
func (f *Folder) locate(id string) (string, error) {
	if err := checkID(id); err != nil {
		return "", err
	}
	for _, p := range []string{Path(id), path.Join(cooksDir, id+".md")} {
		if _, err := os.Lstat(f.full(p)); err == nil {
			return f.resolve(p)
		}
	}
	years, err := os.ReadDir(f.full(cooksDir))
	if err != nil {
		return "", err
	}
	for _, y := range years {
		p := path.Join(cooksDir, y.Name(), id+".md")
		if _, err := os.Lstat(f.full(p)); err == nil {
			return f.resolve(p)
		}
	}
	return "", fmt.Errorf("cook %q: %w", id, ErrNoCook)
}

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

// Bytes returns the content of a file of the journal, below its folder, with
// slashes. It fails with fs.ErrNotExist where there is none.
func (f *Folder) Bytes(p string) ([]byte, error) {
	real, err := f.resolve(p)
	if err != nil {
		return nil, err
	}
	info, err := os.Stat(f.full(real))
	if err != nil {
		return nil, err
	}
	if err := fits(p, info.Size()); err != nil {
		return nil, err
	}
	return os.ReadFile(f.full(real))
}

// Load reads a cook and the probe series beside it. It fails with ErrNoCook, or with the journal.Problem of a file
// in which nothing can be relied on.
func (f *Folder) Load(id string) (cookfile.File, error) {
	p, err := f.locate(id)
	if err != nil {
		return cookfile.File{}, err
	}
	data, err := f.Bytes(p)
	if err != nil {
		return cookfile.File{}, err
	}
	file, err := f.parse(p, data)
	if err != nil {
		return cookfile.File{}, err
	}
	probed, problems := f.readSeries(p)
	file.Cook.Series = probed
	file.Problems = append(file.Problems, problems...)
	return file, nil
}

func (f *Folder) parse(p string, data []byte) (cookfile.File, error) {
	return cookfile.Parse(p, data, cookfile.Options{Settings: f.settings, Zone: f.opt.Zone})
}

// SeriesPath is where the probe series of the cook with that file lies, whether or
// not there is one.
func SeriesPath(cook string) string { return strings.TrimSuffix(cook, ".md") + ".csv" }

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

// CreateFile is Create for any file of the journal: a pit, a mix, a probe series.
func (f *Folder) CreateFile(p string, data []byte, message string) error {
	return f.change(p, func(d *desk, p string) error { return d.create(p, data, message) })
}

// Edit makes a change to a cook and returns it as saved. edit is given what the file
// holds at that moment, and may be called more than once. Where it changes nothing,
// nothing is saved. When Edit returns without error the change is on the disk; it
// reaches history later. It fails with history.ErrNotUnderGit and history.ErrLocked.
func (f *Folder) Edit(id string, edit func(cookfile.File) (cookfile.File, error), message string) (cookfile.File, error) {
	p, err := f.locate(id)
	if err != nil {
		return cookfile.File{}, err
	}
	data, err := f.EditFile(p, func(old []byte) ([]byte, error) {
		file, err := f.parse(p, old)
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
	return f.parse(p, data)
}

// EditFile is Edit for any file of the journal, in its bytes. It fails with
// fs.ErrNotExist where there is no such file.
func (f *Folder) EditFile(p string, edit func([]byte) ([]byte, error), message string) (data []byte, err error) {
	err = f.change(p, func(d *desk, p string) error {
		now, guarded, err := d.settle(p)
		if err != nil {
			return err
		}
		if now == nil {
			return fmt.Errorf("%s: %w", p, fs.ErrNotExist)
		}
		data, err = d.save(p, now, guarded, func(old []byte) ([]byte, error) { return edit(bytes.Clone(old)) }, message)
		return err
	})
	return data, err
}

// change runs do at the desk, with the path of the file that p leads to.
func (f *Folder) change(p string, do func(*desk, string) error) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.repo == nil {
		return fmt.Errorf("%q: %w", f.dir, history.ErrNotUnderGit)
	}
	p, err := f.resolve(p)
	if err != nil {
		return err
	}
	d, err := f.begin()
	if err != nil {
		return err
	}
	defer d.release()
	if err := do(d, p); err != nil {
		return err
	}
	if f.opt.After != nil {
		if f.stop != nil {
			f.stop()
		}
		f.stop = f.opt.After(f.opt.Delay, func() {
			if err := f.Flush(); err != nil && !errors.Is(err, history.ErrLocked) {
				f.mu.Lock()
				f.tell("what was saved is not in history yet: " + err.Error())
				f.mu.Unlock()
			}
		})
	}
	return nil
}

// Flush puts everything saved into history. That git makes commits wait is no error;
// Notices tells it.
func (f *Folder) Flush() error {
	if f.repo == nil {
		return nil
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.stop != nil {
		f.stop()
		f.stop = nil
	}
	if _, err := os.Lstat(filepath.Join(f.state, pendingName)); err != nil {
		return nil
	}
	d, err := f.begin()
	if err != nil {
		return err
	}
	defer d.release()
	return d.commit()
}

// Close flushes. The folder is not used afterwards.
func (f *Folder) Close() error { return f.Flush() }
