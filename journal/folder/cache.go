package folder

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"hash/crc32"
	"math"
	"os"
	"path/filepath"
	"time"

	"ashbook/journal"
)

// The index holds what was read of each cook, so that the shelf need not read them
// all. It lies in the person's cache folder, may be deleted at any time, and is not
// used when it was made by another build, for other settings, or is not whole.

// indexFormat is raised when what is stored changes.
const indexFormat = "ashbook index 2\n"

// racyTime is how long before the index was begun a file must have been changed to
// be believed unchanged by its size and time alone: a file system's clock may tick
// only every two seconds (FAT), and a second change within a tick leaves no trace.
const racyTime = 2 * time.Second

// indexPath is where the index of this journal lies, "" for none.
func (f *Folder) indexPath() string {
	if f.opt.Cache == "" {
		return ""
	}
	h := sha256.Sum256([]byte(f.dir))
	return filepath.Join(f.opt.Cache, "index-"+hex.EncodeToString(h[:8]))
}

// madeFor is what must be the same for an index to be used.
func (f *Folder) madeFor() string {
	zone := "UTC"
	if f.opt.Zone != nil {
		zone = f.opt.Zone.String()
	}
	return f.opt.Build + "\n" + zone + "\n" + f.front + "\n" + f.dir
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

// readIndex returns the records of the index by path, none where there is no index
// that can be used.
func (f *Folder) readIndex() map[string]*record {
	data, err := os.ReadFile(f.indexPath())
	if err != nil {
		return nil
	}
	const tail = 4
	n := len(data) - tail
	if n < 0 || crc32.Checksum(data[:n], castagnoli) != binary.LittleEndian.Uint32(data[n:]) {
		return nil
	}
	return f.decode(&codec{text: string(data[:n])})
}

// decode returns nil for an index that is not whole, or was made for something else.
func (f *Folder) decode(c *codec) map[string]*record {
	var format, madeFor string
	var n int
	c.string(&format)
	c.string(&madeFor)
	c.int(&n)
	if format != indexFormat || madeFor != f.madeFor() || n < 0 || n > len(c.text) {
		return nil
	}
	records := make([]record, n)
	index := make(map[string]*record, n)
	for i := range records {
		c.record(&records[i])
		index[records[i].sum.Path] = &records[i]
	}
	if c.bad {
		return nil
	}
	return index
}

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// writeIndex replaces the index. That it cannot is no error: it is only slower.
func (f *Folder) writeIndex(records []*record, b begun) {
	if b.name == "" {
		return
	}
	c := &codec{writing: true}
	format, madeFor := indexFormat, f.madeFor()
	c.string(&format)
	c.string(&madeFor)
	n := len(records)
	c.int(&n)
	for _, r := range records {
		if r.fresh && r.mark.mtime >= b.at.Add(-racyTime).UnixNano() {
			r.mark = mark{size: -1}
		}
		c.record(r)
	}
	c.out = binary.LittleEndian.AppendUint32(c.out, crc32.Checksum(c.out, castagnoli))
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

func (c *codec) record(r *record) {
	c.int64(&r.mark.size)
	c.int64(&r.mark.mtime)
	inode := int64(r.mark.inode)
	c.int64(&inode)
	r.mark.inode = uint64(inode)
	s := &r.sum
	for _, p := range []*string{&s.ID, &s.Path, &s.Title, &s.Cut, &s.Pit} {
		c.string(p)
	}
	for _, p := range []*time.Time{&s.Date, &s.On, &s.Finish, &s.Serve, &s.Last, &s.OpenTo} {
		c.time(p)
	}
	stage := int(s.Stage)
	for _, p := range []*int{&s.Pieces, &s.Heads, &stage, &s.Eaters, &s.Warnings} {
		c.int(p)
	}
	s.Stage = journal.Stage(stage)
	c.float(&s.Weight)
	c.float(&s.Heaviest)
	c.float(&s.Score)
	c.bool(&s.Broken)
	n := len(s.Wraps)
	c.length(&n)
	if !c.writing && n > 0 {
		s.Wraps = make([]journal.Wrap, n)
	}
	for i := range n {
		c.string((*string)(&s.Wraps[i]))
	}
	n = len(r.problems)
	c.length(&n)
	if !c.writing && n > 0 {
		r.problems = make([]journal.Problem, n)
	}
	for i := range n {
		p := &r.problems[i]
		c.string(&p.File)
		c.int(&p.Line)
		c.int(&p.Col)
		c.bool(&p.Warning)
		c.string(&p.Text)
	}
}

// take returns the next n bytes, zeros where there are not that many.
func (c *codec) take(n int) string {
	if n > len(c.text) {
		c.bad, c.text = true, ""
		return zeros[:n]
	}
	part := c.text[:n]
	c.text = c.text[n:]
	return part
}

const zeros = "\x00\x00\x00\x00\x00\x00\x00\x00"

func (c *codec) int64(v *int64) {
	if c.writing {
		c.out = binary.LittleEndian.AppendUint64(c.out, uint64(*v))
		return
	}
	b := c.take(8)
	*v = int64(uint64(b[0]) | uint64(b[1])<<8 | uint64(b[2])<<16 | uint64(b[3])<<24 |
		uint64(b[4])<<32 | uint64(b[5])<<40 | uint64(b[6])<<48 | uint64(b[7])<<56)
}

// int is for small numbers: it keeps 32 bits.
func (c *codec) int(v *int) {
	if c.writing {
		c.out = binary.LittleEndian.AppendUint32(c.out, uint32(int32(*v)))
		return
	}
	b := c.take(4)
	*v = int(int32(uint32(b[0]) | uint32(b[1])<<8 | uint32(b[2])<<16 | uint32(b[3])<<24))
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
	bits := int64(math.Float64bits(*v))
	c.int64(&bits)
	*v = math.Float64frombits(uint64(bits))
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
