package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"sync"
	"time"

	"ashbook/journal"
	"ashbook/journal/history"
	"ashbook/journal/series"
	"ashbook/journal/store"
)

// historyAfter is how long the rows of a growing series may wait to be committed.
// Chosen: each commit stores the whole file once more, up to 500 KB packed for a row a
// second, and the rows are on disk at once.
const historyAfter = time.Hour

// Recorder writes the probe series of one cook. Several recorders, in one program or
// several, may write to the same series without losing rows. Several goroutines may
// call its methods.
type Recorder struct {
	f    *Folder
	path string
	how  store.Growth

	mu      sync.Mutex
	mark    store.Mark
	header  string
	last    time.Time      // time of the last row known to be in the file
	untidy  bool           // rows were added out of order
	own     journal.Series // rows added by this recorder, in case another program saves over them
	put     int            // number of rows put back
	changed bool           // there is something to commit
}

// Record returns a recorder for a cook. It fails with ErrNoCook and with
// history.ErrNotUnderGit.
func (f *Folder) Record(id string) (*Recorder, error) {
	p, err := f.locate(id)
	if err != nil {
		return nil, err
	}
	if f.repo == nil {
		return nil, fmt.Errorf("%q: %w", f.dir, history.ErrNotUnderGit)
	}
	if p, err = f.resolve(SeriesPath(p)); err != nil {
		return nil, err
	}
	return &Recorder{f: f, path: p, how: store.Growth{Message: id + ": probe series", Hold: historyAfter}}, nil
}

// Path returns the path of the series below the journal's folder.
func (r *Recorder) Path() string { return r.path }

// Add appends rows to the series. When it returns without error, they are on disk. It
// fails with history.ErrLocked; then no row was added.
func (r *Recorder) Add(s journal.Series) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(s.Times) == 0 {
		return nil
	}
	if rows, ok := series.Rows(r.header, s); ok {
		ok, err := r.f.keep.Append(r.path, &r.mark, rows, r.how)
		if err != nil {
			return err
		}
		if ok {
			r.f.hasSaved()
			r.changed = true
			r.remember(s)
			return nil
		}
	}
	var all journal.Series
	series.Add(&all, r.own)
	series.Add(&all, s)
	series.Tidy(&all)
	done, err := r.grow(all)
	if err != nil {
		return err
	}
	r.put += max(0, done.Added+done.Changed-len(s.Times))
	series.Add(&r.own, s)
	return nil
}

// remember stores the rows that were appended.
func (r *Recorder) remember(s journal.Series) {
	for _, t := range s.Times {
		r.untidy = r.untidy || !t.After(r.last)
		r.last = later(r.last, t)
	}
	series.Add(&r.own, s)
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// Merge merges many rows into the series in one step, and returns how many were added.
// They must be ordered by time with one row for each time.
func (r *Recorder) Merge(s journal.Series) (series.Merged, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.grow(s)
}

func (r *Recorder) grow(s journal.Series) (done series.Merged, err error) {
	err = r.f.keep.Grow(r.path, &r.mark, func(old []byte) (data []byte, err error) {
		if data, done, err = series.Merge(r.path, old, s); err == nil {
			r.header, r.last = series.Header(data)
		}
		return data, err
	}, r.how)
	if err != nil {
		return series.Merged{}, err
	}
	r.untidy = false
	r.f.hasSaved()
	r.changed = r.changed || done.Added+done.Changed > 0
	return done, nil
}

// PutBack returns how many rows were put back after another program had saved over
// them.
func (r *Recorder) PutBack() int {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.put
}

// Commit sorts the series and commits it.
func (r *Recorder) Commit() error {
	r.mu.Lock()
	defer r.mu.Unlock()
	if !r.changed {
		return nil
	}
	if r.untidy {
		if _, err := r.grow(journal.Series{}); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	if err := r.f.keep.Commit(r.path); err != nil {
		return err
	}
	r.changed = false
	return nil
}
