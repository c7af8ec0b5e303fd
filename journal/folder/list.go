package folder

import (
	"cmp"
	"context"
	"crypto/sha256"
	"errors"
	"slices"
	"sort"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"ashbook/journal"
)

// Summary is what the shelf shows and searches without reading the cook again. A
// missing value is zero.
type Summary struct {
	ID       string
	Path     string // path below the journal's folder, with slashes
	Sum      string // hash of the file's bytes; "" for a broken file and for a link
	Title    string
	Cut      string
	Pit      string
	Wraps    []journal.Wrap // kinds used, each once, in order
	Weight   float64        // weight on the grate, or as bought, kg; 0 if any piece lacks it
	Heaviest float64        // weight of the heaviest piece, kg; 0 if any piece lacks it
	Pieces   int            // 0 only for a broken file
	Heads    int
	Date     time.Time // day of the cook
	On       time.Time // when the first piece went on
	Finish   time.Time // when the last piece came off
	Serve    time.Time // planned time of the meal
	Last     time.Time // time of the last entry
	Stage    journal.Stage
	// until when a cook without an end counts as running; zero if it has an end or is
	// not lit
	OpenTo   time.Time
	Score    float64 // mean of the overall scores, 1 to 9; 0 if there are none
	Eaters   int     // number of eaters who gave an overall score
	Series   bool    // there is a probe series
	Broken   bool    // nothing in the file can be used
	Aside    bool    // left out of reports
	Warnings int
}

// Name returns the title, or the ID if there is no title.
func (s *Summary) Name() string {
	if s.Title != "" {
		return s.Title
	}
	return s.ID
}

// Running reports whether the cook is lit or on at now and not yet off. It equals
// journal.Cook.Running if the cook has no entries after now.
func (s *Summary) Running(now time.Time) bool { return !s.OpenTo.IsZero() && !now.After(s.OpenTo) }

// LeftOpen reports whether the cook was never taken off and has had no entry for so
// long that it no longer counts as running.
func (s *Summary) LeftOpen(now time.Time) bool { return !s.OpenTo.IsZero() && now.After(s.OpenTo) }

// summarize returns the Summary of a cook.
func summarize(c *journal.Cook) Summary {
	// clone, or the whole file stays in memory
	s := Summary{ID: c.ID, Title: strings.Clone(c.Title), Cut: strings.Clone(c.Cut), Pit: strings.Clone(c.Pit),
		Pieces: len(c.Pieces), Heads: c.Heads, Date: c.Date(), Serve: c.Serve}
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
	s.Aside = c.Aside != ""
	last, ok := c.LastEntry()
	if !ok {
		return s
	}
	status := c.Status(last)
	if s.Last, s.Stage = last, status.Stage; status.Running() {
		const longest = 30 * 24 * 60
		n := sort.Search(longest, func(m int) bool { return !c.Running(last.Add(time.Duration(m+1) * time.Minute)) })
		s.OpenTo = last.Add(time.Duration(n) * time.Minute)
	}
	return s
}

// mark identifies the state of a file, so that a later change is noticed.
type mark struct {
	size  int64
	mtime int64 // ns since 1970
	// time of the last change of any kind, which no program can set, in ns since 1970;
	// 0 on systems without it
	ctime int64
	inode uint64
}

// unknown is the mark of a file that must be read again.
var unknown = mark{size: -1}

// shelf is what List returns, without problems outside the cooks' files.
type shelf struct {
	sums     []Summary         // in the order of List
	problems []journal.Problem // problems of the files
	twins    []journal.Problem // problems of files with the same name
}

// List returns the cooks that are not left out of reports, newest first, and the
// problems in the journal. A broken file gives a Summary with its name and Broken set,
// and a problem. It reads only files and folders that have changed since they were last
// read. It fails with ctx's error.
func (f *Folder) List(ctx context.Context) ([]Summary, []journal.Problem, error) {
	all, problems, err := f.listAll(ctx)
	return slices.DeleteFunc(all, func(s Summary) bool { return s.Aside }), problems, err
}

// Aside returns the cooks that are left out of reports, newest first. It fails with
// ctx's error.
func (f *Folder) Aside(ctx context.Context) ([]Summary, error) {
	all, _, err := f.listAll(ctx)
	return slices.DeleteFunc(all, func(s Summary) bool { return !s.Aside }), err
}

func (f *Folder) listAll(ctx context.Context) ([]Summary, []journal.Problem, error) {
	own := f.ownSettings()
	years, problems, close := f.years()
	defer close()
	ix := f.readIndex(own)
	var reading sync.WaitGroup
	reading.Go(ix.readShelf)
	next := f.listChanged(ctx, years, ix)
	files, more := gather(years)
	problems = append(problems, more...)
	var same atomic.Int64
	each(ctx, len(files), share, func(i int) {
		file := &files[i]
		if file.known == nil {
			return
		}
		if now, err := file.year.mark(file.name); err != nil || now != file.known.mark {
			file.known = nil
			return
		}
		same.Add(1)
	})
	reading.Wait()
	if n := int(same.Load()); next.name != "" || n < len(files) || n < ix.count {
		if next.name == "" {
			next = f.beginIndex()
		}
		f.reread(ctx, ix, files, next)
		f.writeIndex(ctx, own, ix, years, files, next)
	}
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	for _, file := range files {
		if file.known.rank == notCook {
			problems = append(problems, file.misnamed())
		} else {
			ix.sums[file.known.rank].Series = file.series
		}
	}
	problems = slices.Concat(own.problems, problems, ix.problems, ix.twins)
	slices.SortStableFunc(problems, journal.ByPlace)
	return ix.sums, problems, nil
}

