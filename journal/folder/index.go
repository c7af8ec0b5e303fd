package folder

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/history"
	"ashbook/journal/packed"
)

// The index stores what was read of each cook, so that the shelf need not read all
// files. It is in the user's cache folder and may be deleted at any time. It is not
// used if another build made it, if the settings differ, or if it is damaged.

// indexFormat is increased when the stored fields change.
const indexFormat = "ashbook index 7\n"

// racyTime is how old a file must be when the index is begun to count as unchanged by
// its size and modification time alone: a file system's clock may advance only every
// two seconds (FAT), and a second change within that time cannot be seen.
//
// racyTick is the same for ctime, on systems that have it: it is of the machine's own
// clock, which advances every 1 to 10 ms.
const (
	racyTime = 2 * time.Second
	racyTick = 20 * time.Millisecond
)

// indexPath returns the path of this journal's index; "" for none.
func (f *Folder) indexPath() string {
	if f.opt.Cache == "" {
		return ""
	}
	h := sha256.Sum256([]byte(f.dir))
	return filepath.Join(f.opt.Cache, "index-"+hex.EncodeToString(h[:8]))
}

// madeFor returns a text that must be equal for an index to be used.
func (f *Folder) madeFor(own *ownSettings) string {
	return strings.Join([]string{f.opt.Build, f.Zone(), f.dir, own.text}, "\n")
}

// begun is an index about to be written. Its file is made before the first cook is
// read, since racyTime counts from the time the file system gives it.
type begun struct {
	name string
	at   time.Time
}

// beginIndex begins an index; a zero one if there is no place for it.
func (f *Folder) beginIndex() begun {
	if f.opt.Cache == "" || os.MkdirAll(f.opt.Cache, 0o777) != nil {
		return begun{}
	}
	file, err := os.CreateTemp(f.opt.Cache, "index-new-")
	if err != nil {
		return begun{}
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		os.Remove(file.Name())
		return begun{}
	}
	return begun{file.Name(), info.ModTime()}
}

// racy reports whether a mark is too recent to rely on.
func (b begun) racy(m mark) bool {
	return m.mtime >= b.at.Add(-racyTime).UnixNano() || m.ctime >= b.at.Add(-racyTick).UnixNano()
}

// index is what was known of the journal when it was last listed.
type index struct {
	shelf
	folders map[string]knownFolder
	count   int   // number of entries
	rest    codec // the shelf, not decoded yet
}

// knownFolder is a folder as it was when the index was written.
type knownFolder struct {
	mark    mark
	entries []entry
}

// entry is a file as it was when the index was written.
type entry struct {
	name   string
	mark   mark
	rank   int // index in the shelf
	series bool
}

// notCook is the rank of a file whose name is not a cook's.
const notCook = -1

// readIndex returns the index, or an empty one if none can be used. Its shelf is not
// decoded yet.
func (f *Folder) readIndex(own *ownSettings) *index {
	file, err := history.OpenRegular(f.indexPath())
	if err != nil {
		return &index{}
	}
	defer file.Close()
	var want [4]byte
	if _, err := io.ReadFull(file, want[:]); err != nil {
		return &index{}
	}
	var text strings.Builder // strings read from it share its memory
	if info, err := file.Stat(); err == nil {
		text.Grow(int(info.Size()))
	}
	got := crc32.NewIEEE()
	if _, err := io.Copy(io.MultiWriter(&text, got), file); err != nil || got.Sum32() != binary.LittleEndian.Uint32(want[:]) {
		return &index{}
	}
	c := codec{packed.Reading(text.String())}
	var format, madeFor string
	c.String(&format)
	c.String(&madeFor)
	if format != indexFormat || madeFor != f.madeFor(own) {
		return &index{}
	}
	return decode(c)
}

// decode reads everything but the shelf, of which it sets only the names.
func decode(c codec) *index {
	var sums, dirs int
	c.Length(&sums)
	c.Length(&dirs)
	ix := &index{shelf: shelf{sums: make([]Summary, sums)}, folders: make(map[string]knownFolder, dirs)}
	for range dirs {
		var dir string
		var k knownFolder
		var n int
		c.String(&dir)
		c.mark(&k.mark)
		c.Length(&n)
		k.entries = make([]entry, n)
		for i := range k.entries {
			e := &k.entries[i]
			path := c.entry(dir, e)
			if e.rank < notCook || e.rank >= sums || len(path) <= len(dir)+len(cookEnd) {
				return &index{}
			}
			if e.name = path[len(dir)+1:]; e.rank != notCook {
				s := &ix.sums[e.rank]
				s.Path, s.ID = path, e.name[:len(e.name)-len(cookEnd)]
			}
		}
		ix.folders[dir] = k
		ix.count += n
	}
	if c.Bad() {
		return &index{}
	}
	ix.rest = c
	return ix
}

