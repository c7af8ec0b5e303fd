// Package pages makes the pages that leave the program: for a browser, for paper, for a
// phone at the pit. Package app computes their content and package report their words.
// Only all.go and own.go write files.
package pages

import (
	"context"
	"fmt"
	"sync"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/report"
	"ashbook/report/attribution"
	"ashbook/report/course"
	"ashbook/report/drivers"
	"ashbook/report/forecast"
	"ashbook/report/hindsight"
	"ashbook/report/page"
	"ashbook/report/pitbook"
)

// Maker makes pages. What all pages need is read and computed once. Several goroutines
// may use it.
type Maker struct {
	app      *app.App
	now      time.Time
	settings journal.Settings
	past     []journal.Cook // finished cooks, as they may be shown
	known    *app.Known     // what those cooks show
	learned  *forecast.Experience

	// held while private parts are hidden or a photograph is scaled, which takes much
	// memory
	mutex sync.Mutex
	hide  *report.Hiding // nil if everything is shown

	NoPhotos bool // leave photographs out, as on private pages

	// Progress of reading past cooks (about 10 ms each), of replaying them (200 ms
	// each), and of photographs (700 ms each). Each may be nil.
	Learning, Replaying, Shrinking app.Progress
}

// New reads the past cooks. If private is set, every page leaves out prose, words,
// suppliers and eaters' initials. It fails with ctx's error.
func New(ctx context.Context, a *app.App, now time.Time, private bool) (*Maker, error) {
	past, err := a.Past(ctx)
	if err != nil {
		return nil, err
	}
	m := &Maker{app: a, now: now, settings: a.Settings(), past: past}
	if private {
		m.hide = report.NewHiding()
		for i := range past {
			past[i] = m.hide.Cook(past[i])
		}
	}
	m.known = a.Know(past)
	m.learned = a.Experience(past, func(done, of int) {
		if m.Learning != nil {
			m.Learning(done, of)
		}
	})
	return m, nil
}

// shown returns a cook as it may be shown.
func (m *Maker) shown(c *journal.Cook) *journal.Cook {
	if m.hide == nil {
		return c
	}
	m.mutex.Lock()
	defer m.mutex.Unlock()
	hidden := m.hide.Cook(*c)
	return &hidden
}

// signed adds to a page a line that says from what and when it was made.
func (m *Maker) signed(out page.Page, from string) page.Page {
	out.Source = fmt.Sprintf("From %s, read %s. A forecast is a range. A caution does not say that food is safe: your local food code decides.", from, m.now.Format("2 January 2006"))
	return out
}

// all returns words for the number of cooks from which a page is made.
func (m *Maker) all() string {
	return "the notes of " + measure.Count(len(m.known.Cooks), "finished cook")
}

// Cook returns the page of one cook.
func (m *Maker) Cook(ctx context.Context, f cookfile.File) (page.Page, error) {
	c := m.shown(&f.Cook)
	said, err := m.said(ctx, c)
	if err != nil {
		return page.Page{}, err
	}
	told, err := m.known.Tell(ctx, c)
	if err != nil {
		return page.Page{}, err
	}
	told.Expected, told.Said = said.Band, said.Said
	if !m.NoPhotos && m.hide == nil {
		m.mutex.Lock()
		told.Photos, told.Lacking, err = m.photos(ctx, c)
		m.mutex.Unlock()
		if err != nil {
			return page.Page{}, err
		}
	}
	problems := f.Problems
	if m.hide != nil {
		problems = nil
	}
	return m.signed(report.CookPage(c, m.known.Cooks, m.settings, m.now, problems, told), "the notes of "+c.ID), nil
}

// Why returns the page of why a cook was early or late.
func (m *Maker) Why(ctx context.Context, c *journal.Cook, opt attribution.Options) (page.Page, error) {
	c = m.shown(c)
	if opt.Against != nil {
		opt.Against = m.shown(opt.Against)
	}
	e, err := m.known.Explain(ctx, c, opt)
	if err != nil {
		return page.Page{}, err
	}
	return m.signed(report.Why(e.Comparison, e.Account, e.Over, m.settings), "the notes of "+c.ID+" and of "+measure.Count(len(m.known.Cooks), "finished cook")), nil
}

