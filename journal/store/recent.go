package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
)

// After a save is committed, its lines are guarded for one more hour. Its record is
// then in the file of recent saves, beside the pending file. A record is one line at
// the end of that file, so that saving does not get slower during a night of notes. A
// record is decoded only if another program has changed its file.

// recent is the record of a committed save, as a line of the file of recent saves.
type recent struct {
	path, is, temp string
	when           time.Time
	line           []byte // with its line end
}

func (k *Store) recentFile() string { return filepath.Join(k.state, "recent") }

// recentLine returns a record as a line of the file of recent saves: first the fields
// by which records are found, then the whole record.
func recentLine(n record) ([]byte, error) {
	n.Message, n.Was, n.Hold, n.Done, n.Data, n.Full = "", "", time.Time{}, true, nil, nil
	all, err := json.Marshal(n)
	if err != nil {
		return nil, err
	}
	head := fmt.Sprintf("%d,%s,%s,%s\t", n.When.UnixNano(), n.Is, n.Temp, url.PathEscape(n.Path))
	return append(append([]byte(head), all...), '\n'), nil
}

// parseRecent reads the fields of a line by which records are found.
func parseRecent(line []byte) (r recent, ok bool) {
	head, _, found := bytes.Cut(line, []byte("\t"))
	part := strings.Split(string(head), ",")
	if !found || len(part) < 4 || !bytes.HasSuffix(line, []byte("}\n")) {
		return r, false
	}
	ns, err := strconv.ParseInt(part[0], 10, 64)
	path, err2 := url.PathUnescape(strings.Join(part[3:], ","))
	return recent{path, part[1], part[2], time.Unix(0, ns), line}, err == nil && err2 == nil
}

// record decodes the whole record.
func (r recent) record() (n record, ok bool) {
	_, all, _ := bytes.Cut(r.line, []byte("\t"))
	return n, json.Unmarshal(all, &n) == nil
}

// loadRecent reads the file of recent saves if it has changed since it was last read.
func (d *tx) loadRecent() error {
	info, err := os.Lstat(d.recentFile())
	if errors.Is(err, fs.ErrNotExist) {
		d.recent, d.recentInfo, d.recentStale = nil, nil, false
		return nil
	}
	if err != nil || same(info, d.recentInfo) {
		return err
	}
	data, err := os.ReadFile(d.recentFile())
	if err != nil {
		return err
	}
	d.recent, d.recentStale = nil, false
	for line := range bytes.Lines(data) {
		if r, ok := parseRecent(line); ok {
			d.recent = append(d.recent, r)
		} else {
			d.recentStale = true
		}
	}
	d.recentInfo = info
	return nil
}

// guards reports whether a record of that time must still be kept.
func (d *tx) guards(when time.Time) bool { return d.opt.Now().Sub(when) <= guardTime }

// settle moves committed records from the pending ones to the recent ones. If a record
// must stay pending, the later ones of its file stay too, so that they keep their
// order.
func (d *tx) settle() error {
	var rest []record
	var text []byte
	stays, all := map[string]bool{}, d.recent
	for _, n := range d.notes {
		if !n.Done || stays[n.Path] || d.leftOver(n.Temp) {
			stays[n.Path] = true
			rest = append(rest, n)
			continue
		}
		if n.Lines == nil || !d.guards(n.When) {
			continue
		}
		line, err := recentLine(n)
		if err != nil {
			return err
		}
		r, _ := parseRecent(line)
		all, text = append(all, r), append(text, line...)
	}
	if err := d.putRecent(all, text); err != nil {
		return err
	}
	d.stale = d.stale || len(rest) < len(d.notes)
	d.notes = rest
	return nil
}

// forgetPending removes from the recent saves those that are still in the pending file,
// because a crash came before that file was rewritten.
func (d *tx) forgetPending() error {
	for _, n := range d.notes {
		line, err := recentLine(n)
		if err != nil {
			return err
		}
		was := len(d.recent)
		d.recent = slices.DeleteFunc(slices.Clip(d.recent), func(r recent) bool { return bytes.Equal(r.line, line) })
		d.recentStale = d.recentStale || len(d.recent) < was
	}
	return nil
}

// putRecent adds the lines more to the file of recent saves, which then contains the
// lines all. If more than half of them need not be guarded any longer, it rewrites the
// file without those.
func (d *tx) putRecent(all []recent, more []byte) error {
	size, over := 0, 0
	for _, r := range all {
		if size += len(r.line); !d.guards(r.when) {
			over += len(r.line)
		}
	}
	switch {
	case d.recentStale || 2*over > size:
		return d.rewriteRecent(all, func(r recent) bool { return d.guards(r.when) })
	case len(more) == 0:
		return nil
	}
	return d.writeRecent(all, d.recentFile(), os.O_APPEND, more)
}

// rewriteRecent rewrites the file with only those of all for which want returns true.
func (d *tx) rewriteRecent(all []recent, want func(recent) bool) error {
	var kept []recent
	var text []byte
	for _, r := range all {
		if want(r) {
			kept, text = append(kept, r), append(text, r.line...)
		}
	}
	name := d.recentFile()
	if len(kept) == 0 {
		if err := d.disk.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		d.recent, d.recentInfo, d.recentStale = nil, nil, false
		return nil
	}
	if err := d.writeRecent(kept, name+".new", os.O_TRUNC, text); err != nil {
		return err
	}
	if err := d.disk.Rename(name+".new", name); err != nil {
		d.recentStale = true
		return err
	}
	d.recentStale = false
	return nil
}

// writeRecent writes text to the file; all are the recent saves that it then has. It
// does not flush the file, so after a power cut, committed saves may no longer be
// guarded.
func (d *tx) writeRecent(all []recent, name string, how int, text []byte) error {
	d.recentInfo = nil
	f, err := d.disk.OpenFile(name, os.O_CREATE|os.O_WRONLY|how, 0o666)
	if err != nil {
		return err
	}
	if _, err = f.Write(text); err == nil {
		err = d.perm.Settle(f)
	}
	info, err2 := f.Stat()
	if err = errors.Join(err, err2, f.Close()); err != nil {
		d.recentStale = true
		return err
	}
	d.recent, d.recentInfo = all, info
	return nil
}

// newest returns the hash of a file after our last guarded save, "" if there is none,
// and whether that save is the last record of the file.
func (d *tx) newest(path string) (is string, last bool) {
	last = true
	for i := len(d.notes) - 1; i >= 0; i-- {
		if n := &d.notes[i]; n.Path == path && (!n.Done || d.guards(n.When)) {
			if n.Is != "" {
				return n.Is, last
			}
			last = false
		}
	}
	for i := len(d.recent) - 1; i >= 0; i-- {
		if r := &d.recent[i]; r.path == path && d.guards(r.when) {
			if r.is != "" {
				return r.is, last
			}
			last = false
		}
	}
	return "", false
}
