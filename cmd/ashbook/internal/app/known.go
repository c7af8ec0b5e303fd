package app

import (
	"context"
	"slices"

	"ashbook/journal"
	"ashbook/journal/cache"
	"ashbook/journal/folder"
	"ashbook/journal/packed"
	"ashbook/report/drivers"
	"ashbook/report/forecast"
	"ashbook/report/frame"
	"ashbook/report/pitbook"
)

// Known is what the finished cooks say. Only those are read of which nothing is kept;
// then they are let go. A file that cannot be read is left out; check names it. The
// error is that of ctx.
func (a *App) Known(ctx context.Context) (*Known, error) {
	all, _, err := a.journal.List(ctx)
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(s folder.Summary) bool { return s.Broken || s.Finish.IsZero() })
	stamps, err := a.journal.Stamps(ctx, all)
	if err != nil {
		return nil, err
	}
	r := a.reader()
	cooks, pits := make([]*frame.Cook, len(all)), make([]pitbook.Cook, len(all))
	err = forecast.Each(ctx, len(all), nil, func(i int) error {
		cooks[i], pits[i] = r.read(all[i], stamps[i])
		return nil
	})
	if err != nil {
		return nil, err
	}
	r.table.Save()
	unread := 0
	for i, c := range cooks {
		if cooks[i-unread], pits[i-unread] = c, pits[i]; c == nil {
			unread++
		}
	}
	return a.know(cooks[:len(all)-unread], pits[:len(all)-unread]), nil
}

// Whole are the finished cooks with their timelines, read once; without those that
// cannot be read any more. The error is that of ctx.
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

// reader reads cooks as they are compared, each from the table or from its file.
type reader struct {
	journal *folder.Folder
	pits    map[string]journal.Pit
	columns *frame.Kept
	table   *cache.Table
}

func (a *App) reader() reader {
	s, pits := a.Settings(), a.Pits()
	return reader{a.journal, pits,
		frame.Keep(drivers.Columns(forecast.Untaught(pits, s), s.Units)...),
		a.journal.Cache().Table("cooks as they are compared, "+a.journal.Dir(), s, pits, a.journal.Zone()),
	}
}

// read returns a cook without its timeline; nil where it cannot be read.
func (r reader) read(s folder.Summary, stamp string) (*frame.Cook, pitbook.Cook) {
	whole := func() *journal.Cook {
		f, err := r.journal.Load(s.ID)
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
	f, err := r.journal.Load(s.ID)
	if err != nil {
		return nil, pitbook.Cook{}
	}
	c, pit := frame.Of(&f.Cook), pitbook.Read(&f.Cook, r.pits)
	p := packed.Writing(nil)
	r.columns.Pack(p, c, whole)
	if pit.Pack(p); r.journal.Still(s, stamp, f) {
		text := string(p.Bytes())
		r.table.Put(stamp, text)
		if c, pit, ok := r.unpacked(text, whole); ok { // holds on to nothing of the file
			return c, pit
		}
	}
	return c, pit
}

func (r reader) unpacked(text string, whole func() *journal.Cook) (*frame.Cook, pitbook.Cook, bool) {
	var c frame.Cook
	var pit pitbook.Cook
	p := packed.Reading(text)
	r.columns.Pack(p, &c, whole)
	pit.Pack(p)
	return &c, pit, p.Done()
}

// NeedsOthers reports whether the page of a cook shows others beside it: before it is
// off those it is closest to, after that those its eaters scored too.
func NeedsOthers(c *journal.Cook) bool {
	_, done := c.Finish()
	return !done || len(c.Tasting) > 0
}

// Others are the finished cooks for the page of a cook; none where it needs none. The
// error is that of ctx.
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
