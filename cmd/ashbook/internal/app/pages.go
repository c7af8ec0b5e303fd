package app

import (
	"context"
	"fmt"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/report"
	"ashbook/report/attribution"
	"ashbook/report/course"
	"ashbook/report/drivers"
	"ashbook/report/forecast"
	"ashbook/report/frame"
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
	past     []journal.Cook // finished cooks
	learned  *forecast.Experience
	weighed  map[drivers.Target]drivers.Report
	sheet    frame.Sheet // of past
	eaters   *drivers.Eaters
	replayed *hindsight.Report

	Learning, Replaying Progress // of reading the past, some 10 ms a cook, and of replaying it, some 200; may be nil
}

// Pages reads the past. Where private is set, prose, words, suppliers and eaters'
// letters are left out of every page.
func (a *App) Pages(ctx context.Context, now time.Time, private bool) (*Pages, error) {
	past, err := a.Past(ctx)
	if err != nil {
		return nil, err
	}
	p := &Pages{app: a, now: now, settings: a.Settings(), past: past, weighed: map[drivers.Target]drivers.Report{}, eaters: drivers.NewEaters(past)}
	if private {
		p.hide = report.NewHiding()
		for i := range p.past {
			p.past[i] = p.hide.Cook(p.past[i])
		}
	}
	p.learned = a.Experience(p.past, func(done, of int) {
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
func (p *Pages) all() string { return "the notes of " + measure.Count(len(p.past), "finished cook") }

// Cook is the page of one cook.
func (p *Pages) Cook(ctx context.Context, f cookfile.File) (page.Page, error) {
	c, told := p.shown(&f.Cook), report.Told{Eaters: p.eaters}
	var err error
	if told.Expected, told.Said, err = p.said(ctx, c); err != nil {
		return page.Page{}, err
	}
	if _, done := c.Took(); done {
		if told.Account, err = p.app.Account(ctx, c, p.past, attribution.Options{Sheet: &p.sheet}); err != nil {
			return page.Page{}, err
		}
		if told.Over, err = p.over(ctx, c); err != nil {
			return page.Page{}, err
		}
	}
	problems := f.Problems
	if p.hide != nil {
		problems = nil
	}
	return p.signed(report.CookPage(c, p.past, p.settings, p.now, problems, told), "the notes of "+c.ID), nil
}

// Why is the page of why a cook was early or late.
func (p *Pages) Why(ctx context.Context, c *journal.Cook, opt attribution.Options) (page.Page, error) {
	c = p.shown(c)
	if opt.Against != nil {
		opt.Against = p.shown(opt.Against)
	}
	opt.Sheet = &p.sheet
	e, err := p.app.Explain(ctx, c, p.past, opt)
	if err != nil {
		return page.Page{}, err
	}
	return p.signed(report.Why(e.Comparison, e.Account, e.Over, p.settings), "the notes of "+c.ID+" and of "+measure.Count(len(p.past), "finished cook")), nil
}

// Beside is the page of cooks against each other.
func (p *Pages) Beside(ctx context.Context, cooks []*journal.Cook) (page.Page, error) {
	shown := make([]*journal.Cook, len(cooks))
	for i, c := range cooks {
		shown[i] = p.shown(c)
	}
	accounts, err := p.app.FromFirst(ctx, shown, p.past)
	if err != nil {
		return page.Page{}, err
	}
	return p.signed(report.Beside(shown, accounts, p.settings), "the notes of "+measure.Count(len(cooks), "cook")), nil
}

// Matters is the page of what moves a target.
func (p *Pages) Matters(ctx context.Context, target drivers.Target) (page.Page, error) {
	r, err := p.weigh(ctx, target)
	if err != nil {
		return page.Page{}, err
	}
	return p.signed(report.Matters(r, p.settings), p.all()), nil
}

// Pits is the page of all pits, each with its figures.
func (p *Pages) Pits() page.Page {
	books := pitbook.All(p.past, p.app.Pits())
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
	over, err := p.weigh(ctx, drivers.Time)
	if err == nil && p.replayed == nil {
		var r hindsight.Report
		r, err = hindsight.Replay(ctx, p.learned, hindsight.Options{Progress: p.Replaying})
		p.replayed = &r
	}
	if err != nil {
		return page.Page{}, err
	}
	return p.signed(report.Year(year, p.past, over, *p.replayed, p.settings), p.all()), nil
}

func (p *Pages) weigh(ctx context.Context, target drivers.Target) (drivers.Report, error) {
	if r, ok := p.weighed[target]; ok {
		return r, nil
	}
	r, err := p.app.Matters(ctx, p.past, target)
	if err == nil {
		p.weighed[target] = r
	}
	return r, err
}

// over is what all cooks say of time, where the notes of a cook hold a guess.
func (p *Pages) over(ctx context.Context, c *journal.Cook) (drivers.Report, error) {
	if len(report.Guesses(c)) == 0 {
		return drivers.Report{}, nil
	}
	return p.weigh(ctx, drivers.Time)
}

// saidEvery is how far apart the forecasts on a page are.
const saidEvery = 2 * time.Hour

// said are the forecasts of a cook while it ran, with what was known then: when it
// went on, and at every second hour of the clock until it was off.
func (p *Pages) said(ctx context.Context, c *journal.Cook) (band []course.Expected, said []course.Said, err error) {
	on, ok := c.OnAt()
	if !ok {
		return nil, nil, nil
	}
	end, done := c.Finish()
	if !done {
		end, _ = c.LastEntry()
	}
	know, err := Before(ctx, p.learned, c)
	if err != nil {
		return nil, nil, err
	}
	at := func(t time.Time) forecast.Forecast {
		f := know.At(c, t)
		if !f.Done && !f.OpenEnd {
			off := OffFrom(f, t)
			said = append(said, course.Said{At: t, Early: off.Early, Likely: off.Likely, Late: off.Late})
		}
		return f
	}
	for _, b := range at(on).Band {
		band = append(band, course.Expected{Time: on.Add(time.Duration(b.Hours * float64(time.Hour))), Low: b.Lo, High: b.Hi})
	}
	next := on.Add(time.Hour).Truncate(time.Minute)
	for next.Minute() != 0 || next.Hour()%2 == 0 {
		next = next.Add(time.Minute)
	}
	for ; next.Before(end) && ctx.Err() == nil; next = next.Add(saidEvery) {
		at(next)
	}
	return band, said, ctx.Err()
}