// listChanged lists the folders that differ from the index. If the index must be
// written again for that, it begins it first.
func (f *Folder) listChanged(ctx context.Context, years []*yearFiles, ix *index) (next begun) {
	for _, y := range years {
		if y.now = y.own(); y.now != unknown && y.now != ix.folders[y.dir].mark && next.name == "" {
			next = f.beginIndex()
		}
	}
	each(ctx, len(years), 1, func(i int) {
		y := years[i]
		if was := ix.folders[y.dir]; y.now == unknown || y.now != was.mark {
			y.list(was.entries)
		} else {
			y.take(was.entries)
		}
	})
	return next
}

// reread builds the shelf of the index anew and reads only files that are not known.
// Afterwards all files are known, unless ctx ended.
func (f *Folder) reread(ctx context.Context, ix *index, files []cookFile, next begun) {
	of := map[string][]journal.Problem{}
	for _, p := range ix.problems {
		of[p.File] = append(of[p.File], p)
	}
	records := make([]record, len(files))
	each(ctx, len(files), share, func(i int) {
		file, r := &files[i], &records[i]
		switch k := file.known; {
		case k == nil:
			if *r = f.record(*file); next.racy(r.mark) {
				r.mark = unknown
			}
		case k.rank == notCook:
			r.entry = *k
		default:
			*r = record{entry: *k, sum: &ix.sums[k.rank], problems: of[file.path()]}
		}
		r.series = file.series
		file.known = &r.entry
	})
	if ctx.Err() != nil {
		return
	}
	var order []*record
	for i := range records {
		if records[i].rank != notCook {
			order = append(order, &records[i])
		}
	}
	slices.SortFunc(order, func(a, b *record) int {
		return cmp.Or(b.sum.Date.Compare(a.sum.Date), strings.Compare(b.sum.Path, a.sum.Path))
	})
	ix.shelf = shelf{sums: make([]Summary, len(order))}
	names, cases := make(map[string]string, len(order)), make(map[string]string, len(order))
	for rank, r := range order {
		r.rank = rank
		ix.sums[rank] = *r.sum
		ix.problems = append(ix.problems, r.problems...)
		if first, twice := names[r.sum.ID]; twice {
			ix.twins = append(ix.twins, journal.Problem{File: r.sum.Path, Warning: true, Text: "the same name as " + first + ": give one of them another"})
		}
		names[r.sum.ID] = r.sum.Path
		folded := strings.ToLower(r.sum.ID)
		if first, twice := cases[folded]; twice && first != r.sum.ID {
			ix.twins = append(ix.twins, journal.Problem{File: r.sum.Path, Warning: true, Text: "differs from " + first + " in capitals alone: on some machines they are one file; give one of them another name"})
		}
		cases[folded] = r.sum.ID
	}
}

// sumOf returns a hash of a file's bytes: the first sixteen of SHA-256.
func sumOf(data []byte) string {
	h := sha256.Sum256(data)
	return string(h[:16])
}

// record is what was read of one file.
type record struct {
	entry
	sum      *Summary // nil for notCook
	problems []journal.Problem
}

// record reads a file and passes it to the Seen callback. A link has no mark and is
// read each time.
func (f *Folder) record(file cookFile) record {
	r := record{entry: entry{name: file.name, rank: notCook}}
	var err error
	if r.mark, err = file.year.mark(file.name); errors.Is(err, errLink) {
		r.mark, err = unknown, nil
	}
	if checkID(file.id()) != nil || file.of != "" {
		return r
	}
	r.rank = 0
	r.sum = &Summary{ID: file.id(), Path: file.path(), Broken: true}
	r.sum.Date, _ = journal.DateOfID(r.sum.ID)
	fail := func(err error) record {
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
	*r.sum = summarize(&cook.Cook)
	if r.mark != unknown { // a series next to a link is not next to the file it leads to
		r.sum.Sum = sumOf(data)
	}
	r.sum.ID, r.sum.Path = file.id(), file.path()
	for _, p := range cook.Problems {
		if p.Warning {
			r.sum.Warnings++
		}
	}
	r.problems = cook.Problems
	if seen := f.seen.Load(); seen != nil && r.sum.Sum != "" {
		shown := *r.sum
		shown.Series = file.series
		stamp, _ := f.stamp(&shown)
		if file.series {
			cook.Cook.Series, _ = f.readSeries(file.path())
		}
		(*seen)(shown, stamp, cook)
	}
	return r
}