// readShelf decodes the shelf.
func (ix *index) readShelf() {
	if ix.rest.Codec != nil {
		ix.rest.shelf(&ix.shelf)
	}
}

// writeIndex replaces the index. If ctx has ended, it leaves the old one. A failure is
// not reported, since it only makes the next listing slower.
func (f *Folder) writeIndex(ctx context.Context, own *ownSettings, ix *index, years []*yearFiles, files []cookFile, b begun) {
	if b.name == "" {
		return
	}
	if ctx.Err() != nil {
		os.Remove(b.name)
		return
	}
	// four bytes for the checksum, and room for cooks of some 200 bytes, so that it need
	// not grow
	c := codec{packed.Writing(make([]byte, 4, 4<<10+256*len(files)))}
	format, madeFor, sums, dirs := indexFormat, f.madeFor(own), len(ix.sums), len(years)
	c.String(&format)
	c.String(&madeFor)
	c.Length(&sums)
	c.Length(&dirs)
	for _, y := range years {
		n, now := len(y.files), y.now
		if b.racy(now) {
			now = unknown
		}
		c.String(&y.dir)
		c.mark(&now)
		c.Length(&n)
		for _, file := range files[:n] {
			c.entry(y.dir, file.known)
		}
		files = files[n:]
	}
	c.shelf(&ix.shelf)
	out := c.Bytes()
	binary.LittleEndian.PutUint32(out, crc32.ChecksumIEEE(out[4:]))
	if os.WriteFile(b.name, out, 0o666) != nil || os.Rename(b.name, f.indexPath()) != nil {
		os.Remove(b.name)
	}
}

// codec is a packed.Codec for the types of the index.
type codec struct{ *packed.Codec }

// shelf encodes a shelf without the names, which the entries have.
func (c codec) shelf(s *shelf) {
	for i := range s.sums {
		c.summary(&s.sums[i])
	}
	c.problems(&s.problems)
	c.problems(&s.twins)
}

// entry encodes an entry. It returns the file's path, for the shelf to share its
// memory.
func (c codec) entry(dir string, e *entry) (path string) {
	if c.Writes() {
		path = dir + "/" + e.name
	}
	c.String(&path)
	c.mark(&e.mark)
	c.Int(&e.rank)
	c.Bool(&e.series)
	return path
}

func (c codec) mark(m *mark) {
	c.Int64(&m.size)
	c.Int64(&m.mtime)
	c.Int64(&m.ctime)
	inode := int64(m.inode)
	c.Int64(&inode)
	m.inode = uint64(inode)
}

func (c codec) summary(s *Summary) {
	c.String(&s.Title)
	c.String(&s.Cut)
	c.String(&s.Pit)
	for _, p := range [...]*time.Time{&s.Date, &s.On, &s.Finish, &s.Serve, &s.Last, &s.OpenTo} {
		c.Time(p)
	}
	stage := int(s.Stage)
	for _, p := range [...]*int{&s.Pieces, &s.Heads, &stage, &s.Eaters, &s.Warnings} {
		c.Int(p)
	}
	s.Stage = journal.Stage(stage)
	c.Float(&s.Weight)
	c.Float(&s.Heaviest)
	c.Float(&s.Score)
	c.Bool(&s.Broken)
	c.Bool(&s.Aside)
	c.String(&s.Sum)
	for i := range packed.Slice(c.Codec, &s.Wraps) {
		c.String((*string)(&s.Wraps[i]))
	}
}

func (c codec) problems(all *[]journal.Problem) {
	for i := range packed.Slice(c.Codec, all) {
		p := &(*all)[i]
		c.String(&p.File)
		c.Int(&p.Line)
		c.Int(&p.Col)
		c.Bool(&p.Warning)
		c.String(&p.Text)
	}
}
