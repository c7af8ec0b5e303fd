package folder

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/history"
	"ashbook/journal/mixfile"
	"ashbook/journal/series"
)

// maxFile is the largest file that is read as a cook, in bytes (chosen: a thousand
// times a long cook).
const maxFile = 4 << 20

func fits(path string, size int64) error {
	most := int64(maxFile)
	if strings.HasSuffix(path, seriesEnd) {
		most = series.MaxBytes
	}
	if size > most {
		return fmt.Errorf("%s: %d bytes, expected at most %d", path, size, most)
	}
	return nil
}

// problem turns an error about a file into a journal.Problem.
func problem(path string, err error) journal.Problem {
	var p journal.Problem
	if errors.As(err, &p) {
		return p
	}
	var pe *fs.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	return journal.Problem{File: path, Text: strings.TrimPrefix(err.Error(), path+": ")}
}

// full returns the path on disk of a path in the journal.
func (f *Folder) full(p string) string { return filepath.Join(f.dir, filepath.FromSlash(p)) }

// resolve checks that p is a path inside the journal and returns the path on disk of
// the file it leads to. It refuses names that climb out of the journal, and links that
// lead out of it.
func (f *Folder) resolve(p string) (string, error) {
	if !fs.ValidPath(p) || !filepath.IsLocal(filepath.FromSlash(p)) || strings.ContainsRune(p, '\\') {
		return "", fmt.Errorf("%q: not a path in the journal", p)
	}
	for part := range strings.SplitSeq(p, "/") {
		if strings.HasPrefix(part, ".") {
			return "", fmt.Errorf("%q: hidden files are not part of the journal", p)
		}
	}
	if linkless(f.dir, p) {
		return p, nil
	}
	real, err := filepath.EvalSymlinks(f.full(p))
	if errors.Is(err, fs.ErrNotExist) && path.Dir(p) != "." {
		dir, err := f.resolve(path.Dir(p))
		if err != nil {
			return "", err
		}
		if _, err := os.Lstat(f.full(p)); err == nil {
			return "", fmt.Errorf("%s: a link that leads nowhere", p)
		}
		return path.Join(dir, path.Base(p)), nil
	}
	if errors.Is(err, fs.ErrNotExist) {
		return p, nil
	}
	if err != nil {
		return "", err
	}
	if info, err := os.Stat(real); err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return "", fmt.Errorf("%s: %w", p, history.ErrNotRegular)
	}
	rel, err := filepath.Rel(f.dir, real)
	if err != nil || !filepath.IsLocal(rel) {
		return "", fmt.Errorf("%s: a link out of the journal", p)
	}
	return filepath.ToSlash(rel), nil
}

// badInNames are bytes that some system does not allow in a file name.
const badInNames = `<>:"/\|?*` + "\x7f" +
	"\x00\x01\x02\x03\x04\x05\x06\x07\x08\x09\x0a\x0b\x0c\x0d\x0e\x0f" +
	"\x10\x11\x12\x13\x14\x15\x16\x17\x18\x19\x1a\x1b\x1c\x1d\x1e\x1f"

// checkID returns an error unless id is DATE or DATE-slug and is a valid file name on
// every system.
func checkID(id string) error {
	bad := strings.ContainsAny(id, badInNames)
	if _, ok := journal.DateOfID(id); !ok || bad || len(id) > 120 || strings.HasSuffix(id, ".") || strings.HasSuffix(id, " ") {
		return fmt.Errorf("cook %q: expected a name such as 2026-09-18-harvest-supper", id)
	}
	return nil
}

// Path returns the path for the file of a new cook: "cooks/2026/2026-09-18-supper.md".
func Path(id string) string { return path.Join(cooksDir, id[:min(4, len(id))], id+".md") }

// locate returns the path of a cook's file, anywhere below the folder cooks.
func (f *Folder) locate(id string) (string, error) {
	if err := checkID(id); err != nil {
		return "", err
	}
	for _, p := range []string{Path(id), path.Join(cooksDir, id+".md")} {
		if _, err := os.Lstat(f.full(p)); err == nil {
			return f.resolve(p)
		}
	}
	years, err := os.ReadDir(f.full(cooksDir))
	if err != nil {
		return "", err
	}
	for _, y := range years {
		p := path.Join(cooksDir, y.Name(), id+".md")
		if _, err := os.Lstat(f.full(p)); err == nil {
			return f.resolve(p)
		}
	}
	return "", fmt.Errorf("cook %q: %w", id, ErrNoCook)
}

// Bytes returns the content of a file of the journal. p is below its folder, with
// slashes. It fails with fs.ErrNotExist if there is none.
func (f *Folder) Bytes(p string) ([]byte, error) {
	real, err := f.resolve(p)
	if err != nil {
		return nil, err
	}
	file, err := history.OpenRegular(f.full(real))
	if err != nil {
		return nil, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return nil, err
	}
	if err := fits(p, info.Size()); err != nil {
		return nil, err
	}
	// one allocation unless the file grows
	data := bytes.NewBuffer(make([]byte, 0, info.Size()+bytes.MinRead))
	_, err = data.ReadFrom(file)
	return data.Bytes(), err
}

// Load reads a cook and its probe series. It fails with ErrNoCook, or with the
// journal.Problem of a file that cannot be used at all.
func (f *Folder) Load(id string) (cookfile.File, error) {
	p, err := f.locate(id)
	if err != nil {
		return cookfile.File{}, err
	}
	return f.load(p)
}

// LoadListed does what Load does, for a cook that was listed. If several files have its
// name, it reads the listed one.
func (f *Folder) LoadListed(s Summary) (cookfile.File, error) {
	p, err := f.resolve(s.Path)
	if err != nil {
		return cookfile.File{}, err
	}
	return f.load(p)
}

