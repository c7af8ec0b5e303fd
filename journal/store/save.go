package store

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"ashbook/journal/disk"
	"ashbook/journal/history"
	"ashbook/journal/measure"
)

// tx is one change to the journal. It holds the lock, and the records of saves that are
// not committed or that another program may still overwrite.
type tx struct {
	*Store
	perm    disk.Perm // owner and mode of files made in git's folder
	notes   []record
	release func()
	anyway  bool // also change a partly saved file
}

// begin locks the journal and repairs what a crash left.
func (k *Store) begin(wait time.Duration) (*tx, error) {
	release, err := k.repo.Lock(wait)
	if err != nil {
		return nil, err
	}
	d := &tx{Store: k, perm: k.repo.Perm(), release: release}
	if err := d.load(); err != nil {
		release()
		return nil, err
	}
	return d, nil
}

func (d *tx) load() error {
	for _, dir := range []string{d.state, d.temp} {
		if err := disk.MkdirAll(d.disk, dir, d.perm); err != nil {
			return err
		}
	}
	if err := d.loadRecent(); err != nil {
		return err
	}
	info, err := os.Lstat(d.pendingFile())
	if err == nil && same(info, d.pendingInfo) || d.none && errors.Is(err, fs.ErrNotExist) {
		d.notes = d.pending
		d.repair(d.sweep)
		return nil
	}
	notes, whole, err := readNotes(d.pendingFile())
	if err != nil {
		return err
	}
	d.notes, d.stale, d.torn, d.pendingInfo, d.none = nil, !whole, !whole, nil, false
	for _, n := range notes {
		d.supersede(n)
		d.notes = append(d.notes, n)
	}
	if err := d.forgetPending(); err != nil {
		return err
	}
	d.repair(d.rewrite)
	if d.pendingInfo == nil && !d.stale {
		d.pending, d.pendingInfo, d.none = d.notes, info, info == nil
	}
	d.repair(d.sweep)
	d.repair(d.repo.SweepObjects)
	return nil
}

// repair runs one part of the repair. If that fails, a notice says so, the save goes
// on, and the next opening tries again.
func (d *tx) repair(do func() error) {
	if err := do(); err != nil {
		d.tell("the traces of a crash cannot be cleared up yet: " + history.Reason(err))
	}
}

// reconcile returns the content of a file, nil if it does not exist. If another program
// has saved the file, that version gets a pending record. guarded has the lines that
// must be put back if the content lacks them.
func (d *tx) reconcile(path string) (now []byte, guarded guard, err error) {
	now, _, err = readQuiet(d.full(path))
	if err == nil {
		err = d.opt.Fits(path, int64(len(now)))
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, guard{}, err
	}
	got := sum(now)
	is, last := d.newest(path)
	if err != nil || is != got {
		d.committedByHand(path)
	} else if last && !d.grows(path) {
		return now, guard{}, nil // the file is as our newest save left it
	}
	ours := d.of(path)
	if err != nil {
		now, err = d.bringBack(path)
		return now, guard{}, err
	}
	if d.grows(path) {
		return now, guard{}, nil
	}
	guarded = d.missing(path, ours, now)
	if latest(ours).Is == got || d.known[path] == got {
		return now, guarded, nil
	}
	if err := d.half(path, ours, now); err != nil {
		return nil, guard{}, err
	}
	if err := d.keep(path); err != nil {
		return nil, guard{}, err
	}
	if old, err := d.repo.Head(path); err != nil || !bytes.Equal(old, now) {
		if n := len(ours); n == 0 || !ours[n-1].Theirs || !bytes.Equal(ours[n-1].Data, now) {
			n := d.theirs(path, now, nil)
			if err == nil {
				n.Was = sum(old)
			}
			if err := d.append(n); err != nil {
				return nil, guard{}, err
			}
		}
	}
	d.known[path] = got
	if _, lost := guarded.putBack(now); lost > 0 {
		d.tell(fmt.Sprintf("%s: put back %s that another program overwrote. To delete an entry that you just made, undo it", path, measure.Count(lost, "line")))
	}
	return now, guarded, nil
}

// keep records our last version of a file, so that history gets it, if another program
// has replaced it before it was committed.
func (d *tx) keep(path string) error {
	ours := d.of(path)
	n := latest(ours)
	data, ok := d.find(path, n.Is)
	if n.Done || !ok || slices.ContainsFunc(ours, func(n record) bool { return bytes.Equal(n.Data, data) }) {
		return nil
	}
	return d.append(record{Path: path, When: d.opt.Now(), Data: data})
}

