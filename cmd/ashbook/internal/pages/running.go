package pages

import (
	"context"
	"slices"
	"sync"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/serve"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/report"
	"ashbook/report/forecast"
	"ashbook/report/page"
)

// Following is one running cook as it is shown to others. It learns from past cooks
// once. It makes the page again each minute, and when the cook's files change. Several
// goroutines may call its methods.
type Following struct {
	app  *app.App
	id   string
	past *forecast.Experience
	hide *report.Hiding // nil if everything is shown

	mu   sync.Mutex // protects the fields below
	mark string     // state of the files and minute from which the page was made
	made page.Page
}

// Follow prepares to show a running cook. If private is set, prose, words and names are
// left out. It fails with ctx's error.
func Follow(ctx context.Context, a *app.App, id string, private bool, learning app.Progress) (*Following, error) {
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

// load reads the cook. over is true if it is finished or left out of reports.
func (f *Following) load(now time.Time) (file cookfile.File, over bool, err error) {
	file, err = f.app.Load(f.id)
	return file, err == nil && (!file.Cook.Running(now) || file.Cook.Aside != ""), err
}

// Over reports whether the cook is finished or left out of reports.
func (f *Following) Over(now time.Time) (bool, error) {
	_, over, err := f.load(now)
	return over, err
}

// Page returns the page of the cook now. It fails with ctx's error, or if the file
// cannot be read.
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
	said, err := f.runningNow(ctx, &c, now)
	if err != nil {
		return page.Page{}, false, err
	}
	f.mark, f.made = mark, report.Phone(&c, said, f.app.Settings(), now)
	return f.made, false, nil
}

// runningNow computes a running cook's page. It fails with ctx's error.
func (f *Following) runningNow(ctx context.Context, c *journal.Cook, now time.Time) (out report.Running, err error) {
	if on, ok := c.OnAt(); ok {
		before, err := app.Before(ctx, f.past, c)
		if err != nil {
			return report.Running{}, err
		}
		out = report.RunningOf(c, before.At(c, now), on, now, f.app.Settings().Units)
	}
	if care, ok := f.app.Care(ctx, c, now); ok {
		out.Care = care.Said() + " (" + care.Source + ")"
	}
	return out, nil
}

// Service returns the functions that show the cook to a browser. If notes is set, a
// browser can also add notes.
func (f *Following) Service(notes bool, clock func() time.Time) serve.Service {
	s := serve.Service{Now: clock, View: func(ctx context.Context) (page.Page, bool, error) { return f.Page(ctx, clock()) }}
	if !notes {
		return s
	}
	s.Read = func(line string) (serve.Heard, error) {
		said, l, err := f.app.HearHelper(f.id, line, clock())
		if err != nil {
			return serve.Heard{}, err
		}
		return serve.Heard{Says: said, Look: slices.Concat(l.Asks, l.Flags), Save: func(through string) error {
			_, err := f.app.SaveHelper(f.id, l, through, clock())
			return err
		}}, nil
	}
	return s
}
