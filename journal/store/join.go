package store

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"

	"ashbook/journal/disk"
	"ashbook/journal/history"
)

// TakeIn commits what other programs have changed or deleted in these files, and
// everything saved. A partly saved file waits, and a notice says so. Rows that may wait
// for more rows wait too, unless all is set.
func (k *Store) TakeIn(paths []string, all bool) error {
	return k.change(func(d *tx) error {
		if all {
			for i := range d.notes {
				d.notes[i].Hold, d.notes[i].line = d.notes[i].When, nil
			}
		}
		held := d.held()
		var behind []string // files that are committed, but perhaps older in the index
		for _, path := range paths {
			if held[path] {
				continue
			}
			now, _, err := d.reconcile(path)
			if err != nil {
				d.tell(err.Error())
				continue
			}
			waits := slices.ContainsFunc(d.notes, func(n record) bool { return n.Path == path && !n.Done })
			switch {
			case waits:
			case now == nil:
				gone := record{Path: path, When: d.opt.Now(), Message: subject(path) + ": removed outside ashbook"}
				if err := d.append(gone); err != nil {
					return err
				}
			default:
				behind = append(behind, path)
			}
		}
		if err := d.commit(); err != nil || d.waiting != "" {
			return err
		}
		return d.mendIndex(behind)
	})
}

// mendIndex updates git's index for files where a crash left it older than history.
func (d *tx) mendIndex(paths []string) error {
	var changes []history.Change
	for _, path := range paths {
		now, _, err := readQuiet(d.full(path))
		if err != nil {
			continue
		}
		if head, err := d.repo.Head(path); err == nil && bytes.Equal(head, now) {
			changes = append(changes, history.Change{Path: path, Data: now})
		}
	}
	if len(changes) == 0 {
		return nil
	}
	if _, err := d.repo.Commit("", d.opt.Now(), changes...); err != nil {
		d.waiting = history.Reason(err)
	}
	return nil
}

// Join saves the files of a merge, each like any other save, and then moves the branch
// as history.Repo.Join does. Under the lock it first checks that each file still has
// the content that was merged. It fails with history.ErrMoved if one has changed, and
// with Half.
//
// After a crash, or if the commit must wait, the files are merged but the histories are
// not. Merging again then changes no file.
func (k *Store) Join(j history.Join) (tip string, err error) {
	err = k.change(func(d *tx) error {
		was, err := d.asMerged(j)
		if err != nil {
			return err
		}
		first := len(d.notes)
		var fresh, gone []history.Change
		for _, c := range j.Changes {
			switch now := was[c.Path]; {
			case c.Remove:
				gone = append(gone, c)
			case now == nil:
				fresh = append(fresh, c)
			case !bytes.Equal(now, c.Data):
				if err := d.joined(c, now); err != nil {
					return err
				}
			}
		}
		if err := d.makeAll(fresh); err != nil {
			return err
		}
		for _, c := range gone { // deleted last, so that a file that is being renamed always has a name
			if err := d.remove(c.Path, was[c.Path]); err != nil {
				return err
			}
		}
		if tip, err = d.repo.Join(j); err != nil {
			return err
		}
		for i := range d.notes[first:] {
			d.done(first + i)
		}
		d.repair(d.rewrite)
		return nil
	})
	return tip, err
}

// asMerged returns the content of the files that a merge changes. It fails with
// history.ErrMoved if one differs from what was merged.
func (d *tx) asMerged(j history.Join) (map[string][]byte, error) {
	o, err := d.repo.Objects()
	if err != nil {
		return nil, err
	}
	head, err := o.Head()
	if err != nil {
		return nil, err
	}
	if head != j.Head {
		return nil, history.ErrMoved
	}
	tree, err := o.Tree(head)
	if err != nil {
		return nil, err
	}
	was := map[string][]byte{}
	for _, c := range j.Changes {
		now, guarded, err := d.reconcile(c.Path)
		if err != nil {
			return nil, err
		}
		head, err := o.FileIn(tree, c.Path)
		if err != nil {
			return nil, err
		}
		_, lost := guarded.putBack(now)
		if lost > 0 || (head == "") != (now == nil) || now != nil && head != sum(now) && !d.isHead(c.Path, now) {
			return nil, history.ErrMoved
		}
		was[c.Path] = now
	}
	return was, nil
}

// isHead reports whether the file equals the newest commit's, after git's attributes
// are applied.
func (d *tx) isHead(path string, now []byte) bool {
	head, err := d.repo.Head(path)
	return err == nil && bytes.Equal(head, now)
}

