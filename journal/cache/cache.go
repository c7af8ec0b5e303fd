// Package cache stores results computed from a journal in the user's cache folder, so
// that the next run can reuse them. The name of an entry is a hash of the program and
// of everything that the result depends on, so an entry is never out of date. The
// folder may be deleted at any time. A failure here is no error: the result is computed
// again.
package cache

import (
	"cmp"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"hash/crc32"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// Cache is a folder of entries. The nil Cache stores nothing. Several goroutines may
// use it, and several programs one folder.
type Cache struct{ dir, build string }

// mostInFolder and mostBytes limit each of the 256 folders to a number of entries and
// of bytes; beyond them the oldest are deleted. In all that is 16,384 entries and 256
// MB (chosen: enough for the replays of 10,000 cooks, and a small part of any disk).
const (
	mostInFolder = 64
	mostBytes    = 1 << 20
)

// In returns the cache below a folder for a build of the program; nil if either is "".
func In(dir, build string) *Cache {
	if dir == "" || build == "" {
		return nil
	}
	return &Cache{filepath.Join(dir, "worked-out"), build}
}

// Of returns the result of work. It takes it from the cache if work was called before
// with values equal to from. The result must depend on nothing else, and from must
// begin with a name that no other caller uses. T is stored as JSON, so only exported
// fields are kept. Errors are not stored. It fails only if work does.
func Of[T any](c *Cache, work func() (T, error), from ...any) (T, error) {
	if c == nil {
		return work()
	}
	name := c.name(from)
	var out T
	if data, ok := read(name); ok && json.Unmarshal(data, &out) == nil {
		return out, nil
	}
	out, err := work()
	if err != nil {
		return out, err
	}
	if data, err := json.Marshal(out); err == nil {
		write(name, data, mostBytes)
	}
	return out, nil
}

// name returns the path of the entry for these values.
func (c *Cache) name(from []any) string {
	name := Sum(c.build, from)
	return filepath.Join(c.dir, name[:2], name[2:])
}

// Sum returns a hash of values in hexadecimal digits.
func Sum(values ...any) string {
	h := newHasher()
	h.value(values)
	return hex.EncodeToString(h.Sum(nil)[:20])
}

// read returns an entry. ok is false if there is none or it is damaged.
func read(name string) (data []byte, ok bool) {
	data, err := os.ReadFile(name)
	if err != nil || len(data) < 4 {
		return nil, false
	}
	return data[4:], binary.LittleEndian.Uint32(data) == crc32.ChecksumIEEE(data[4:])
}

// write replaces an entry by a rename, so a crash or a full disk leaves the old one or
// none. most limits the bytes in its folder.
func write(name string, data []byte, most int64) {
	dir := filepath.Dir(name)
	if os.MkdirAll(dir, 0o777) != nil {
		return
	}
	file, err := os.CreateTemp(dir, "new-")
	if err != nil {
		return
	}
	_, err = file.Write(append(binary.LittleEndian.AppendUint32(nil, crc32.ChecksumIEEE(data)), data...))
	if cmp.Or(err, file.Close()) != nil || os.Rename(file.Name(), name) != nil {
		os.Remove(file.Name())
	}
	prune(dir, most)
}

// prune deletes the oldest entries of a folder that has too many or too large ones. The
// newest entry always stays.
func prune(dir string, most int64) {
	all, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	var found []fs.FileInfo
	for _, e := range all {
		if info, err := e.Info(); err == nil {
			found = append(found, info)
		}
	}
	slices.SortFunc(found, func(a, b fs.FileInfo) int { return b.ModTime().Compare(a.ModTime()) })
	bytes := int64(0)
	for i, info := range found {
		if bytes += info.Size(); i > 0 && (i >= mostInFolder || bytes > most) {
			os.Remove(filepath.Join(dir, info.Name()))
		}
	}
}
