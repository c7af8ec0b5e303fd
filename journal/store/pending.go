package store

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"ashbook/journal/disk"
	"ashbook/journal/history"
)

// guardTime is how long after an entry a save by another program without it may come
// from an old copy (chosen: longer than an editor keeps the file open between two looks
// at the pit, shorter than the time until somebody corrects the cook by hand).
//
// freshTime is the same for a save that lacks only the newest entry (chosen: an editor
// with an old copy saves within moments, and somebody who removes a new entry needs
// longer to open the file, find the line and save).
const (
	guardTime = time.Hour
	freshTime = 2 * time.Minute
)

// record is one line of the pending file: a save of ours, or another program's version
// that a save of ours replaced.
type record struct {
	Path    string    `json:"path"`
	When    time.Time `json:"when"`
	Message string    `json:"message,omitempty"`
	Temp    string    `json:"temp,omitempty"`  // name of the temporary file of this save
	Was     string    `json:"was,omitempty"`   // hash of the file before; "" for a new file
	Is      string    `json:"is,omitempty"`    // hash of the file after
	Lines   []hunk    `json:"lines,omitempty"` // what we changed
	Data    []byte    `json:"data,omitempty"`  // bytes to commit that the file no longer has
	Full    []byte    `json:"full,omitempty"`  // whole content of the file after its newest save, until that is committed
	Theirs  bool      `json:"theirs,omitempty"`
	Done    bool      `json:"done,omitempty"`  // the save is committed
	Grown   bool      `json:"grown,omitempty"` // rows were appended: commit what the file has
	Hold    time.Time `json:"hold,omitzero"`   // the commit waits for more rows until then

	line []byte // the record as a line of the pending file; nil if the record has changed since
}

// text returns the record as a line of the pending file.
func (n *record) text() ([]byte, error) {
	if n.line == nil {
		line, err := json.Marshal(n)
		if err != nil {
			return nil, err
		}
		n.line = append(line, '\n')
	}
	return n.line, nil
}

// sum returns the hash that git has for the data.
func sum(data []byte) string { return history.Sum(data) }

func (k *Store) pendingFile() string { return filepath.Join(k.state, "pending") }

// same reports whether the pending file has not been written since was.
func same(info, was fs.FileInfo) bool {
	return was != nil && os.SameFile(info, was) && info.Size() == was.Size() && info.ModTime().Equal(was.ModTime())
}

// readNotes reads the pending file. It leaves out a line that a crash cut short, since
// that was never acknowledged; whole is false if there was one.
func readNotes(name string) (notes []record, whole bool, err error) {
	data, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, true, nil
	}
	if err != nil {
		return nil, false, err
	}
	whole = true
	for line := range bytes.Lines(data) {
		var n record
		if !bytes.HasSuffix(line, []byte("\n")) || json.Unmarshal(line, &n) != nil {
			whole = false
			continue
		}
		n.line = line
		notes = append(notes, n)
	}
	return notes, whole, nil
}

// append adds records to the pending file and flushes it.
func (d *tx) append(notes ...record) error { return d.appendWith(nil, notes...) }

