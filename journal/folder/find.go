package folder

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"ashbook/journal"
)

// cookFile is a file that may be a cook. Its name has not been checked.
type cookFile struct {
	year   *yearFiles
	name   string // name of the file
	series bool   // there is a probe series of the same name
	known  *entry // its entry in the index; nil if it is new or has changed
	of     string // the file that it is a copy of; "" if it is none
}

func (c cookFile) id() string   { return c.name[:len(c.name)-len(cookEnd)] }
func (c cookFile) path() string { return c.year.dir + "/" + c.name }

// misnamed returns the problem of a file whose name is not a cook's.
func (c cookFile) misnamed() journal.Problem {
	if c.of != "" {
		return Copy{c.path(), c.of}.problem()
	}
	return journal.Problem{File: c.path(), Warning: true,
		Text: "not read as a cook: the name does not begin with a date, as in 2026-09-18-harvest-supper.md"}
}

const (
	cookEnd   = ".md"
	seriesEnd = ".csv"
)

// yearFiles is a folder of cooks and, once listed, its files.
type yearFiles struct {
	year
	dir      string // below the journal's folder
	now      mark   // mark of the folder before it was listed
	files    []cookFile
	problems []journal.Problem
}

// errLink means that a file is a link, which needs further checks.
var errLink = errors.New("a link")

// years opens the folders that contain cooks, and returns problems of others. The
// caller calls close when it has read their files.
func (f *Folder) years() (years []*yearFiles, problems []journal.Problem, close func()) {
	dirs := []string{cooksDir}
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
			dirs = append(dirs, p)
		}
	}
	for _, dir := range dirs {
		y, err := openYear(f.full(dir))
		if err != nil {
			problems = append(problems, problem(dir, err))
			continue
		}
		years = append(years, &yearFiles{year: y, dir: dir})
	}
	return years, problems, func() {
		for _, y := range years {
			y.close()
		}
	}
}

// list finds the files of the folder. known are those it had before.
func (y *yearFiles) list(known []entry) {
	names, err := y.names()
	if err != nil {
		y.problems = append(y.problems, problem(y.dir, err))
	}
	byName := make(map[string]*entry, len(known))
	for i := range known {
		byName[known[i].name] = &known[i]
	}
	series := map[string]bool{}
	y.files = make([]cookFile, 0, len(names))
	for _, name := range names {
		switch {
		case strings.HasPrefix(name, "."):
		case strings.HasSuffix(name, seriesEnd):
			series[strings.TrimSuffix(name, seriesEnd)] = true
		case strings.HasSuffix(name, cookEnd):
			y.files = append(y.files, cookFile{year: y, name: name, known: byName[name]})
		}
	}
	if len(series) > 0 {
		for i := range y.files {
			y.files[i].series = series[y.files[i].id()]
		}
	}
}

// markCopies marks the copies among the files of a folder, and drops the index entries
// of files that have become copies or are no longer any.
func (y *yearFiles) markCopies() {
	for i := range y.files {
		c := &y.files[i]
		c.of = copyOf(c.name, func(name string) bool {
			return slices.ContainsFunc(y.files, func(o cookFile) bool { return o.name == name })
		})
		switch k := c.known; {
		case k == nil:
		case c.of != "" && k.rank != notCook, c.of == "" && k.rank == notCook && checkID(c.id()) == nil:
			c.known = nil
		}
	}
}

// names returns the names in the folder.
func (y year) names() ([]string, error) {
	d, err := os.Open(y.path)
	if err != nil {
		return nil, err
	}
	defer d.Close()
	return d.Readdirnames(-1)
}

// take does what list does for a folder that has not changed.
func (y *yearFiles) take(known []entry) {
	y.files = make([]cookFile, len(known))
	for i := range known {
		e := &known[i]
		y.files[i] = cookFile{year: y, name: e.name, series: e.series, known: e}
	}
}

// listEach lists the folders and returns their files, in order.
func listEach(ctx context.Context, years []*yearFiles) (files []cookFile, problems []journal.Problem) {
	each(ctx, len(years), 1, func(i int) { years[i].list(nil) })
	return gather(years)
}

func gather(years []*yearFiles) (files []cookFile, problems []journal.Problem) {
	n := 0
	for _, y := range years {
		n += len(y.files)
	}
	files = make([]cookFile, 0, n)
	for _, y := range years {
		y.markCopies()
		files = append(files, y.files...)
		problems = append(problems, y.problems...)
	}
	return files, problems
}

// read reads a cook's file into the buffer.
func (f *Folder) read(file cookFile, buf *[]byte) ([]byte, error) {
	data, err := file.year.read(file.name, buf)
	if errors.Is(err, errLink) {
		return f.Bytes(file.path())
	}
	return data, err
}

// IDs returns the names of all cooks, the newest first, without reading them.
func (f *Folder) IDs() []string {
	years, _, close := f.years()
	defer close()
	var ids []string
	files, _ := listEach(context.Background(), years)
	for _, file := range files {
		if checkID(file.id()) == nil && file.of == "" {
			ids = append(ids, file.id())
		}
	}
	slices.Sort(ids)
	slices.Reverse(ids)
	return ids
}

// share is how many files one processor takes at a time: few enough to divide the work
// evenly, many enough to rarely wait for each other (chosen).
const share = 64

// each calls do for 0 to n−1 on all processors, share calls at a time. Processors start
// far from each other, since two that read one folder slow each other down. It stops
// when ctx ends; the caller must check ctx.
func each(ctx context.Context, n, share int, do func(i int)) {
	shares := (n + share - 1) / share
	workers := max(1, min(runtime.GOMAXPROCS(0), shares))
	stretch := (shares + workers - 1) / workers
	var next atomic.Int64
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for {
				k := int(next.Add(1)) - 1
				if k >= stretch*workers {
					return
				}
				from := (k%workers*stretch + k/workers) * share
				for i := from; i < min(from+share, n) && ctx.Err() == nil; i++ {
					do(i)
				}
			}
		})
	}
	wg.Wait()
}

var buffers = sync.Pool{New: func() any { b := make([]byte, 64<<10); return &b }}

// readAll reads in to its end into the buffer, which it enlarges as needed. A short
// read counts as the end, since these are regular files.
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