// bringBack makes a deleted file again if a save of ours in it is not committed. It
// returns the file's content, nil if there is nothing to bring back.
func (d *tx) bringBack(path string) ([]byte, error) {
	n := latest(d.of(path))
	if n.Done || n.Full == nil {
		return nil, d.keep(path)
	}
	d.tell(fmt.Sprintf("%s: was deleted before it was in history, so it was put back", path))
	return n.Full, d.makeNew(record{Path: path, Message: subject(path) + ": put back"}, n.Full)
}

// latest returns our last save among the records; the zero record for none.
func latest(notes []record) record {
	for _, n := range slices.Backward(notes) {
		if n.Is != "" {
			return n
		}
	}
	return record{}
}

// guard has the lines that must be put back into a version that lacks them.
type guard struct {
	lines []hunk
	ours  []byte // our version with the lines; nil if not known
}

// putBack adds the lines that text lacks, and returns how many lines changed.
func (g guard) putBack(text []byte) ([]byte, int) { return apply(g.lines, g.ours, text) }

// missing returns the lines that must be put back into a version of the file if it
// lacks them.
func (d *tx) missing(path string, notes []record, version []byte) guard {
	lines := linesOf(unseen(notes, version, d.opt.Now()))
	if lines == nil {
		return guard{}
	}
	ours, _ := d.find(path, latest(notes).Is)
	return guard{lines, ours}
}

// unseen returns the records whose lines must be put back into version if it lacks
// them: all that are not committed, and those committed ones that the program that
// saved version cannot have seen. Only a committed line may count as deleted by
// somebody.
func unseen(notes []record, version []byte, now time.Time) []record {
	have := map[string]int{}
	for _, l := range splitLines(version) {
		have[l]++
	}
	first := 0
	for i, n := range notes {
		for _, h := range n.Lines {
			for _, l := range h.New {
				if !n.Theirs && strings.HasPrefix(l, "- ") && have[l] > 0 {
					have[l]--
					first = i + 1
				}
			}
		}
	}
	ours := 0
	for _, n := range notes[first:] {
		if !n.Theirs && n.Lines != nil {
			ours++
		}
	}
	var out []record
	for i, n := range notes {
		known := i < first || ours == 1 && !n.Theirs && now.Sub(n.When) > freshTime
		if !n.Done || !known {
			out = append(out, n)
		}
	}
	return out
}

func linesOf(notes []record) []hunk {
	var hunks []hunk
	for _, n := range notes {
		if n.Theirs {
			hunks = join(hunks, n.Lines)
		} else {
			hunks = compose(hunks, n.Lines)
		}
	}
	return hunks
}

// chaseTries is how often one save tries again because another program saved in between
// (chosen). After that, our lines wait to be put back. A user's editor is answered at
// once, and a program that saves in a loop cannot stop us forever.
const chaseTries = 6

// save replaces the content now of a file by edit(now), after it has put guarded back.
// If another program saves in between, its version is recorded and edited instead. It
// returns the content written last. Its folder is flushed.
func (d *tx) save(path string, now []byte, guarded guard, edit func([]byte) ([]byte, error), message string) ([]byte, error) {
	whole, _ := guarded.putBack(now)
	data, err := edit(whole)
	if err != nil {
		return nil, err
	}
	if bytes.Equal(data, now) {
		return now, nil
	}
	if err := d.opt.Fits(path, int64(len(data))); err != nil {
		return nil, err
	}
	n := record{Path: path, When: d.opt.Now(), Message: message, Lines: diff(whole, data)}
	before := now
	var slipped []record
	for try := 1; ; try++ {
		n.Was, n.Is = sum(before), sum(data)
		displaced, done, err := d.replace(n, data, slipped)
		if err != nil {
			return nil, err
		}
		slipped = nil
		if !bytes.Equal(displaced, before) {
			// That version may be an older copy than the one read, so check again which
			// lines it lacks.
			slipped = []record{d.theirs(path, displaced, additions(before, displaced))}
			next := displaced
			if try == 1 {
				ours := d.of(path) // the last is this save
				whole, _ := d.missing(path, ours[:len(ours)-1], displaced).putBack(displaced)
				if next, err = edit(whole); err != nil {
					next = displaced
				}
			}
			next, _ = d.missing(path, d.of(path), displaced).putBack(next)
			if try < chaseTries && !bytes.Equal(next, data) {
				before, data = data, next
				n = record{Path: path, When: n.When}
				defer done()
				continue
			}
			if err := d.append(slipped...); err != nil {
				return nil, err
			}
		}
		d.known[path], d.last[path] = n.Is, data
		return data, errors.Join(d.disk.Flush(nil, filepath.Dir(d.full(path))), done())
	}
}

