package folder

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"runtime"
	"slices"
	"sort"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"ashbook/journal"
)

// Summary is what the shelf shows and narrows by, without reading the cook again.
// Missing things are zero: no weight is 0 kg, no time is the zero time.
type Summary struct {
	ID       string
	Path     string // of the file, below the journal's folder, with slashes
	Title    string
	Cut      string
	Pit      string
	Wraps    []journal.Wrap // used, each once, in order
	Weight   float64        // on the grate, else as bought, kg; 0 if any piece lacks it
	Heaviest float64        // of the pieces, kg; 0 if any piece lacks it
	Pieces   int            // 0 only for a broken file
	Heads    int
	Date     time.Time // the day it belongs to
	On       time.Time // the first piece went on
	Finish   time.Time // the last piece came off
	Serve    time.Time // when the meal was to be
	Last     time.Time // last entry
	Stage    journal.Stage
	OpenTo   time.Time // until when a cook without an end counts as running; zero if it has one or is not lit
	Score    float64   // mean of the overall scores, 1 to 9; 0 if there are none
	Eaters   int       // who gave one
	Series   bool      // a probe series lies beside the file
	Broken   bool      // nothing in the file can be relied on
	Warnings int
}

// Name is the title, or the ID where there is none.
func (s Summary) Name() string {
	if s.Title != "" {
		return s.Title
	}
	return s.ID
}

// Running tells whether the cook is lit or on at now and not yet off, as
// journal.Cook.Running does for a cook without entries after now.
func (s Summary) Running(now time.Time) bool { return !s.OpenTo.IsZero() && !now.After(s.OpenTo) }

// LeftOpen tells whether the cook was never taken off and has been silent for so
// long that it is not taken for running any more.
func (s Summary) LeftOpen(now time.Time) bool { return !s.OpenTo.IsZero() && now.After(s.OpenTo) }

// summarize derives what is listed from a cook.
func summarize(c *journal.Cook) Summary {
	s := Summary{ID: c.ID, Title: c.Title, Cut: c.Cut, Pit: c.Pit, Pieces: len(c.Pieces), Heads: c.Heads, Date: c.Date(), Serve: c.Serve}
	for _, w := range c.Wrappings() {
		if !slices.Contains(s.Wraps, w.Kind) {
			s.Wraps = append(s.Wraps, w.Kind)
		}
	}
	s.Weight, _ = c.OnWeight()
	for _, p := range c.Pieces {
		if s.Weight > 0 {
			s.Heaviest = max(s.Heaviest, p.Weight().Base)
		}
	}
	s.On, _ = c.OnAt()
	s.Finish, _ = c.Finish()
	s.Score, s.Eaters = c.MeanScore(journal.Overall)
	last, ok := c.LastEntry()
	if !ok {
		return s
	}
	s.Last, s.Stage = last, c.Status(last).Stage
	if c.Running(last) {
		const longest = 30 * 24 * 60
		n := sort.Search(longest, func(m int) bool { return !c.Running(last.Add(time.Duration(m+1) * time.Minute)) })
		s.OpenTo = last.Add(time.Duration(n) * time.Minute)
	}
	return s
}

// mark is how a changed file is told from the one that was read.
type mark struct {
	size  int64
	mtime int64 // ns since 1970
	inode uint64
}

// record is what the index holds of a file.
type record struct {
	mark     mark
	sum      Summary
	problems []journal.Problem
	fresh    bool // read in this run
}

// cookFile is a cook's file found on the disk.
type cookFile struct {
	year   *yearFiles
	name   string // of the file
	series bool
}

func (c cookFile) id() string   { return c.name[:len(c.name)-len(cookEnd)] }
func (c cookFile) path() string { return c.year.dir + "/" + c.name }

const (
	cookEnd   = ".md"
	seriesEnd = ".csv"
)

