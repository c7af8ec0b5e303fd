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
	"time"
)

// A probe series may grow by a row every second for a day. Rows are appended in place,
// since rewriting the file for each would cost about a thousand times as much.
// Appending is unsafe if an editor saves the file by a rename: the row then goes to a
// file that no longer has a name. So the caller keeps its rows in memory. Append
// reports whether the file is still the one that it last wrote; if not, Grow merges the
// rows into the file that is there now. Merging the same rows twice must change
// nothing.

// Mark is the state of a growing file after it last grew. The zero Mark matches no
// file.
type Mark struct {
	info fs.FileInfo
	size int64
	tail []byte // the last bytes before size
}

// Size returns the file's length in bytes.
func (m Mark) Size() int64 { return m.size }

// markTail is how many bytes at the end are compared to see whether the file was
// rewritten (chosen: two rows).
const markTail = 128

// Growth says how the rows of a growing file are committed.
type Growth struct {
	Message string        // the commit message
	Hold    time.Duration // how long the commit may wait for more rows after the first
}

// Append appends whole lines to a file that has not changed since mark, except that
// lines were appended. If ok is true, the lines are on disk. If the file has changed
// otherwise, ok is false, the lines may be missing, and the caller must use Grow.
func (k *Store) Append(path string, mark *Mark, more []byte, g Growth) (ok bool, err error) {
	err = k.change(func(d *tx) error {
		ok, err = d.appendTo(path, mark, more, g)
		return err
	})
	return ok && err == nil, err
}

func (d *tx) appendTo(path string, mark *Mark, more []byte, g Growth) (bool, error) {
	f, err := d.disk.OpenFile(d.full(path), os.O_RDWR|os.O_APPEND, 0)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return false, err
	}
	if fits, err := mark.fits(f, info); !fits {
		return false, err
	}
	if err := d.opt.Fits(path, info.Size()+int64(len(more))); err != nil {
		return false, err
	}
	if err := d.grown(path, g); err != nil {
		return false, err
	}
	_, err = f.Write(more)
	if err = errors.Join(err, f.Sync()); err != nil {
		return false, errors.Join(err, f.Truncate(info.Size()))
	}
	size := info.Size() + int64(len(more))
	if info, err = os.Lstat(d.full(path)); err != nil || info.Size() != size || !mark.same(info) {
		return false, nil
	}
	return true, mark.set(f, info)
}

func (m *Mark) same(info fs.FileInfo) bool { return m.info != nil && os.SameFile(info, m.info) }

// fits reports whether f still has the content it had at m, perhaps with whole lines
// after it.
func (m *Mark) fits(f io.ReaderAt, info fs.FileInfo) (bool, error) {
	if !m.same(info) || info.Size() < m.size {
		return false, nil
	}
	now := make([]byte, len(m.tail))
	if _, err := f.ReadAt(now, m.size-int64(len(m.tail))); err != nil {
		return false, err
	}
	end := make([]byte, 1)
	if _, err := f.ReadAt(end, info.Size()-1); err != nil {
		return false, err
	}
	return bytes.Equal(now, m.tail) && end[0] == '\n', nil
}

func (m *Mark) set(f io.ReaderAt, info fs.FileInfo) error {
	n := min(markTail, info.Size())
	*m = Mark{info: info, size: info.Size(), tail: make([]byte, n)}
	_, err := f.ReadAt(m.tail, m.size-n)
	return err
}

// Grow replaces a file's content by merge(content) in one step; the content is nil if
// there is no file. merge may be called more than once, and its result must contain all
// of its argument. When Grow returns, the result is on disk and mark is set.
func (k *Store) Grow(path string, mark *Mark, merge func(old []byte) ([]byte, error), g Growth) error {
	return k.change(func(d *tx) error {
		old, _, err := readQuiet(d.full(path))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		there := err == nil
		data, err := merge(old)
		if err != nil {
			return err
		}
		if err := d.opt.Fits(path, int64(len(data))); err != nil {
			return err
		}
		switch {
		case !there:
			err = d.makeNew(d.growth(path, g), data)
		case !bytes.Equal(old, data):
			if err = d.grown(path, g); err == nil {
				err = d.exchangeGrown(path, old, data, merge, g)
			}
		}
		if err != nil {
			return err
		}
		return d.mark(path, mark)
	})
}

// exchangeGrown replaces old by data. If another program saves in between, its version
// is merged.
func (d *tx) exchangeGrown(path string, old, data []byte, merge func([]byte) ([]byte, error), g Growth) error {
	for range chaseTries {
		n := d.growth(path, g)
		n.Message, n.Was, n.Is = "", sum(old), sum(data)
		displaced, done, err := d.replace(n, data, nil)
		if err != nil {
			return err
		}
		defer done()
		if bytes.Equal(displaced, old) {
			return nil
		}
		old = data
		if data, err = merge(displaced); err != nil {
			return errors.Join(err, d.append(d.theirs(path, displaced, nil)))
		}
	}
	return fmt.Errorf("%s: another program saves it again and again", path)
}

func (d *tx) mark(path string, mark *Mark) error {
	f, err := os.Open(d.full(path))
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	return errors.Join(mark.set(f, info), d.disk.Flush(nil, filepath.Dir(d.full(path))))
}

// grown makes sure that there is a pending record for the uncommitted rows of a growing
// file.
func (d *tx) grown(path string, g Growth) error {
	for _, n := range d.notes {
		if n.Path == path && n.Grown && !n.Done && n.Message == g.Message {
			return nil
		}
	}
	return d.append(d.growth(path, g))
}

func (d *tx) growth(path string, g Growth) record {
	now := d.opt.Now()
	return record{Path: path, When: now, Message: g.Message, Grown: true, Hold: now.Add(g.Hold)}
}

// grows reports whether the file has rows that we appended and that are not committed.
func (d *tx) grows(path string) bool {
	return slices.ContainsFunc(d.notes, func(n record) bool { return n.Path == path && n.Grown && !n.Done })
}

// held returns the paths whose commit still waits for more rows.
func (d *tx) held() map[string]bool {
	now, held := d.opt.Now(), map[string]bool{}
	for _, n := range d.notes {
		if !n.Done && n.Hold.After(now) {
			held[n.Path] = true
		}
	}
	return held
}

// Commit commits a growing file and everything else that is pending.
func (k *Store) Commit(path string) error { return k.flush(k.opt.Wait, path) }
