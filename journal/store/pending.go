package store

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// guardTime is how long after an entry a save by another program that leaves it out
// may be taken for one that did not know of it. Chosen: longer than a file stays open
// in an editor between two looks at the pit, shorter than the wait until the cook is
// looked through and put right by hand.
//
// freshTime is the same where only the newest entry is left out. Chosen: an editor
// that had the file open saves over it within moments; a person who takes out what
// was just entered needs longer to open the file, find the line and save.
const (
	guardTime = time.Hour
	freshTime = 2 * time.Minute
)

// record is one line of the pending file: a save of ours, or the version of another
// program that it displaced.
type record struct {
	Path    string    `json:"path"`
	When    time.Time `json:"when"`
	Message string    `json:"message,omitempty"`
	Temp    string    `json:"temp,omitempty"`  // the temporary file of this save
	Was     string    `json:"was,omitempty"`   // sum of the file before; "" a new file
	Is      string    `json:"is,omitempty"`    // sum of the file after
	Lines   []hunk    `json:"lines,omitempty"` // what we changed
	Data    []byte    `json:"data,omitempty"`  // bytes for history that the file no longer holds
	Theirs  bool      `json:"theirs,omitempty"`
	Done    bool      `json:"done,omitempty"`  // in history
	Grown   bool      `json:"grown,omitempty"` // rows put at the end: what the file holds is what counts
	Hold    time.Time `json:"hold,omitzero"`   // history waits until then for more rows
}

func sum(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:16])
}

func (k *Store) pendingFile() string { return filepath.Join(k.state, "pending") }

// same tells whether nobody has written the pending file since was.
func same(info, was fs.FileInfo) bool {
	return was != nil && os.SameFile(info, was) && info.Size() == was.Size() && info.ModTime().Equal(was.ModTime())
}

// readNotes reads the pending file. A last line that a crash cut short was never
// acknowledged and is left out; whole tells whether there was none.
func readNotes(name string) (notes []record, whole bool, err error) {
	data, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, true, nil
	}
	if err != nil {
		return nil, false, err
	}
	for line := range bytes.Lines(data) {
		var n record
		if !bytes.HasSuffix(line, []byte("\n")) || json.Unmarshal(line, &n) != nil {
			return notes, false, nil
		}
		notes = append(notes, n)
	}
	return notes, true, nil
}

// append adds notes to the pending file; they are on the disk when append returns.
func (d *tx) append(notes ...record) error {
	var text []byte
	for _, n := range notes {
		line, err := json.Marshal(n)
		if err != nil {
			return err
		}
		text = append(append(text, line...), '\n')
	}
	name := d.pendingFile()
	f, err := os.OpenFile(name, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	err = errors.Join(err, f.Sync())
	info, err2 := f.Stat()
	if err = errors.Join(err, err2, f.Close()); err != nil {
		return err
	}
	d.notes = append(d.notes, notes...)
	d.pending, d.pendingInfo = d.notes, info
	return nil
}

// done marks a note as being in history.
func (d *tx) done(i int) {
	if n := &d.notes[i]; !n.Done {
		n.Done, n.Data = true, nil
		d.stale, d.pendingInfo = true, nil
	}
}

// rewrite puts the pending file in order: what is in history and older than the
// guard time goes.
func (d *tx) rewrite() error {
	now, before := d.opt.Now(), len(d.notes)
	d.notes = slices.DeleteFunc(d.notes, func(n record) bool {
		return n.Done && (n.Lines == nil || now.Sub(n.When) > guardTime) && !d.leftOver(n.Temp)
	})
	if !d.stale && len(d.notes) == before {
		return nil
	}
	d.stale = false
	name := d.pendingFile()
	d.pendingInfo = nil
	if len(d.notes) == 0 {
		err := os.Remove(name)
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		return err
	}
	var buf bytes.Buffer
	for _, n := range d.notes {
		line, err := json.Marshal(n)
		if err != nil {
			return err
		}
		buf.Write(append(line, '\n'))
	}
	f, err := os.OpenFile(name+".new", os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(buf.Bytes())
	err = errors.Join(err, f.Sync())
	info, err2 := f.Stat()
	if err = errors.Join(err, err2, f.Close(), os.Rename(name+".new", name)); err != nil {
		return err
	}
	d.pending, d.pendingInfo = d.notes, info
	return nil
}

func (d *tx) leftOver(temp string) bool {
	if temp == "" {
		return false
	}
	_, err := os.Lstat(filepath.Join(d.temp, temp))
	return err == nil
}

// of returns the notes of a path that still count: not yet in history, or within the
// guard time.
func (d *tx) of(path string) []record {
	now := d.opt.Now()
	var out []record
	for _, n := range d.notes {
		if n.Path == path && (!n.Done || now.Sub(n.When) <= guardTime) {
			out = append(out, n)
		}
	}
	return out
}

// sweep goes through the temporary files that a crash left behind, or a program that
// was still writing into what we displaced.
func (d *tx) sweep() error {
	entries, err := os.ReadDir(d.temp)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if !isTemp(e.Name()) {
			continue
		}
		i := slices.IndexFunc(d.notes, func(n record) bool { return n.Temp == e.Name() })
		name := filepath.Join(d.temp, e.Name())
		if i < 0 {
			if err := os.Remove(name); err != nil {
				return err
			}
			continue
		}
		if err := d.resolve(i, name); err != nil {
			return err
		}
	}
	return nil
}

// resolve finds out from a temporary file how far the save of a note came.
func (d *tx) resolve(i int, name string) error {
	n := d.notes[i]
	data, quiet, err := readQuiet(name)
	if err != nil || !quiet {
		return err
	}
	now, _, err := readQuiet(d.full(n.Path))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	switch got := sum(data); {
	case got == n.Is && (err != nil || sum(now) != n.Is):
		// It never took place.
		d.notes, d.stale = slices.Delete(d.notes, i, i+1), true
		if err := d.rewrite(); err != nil {
			return err
		}
	case got == n.Is || got == n.Was:
	default:
		// It displaced the save of another program.
		base, found := d.find(n.Path, n.Was)
		var lines []hunk
		if found {
			lines = additions(base, data)
		}
		if err := d.append(d.theirs(n.Path, data, lines)); err != nil {
			return err
		}
		if !found && now != nil && sum(now) == n.Is {
			merged, _ := apply(d.missing(d.of(n.Path), data), data)
			if _, err := d.save(n.Path, now, nil, func([]byte) ([]byte, error) { return merged, nil }, ""); err != nil {
				return err
			}
		}
	}
	return os.Remove(name)
}

// find looks for the bytes of a file that have the sum, in history's newest version
// and among the notes.
func (d *tx) find(path, want string) ([]byte, bool) {
	if data, err := d.repo.Head(path); err == nil && sum(data) == want {
		return data, true
	}
	for _, n := range d.notes {
		if n.Path == path && n.Data != nil && sum(n.Data) == want {
			return n.Data, true
		}
	}
	return nil, false
}

// theirs is the note of another program's version. lines are what it changed, if we
// displaced it.
func (d *tx) theirs(path string, data []byte, lines []hunk) record {
	return record{Path: path, When: d.opt.Now(), Data: append([]byte{}, data...), Lines: lines, Theirs: true,
		Message: fmt.Sprintf("%s: changed outside ashbook", subject(path))}
}
