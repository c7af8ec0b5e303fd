package folder

import (
	"context"
	"os"

	"ashbook/journal/cookfile"
	"ashbook/journal/packed"
)

// Stamps returns, for each listed cook, a text that identifies the content of its file
// and of its probe series, so that results computed from them can be found again. It is
// "" if the content is not certain: the file is broken or a link, the series was just
// written, or nothing is cached. It reads no file. It fails with ctx's error.
func (f *Folder) Stamps(ctx context.Context, all []Summary) ([]string, error) {
	out := make([]string, len(all))
	now := f.beginIndex()
	if now.name == "" {
		return out, ctx.Err()
	}
	os.Remove(now.name)
	each(ctx, len(all), share, func(i int) {
		if stamp, series := f.stamp(&all[i]); series == unknown || !now.racy(series) {
			out[i] = stamp
		}
	})
	return out, ctx.Err()
}

// stamp returns the stamp of a cook, and the mark of its probe series, unknown for
// none.
func (f *Folder) stamp(s *Summary) (string, mark) {
	if s.Sum == "" || !s.Series {
		return s.Sum, unknown
	}
	m, err := markOf(f.full(SeriesPath(s.Path)))
	if err != nil {
		return "", unknown
	}
	c := codec{packed.Writing([]byte(s.Sum))}
	c.mark(&m)
	return string(c.Bytes()), m
}

// Seen is called for each cook as it is read, with its probe series and the stamp it
// will have. Several goroutines may call it.
type Seen func(s Summary, stamp string, read cookfile.File)

// Show sets a function that List calls with each cook it reads from now on, so that
// nobody need read the cook again; nil for none. It is not called for links.
func (f *Folder) Show(seen Seen) {
	if seen == nil {
		f.seen.Store(nil)
		return
	}
	f.seen.Store(&seen)
}

// Still reports whether the stamp of a listed cook is that of the content in read.
func (f *Folder) Still(s Summary, stamp string, read cookfile.File) bool {
	now, _ := f.stamp(&s)
	return stamp != "" && now == stamp && sumOf(read.Bytes()) == s.Sum
}
