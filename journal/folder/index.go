package folder

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"hash/crc32"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/history"
)

// The index holds what was read of each cook, so that the shelf need not read them
// all. It lies in the person's cache folder, may be deleted at any time, and is not
// used when it was made by another build, for other settings, or is not whole.

// indexFormat is raised when what is stored changes.
const indexFormat = "ashbook index 6\n"

// racyTime is how long before the index was begun a file must have been changed to
// be believed unchanged by its size and time alone: a file system's clock may tick
// only every two seconds (FAT), and a second change within a tick leaves no trace.
//
// racyTick is the same for the time of status, where a system has one: it is of the
// machine's own clock, which ticks every 1 to 10 ms.
const (
	racyTime = 2 * time.Second
	racyTick = 20 * time.Millisecond
)

// indexPath is where the index of this journal lies, "" for none.
func (f *Folder) indexPath() string {
	if f.opt.Cache == "" {
		return ""
	}
	h := sha256.Sum256([]byte(f.dir))
	return filepath.Join(f.opt.Cache, "index-"+hex.EncodeToString(h[:8]))
}

// madeFor is what must be the same for an index to be used.
func (f *Folder) madeFor(own *ownSettings) string {
	zone := "UTC"
	if f.opt.Zone != nil {
		zone = f.opt.Zone.String()
	}
	return strings.Join([]string{f.opt.Build, zone, f.dir, own.text}, "\n")
}

// begun is an index about to be written. Its file is made before the first cook is
// read: the time the file system gives it is what racyTime counts from.
type begun struct {
	name string
	at   time.Time
}

// beginIndex begins an index; an empty one where there is nowhere to put it.
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

// racy tells whether a mark is too young to be believed.
func (b begun) racy(m mark) bool {
	return m.mtime >= b.at.Add(-racyTime).UnixNano() || m.ctime >= b.at.Add(-racyTick).UnixNano()
}

// index is what was known of the journal when it was last listed.
type index struct {
	shelf
	folders map[string]knownFolder
	count   int   // of all entries
	rest    codec // the shelf, until it is read
}

// knownFolder is a folder as it was.
type knownFolder struct {
	mark    mark
	entries []entry
}

// entry is a file as it was.
type entry struct {
	name   string
	mark   mark
	rank   int // in the shelf
	series bool
}

// notCook is the rank of a file whose name is no cook's.
const notCook = -1

// readIndex returns the index, an empty one where there is none that can be used.
// Its shelf is still to be read.
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
	var text strings.Builder // what is read of it shares its memory
	if info, err := file.Stat(); err == nil {
		text.Grow(int(info.Size()))
	}
	got := crc32.NewIEEE()
	if _, err := io.Copy(io.MultiWriter(&text, got), file); err != nil || got.Sum32() != binary.LittleEndian.Uint32(want[:]) {
		return &index{}
	}
	c := codec{text: text.String()}
	var format, madeFor string
	c.string(&format)
	c.string(&madeFor)
	if format != indexFormat || madeFor != f.madeFor(own) {
		return &index{}
	}
	return decode(c)
}

