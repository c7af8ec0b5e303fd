package main

import (
	"errors"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/report"
	"ashbook/report/attribution"
	"ashbook/report/baseline"
	"ashbook/report/drivers"
	"ashbook/report/hindsight"
	"ashbook/report/hold"
	"ashbook/report/pitbook"
	"ashbook/tui/backend"
)

// pageMakers make the pages of the screens, as the commands print them.
var pageMakers = map[backend.Page]func(*outside, backend.Wanted) (backend.Opened, error){
	backend.CookPage:      (*outside).cookPage,
	backend.BesidePage:    (*outside).besidePage,
	backend.WhyPage:       (*outside).whyPage,
	backend.MattersPage:   (*outside).mattersPage,
	backend.HindsightPage: (*outside).hindsightPage,
	backend.PitPage:       (*outside).pitPage,
	backend.HoldPage:      (*outside).holdPage,
}

func (o *outside) Page(w backend.Wanted) (backend.Opened, error) { return pageMakers[w.Kind](o, w) }

// turned finds the turn that is asked for, the first where none is.
func turned(w backend.Wanted, turns ...string) (at int, opened backend.Opened) {
	at = max(0, slices.Index(turns, w.Turn))
	return at, backend.Opened{Turn: turns[at], Turns: turns}
}

// cooksOf reads the cooks a page is of, at least one.
func (o *outside) cooksOf(w backend.Wanted) ([]*journal.Cook, []journal.Problem, error) {
	var out []*journal.Cook
	var problems []journal.Problem
	for _, id := range w.Of {
		f, err := o.load(id)
		if err != nil {
			return nil, nil, err
		}
		out, problems = append(out, &f.Cook), append(problems, f.Problems...)
	}
	if len(out) == 0 {
		return nil, nil, errors.New("no cook is chosen")
	}
	return out, problems, nil
}

// locked reads the journal while nothing else does.
func locked[T any](o *outside, read func() T) T {
	o.files.Lock()
	defer o.files.Unlock()
	return read()
}

// like reads the cooks of the same cut.
func (o *outside) like(c *journal.Cook) []journal.Cook {
	return locked(o, func() []journal.Cook { return o.use.Like(c.Cut) })
}

// pastFor is how long the finished cooks are taken as read: going along the
// shelf must not read the journal again for every page (chosen).
const pastFor = time.Minute

// pastCooks are the finished cooks as they were at most pastFor ago, or when
// scores were last kept here.
func (o *outside) pastCooks() []journal.Cook {
	return locked(o, func() []journal.Cook {
		if now := o.clock(); o.past == nil || now.Sub(o.pastAt) >= pastFor {
			o.past, o.pastAt = o.use.Past(), now
		}
		return o.past
	})
}

func (o *outside) cookPage(w backend.Wanted) (backend.Opened, error) {
	cooks, problems, err := o.cooksOf(w)
	if err != nil {
		return backend.Opened{}, err
	}
	c := cooks[0]
	var others []journal.Cook
	if _, done := c.Finish(); !done || len(c.Tasting) > 0 {
		others = o.pastCooks()
	}
	return backend.Opened{Page: report.Cook(c, others, o.use.Settings(), o.clock(), problems)}, nil
}

// besideClosest is how many of the closest cooks one alone is set beside.
const besideClosest = 2

func (o *outside) besidePage(w backend.Wanted) (backend.Opened, error) {
	cooks, _, err := o.cooksOf(w)
	if err != nil {
		return backend.Opened{}, err
	}
	if len(cooks) == 1 {
		cooks = append(cooks, baseline.Closest(cooks[0], o.like(cooks[0]), besideClosest)...)
	}
	accounts := locked(o, func() []attribution.Account { return fromFirst(o.use, cooks) })
	return backend.Opened{Page: report.Beside(cooks, accounts, o.use.Settings())}, nil
}

func (o *outside) whyPage(w backend.Wanted) (backend.Opened, error) {
	cooks, _, err := o.cooksOf(w)
	if err != nil {
		return backend.Opened{}, err
	}
	turns := []string{"your usual", "its plan"}
	for _, c := range cooks[1:] {
		turns = append(turns, c.Name()+" "+c.Date().Format("2 Jan 2006"))
	}
	if w.Turn == "" && len(cooks) > 1 {
		w.Turn = turns[2]
	}
	at, opened := turned(w, turns...)
	opt := attribution.Options{Plan: at == 1}
	if at > 1 {
		opt.Against = cooks[at-1]
	}
	c, others := cooks[0], o.pastCooks()
	acc := locked(o, func() attribution.Account { return explain(o.use, c, others, opt) })
	over := locked(o, func() drivers.Report { return overAll(o.use, c) })
	opened.Page = report.Why(compared(c, others, opt), acc, over, o.use.Settings())
	return opened, nil
}

func (o *outside) mattersPage(w backend.Wanted) (backend.Opened, error) {
	at, opened := turned(w, drivers.Targets()...)
	target, err := drivers.ParseTarget(opened.Turns[at])
	if err != nil {
		return opened, err
	}
	r := locked(o, func() drivers.Report { return matters(o.use, target) })
	opened.Page = report.Matters(r, o.use.Settings())
	return opened, nil
}

func (o *outside) hindsightPage(w backend.Wanted) (backend.Opened, error) {
	at, opened := turned(w, hindsight.Turns...)
	r, err := o.replayed[at]()
	opened.Page = report.Hindsight(r)
	return opened, err
}

func (o *outside) pitPage(w backend.Wanted) (backend.Opened, error) {
	cooks, settings := o.pastCooks(), o.use.Settings()
	books := pitbook.All(cooks, locked(o, func() map[string]journal.Pit { return o.use.Pits() }))
	turns := []string{"all pits"}
	for _, b := range books {
		turns = append(turns, b.Name)
	}
	at, opened := turned(w, turns...)
	if opened.Page = pitbook.Table(books, settings); at > 0 {
		opened.Page = books[at-1].Page(settings)
	}
	return opened, nil
}

func (o *outside) holdPage(w backend.Wanted) (backend.Opened, error) {
	cooks, _, err := o.cooksOf(w)
	if err != nil {
		return backend.Opened{}, err
	}
	return backend.Opened{Page: hold.Page(cooks[0], o.pastCooks(), o.use.Settings(), o.clock())}, nil
}
