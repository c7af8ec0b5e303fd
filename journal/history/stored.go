package history

import (
	"bufio"
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/format/packfile"
)

// stored reads the objects in an objects folder, loose or in packs (gitformat-pack(5)).
// It looks an object up in the bytes of a pack's index and reads nothing ahead. Several
// goroutines may use it.
//
// Note: go-git's store was tried and dropped: each time a repository is opened, the
// first object of a pack makes it read and sort the whole index, .3 s and 100 MB for
// 100,000 commits.
type stored struct {
	dir string

	mu    sync.Mutex
	stamp time.Time          // time of the packs folder when it was read
	packs []*pack            // the pack that had the last object comes first
	bases map[baseAt]content // objects used most recently
	older map[baseAt]content // objects used before those
	size  int                // size of bases in bytes
}

// content is the kind and the bytes of an object.
type content struct {
	kind plumbing.ObjectType
	data []byte
}

// baseAt is the position of an object that differences may refer to.
type baseAt struct {
	in *pack
	at int64
}

// inflaters are reused, since each has 40 KB of tables.
var inflaters sync.Pool

func inflate(from io.Reader) (io.Reader, error) {
	if z, ok := inflaters.Get().(io.Reader); ok {
		return z, z.(zlib.Resetter).Reset(from, nil)
	}
	return zlib.NewReader(from)
}

// mostBases is the size of unpacked objects kept in each of two generations, in bytes
// (chosen: the trees and the latest cooks of a lifetime).
const mostBases = 8 << 20

// mostDeep is the longest chain of differences followed: longer than git makes.
const mostDeep = 5000

// pack is an open pack with its index.
type pack struct {
	name       string
	data, find *os.File
	size       int64
	fan        [256]uint32
	names      [256][]byte // hashes by their first byte; nil until read
}

var errNotFound = plumbing.ErrObjectNotFound

func storedIn(objects string) *stored {
	return &stored{dir: objects, bases: map[baseAt]content{}}
}

