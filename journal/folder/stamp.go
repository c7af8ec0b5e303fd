package folder

import (
	"context"
	"os"

	"ashbook/journal/cookfile"
	"ashbook/journal/packed"
)

// Stamps names what was written of each cook that was listed, in its file and in the
// probe series beside it, so that what was worked out from the same can be known
// again. It is "" where that is not sure: the file is broken or a link, the series has just been
// written, or there is nowhere to keep anything. No file is read. The error is that of
// ctx.
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

// stamp is that of a cook, with the mark of the probe series beside it, unknown where
// there is none.
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

// Seen is shown a cook as it is read, with its probe series, and what its stamp would
// be. It is called from several goroutines.
type Seen func(s Summary, stamp string, read cookfile.File)

// Show has every cook shown that a list has to read from now on, so that it need not be
// read again for something else; nil: none. Links are not shown.
func (f *Folder) Show(seen Seen) {
	if seen == nil {
		f.seen.Store(nil)
		return
	}
	f.seen.Store(&seen)
}

// Still reports whether the stamp of a cook that was listed names what was read of it
// since.
func (f *Folder) Still(s Summary, stamp string, read cookfile.File) bool {
	now, _ := f.stamp(&s)
	return stamp != "" && now == stamp && sumOf(read.Bytes()) == s.Sum
}
