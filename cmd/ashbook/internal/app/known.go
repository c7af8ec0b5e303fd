package app

import (
	"context"
	"slices"
	"sync"

	"ashbook/journal"
	"ashbook/journal/cache"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/journal/packed"
	"ashbook/report/drivers"
	"ashbook/report/forecast"
	"ashbook/report/frame"
	"ashbook/report/pitbook"
)

// Known returns what the finished cooks show. It reads only the cooks that are not
// cached. It skips files that cannot be read, which check reports. It fails with ctx's
// error.
func (a *App) Known(ctx context.Context) (*Known, error) {
	a.mu.Lock()
	r := a.reading
	a.reading = nil
	a.mu.Unlock()
	if r == nil {
		r = a.reader()
		a.journal.Show(r.seen)
	}
	all, _, err := a.journal.List(ctx)
	a.journal.Show(nil)
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, unfinished)
	stamps, err := a.journal.Stamps(ctx, all)
	if err != nil {
		return nil, err
	}
	r.keep(all, stamps)
	cooks, pits := make([]*frame.Cook, len(all)), make([]pitbook.Cook, len(all))
	err = forecast.Each(ctx, len(all), nil, func(i int) error {
		cooks[i], pits[i] = r.cook(all[i], stamps[i])
		return nil
	})
	if err != nil {
		return nil, err
	}
	if r.from == a.comparesBy() { // otherwise some were read with other settings
		r.table.Save()
	}
	unread := 0
	for i, c := range cooks {
		if cooks[i-unread], pits[i-unread] = c, pits[i]; c == nil {
			unread++
		}
	}
	return a.know(cooks[:len(all)-unread], pits[:len(all)-unread]), nil
}

// ExpectKnown says that Known will be called. If cooks must be read before that, to
// find the one the user means, they are then read for Known too.
func (a *App) ExpectKnown() {
	r := a.reader()
	a.journal.Show(r.seen)
	a.mu.Lock()
	defer a.mu.Unlock()
	a.reading = r
}

// Whole returns the finished cooks with their timelines. It reads them once and skips
// those that cannot be read any more. It fails with ctx's error.
func (k *Known) Whole(ctx context.Context) ([]journal.Cook, error) {
	k.mutex.Lock()
	whole := k.whole
	k.mutex.Unlock()
	if whole != nil {
		return whole, nil
	}
	whole = make([]journal.Cook, len(k.Cooks))
	err := forecast.Each(ctx, len(whole), nil, func(i int) error {
		if c := k.Cooks[i].Whole(); c != nil {
			whole[i] = *c
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	whole = slices.DeleteFunc(whole, func(c journal.Cook) bool { return c.ID == "" })
	k.mutex.Lock()
	defer k.mutex.Unlock()
	k.whole = whole
	return whole, nil
}

// reader reads the compared values of cooks, from the table of cached ones or from the
// file.
type reader struct {
	journal *folder.Folder
	from    string // value of comparesBy at the start
	pits    map[string]journal.Pit
	columns *frame.Kept
	table   *cache.Table

	mutex sync.Mutex            // protects the fields below
	read  map[string]packedCook // read while the journal was listed, by path
}

// packedCook is the compared values of a cook, under the stamp it had before it was
// read.
type packedCook struct{ stamp, text string }

func (a *App) reader() *reader {
	from, s, pits := a.comparesBy(), a.Settings(), a.Pits()
	return &reader{
		journal: a.journal, from: from, pits: pits,
		columns: frame.Keep(drivers.Columns(forecast.Untaught(pits, s), s.Units)...),
		table:   a.journal.Cache().Table("cooks as they are compared, "+a.journal.Dir(), from),
		read:    map[string]packedCook{},
	}
}

// comparesBy returns a text that identifies everything, apart from the files of the
// cooks, that their compared values depend on.
func (a *App) comparesBy() string {
	return cache.Sum(a.Settings(), a.Pits(), a.journal.Zone())
}

// unfinished reports whether the cook is not finished, so that nothing is compared with
// it.
func unfinished(s folder.Summary) bool { return s.Broken || s.Aside || s.Finish.IsZero() }

// seen stores the compared values of a cook that is being read for the list, so that it
// is not read twice.
func (r *reader) seen(s folder.Summary, stamp string, f cookfile.File) {
	if r.table == nil || unfinished(s) {
		return
	}
	_, _, text := r.pack(&f.Cook, nil)
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.read[s.Path] = packedCook{stamp, text}
}

// keep stores what was read while the journal was listed, except cooks that have changed
// since. Another listing may be running at the same time.
func (r *reader) keep(all []folder.Summary, stamps []string) {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	for i, s := range all {
		if p, ok := r.read[s.Path]; ok && p.stamp == stamps[i] {
			r.table.Put(stamps[i], p.text)
		}
	}
}

// pack returns the compared values of a cook, also packed into bytes.
func (r *reader) pack(c *journal.Cook, whole func() *journal.Cook) (*frame.Cook, pitbook.Cook, string) {
	out, pit := frame.Of(c), pitbook.Read(c, r.pits)
	p := packed.Writing(nil)
	r.columns.Pack(p, out, whole)
	pit.Pack(p)
	return out, pit, string(p.Bytes())
}

// cook returns the compared values of a cook; nil if it cannot be read.
func (r *reader) cook(s folder.Summary, stamp string) (*frame.Cook, pitbook.Cook) {
	whole := func() *journal.Cook {
		f, err := r.journal.LoadListed(s)
		if err != nil {
			return nil
		}
		return &f.Cook
	}
	if text, ok := r.table.Get(stamp); ok {
		if c, pit, ok := r.unpacked(text, whole); ok {
			return c, pit
		}
	}
	f, err := r.journal.LoadListed(s)
	if err != nil {
		return nil, pitbook.Cook{}
	}
	c, pit, text := r.pack(&f.Cook, whole)
	if r.journal.Still(s, stamp, f) {
		r.table.Put(stamp, text)
		if c, pit, ok := r.unpacked(text, whole); ok { // keeps nothing of the file in memory
			return c, pit
		}
	}
	return c, pit
}

func (r *reader) unpacked(text string, whole func() *journal.Cook) (*frame.Cook, pitbook.Cook, bool) {
	var c frame.Cook
	var pit pitbook.Cook
	p := packed.Reading(text)
	r.columns.Pack(p, &c, whole)
	pit.Pack(p)
	return &c, pit, p.Done()
}

// NeedsOthers reports whether the page of a cook compares it with others: before it is
// off with the most similar ones, afterwards also with those that its eaters scored.
func NeedsOthers(c *journal.Cook) bool {
	_, done := c.Finish()
	return !done || len(c.Tasting) > 0
}

// Others returns the finished cooks that the page of a cook needs, or none. It fails
// with ctx's error.
func (a *App) Others(ctx context.Context, c *journal.Cook) ([]*frame.Cook, error) {
	if !NeedsOthers(c) {
		return nil, nil
	}
	known, err := a.Known(ctx)
	if err != nil {
		return nil, err
	}
	return known.Cooks, nil
}