// decode reads all but the shelf, of which it fills in the names.
func decode(c codec) *index {
	var sums, dirs int
	c.length(&sums)
	c.length(&dirs)
	ix := &index{shelf: shelf{sums: make([]Summary, sums)}, folders: make(map[string]knownFolder, dirs)}
	for range dirs {
		var dir string
		var k knownFolder
		var n int
		c.string(&dir)
		c.mark(&k.mark)
		c.length(&n)
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
	if c.bad {
		return &index{}
	}
	ix.rest = c
	return ix
}

// readShelf reads what decode has left.
func (ix *index) readShelf() { ix.rest.shelf(&ix.shelf) }

// writeIndex replaces the index; when ctx has ended it leaves the old one. That it
// cannot is no error: it is only slower.
func (f *Folder) writeIndex(ctx context.Context, own *ownSettings, ix *index, years []*yearFiles, files []cookFile, b begun) {
	if b.name == "" {
		return
	}
	if ctx.Err() != nil {
		os.Remove(b.name)
		return
	}
	c := &codec{writing: true, out: make([]byte, 4)} // for the checksum
	format, madeFor, sums, dirs := indexFormat, f.madeFor(own), len(ix.sums), len(years)
	c.string(&format)
	c.string(&madeFor)
	c.length(&sums)
	c.length(&dirs)
	for _, y := range years {
		n, now := len(y.files), y.now
		if b.racy(now) {
			now = unknown
		}
		c.string(&y.dir)
		c.mark(&now)
		c.length(&n)
		for _, file := range files[:n] {
			c.entry(y.dir, file.known)
		}
		files = files[n:]
	}
	c.shelf(&ix.shelf)
	binary.LittleEndian.PutUint32(c.out, crc32.ChecksumIEEE(c.out[4:]))
	if os.WriteFile(b.name, c.out, 0o666) != nil || os.Rename(b.name, f.indexPath()) != nil {
		os.Remove(b.name)
	}
}

// codec writes values to out or reads them from text: one list of fields serves
// both ways. What it reads shares text's memory.
type codec struct {
	writing bool
	out     []byte
	text    string
	bad     bool // text ended early
	zones   map[int]*time.Location
}

// zone is the place so many minutes from UTC.
func (c *codec) zone(minutes int) *time.Location {
	if minutes == 0 {
		return time.UTC
	}
	if z, ok := c.zones[minutes]; ok {
		return z
	}
	if c.zones == nil {
		c.zones = map[int]*time.Location{}
	}
	c.zones[minutes] = time.FixedZone("", minutes*60)
	return c.zones[minutes]
}

// shelf leaves out the names, which the entries have.
func (c *codec) shelf(s *shelf) {
	for i := range s.sums {
		c.summary(&s.sums[i])
	}
	c.problems(&s.problems)
	c.problems(&s.twins)
}

// entry keeps the file's path in one piece, for the shelf to share, and returns it.
func (c *codec) entry(dir string, e *entry) (path string) {
	if c.writing {
		path = dir + "/" + e.name
	}
	c.string(&path)
	c.mark(&e.mark)
	c.int(&e.rank)
	c.bool(&e.series)
	return path
}

func (c *codec) mark(m *mark) {
	c.int64(&m.size)
	c.int64(&m.mtime)
	c.int64(&m.ctime)
	inode := int64(m.inode)
	c.int64(&inode)
	m.inode = uint64(inode)
}

func (c *codec) summary(s *Summary) {
	c.string(&s.Title)
	c.string(&s.Cut)
	c.string(&s.Pit)
	for _, p := range [...]*time.Time{&s.Date, &s.On, &s.Finish, &s.Serve, &s.Last, &s.OpenTo} {
		c.time(p)
	}
	stage := int(s.Stage)
	for _, p := range [...]*int{&s.Pieces, &s.Heads, &stage, &s.Eaters, &s.Warnings} {
		c.int(p)
	}
	s.Stage = journal.Stage(stage)
	c.float(&s.Weight)
	c.float(&s.Heaviest)
	c.float(&s.Score)
	c.bool(&s.Broken)
	c.bool(&s.Aside)
	n := len(s.Wraps)
	c.length(&n)
	if !c.writing && n > 0 {
		s.Wraps = make([]journal.Wrap, n)
	}
	for i := range s.Wraps {
		c.string((*string)(&s.Wraps[i]))
	}
}

func (c *codec) problems(all *[]journal.Problem) {
	n := len(*all)
	c.length(&n)
	if !c.writing && n > 0 {
		*all = make([]journal.Problem, n)
	}
	for i := range *all {
		p := &(*all)[i]
		c.string(&p.File)
		c.int(&p.Line)
		c.int(&p.Col)
		c.bool(&p.Warning)
		c.string(&p.Text)
	}
}

// int64 is stored in as many bytes as it needs, seven bits in each, the sign in the
// lowest bit (as by encoding/binary, which does not read from a string).
func (c *codec) int64(v *int64) {
	if c.writing {
		c.out = binary.AppendVarint(c.out, *v)
		return
	}
	var u uint64
	for i := 0; i < len(c.text) && i < binary.MaxVarintLen64; i++ {
		b := c.text[i]
		u |= uint64(b&0x7f) << (7 * i)
		if b < 0x80 {
			c.text = c.text[i+1:]
			*v = int64(u>>1) ^ -int64(u&1)
			return
		}
	}
	c.bad, c.text, *v = true, "", 0
}

func (c *codec) int(v *int) {
	wide := int64(*v)
	c.int64(&wide)
	*v = int(wide)
}

// length is an int that counts things still to come, so that it cannot be more than
// there are bytes.
func (c *codec) length(v *int) {
	c.int(v)
	if !c.writing && (*v < 0 || *v > len(c.text)) {
		c.bad = true
		*v = 0
	}
}

func (c *codec) string(v *string) {
	n := len(*v)
	c.length(&n)
	if c.writing {
		c.out = append(c.out, *v...)
		return
	}
	*v, c.text = c.text[:n], c.text[n:]
}

func (c *codec) bool(v *bool) {
	n := 0
	if *v {
		n = 1
	}
	c.int(&n)
	*v = n != 0
}

func (c *codec) float(v *float64) {
	if c.writing {
		c.out = binary.LittleEndian.AppendUint64(c.out, math.Float64bits(*v))
		return
	}
	if len(c.text) < 8 {
		c.bad, c.text, *v = true, "", 0
		return
	}
	*v = math.Float64frombits(binary.LittleEndian.Uint64([]byte(c.text[:8])))
	c.text = c.text[8:]
}

// time keeps the moment and its distance from UTC, to the minute, not the zone's name.
func (c *codec) time(v *time.Time) {
	sec, offset := int64(0), 0
	if !v.IsZero() {
		_, offset = v.Zone()
		sec, offset = v.Unix(), offset/60+1<<16
	}
	c.int64(&sec)
	c.int(&offset)
	if !c.writing {
		*v = time.Time{}
		if offset != 0 {
			*v = time.Unix(sec, 0).In(c.zone(offset - 1<<16))
		}
	}
}