// get returns an object. It fails with plumbing.ErrObjectNotFound if no loose file and
// no pack has it.
func (s *stored) get(h plumbing.Hash) (content, error) {
	f, err := s.loose(h)
	if err == nil {
		defer f.Close()
		in, kind, size, err := openLoose(f)
		if err != nil {
			return content{}, fmt.Errorf("git object %s: %w", h, err)
		}
		data, err := readSized(in, size)
		in.close()
		return content{kind, data}, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	p, at, err := s.where(h)
	if err != nil {
		return content{}, err
	}
	return s.unpack(p, at, 0)
}

// sizeOf returns the size of an object in bytes without reading all of it.
func (s *stored) sizeOf(h plumbing.Hash) (int64, error) {
	f, err := s.loose(h)
	if err == nil {
		defer f.Close()
		in, _, size, err := openLoose(f)
		in.close()
		return size, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	p, at, err := s.where(h)
	if err != nil {
		return 0, err
	}
	e, err := p.entry(at)
	if err != nil || !e.kind.IsDelta() {
		return e.size, err
	}
	in, err := zlib.NewReader(e.from)
	if err != nil {
		return 0, err
	}
	defer in.Close()
	b := bufio.NewReaderSize(in, 64)
	if _, err := binary.ReadUvarint(b); err != nil { // size of the object it is a difference from
		return 0, err
	}
	size, err := binary.ReadUvarint(b)
	return int64(size), err
}

func (s *stored) loose(h plumbing.Hash) (*os.File, error) {
	name := h.String()
	return OpenRegular(filepath.Join(s.dir, name[:2], name[2:]))
}

// loose reads the content of a loose object.
type loose struct {
	*bufio.Reader
	z io.Reader
}

func (l loose) close() {
	if l.z != nil {
		inflaters.Put(l.z)
	}
}

// openLoose reads the header of a loose object.
func openLoose(f io.Reader) (in loose, kind plumbing.ObjectType, size int64, err error) {
	z, err := inflate(f)
	if err != nil {
		return in, 0, 0, err
	}
	b := bufio.NewReader(z)
	in = loose{b, z}
	head, err := b.ReadSlice(0)
	if err != nil {
		return in, 0, 0, fmt.Errorf("its header: %w", err)
	}
	word, number, _ := strings.Cut(string(head[:len(head)-1]), " ")
	if kind, err = plumbing.ParseObjectType(word); err == nil {
		size, err = strconv.ParseInt(number, 10, 64)
	}
	if err == nil && size < 0 {
		err = errors.New("its header has no size")
	}
	return in, kind, size, err
}

// readSized reads size bytes. It allocates memory only as bytes arrive, since size may
// be wrong.
func readSized(in io.Reader, size int64) ([]byte, error) {
	var buf bytes.Buffer
	// with less, the buffer would grow once more to find the end
	buf.Grow(int(min(size, 1<<20)) + bytes.MinRead)
	n, err := io.Copy(&buf, io.LimitReader(in, size))
	if err == nil && n != size {
		err = io.ErrUnexpectedEOF
	}
	return buf.Bytes(), err
}

// where returns the pack that has an object, and the offset in it. If no pack has it,
// it reads the folder again if that has changed, since git gc moves objects.
func (s *stored) where(h plumbing.Hash) (*pack, int64, error) {
	for {
		for i, p := range s.packs {
			at, err := p.offset(h)
			if err != nil {
				return nil, 0, err
			}
			if at > 0 {
				copy(s.packs[1:i+1], s.packs[:i])
				s.packs[0] = p
				return p, at, nil
			}
		}
		if again, err := s.scan(); err != nil || !again {
			return nil, 0, errors.Join(err, errNotFound)
		}
	}
}

// scan reads the packs folder if it has changed, and reports whether it had.
func (s *stored) scan() (bool, error) {
	dir := filepath.Join(s.dir, "pack")
	info, err := os.Stat(dir)
	if errors.Is(err, fs.ErrNotExist) || err == nil && info.ModTime().Equal(s.stamp) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	all, err := filepath.Glob(filepath.Join(dir, "*.idx"))
	if err != nil {
		return false, err
	}
	old := map[string]*pack{}
	for _, p := range s.packs {
		old[p.name] = p
	}
	var now []*pack
	for _, name := range all {
		p := old[name]
		delete(old, name)
		if p == nil {
			if p, err = openPack(name); errors.Is(err, fs.ErrNotExist) {
				continue // the pack was just deleted, or is not complete yet
			} else if err != nil {
				return false, err
			}
		}
		now = append(now, p)
	}
	for _, p := range old {
		of := func(k baseAt, _ content) bool { return k.in == p }
		maps.DeleteFunc(s.bases, of)
		maps.DeleteFunc(s.older, of)
		p.close()
	}
	s.packs, s.stamp = now, info.ModTime()
	return true, nil
}

func (p *pack) close() { p.data.Close(); p.find.Close() }

const indexNames = 8 + 256*4 // offset of the hashes in a pack's index

func openPack(name string) (*pack, error) {
	find, err := OpenRegular(name)
	if err != nil {
		return nil, err
	}
	data, err := OpenRegular(strings.TrimSuffix(name, ".idx") + ".pack")
	if err != nil {
		find.Close()
		return nil, err
	}
	p := &pack{name: name, data: data, find: find}
	head := make([]byte, indexNames)
	_, err = find.ReadAt(head, 0)
	if err == nil && (string(head[:4]) != "\xfftOc" || binary.BigEndian.Uint32(head[4:]) != 2) {
		err = errors.New("a pack index of an unknown kind (git repack -a writes a new one)")
	}
	if err != nil {
		p.close()
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	for i := range p.fan {
		p.fan[i] = binary.BigEndian.Uint32(head[8+4*i:])
	}
	info, err := data.Stat()
	listed, err2 := find.Stat()
	if err = errors.Join(err, err2); err == nil && listed.Size() < indexNames+int64(p.fan[255])*(20+4+4) {
		err = errors.New("cut short")
	}
	for i := 1; i < len(p.fan) && err == nil; i++ {
		if p.fan[i] < p.fan[i-1] {
			err = errBadPack
		}
	}
	if err != nil {
		p.close()
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	p.size = info.Size()
	return p, nil
}

// offset returns the offset of an object in the pack, 0 if it is not there.
func (p *pack) offset(h plumbing.Hash) (int64, error) {
	first := uint32(0)
	if h[0] > 0 {
		first = p.fan[h[0]-1]
	}
	n, total := int(p.fan[h[0]])-int(first), int64(p.fan[255])
	if n <= 0 {
		return 0, nil
	}
	names := p.names[h[0]]
	if names == nil {
		names = make([]byte, n*len(h))
		if _, err := p.find.ReadAt(names, indexNames+int64(first)*int64(len(h))); err != nil {
			return 0, err
		}
		p.names[h[0]] = names
	}
	i := sort.Search(n, func(i int) bool { return bytes.Compare(names[i*len(h):(i+1)*len(h)], h[:]) >= 0 })
	if i == n || !bytes.Equal(names[i*len(h):(i+1)*len(h)], h[:]) {
		return 0, nil
	}
	number := int64(first) + int64(i)
	offsets := indexNames + total*int64(len(h)+4) // the offsets come after the hashes and the checksums
	var b [8]byte
	if _, err := p.find.ReadAt(b[:4], offsets+4*number); err != nil {
		return 0, err
	}
	at := binary.BigEndian.Uint32(b[:])
	if at&(1<<31) == 0 {
		return int64(at), nil
	}
	_, err := p.find.ReadAt(b[:], offsets+4*total+8*int64(at&^(1<<31)))
	return int64(binary.BigEndian.Uint64(b[:])), err
}

// packEntry is the header of an object in a pack.
type packEntry struct {
	kind plumbing.ObjectType
	size int64         // size of the unpacked data in bytes
	base int64         // offset of an OFSDeltaObject's base
	name plumbing.Hash // hash of a REFDeltaObject's base
	from io.Reader     // the packed data
}

func (p *pack) entry(at int64) (e packEntry, err error) {
	in := bufio.NewReader(io.NewSectionReader(p.data, at, p.size-at))
	e.from = in
	b, err := in.ReadByte()
	if err != nil {
		return e, err
	}
	e.kind, e.size = plumbing.ObjectType(b>>4&7), int64(b&15)
	for shift := 4; b&0x80 != 0; shift += 7 {
		if b, err = in.ReadByte(); err != nil || shift > 56 {
			return e, errors.Join(err, errBadPack)
		}
		e.size |= int64(b&0x7f) << shift
	}
	switch e.kind {
	case plumbing.OFSDeltaObject:
		back := int64(-1)
		for b = 0x80; b&0x80 != 0; {
			if b, err = in.ReadByte(); err != nil || back > 1<<55 {
				return e, errors.Join(err, errBadPack)
			}
			back = (back+1)<<7 | int64(b&0x7f)
		}
		if e.base = at - back; back <= 0 || e.base <= 0 {
			return e, errBadPack
		}
	case plumbing.REFDeltaObject:
		_, err = io.ReadFull(in, e.name[:])
	case plumbing.CommitObject, plumbing.TreeObject, plumbing.BlobObject, plumbing.TagObject:
	default:
		err = errBadPack
	}
	return e, err
}

var errBadPack = errors.New("a pack is damaged (git fsck says which)")

// unpack returns the object at an offset of a pack.
func (s *stored) unpack(p *pack, at int64, depth int) (content, error) {
	if o, ok := s.bases[baseAt{p, at}]; ok {
		return o, nil
	}
	if o, ok := s.older[baseAt{p, at}]; ok {
		s.remember(p, at, o)
		return o, nil
	}
	if depth > mostDeep {
		return content{}, errBadPack
	}
	e, err := p.entry(at)
	if err != nil {
		return content{}, err
	}
	z, err := inflate(e.from)
	if err != nil {
		return content{}, err
	}
	data, err := readSized(z, e.size)
	inflaters.Put(z)
	if err != nil || !e.kind.IsDelta() {
		o := content{e.kind, data}
		s.remember(p, at, o)
		return o, err
	}
	in, from := p, e.base
	if e.kind == plumbing.REFDeltaObject {
		if in, from, err = s.where(e.name); err != nil {
			return content{}, err
		}
	}
	base, err := s.unpack(in, from, depth+1)
	if err != nil {
		return content{}, err
	}
	whole, err := packfile.PatchDelta(base.data, data)
	if err != nil {
		return content{}, fmt.Errorf("%w: %w", errBadPack, err)
	}
	o := content{base.kind, whole}
	s.remember(p, at, o)
	return o, nil
}

// remember keeps an object that differences may refer to, and drops those not used for
// long.
func (s *stored) remember(p *pack, at int64, o content) {
	if len(o.data) > mostBases/8 {
		return
	}
	if s.size+len(o.data) > mostBases {
		s.older, s.bases, s.size = s.bases, map[baseAt]content{}, 0
	}
	s.bases[baseAt{p, at}] = o
	s.size += len(o.data)
}