// Beside returns the page of cooks side by side.
func (m *Maker) Beside(ctx context.Context, cooks []*journal.Cook) (page.Page, error) {
	shown := make([]*journal.Cook, len(cooks))
	for i, c := range cooks {
		shown[i] = m.shown(c)
	}
	accounts, err := m.known.FromFirst(ctx, shown)
	if err != nil {
		return page.Page{}, err
	}
	return m.signed(report.Beside(shown, accounts, m.settings), "the notes of "+measure.Count(len(cooks), "cook")), nil
}

// Matters returns the page of what changes a target.
func (m *Maker) Matters(ctx context.Context, target drivers.Target) (page.Page, error) {
	r, err := m.known.Matters(ctx, target)
	if err != nil {
		return page.Page{}, err
	}
	return m.signed(report.Matters(r, m.settings), m.all()), nil
}

// Pits returns the page of all pits, each with its figures.
func (m *Maker) Pits() page.Page {
	books := m.known.Pits()
	out := pitbook.Table(books, m.settings)
	if len(books) > 1 {
		for i := range books {
			one := books[i].Page(m.settings)
			for k, s := range one.Sections {
				if k == 0 || s.Heading == "" {
					s.Heading, s.Lines = books[i].Name, append(one.Lead, s.Lines...)
				} else {
					s.Heading = books[i].Name + ": " + s.Heading
				}
				out.Add(s)
			}
		}
	}
	return m.signed(out, m.all())
}

// Year returns the page of a year.
func (m *Maker) Year(ctx context.Context, year int) (page.Page, error) {
	over, err := m.known.Matters(ctx, drivers.Time)
	if err != nil {
		return page.Page{}, err
	}
	came, err := hindsight.Record(ctx, m.learned, func(c *journal.Cook) bool { return c.Date().Year() == year }, m.Replaying)
	if err != nil {
		return page.Page{}, err
	}
	return m.signed(report.Year(year, m.past, over, came, m.settings), m.all()), nil
}

// saidEvery is the time between the forecasts shown on a page (chosen).
const saidEvery = 2 * time.Hour

// told has the forecasts of a cook while it ran.
type told struct {
	Band []course.Expected
	Said []course.Said
}

// said returns forecasts of a cook as they were while it ran: at the time it went on,
// and every saidEvery until it was off, each from what was known then. Those of a
// finished cook are cached.
func (m *Maker) said(ctx context.Context, c *journal.Cook) (told, error) {
	work := func() (told, error) { return m.forecasts(ctx, c) }
	if i := m.learned.Index(c.ID); i >= 0 {
		return forecast.Kept(m.learned, "forecasts on a page", i, m.learned.Latest(app.Earlier(c)), work)
	}
	return work()
}

func (m *Maker) forecasts(ctx context.Context, c *journal.Cook) (out told, err error) {
	on, ok := c.OnAt()
	if !ok {
		return out, nil
	}
	end, done := c.Finish()
	if !done {
		end, _ = c.LastEntry()
	}
	know, err := app.Before(ctx, m.learned, c)
	if err != nil {
		return out, err
	}
	say := func(f forecast.Forecast, t time.Time) {
		if !f.Done && !f.OpenEnd {
			off := report.OffFrom(f, t)
			out.Said = append(out.Said, course.Said{At: t, Early: off.Early, Likely: off.Likely, Late: off.Late})
		}
	}
	first := know.At(c, on)
	say(first, on)
	out.Band = report.Expected(first.Band, on)
	next := on.Add(time.Hour).Truncate(time.Minute)
	for next.Minute() != 0 || next.Hour()%2 == 0 {
		next = next.Add(time.Minute)
	}
	for ; next.Before(end) && ctx.Err() == nil; next = next.Add(saidEvery) {
		say(know.Ends(c, next), next)
	}
	return out, ctx.Err()
}
