// Package cache keeps results worked out from a journal in the person's cache folder, so
// that the next run can reuse them. The name of an entry is a hash of the program and of
// everything that the result depends on, so no entry is ever out of date. The folder may
// be deleted at any time. A failure here is not an error: the result is worked out again.
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

// Cache is a folder of entries. The nil Cache keeps nothing. It may be used from
// several goroutines, and several programs may use one folder.
type Cache struct{ dir, build string }

// mostInFolder is how many entries each of the 256 folders holds, and mostBytes how
// many bytes; then the oldest go. In all that is 16,384 entries and 256 MB (chosen: the
// replays of 10,000 cooks, and what a person does not miss on a disk).
const (
	mostInFolder = 64
	mostBytes    = 1 << 20
)

// In returns the cache below a folder, of a build of the program; nil where either is
// not known.
func In(dir, build string) *Cache {
	if dir == "" || build == "" {
		return nil
	}
	return &Cache{filepath.Join(dir, "worked-out"), build}
}

// Of returns what work returns, from the cache if work was called before with values equal
// to from. The result must depend on nothing else, and from must begin with a name that no
// other work uses. T is stored as JSON, so only exported fields are kept. Errors are not
// stored. It fails only as work does.
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

// name is the path of the entry for some values.
func (c *Cache) name(from []any) string {
	name := Sum(c.build, from)
	return filepath.Join(c.dir, name[:2], name[2:])
}

// Sum is a hash of values, in hexadecimal digits, to stand for them where it is asked
// for often.
func Sum(values ...any) string {
	h := newHasher()
	h.value(values)
	return hex.EncodeToString(h.Sum(nil)[:20])
}

// read returns an entry. ok is false where there is none or it is damaged.
func read(name string) (data []byte, ok bool) {
	data, err := os.ReadFile(name)
	if err != nil || len(data) < 4 {
		return nil, false
	}
	return data[4:], binary.LittleEndian.Uint32(data) == crc32.ChecksumIEEE(data[4:])
}

// write replaces an entry at once; a crash or a full disk leaves the old one, or none.
// most is how many bytes its folder holds.
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

// prune removes the oldest entries of a folder that holds too many, or too many bytes.
// The last one stays, whatever its size.
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