// yearFiles is what was found in one folder.
type yearFiles struct {
	year
	dir      string // below the journal's folder
	files    []cookFile
	problems []journal.Problem
}

// errLink says that a file is a link and has to be looked at with care.
var errLink = errors.New("a link")

// find returns the files of all cooks and what is wrong with names. close is called
// when they have been looked at.
func (f *Folder) find() (files []cookFile, problems []journal.Problem, close func()) {
	years := []*yearFiles{{dir: cooksDir}}
	top, err := os.ReadDir(f.full(cooksDir))
	if err != nil {
		problems = append(problems, problem(cooksDir, err))
	}
	for _, e := range top {
		p := cooksDir + "/" + e.Name()
		isDir := e.IsDir()
		if e.Type()&fs.ModeSymlink != 0 && !strings.HasPrefix(e.Name(), ".") {
			if _, err := f.resolve(p); err != nil {
				problems = append(problems, problem(p, err))
				continue
			}
			info, err := os.Stat(f.full(p))
			isDir = err == nil && info.IsDir()
		}
		if isDir && !strings.HasPrefix(e.Name(), ".") {
			years = append(years, &yearFiles{dir: p})
		}
	}
	each(len(years), 1, func(i int) { years[i].look(f.full(years[i].dir)) })
	n := 0
	for _, y := range years {
		n += len(y.files)
	}
	files = make([]cookFile, 0, n)
	for _, y := range years {
		files = append(files, y.files...)
		problems = append(problems, y.problems...)
	}
	return files, problems, func() {
		for _, y := range years {
			y.close()
		}
	}
}

// look finds the cooks of one folder.
func (y *yearFiles) look(full string) {
	fail := func(err error) { y.problems = append(y.problems, problem(y.dir, err)) }
	var err error
	if y.year, err = openYear(full); err != nil {
		fail(err)
		return
	}
	d, err := os.Open(full)
	if err != nil {
		fail(err)
		return
	}
	defer d.Close()
	names, err := d.Readdirnames(-1)
	if err != nil {
		fail(err)
	}
	series := map[string]bool{}
	y.files = make([]cookFile, 0, len(names))
	for _, name := range names {
		id, isCook := strings.CutSuffix(name, cookEnd)
		switch {
		case strings.HasPrefix(name, "."):
		case strings.HasSuffix(name, seriesEnd):
			series[strings.TrimSuffix(name, seriesEnd)] = true
		case !isCook:
		case checkID(id) != nil:
			y.problems = append(y.problems, journal.Problem{File: y.dir + "/" + name, Warning: true,
				Text: "not read as a cook: the name does not begin with a date, as in 2026-09-18-harvest-supper.md"})
		default:
			y.files = append(y.files, cookFile{year: y, name: name})
		}
	}
	if len(series) > 0 {
		for i := range y.files {
			y.files[i].series = series[y.files[i].id()]
		}
	}
}

// read reads a cook's file into the buffer.
func (f *Folder) read(file cookFile, buf *[]byte) ([]byte, error) {
	data, err := file.year.read(file.name, buf)
	if errors.Is(err, errLink) {
		return f.Bytes(file.path())
	}
	return data, err
}

