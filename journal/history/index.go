package history

import (
	"bytes"
	"crypto/sha1"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"time"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/filemode"
	"github.com/go-git/go-git/v5/plumbing/format/index"
)

// The index is edited as bytes: only our own entries are replaced, added or left out,
// and every other entry is copied. See "Index format" in gitformat-index(5).
//
// Note: go-git's codec reads and writes each field. For 10,000 entries that took longer
// than the rest of a commit. It is used only for version 4, which stores names as
// differences, so that entries cannot be copied.

const (
	indexHead  = 12 // bytes of signature, version and count
	entryFixed = 62 // bytes of an entry before its name, without extended flags
	nameMask   = 0x0fff
	extended   = 0x4000
)

// stat is what the index stores about a file so that git can see, without reading it,
// that it has not changed. The zero stat makes git compare the contents.
type stat struct {
	ctimeSec, ctimeNano, mtimeSec, mtimeNano uint32
	dev, ino, uid, gid, size                 uint32
}

func newStat(info fs.FileInfo) stat {
	m := info.ModTime()
	s := stat{mtimeSec: uint32(m.Unix()), mtimeNano: uint32(m.Nanosecond()), size: uint32(info.Size())}
	s.system(info)
	return s
}

// staged is an entry to put into the index. A zero hash removes the entry.
type staged struct {
	path string // below the repository's top
	hash plumbing.Hash
	mode filemode.FileMode
	stat stat
	from plumbing.Hash            // hash of the file on the branch before the commit
	ever func(plumbing.Hash) bool // reports whether the file ever had a given hash on the branch
}

// over reports whether the entry may replace one with this hash. A crash between moving
// the branch and writing the index leaves an older version of the branch there, which
// may be replaced. Any other hash was staged by the user.
func (s staged) over(hash plumbing.Hash) bool {
	return hash == s.hash || hash == s.from || s.ever != nil && s.ever(hash)
}

// errUnmerged says that the index was left alone because it has conflicts.
var errUnmerged = &Postponed{Reason: "the git index has unresolved conflicts (put the files right, then git add them)"}

// spliceIndex returns the index file with the entries of put, which must be sorted by
// path, and whether that changes it. written is the time at which the index file was
// written. A file changed at that time or later may change again without a new time or
// size. As git does, its entry gets size 0, which makes git compare the contents.
//
// It does not change entries that the user has staged.
func spliceIndex(old []byte, written time.Time, put []staged) ([]byte, bool, error) {
	if len(old) == 0 {
		old = append([]byte("DIRC\x00\x00\x00\x02\x00\x00\x00\x00"), make([]byte, sha1.Size)...)
	}
	if len(old) >= indexHead+sha1.Size && string(old[:4]) == "DIRC" && binary.BigEndian.Uint32(old[4:]) == 4 {
		return recodeIndex(old, put)
	}
	body, err := indexBody(old)
	if err != nil {
		return nil, false, err
	}
	count := binary.BigEndian.Uint32(old[8:])
	out := make([]byte, 0, len(old)+len(put)*160)
	out = append(out, body[:indexHead]...)
	changed := false
	add := func(s staged) {
		if !s.hash.IsZero() {
			out, changed = appendEntry(out, s), true
			count++
		}
	}
	at, run := indexHead, indexHead // entries from offset run to at are still to be copied
	for range binary.BigEndian.Uint32(old[8:]) {
		name, end, err := entryAt(body, at)
		if err != nil {
			return nil, false, err
		}
		entry := body[at:end]
		flags := binary.BigEndian.Uint16(entry[60:])
		if flags>>12&3 != 0 {
			return nil, false, errUnmerged
		}
		for len(put) > 0 && put[0].path < string(name) {
			out = append(out, body[run:at]...)
			run = at
			add(put[0])
			put = put[1:]
		}
		if len(put) > 0 && put[0].path == string(name) {
			s := put[0]
			put = put[1:]
			hash := plumbing.Hash(entry[40:60])
			if s.over(hash) {
				out = append(out, body[run:at]...)
				run = end
				if s.hash.IsZero() {
					changed = true
					count--
				} else {
					s.mode = filemode.FileMode(binary.BigEndian.Uint32(entry[24:]))
					n := len(out)
					out = append(out, entry...)
					s.fill(out[n:])
					changed = changed || !bytes.Equal(out[n:], entry)
				}
			}
		} else if mayHaveChanged(entry, written) {
			out = append(out, body[run:at]...)
			n := len(out)
			out = append(out, entry...)
			binary.BigEndian.PutUint32(out[n+36:], 0)
			run = end
		}
		at = end
	}
	out = append(out, body[run:at]...)
	for _, s := range put {
		add(s)
	}
	if err := optionalOnly(body[at:]); err != nil {
		return nil, false, err
	}
	// Extensions cache facts about the entries (trees, untracked files, offsets) that
	// are no longer right. Git makes them again.
	binary.BigEndian.PutUint32(out[8:], count)
	sha := sha1.Sum(out)
	return append(out, sha[:]...), changed, nil
}