func (f *Folder) load(p string) (cookfile.File, error) {
	data, err := f.Bytes(p)
	if err != nil {
		return cookfile.File{}, err
	}
	file, err := f.parse(p, data)
	if err != nil {
		return cookfile.File{}, err
	}
	probed, problems := f.readSeries(p)
	file.Cook.Series = probed
	file.Problems = append(file.Problems, problems...)
	return file, nil
}

// Mark returns a text that identifies the state of a cook's file and of its probe
// series, without reading either. Every change of them changes it.
func (f *Folder) Mark(id string) (string, error) {
	p, err := f.locate(id)
	if err != nil {
		return "", err
	}
	var marks []string
	for _, name := range []string{p, SeriesPath(p)} {
		m, err := markOf(f.full(name))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			marks = append(marks, "none")
		case err != nil:
			return "", err
		default:
			marks = append(marks, fmt.Sprint(m))
		}
	}
	return strings.Join(marks, "; "), nil
}

// parsed is the file of a cook as it was parsed last. One note lists, reads and edits the
// same file, and parses it once.
type parsed struct {
	path string
	own  *ownSettings
	file cookfile.File
}

func (f *Folder) parse(p string, data []byte) (cookfile.File, error) {
	own := f.own.Load()
	if l := f.last.Load(); l != nil && l.path == p && l.own == own && bytes.Equal(l.file.Bytes(), data) {
		return ownLists(l.file), nil
	}
	file, err := cookfile.Parse(p, data, f.reading())
	if err == nil {
		f.last.Store(&parsed{p, own, ownLists(file)})
	}
	return file, err
}

// ownLists returns a file whose cook has lists of its own.
func ownLists(file cookfile.File) cookfile.File {
	c := &file.Cook
	c.Entries, c.Pieces, c.Tasting = slices.Clone(c.Entries), slices.Clone(c.Pieces), slices.Clone(c.Tasting)
	return file
}

func (f *Folder) reading() cookfile.Options {
	return cookfile.Options{Settings: f.own.Load().settings, Zone: f.opt.Zone}
}

// SeriesPath returns the path for the probe series of the cook with that path, whether
// or not there is one.
func SeriesPath(cook string) string { return strings.TrimSuffix(cook, ".md") + ".csv" }

// pitsDir has a file for each pit, mixesDir one for each mix.
const (
	pitsDir  = "pits"
	mixesDir = "mixes"
)

// PitPath returns the path for the file of a pit, whether or not there is one.
func PitPath(name string) string { return path.Join(pitsDir, name+".md") }

// Check reads every file of the journal: cooks, probe series, pits, mixes, settings. It
// returns the number of cooks, and the problems sorted by place. It fails with ctx's
// error.
func (f *Folder) Check(ctx context.Context) (cooks int, problems []journal.Problem, err error) {
	all, problems, err := f.listAll(ctx)
	for _, s := range all {
		if ctx.Err() != nil {
			return 0, nil, ctx.Err()
		}
		if s.Series {
			_, more := f.readSeries(s.Path)
			problems = append(problems, more...)
		}
	}
	_, ofPits := f.Pits()
	_, ofMixes := f.Mixes()
	problems = append(append(problems, ofPits...), ofMixes...)
	for _, c := range f.Copies() {
		if p := c.problem(); !slices.ContainsFunc(problems, func(o journal.Problem) bool { return o.File == c.Path }) {
			problems = append(problems, p)
		}
	}
	slices.SortStableFunc(problems, journal.ByPlace)
	return len(all), problems, err
}

// readSeries reads the probe series of a cook. It returns an empty one if there is
// none, and one with a problem if it cannot be read.
func (f *Folder) readSeries(cook string) (journal.Series, []journal.Problem) {
	p := SeriesPath(cook)
	data, err := f.Bytes(p)
	if errors.Is(err, fs.ErrNotExist) {
		return journal.Series{}, nil
	}
	if err != nil {
		return journal.Series{}, []journal.Problem{problem(p, err)}
	}
	s, problems, err := series.Parse(p, data)
	if err != nil {
		return journal.Series{}, append(problems, problem(p, err))
	}
	return s, problems
}

// Pits reads the pits' files and returns the pits by name.
func (f *Folder) Pits() (pits []journal.Pit, problems []journal.Problem) {
	return filesOf(f, pitsDir, cookfile.ParsePit)
}

// Mixes reads the mixes' files and returns the mixes by name.
func (f *Folder) Mixes() (mixes []journal.Mix, problems []journal.Problem) {
	return filesOf(f, mixesDir, func(p string, data []byte) (journal.Mix, []journal.Problem, error) {
		m, problems, err := mixfile.Parse(p, data)
		return m, append(problems, cookfile.Unsettled(p, data)...), err
	})
}

// filesOf parses every file of a folder. A file that cannot be read is a problem and
// does not affect the others.
func filesOf[T any](f *Folder, dir string, parse func(string, []byte) (T, []journal.Problem, error)) (all []T, problems []journal.Problem) {
	entries, err := os.ReadDir(f.full(dir))
	if err != nil {
		return nil, nil
	}
	for _, e := range entries {
		p := path.Join(dir, e.Name())
		if !strings.HasSuffix(p, ".md") || strings.HasPrefix(e.Name(), ".") || f.isCopy(p) {
			continue
		}
		data, err := f.Bytes(p)
		if err == nil {
			var one T
			var more []journal.Problem
			one, more, err = parse(p, data)
			problems = append(problems, more...)
			if err == nil {
				all = append(all, one)
			}
		}
		if err != nil {
			problems = append(problems, problem(p, err))
		}
	}
	return all, problems
}
