package app

import (
	"context"
	"fmt"
	"slices"
	"time"

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

// Pages makes the pages that leave the program. What all of them need is read and
// worked out once. Its methods are not for several goroutines.
type Pages struct {
	app      *App
	now      time.Time
	settings journal.Settings
	hide     *report.Hiding // nil: everything is shown
	known    *Known         // of finished cooks
	learned  *forecast.Experience
	replayed *hindsight.Report

	NoPhotos bool // photographs are left out, as they are of private pages

	// Progress of reading the past, some 10 ms a cook, of replaying it, some 200, and of
	// photographs, some 700 each. May be nil.
	Learning, Replaying, Shrinking Progress
}

// Pages reads the past. Where private is set, prose, words, suppliers and eaters'
// letters are left out of every page.
func (a *App) Pages(ctx context.Context, now time.Time, private bool) (*Pages, error) {
	past, err := a.Past(ctx)
	if err != nil {
		return nil, err
	}
	p := &Pages{app: a, now: now, settings: a.Settings(), known: a.Know(past)}
	if private {
		p.hide = report.NewHiding()
		for i := range past {
			past[i] = p.hide.Cook(past[i])
		}
	}
	p.learned = a.Experience(past, func(done, of int) {
		if p.Learning != nil {
			p.Learning(done, of)
		}
	})
	return p, nil
}

// shown is a cook as it may be shown.
func (p *Pages) shown(c *journal.Cook) *journal.Cook {
	if p.hide == nil {
		return c
	}
	hidden := p.hide.Cook(*c)
	return &hidden
}

// signed puts under a page what it was made from, and when.
func (p *Pages) signed(out page.Page, from string) page.Page {
	out.Source = fmt.Sprintf("From %s, read %s. A forecast is a range, and cautions are no verdict: your local food code decides.", from, p.now.Format("2 January 2006"))
	return out
}

// all says how many cooks a page is made from.
func (p *Pages) all() string {
	return "the notes of " + measure.Count(len(p.known.Cooks), "finished cook")
}

// Cook is the page of one cook.
func (p *Pages) Cook(ctx context.Context, f cookfile.File) (page.Page, error) {
	c := p.shown(&f.Cook)
	said, err := p.said(ctx, c)
	if err != nil {
		return page.Page{}, err
	}
	told := report.Told{Expected: said.Band, Said: said.Said, Eaters: p.known.eaters, Sheet: &p.known.sheet}
	if _, done := c.Took(); done {
		if told.Account, err = p.known.Account(ctx, c, attribution.Options{}); err != nil {
			return page.Page{}, err
		}
		if told.Over, err = p.known.over(ctx, c); err != nil {
			return page.Page{}, err
		}
	}
	if !p.NoPhotos && p.hide == nil {
		if told.Photos, told.Lacking, err = p.app.photos(ctx, c, p.Shrinking); err != nil {
			return page.Page{}, err
		}
	}
	problems := f.Problems
	if p.hide != nil {
		problems = nil
	}
	return p.signed(report.CookPage(c, p.known.Cooks, p.settings, p.now, problems, told), "the notes of "+c.ID), nil
}

// Why is the page of why a cook was early or late.
func (p *Pages) Why(ctx context.Context, c *journal.Cook, opt attribution.Options) (page.Page, error) {
	c = p.shown(c)
	if opt.Against != nil {
		opt.Against = p.shown(opt.Against)
	}
	e, err := p.known.Explain(ctx, c, opt)
	if err != nil {
		return page.Page{}, err
	}
	return p.signed(report.Why(e.Comparison, e.Account, e.Over, p.settings), "the notes of "+c.ID+" and of "+measure.Count(len(p.known.Cooks), "finished cook")), nil
}

// Beside is the page of cooks against each other.
func (p *Pages) Beside(ctx context.Context, cooks []*journal.Cook) (page.Page, error) {
	shown := make([]*journal.Cook, len(cooks))
	for i, c := range cooks {
		shown[i] = p.shown(c)
	}
	accounts, err := p.known.FromFirst(ctx, shown)
	if err != nil {
		return page.Page{}, err
	}
	return p.signed(report.Beside(shown, accounts, p.settings), "the notes of "+measure.Count(len(cooks), "cook")), nil
}

// Matters is the page of what moves a target.
func (p *Pages) Matters(ctx context.Context, target drivers.Target) (page.Page, error) {
	r, err := p.known.Matters(ctx, target)
	if err != nil {
		return page.Page{}, err
	}
	return p.signed(report.Matters(r, p.settings), p.all()), nil
}

// Pits is the page of all pits, each with its figures.
func (p *Pages) Pits() page.Page {
	books := pitbook.All(p.known.Cooks, p.app.Pits())
	out := pitbook.Table(books, p.settings)
	if len(books) > 1 {
		for i := range books {
			one := books[i].Page(p.settings)
			for k, s := range one.Sections {
				if k == 0 || s.Heading == "" {
					s.Heading = books[i].Name
				} else {
					s.Heading = books[i].Name + ": " + s.Heading
				}
				out.Add(s)
			}
		}
	}
	return p.signed(out, p.all())
}

// Year is the page of a year.
func (p *Pages) Year(ctx context.Context, year int) (page.Page, error) {
	over, err := p.known.Matters(ctx, drivers.Time)
	if err == nil && p.replayed == nil {
		var r hindsight.Report
		r, err = hindsight.Replay(ctx, p.learned, hindsight.Options{Progress: p.Replaying})
		p.replayed = &r
	}
	if err != nil {
		return page.Page{}, err
	}
	return p.signed(report.Year(year, p.known.Cooks, over, *p.replayed, p.settings), p.all()), nil
}

// saidEvery is how far apart the forecasts on a page are.
const saidEvery = 2 * time.Hour

// told is what was forecast of a cook while it ran.
type told struct {
	Band []course.Expected
	Said []course.Said
}

// said are the forecasts of a cook while it ran, with what was known then: when it
// went on, and at every second hour of the clock until it was off. Those of a
// finished cook are kept.
func (p *Pages) said(ctx context.Context, c *journal.Cook) (told, error) {
	work := func() (told, error) { return p.forecasts(ctx, c) }
	cooks := p.learned.Cooks()
	if i := slices.IndexFunc(cooks, func(o journal.Cook) bool { return o.ID == c.ID }); i >= 0 {
		return forecast.Kept(p.learned, "forecasts on a page", i, before(c), work)
	}
	return work()
}

func (p *Pages) forecasts(ctx context.Context, c *journal.Cook) (out told, err error) {
	on, ok := c.OnAt()
	if !ok {
		return out, nil
	}
	end, done := c.Finish()
	if !done {
		end, _ = c.LastEntry()
	}
	know, err := Before(ctx, p.learned, c)
	if err != nil {
		return out, err
	}
	at := func(t time.Time) forecast.Forecast {
		f := know.At(c, t)
		if !f.Done && !f.OpenEnd {
			off := OffFrom(f, t)
			out.Said = append(out.Said, course.Said{At: t, Early: off.Early, Likely: off.Likely, Late: off.Late})
		}
		return f
	}
	for _, b := range at(on).Band {
		out.Band = append(out.Band, course.Expected{Time: on.Add(time.Duration(b.Hours * float64(time.Hour))), Low: b.Lo, High: b.Hi})
	}
	next := on.Add(time.Hour).Truncate(time.Minute)
	for next.Minute() != 0 || next.Hour()%2 == 0 {
		next = next.Add(time.Minute)
	}
	for ; next.Before(end) && ctx.Err() == nil; next = next.Add(saidEvery) {
		at(next)
	}
	return out, ctx.Err()
}