// joined saves the merged version of a file that exists here.
func (d *tx) joined(c history.Change, now []byte) error {
	data, err := d.save(c.Path, now, guard{}, func(old []byte) ([]byte, error) {
		if !bytes.Equal(old, now) {
			return nil, history.ErrMoved
		}
		return c.Data, nil
	}, joinedMessage(c.Path))
	if err == nil && !bytes.Equal(data, c.Data) {
		err = history.ErrMoved
	}
	return err
}

func joinedMessage(path string) string { return subject(path) + ": taken in from the others" }

// remove deletes a file. Its content must still be now. It adds a pending record first,
// so that the index is updated after a crash.
func (d *tx) remove(path string, now []byte) error {
	if now == nil {
		return nil
	}
	if err := d.append(record{Path: path, When: d.opt.Now(), Message: joinedMessage(path), Was: sum(now)}); err != nil {
		return err
	}
	target := d.full(path)
	aside := filepath.Join(d.temp, fmt.Sprintf("%s%016x", tempPrefix, rand.Uint64()))
	if err := d.disk.Rename(target, aside); err != nil {
		return err
	}
	if got, quiet, err := readQuiet(aside); err != nil || !quiet || !bytes.Equal(got, now) {
		return errors.Join(history.ErrMoved, err, d.disk.Rename(aside, target))
	}
	delete(d.known, path)
	delete(d.last, path)
	return errors.Join(d.disk.Flush(nil, d.temp), d.disk.Remove(aside))
}

// makeAll makes new files. Up to makeAtOnce files get pending records with their
// content first, so that the next opening makes them after a crash. If there are more,
// they are made in batches that are flushed together, and get their records last; a
// crash then leaves files that are not committed, which the next sync takes in.
func (d *tx) makeAll(files []history.Change) error {
	var notes []record
	for _, c := range files {
		if err := d.free(c.Path, c.Data); errors.Is(err, fs.ErrExist) {
			return history.ErrMoved
		} else if err != nil {
			return err
		}
		n := record{Path: c.Path, When: d.opt.Now(), Message: joinedMessage(c.Path), Is: sum(c.Data)}
		if len(files) <= makeAtOnce {
			n.Full = c.Data
		}
		notes = append(notes, n)
	}
	if len(files) == 0 {
		return nil
	}
	if len(files) <= makeAtOnce {
		if err := d.append(notes...); err != nil {
			return err
		}
	}
	for rest := files; len(rest) > 0; {
		batch := rest[:min(makeAtOnce, len(rest))]
		rest = rest[len(batch):]
		if err := d.makeBatch(batch); err != nil {
			return err
		}
	}
	if len(files) > makeAtOnce {
		return d.append(notes...)
	}
	return nil
}

// makeAtOnce is the largest number of files open at once (chosen).
const makeAtOnce = 64

func (d *tx) makeBatch(files []history.Change) error {
	var temps []disk.File
	defer func() {
		for _, t := range temps {
			t.Close()
			d.disk.Remove(t.Name())
		}
	}()
	var folders []string
	for _, c := range files {
		dir := filepath.Dir(d.full(c.Path))
		if err := disk.MkdirAll(d.disk, dir, disk.Perm{Like: d.dir}); err != nil {
			return err
		}
		t, err := disk.NewTemp(d.disk, d.temp, tempPrefix, c.Data, disk.Perm{Like: dir}.Settle)
		if err != nil {
			return err
		}
		temps = append(temps, t)
		if !slices.Contains(folders, dir) {
			folders = append(folders, dir)
		}
	}
	if err := d.disk.Flush(temps); err != nil {
		return err
	}
	for i, c := range files {
		target := d.full(c.Path)
		err := d.disk.Link(temps[i].Name(), target)
		if err != nil && !errors.Is(err, fs.ErrExist) {
			err = d.writeNew(target, c.Data)
		}
		if errors.Is(err, fs.ErrExist) {
			err = history.ErrMoved
		}
		if err != nil {
			return err
		}
		d.known[c.Path], d.last[c.Path] = sum(c.Data), c.Data
	}
	return d.disk.Flush(nil, folders...)
}

// Gone returns how many of the paths do not exist. It counts files.
func (k *Store) Gone(paths []string) (n int) {
	for _, p := range paths {
		if _, err := os.Lstat(k.full(p)); errors.Is(err, fs.ErrNotExist) {
			n++
		}
	}
	return n
}
