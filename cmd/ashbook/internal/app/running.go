package app

import (
	"context"
	"slices"
	"sync"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/journal/shorthand"
	"ashbook/report"
	"ashbook/report/course"
	"ashbook/report/forecast"
	"ashbook/report/page"
)

// Following is one running cook as others see it. What past cooks teach is learned
// once; the page is made anew when the cook's files change, and each minute. Its
// methods may be called from several goroutines.
type Following struct {
	app  *App
	id   string
	past *forecast.Experience
	hide *report.Hiding // nil: everything is shown

	mu   sync.Mutex // guards what follows
	mark string     // state of the files, and the minute, of made
	made page.Page
}

// Follow follows a cook. Where private is set, prose, words and names are left out. The
// error is that of ctx.
func (a *App) Follow(ctx context.Context, id string, private bool, learning Progress) (*Following, error) {
	past, err := a.Learn(ctx, learning)
	if err != nil {
		return nil, err
	}
	f := &Following{app: a, id: id, past: past}
	if private {
		f.hide = report.NewHiding()
	}
	return f, nil
}

// load reads the cook; over: it was finished or put aside.
func (f *Following) load(now time.Time) (file cookfile.File, over bool, err error) {
	file, err = f.app.Load(f.id)
	return file, err == nil && (!file.Cook.Running(now) || file.Cook.Aside != ""), err
}

// Over reports whether the cook was finished or put aside.
func (f *Following) Over(now time.Time) (bool, error) {
	_, over, err := f.load(now)
	return over, err
}

// Page is the cook now. The errors are those of ctx and of reading the file.
func (f *Following) Page(ctx context.Context, now time.Time) (p page.Page, over bool, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	mark, err := f.app.Folder().Mark(f.id)
	if err != nil {
		return page.Page{}, false, err
	}
	if mark += now.Format(measure.FullClock); mark == f.mark {
		return f.made, false, nil
	}
	file, over, err := f.load(now)
	if over || err != nil {
		return page.Page{}, over, err
	}
	c := file.Cook
	if f.hide != nil {
		c = f.hide.Cook(c)
	}
	said, err := f.app.runningNow(ctx, &c, f.past, now)
	if err != nil {
		return page.Page{}, false, err
	}
	f.mark, f.made = mark, report.Phone(&c, said, f.app.Settings(), now)
	return f.made, false, nil
}

// runningNow is what the sums say of a running cook. The error is that of ctx.
func (a *App) runningNow(ctx context.Context, c *journal.Cook, past *forecast.Experience, now time.Time) (out report.Running, err error) {
	if care, ok := a.Care(c, now); ok {
		out.Care = care.Said() + " (" + care.Source + ")"
	}
	on, ok := c.OnAt()
	if !ok {
		return out, nil
	}
	before, err := Before(ctx, past, c)
	if err != nil {
		return report.Running{}, err
	}
	f := before.At(c, now)
	if f.Done {
		return out, nil
	}
	off := OffFrom(f, now)
	for _, b := range f.Band {
		out.Expected = append(out.Expected, course.Expected{Time: on.Add(time.Duration(b.Hours * float64(time.Hour))), Low: b.Lo, High: b.Hi})
	}
	out.Ready, out.Likely = off.Early.Format(measure.Clock)+" – "+off.Late.Format(measure.Clock), "likely "+off.Likely.Format(measure.Clock)
	if off.OpenEnd {
		out.Ready, out.Likely = "from "+off.Early.Format(measure.Clock), "may not get there"
	}
	out.From = BasedOn(f, c.Cut)
	out.Meal, _ = off.Meal(c.Serve, len(c.Pieces))
	return out, nil
}

// Hear reads an entry line and saves nothing. Lines that change what was saved before
// are refused: whoever writes here did not write that. says is what was understood. It
// fails with BadLine.
func (f *Following) Hear(line string, now time.Time) (says string, l shorthand.Line, err error) {
	l, _, err = f.app.hear(f.id, line, now)
	switch {
	case err != nil:
	case l.Undo || l.Redo:
		err = mistake(BadLine, line, "undo and redo: only where the cook is kept")
	case slices.ContainsFunc(l.Entries(), func(e journal.Entry) bool { _, by := e.Item(journal.By); return by }):
		err = mistake(BadLine, line, "by: your name goes with the note already")
	}
	return l.Understood(f.app.Settings().Units), l, err
}

// Save saves a line as it was heard, as noted by somebody.
func (f *Following) Save(l shorthand.Line, through string, now time.Time) (Noted, error) {
	who := initials(through)
	if who == "" {
		return Noted{}, invalid("%q is no name; expected one letter or more", through)
	}
	by := journal.Item{Act: journal.By, Detail: who}
	l.Entry.Items = append(slices.Clone(l.Entry.Items), by)
	l.Also = slices.Clone(l.Also)
	for i := range l.Also {
		l.Also[i].Items = append(slices.Clone(l.Also[i].Items), by)
	}
	return f.app.save(f.id, l, now)
}