// indexBody returns an index file without its checksum. It fails for a file that is not
// an index of version 2 or 3, or whose checksum is wrong; a checksum of zeros means that
// git wrote none.
func indexBody(file []byte) ([]byte, error) {
	if len(file) < indexHead+sha1.Size || string(file[:4]) != "DIRC" {
		return nil, errors.New("git index: not an index file")
	}
	if version := binary.BigEndian.Uint32(file[4:]); version != 2 && version != 3 {
		return nil, &Postponed{Reason: fmt.Sprintf("the git index is of version %d", version)}
	}
	body, sum := file[:len(file)-sha1.Size], file[len(file)-sha1.Size:]
	if got := sha1.Sum(body); !bytes.Equal(got[:], sum) && !bytes.Equal(sum, make([]byte, sha1.Size)) {
		return nil, errors.New("git index: checksum does not match")
	}
	return body, nil
}

// entryAt returns the name of the entry at offset from, and the offset of its end.
func entryAt(body []byte, from int) (name []byte, end int, err error) {
	short := errors.New("git index: cut short")
	if from+entryFixed > len(body) {
		return nil, 0, short
	}
	flags := binary.BigEndian.Uint16(body[from+60:])
	start := from + entryFixed
	if flags&extended != 0 {
		start += 2
	}
	if start > len(body) {
		return nil, 0, short
	}
	length := int(flags & nameMask)
	if length == nameMask {
		length = bytes.IndexByte(body[start:], 0)
	}
	end = start + length
	end += 8 - (end-from)%8
	if length < 0 || end > len(body) {
		return nil, 0, short
	}
	return body[start : start+length], end, nil
}

// mayHaveChanged applies git's rule for "racily clean" entries: files that may have
// changed without a new time or size.
func mayHaveChanged(entry []byte, written time.Time) bool {
	sec, nano := binary.BigEndian.Uint32(entry[8:]), binary.BigEndian.Uint32(entry[12:])
	w := uint32(written.Unix())
	return sec > w || sec == w && nano >= uint32(written.Nanosecond())
}

// fill writes the fixed fields of an entry except the flags.
func (s staged) fill(entry []byte) {
	for i, v := range []uint32{s.stat.ctimeSec, s.stat.ctimeNano, s.stat.mtimeSec, s.stat.mtimeNano,
		s.stat.dev, s.stat.ino, uint32(s.mode), s.stat.uid, s.stat.gid, s.stat.size} {
		binary.BigEndian.PutUint32(entry[4*i:], v)
	}
	copy(entry[40:60], s.hash[:])
}

func appendEntry(out []byte, s staged) []byte {
	n := len(out)
	size := entryFixed + len(s.path)
	size += 8 - size%8
	out = append(out, make([]byte, size)...)
	s.fill(out[n:])
	binary.BigEndian.PutUint16(out[n+60:], uint16(min(len(s.path), nameMask)))
	copy(out[n+entryFixed:], s.path)
	return out
}