// replace writes data to the file and returns the content it replaced. done deletes the
// temporary file, which has that content until then. The records slipped go to the
// pending file together with this save's record.
func (d *tx) replace(n record, data []byte, slipped []record) (displaced []byte, done func() error, err error) {
	target := d.full(n.Path)
	settle := disk.Perm{Like: filepath.Dir(target)}.Settle
	if info, err := os.Stat(target); err == nil {
		settle = func(f disk.File) error { return disk.Alike(f, info) }
	}
	temp, err := d.announce(n, data, settle, slipped...)
	if err != nil {
		return nil, nil, err
	}
	done = func() error { return d.disk.Remove(temp) }
	err = d.disk.Exchange(temp, target)
	if errors.Is(err, errors.ErrUnsupported) {
		// A save by another program between these two steps would be lost.
		if displaced, _, err = readQuiet(target); err == nil {
			err = d.disk.Rename(temp, target)
			done = func() error { return nil }
		}
		return displaced, done, err
	}
	if err != nil {
		return nil, nil, err
	}
	displaced, quiet, err := readQuiet(temp)
	if !quiet {
		done = func() error { return nil } // the next sweep reads the file, once the program has closed it
		d.tell(n.Path + ": another program has the file open and may go on writing; its lines are put in when it closes the file")
	}
	return displaced, done, err
}

const tempPrefix = "saving-"

func isTemp(name string) bool { return strings.HasPrefix(name, tempPrefix) }

// announce writes the new content to a temporary file, whose name it returns. It adds
// the records others and the record of this save to the pending file, and flushes both
// files. They may reach the disk in either order: a temporary file without a record is
// deleted, and a record with the whole content shows whether its temporary file is
// complete. A record without the content, as for growing files, is written second.
// settle sets the temporary file's owner and mode.
func (d *tx) announce(n record, data []byte, settle func(disk.File) error, others ...record) (name string, err error) {
	temp, err := disk.NewTemp(d.disk, d.temp, tempPrefix, data, settle)
	if err != nil {
		return "", err
	}
	n.Temp = filepath.Base(temp.Name())
	if n.Grown {
		err = temp.Sync()
	} else {
		n.Full = data
	}
	if err == nil {
		err = d.appendWith([]disk.File{temp}, append(others, n)...)
	}
	err = errors.Join(err, temp.Close())
	if err != nil {
		err = errors.Join(err, d.disk.Remove(temp.Name()))
	}
	return temp.Name(), err
}

// restore puts back the lines that another program overwrote, and returns the file's
// content.
func (d *tx) restore(path string) ([]byte, error) {
	now, guarded, err := d.reconcile(path)
	if err != nil || now == nil {
		return nil, err
	}
	return d.save(path, now, guarded, func(b []byte) ([]byte, error) { return b, nil },
		fmt.Sprintf("%s: put back what another program overwrote", subject(path)))
}

// A save waits quietTries times quietPause for a program that is writing the file
// (chosen: an editor saves within milliseconds; a program that keeps the file open for
// longer is not waited for).
const (
	quietTries = 50
	quietPause = 5 * time.Millisecond
)

// readQuiet reads a file while no program is writing it. quiet is false if one still
// was at the end of the wait.
func readQuiet(name string) (data []byte, quiet bool, err error) { return readWithin(name, quietTries) }

func readWithin(name string, tries int) (data []byte, quiet bool, err error) {
	f, err := history.OpenRegular(name)
	if err != nil {
		return nil, false, err
	}
	defer f.Close()
	for range tries {
		if !disk.BeingWritten(f) {
			if _, err := f.Seek(0, io.SeekStart); err != nil {
				return nil, false, err
			}
			if data, err = io.ReadAll(f); err != nil || !disk.BeingWritten(f) {
				return data, true, err
			}
		}
		time.Sleep(quietPause)
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return nil, false, err
	}
	data, err = io.ReadAll(f)
	return data, false, err
}