// appendWith does what append does, and also flushes other files.
func (d *tx) appendWith(with []disk.File, notes ...record) error {
	var text []byte
	if d.torn {
		text = []byte("\n") // this ends the line that a crash cut short
	}
	for i := range notes {
		line, err := notes[i].text()
		if err != nil {
			return err
		}
		text = append(text, line...)
	}
	name := d.pendingFile()
	d.pendingInfo, d.none = nil, false
	f, err := d.disk.OpenFile(name, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	d.torn = true // until all bytes are written
	if _, err = f.Write(text); err == nil {
		err = d.perm.Settle(f)
	}
	if err == nil {
		err = d.disk.Flush(append(with, f), d.state)
	}
	info, err2 := f.Stat()
	if err = errors.Join(err, err2, f.Close()); err != nil {
		return err
	}
	d.torn = false
	for _, n := range notes {
		d.supersede(n)
		d.notes = append(d.notes, n)
	}
	d.pending, d.pendingInfo = d.notes, info
	return nil
}

// supersede drops the whole content from earlier records of a file if n has a later
// one, so that there is one copy of each file even if commits wait all night.
func (d *tx) supersede(n record) {
	if n.Full == nil {
		return
	}
	for i := range d.notes {
		if e := &d.notes[i]; e.Path == n.Path && e.Full != nil {
			e.Full, e.line, d.stale = nil, nil, true
		}
	}
}

// done marks record i as committed.
func (d *tx) done(i int) {
	if n := &d.notes[i]; !n.Done {
		n.Done, n.Data, n.Full, n.line = true, nil, nil, nil
		d.stale, d.pendingInfo = true, nil
	}
}

// rewrite writes the pending file anew without the records that are committed.
func (d *tx) rewrite() error {
	if err := d.settle(); err != nil {
		return err
	}
	if !d.stale {
		return nil
	}
	name := d.pendingFile()
	d.pendingInfo = nil
	if len(d.notes) == 0 {
		err := d.disk.Remove(name)
		if err == nil || errors.Is(err, fs.ErrNotExist) {
			d.stale, d.torn, d.pending, d.none = false, false, nil, true
			return nil
		}
		return err
	}
	var buf bytes.Buffer
	for i := range d.notes {
		line, err := d.notes[i].text()
		if err != nil {
			return err
		}
		buf.Write(line)
	}
	f, err := d.disk.OpenFile(name+".new", os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	if _, err = f.Write(buf.Bytes()); err == nil {
		err = errors.Join(d.perm.Settle(f), f.Sync())
	}
	info, err2 := f.Stat()
	if err = errors.Join(err, err2, f.Close()); err != nil {
		return err
	}
	if err := d.disk.Rename(name+".new", name); err != nil {
		return err
	}
	d.stale, d.torn = false, false
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

// of returns the records of a path that are not committed or are younger than
// guardTime.
func (d *tx) of(path string) []record {
	var out []record
	for _, r := range d.recent {
		if r.path == path && d.guards(r.when) {
			if n, ok := r.record(); ok {
				out = append(out, n)
			}
		}
	}
	for _, n := range d.notes {
		if n.Path == path && (!n.Done || d.guards(n.When)) {
			out = append(out, n)
		}
	}
	return out
}

// sweep resolves and deletes temporary files left by a crash, or kept because a program
// was still writing to the file that a save of ours replaced.
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
			if err := d.disk.Remove(name); err != nil {
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

// resolve finds out from the temporary file how far the save of record i got.
func (d *tx) resolve(i int, name string) error {
	n := d.notes[i]
	data, quiet, err := readWithin(name, 1)
	if err != nil || !quiet {
		return err
	}
	now, _, err := readQuiet(d.full(n.Path))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	// Another temporary file may have added a record of another program's version.
	newest := !slices.ContainsFunc(d.notes[i+1:], func(l record) bool { return l.Path == n.Path && !l.Theirs })
	got := sum(data)
	half := newest && got != n.Was && halfOf(data, n.Full)
	switch {
	case got == n.Is && (err != nil || sum(now) != n.Is), half && sum(now) == cmp.Or(n.Was, sum(nil)):
		// The save did not happen.
		d.notes, d.stale = slices.Delete(d.notes, i, i+1), true
		if err := d.rewrite(); err != nil {
			return err
		}
	case got == n.Is || got == n.Was || half:
	default:
		// It replaced a version that another program saved.
		base, found := d.find(n.Path, n.Was)
		if !found && now != nil && sum(now) != n.Is {
			base, found = now, true
		}
		var lines []hunk
		if found {
			lines = additions(base, data)
		}
		if err := d.append(d.theirs(n.Path, data, lines)); err != nil {
			return err
		}
		if !found && now != nil && sum(now) == n.Is {
			merged, _ := d.missing(n.Path, d.of(n.Path), data).putBack(data)
			if _, err := d.save(n.Path, now, guard{}, func([]byte) ([]byte, error) { return merged, nil }, ""); err != nil {
				return err
			}
		}
	}
	return d.disk.Remove(name)
}

// halfOf reports whether data may be what a power cut left of whole: the beginning of
// it, then zeros.
func halfOf(data, whole []byte) bool {
	return bytes.HasPrefix(whole, bytes.TrimRight(data, "\x00"))
}

// committedByHand marks as committed the saves that the branch already has, because the
// user committed them or a crash followed our commit: every save of ours up to the
// newest one in the branch, and every version of another program that is in the branch.
func (d *tx) committedByHand(path string) {
	waits := func(n record) bool { return n.Path == path && !n.Done }
	first := slices.IndexFunc(d.notes, waits)
	if first < 0 {
		return
	}
	newest := func(of ...string) string {
		got, err := d.repo.Newest(path, append(of, d.notes[first].Was)...)
		if err != nil || got == d.notes[first].Was {
			return "" // a version that cannot be found counts as not committed
		}
		return got
	}
	var saves []string
	last := -1
	for i, n := range d.notes {
		if waits(n) && n.Is != "" {
			saves = append(saves, n.Is)
		}
		if waits(n) && n.Data != nil && newest(sum(n.Data)) != "" {
			d.done(i)
		}
	}
	if got := newest(saves...); got != "" {
		last = slices.IndexFunc(d.notes, func(n record) bool { return waits(n) && n.Is == got })
	}
	for i, n := range d.notes[:last+1] {
		if n.Path == path && n.Data == nil {
			d.done(i)
		}
	}
}

// find returns the content of a file with the given hash, from history or from the
// records.
func (d *tx) find(path, want string) ([]byte, bool) {
	if want == "" {
		return nil, false
	}
	if data := d.last[path]; data != nil && sum(data) == want {
		return data, true
	}
	for _, n := range d.notes {
		for _, data := range [][]byte{n.Data, n.Full} {
			if n.Path == path && data != nil && sum(data) == want {
				return data, true
			}
		}
	}
	data, err := d.repo.Blob(want)
	return data, err == nil
}

// theirs returns a record for a version that another program saved. lines are the
// changes of that version, if a save of ours replaced it.
func (d *tx) theirs(path string, data []byte, lines []hunk) record {
	return record{Path: path, When: d.opt.Now(), Data: append([]byte{}, data...), Lines: lines, Theirs: true,
		Message: fmt.Sprintf("%s: changed outside ashbook", subject(path))}
}