// optionalOnly returns an error if the index has an extension that must be understood:
// one whose signature does not begin with a capital letter.
func optionalOnly(ext []byte) error {
	for len(ext) > 0 {
		if len(ext) < 8 {
			return errors.New("git index: cut short")
		}
		name, size := string(ext[:4]), binary.BigEndian.Uint32(ext[4:])
		switch {
		case name == "link":
			return &Postponed{Reason: "the git index is split (git update-index --no-split-index joins it)"}
		case name == "sdir":
			return &Postponed{Reason: "the git index is sparse (git sparse-checkout disable ends it)"}
		case name[0] < 'A' || name[0] > 'Z':
			return &Postponed{Reason: fmt.Sprintf("the git index needs the extension %q", name)}
		case uint64(size) > uint64(len(ext)-8):
			return errors.New("git index: cut short")
		}
		ext = ext[8+size:]
	}
	return nil
}

// recodeIndex does the same as spliceIndex with go-git's codec.
func recodeIndex(old []byte, put []staged) ([]byte, bool, error) {
	var idx index.Index
	if err := index.NewDecoder(bytes.NewReader(old)).Decode(&idx); err != nil {
		return nil, false, &Postponed{Reason: "the git index cannot be read (" + err.Error() + ")"}
	}
	byName := map[string]*index.Entry{}
	for _, e := range idx.Entries {
		// A stage other than 0 is a conflict. go-git's index.Merged is 1, which is the
		// stage of a conflict, so it cannot be used here.
		if e.Stage != 0 {
			return nil, false, errUnmerged
		}
		byName[e.Name] = e
	}
	drop := map[*index.Entry]bool{}
	for _, s := range put {
		e := byName[s.path]
		switch {
		case e == nil && s.hash.IsZero():
			continue
		case e == nil:
			e = &index.Entry{Name: s.path, Mode: s.mode}
			idx.Entries = append(idx.Entries, e)
		case !s.over(e.Hash):
			continue
		case s.hash.IsZero():
			drop[e] = true
		}
		e.Hash = s.hash
		e.CreatedAt = time.Unix(int64(s.stat.ctimeSec), int64(s.stat.ctimeNano))
		e.ModifiedAt = time.Unix(int64(s.stat.mtimeSec), int64(s.stat.mtimeNano))
		e.Dev, e.Inode, e.UID, e.GID, e.Size = s.stat.dev, s.stat.ino, s.stat.uid, s.stat.gid, s.stat.size
	}
	kept := idx.Entries[:0]
	for _, e := range idx.Entries {
		if !drop[e] {
			kept = append(kept, e)
		}
	}
	idx.Entries = kept
	var buf bytes.Buffer
	if err := index.NewEncoder(&buf).Encode(&idx); err != nil {
		return nil, false, err
	}
	return buf.Bytes(), true, nil
}

// splice writes the index with the entries of put to the lock file. It returns the
// index file's state before, and whether anything changed.
func (h *held) splice(put []staged) (was seen, changed bool, err error) {
	old, was, err := readIndex(h.target)
	if err != nil {
		return was, false, err
	}
	data, changed, err := spliceIndex(old, was.written(), put)
	if err != nil || !changed {
		return was, false, err
	}
	return was, true, h.set(data)
}

// seen is the state of the index file when it was read; nil if there was none.
type seen struct{ fs.FileInfo }

// written returns the file's modification time; zero if there was no file.
func (s seen) written() time.Time {
	if s.FileInfo == nil {
		return time.Time{}
	}
	return s.ModTime()
}

// still reports whether the index file has not changed since.
func (s seen) still(name string) bool {
	info, err := os.Stat(name)
	if s.FileInfo == nil || err != nil {
		return s.FileInfo == nil && errors.Is(err, fs.ErrNotExist)
	}
	return os.SameFile(info, s.FileInfo) && newStat(info) == newStat(s.FileInfo)
}

// readIndex returns the content of the index file and its state. Both are empty if
// there is no such file.
func readIndex(name string) ([]byte, seen, error) {
	f, err := OpenRegular(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, seen{}, nil
	}
	if err != nil {
		return nil, seen{}, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, seen{}, err
	}
	data, err := io.ReadAll(f)
	return data, seen{info}, err
}

// sortKey returns the key by which git sorts names in a tree: a folder's name followed
// by "/".
func sortKey(name string, mode filemode.FileMode) string {
	if mode == filemode.Dir {
		return name + "/"
	}
	return strings.Clone(name)
}