// List returns all cooks, the newest first, and what is wrong in the journal. A
// broken file is a Summary with its name and Broken set, and a problem. Files that
// have not changed since they were last read are not read again.
func (f *Folder) List() ([]Summary, []journal.Problem) {
	var index map[string]*record
	var reading sync.WaitGroup
	reading.Go(func() { index = f.readIndex() })
	files, problems, close := f.find()
	defer close()
	reading.Wait()
	problems = append(slices.Clone(f.problems), problems...)
	records := make([]*record, len(files))
	var known atomic.Int64
	each(len(files), share, func(i int) {
		now, err := files[i].year.mark(files[i].name)
		var key [128]byte
		p := append(append(append(key[:0], files[i].year.dir...), '/'), files[i].name...)
		if old := index[string(p)]; err == nil && old != nil && old.mark == now {
			records[i] = old
			known.Add(1)
		}
	})
	if n := int(known.Load()); n < len(files) || n < len(index) {
		next := f.beginIndex()
		each(len(files), share, func(i int) {
			if records[i] == nil {
				records[i] = f.record(files[i])
			}
		})
		f.writeIndex(records, next)
	}
	order := make([]int, len(records))
	seen := make(map[string]string, len(records))
	for i, r := range records {
		order[i] = i
		problems = append(problems, r.problems...)
		if first, twice := seen[r.sum.ID]; twice {
			problems = append(problems, journal.Problem{File: r.sum.Path, Warning: true, Text: "the same name as " + first + ": give one of them another"})
		}
		seen[r.sum.ID] = r.sum.Path
	}
	slices.SortStableFunc(problems, journal.ByPlace)
	slices.SortFunc(order, func(i, k int) int {
		a, b := &records[i].sum, &records[k].sum
		if c := b.Date.Compare(a.Date); c != 0 {
			return c
		}
		return strings.Compare(b.Path, a.Path)
	})
	out := make([]Summary, len(records))
	for n, i := range order {
		out[n] = records[i].sum
		out[n].Series = files[i].series
	}
	return out, problems
}

// record reads a file. A link has no mark and is read each time.
func (f *Folder) record(file cookFile) *record {
	now, err := file.year.mark(file.name)
	if errors.Is(err, errLink) {
		now, err = mark{size: -1}, nil
	}
	r := &record{mark: now, fresh: true, sum: Summary{ID: file.id(), Path: file.path(), Broken: true}}
	r.sum.Date, _ = journal.DateOfID(r.sum.ID)
	fail := func(err error) *record {
		r.problems = []journal.Problem{problem(file.path(), err)}
		return r
	}
	if err != nil {
		return fail(err)
	}
	buf := buffers.Get().(*[]byte)
	defer buffers.Put(buf)
	data, err := f.read(file, buf)
	if err != nil {
		return fail(err)
	}
	cook, err := f.parse(file.path(), data)
	if err != nil {
		return fail(err)
	}
	r.sum = summarize(&cook.Cook)
	r.sum.ID, r.sum.Path = file.id(), file.path()
	for _, p := range cook.Problems {
		if p.Warning {
			r.sum.Warnings++
		}
	}
	r.problems = cook.Problems
	return r
}

// share is how many files one processor takes at a time: few enough to even out, many
// enough for them not to wait for each other.
const share = 64

// each calls do for 0 to n-1, on as many processors as there are, so many at a time.
func each(n, share int, do func(i int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), (n+share-1)/share) {
		wg.Go(func() {
			for {
				from := int(next.Add(int64(share))) - share
				if from >= n {
					return
				}
				for i := from; i < min(from+share, n); i++ {
					do(i)
				}
			}
		})
	}
	wg.Wait()
}

// IDs returns the names of all cooks, the newest first, without reading them.
func (f *Folder) IDs() []string {
	files, _, close := f.find()
	close()
	ids := make([]string, len(files))
	for i, file := range files {
		ids[i] = file.id()
	}
	slices.Sort(ids)
	slices.Reverse(ids)
	return ids
}

var buffers = sync.Pool{New: func() any { b := make([]byte, 64<<10); return &b }}

// readAll reads to the end into the buffer, which grows as needed. A short read is
// the end: these are files, not pipes.
func readAll(in io.Reader, path string, buf *[]byte) ([]byte, error) {
	b := *buf
	for n := 0; ; {
		got, err := in.Read(b[n:])
		if n += got; err != nil && err != io.EOF {
			return nil, err
		}
		if err := fits(path, int64(n)); err != nil {
			return nil, err
		}
		if n < len(b) {
			return b[:n], nil
		}
		b = append(b, make([]byte, len(b))...)
		*buf = b
	}
}
