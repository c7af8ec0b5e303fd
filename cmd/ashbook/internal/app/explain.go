package app

import (
	"context"
	"fmt"
	"sync"

	"ashbook/cmd/ashbook/internal/lookup"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report"
	"ashbook/report/attribution"
	"ashbook/report/baseline"
	"ashbook/report/drivers"
	"ashbook/report/forecast"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/report/hindsight"
	"ashbook/report/pitbook"
	"ashbook/report/provision/buffer"
)

// Progress is called as long work goes on, from one goroutine at a time; it may
// be nil.
type Progress func(done, of int)

// Known is what finished cooks say, each thing worked out once. Several goroutines
// may ask it.
type Known struct {
	Cooks []*frame.Cook

	app     *App
	pits    []pitbook.Cook // of Cooks
	eaters  *drivers.Eaters
	mutex   sync.Mutex // guards what follows
	weighed map[drivers.Target]*weighing
	whole   []journal.Cook // nil: not read yet
}

// weighing is what all cooks say of one target.
type weighing struct {
	mutex  sync.Mutex // held while it is worked out
	known  bool
	report drivers.Report
}

// Know takes finished cooks that have been read, which must not change.
func (a *App) Know(past []journal.Cook) *Known {
	return a.know(frame.Cooks(past), pitbook.ReadAll(past, a.Pits()))
}

func (a *App) know(cooks []*frame.Cook, pits []pitbook.Cook) *Known {
	return &Known{Cooks: cooks, app: a, pits: pits, eaters: drivers.NewEaters(cooks), weighed: map[drivers.Target]*weighing{}}
}

// Pits are the books of all pits.
func (k *Known) Pits() []pitbook.Book { return pitbook.All(k.pits, k.app.Pits()) }

// PitsNamed returns the book of the pit that name means; of all pits where it is "". It
// fails with NoSuchName.
func (k *Known) PitsNamed(name string) ([]pitbook.Book, error) {
	books := k.Pits()
	if name == "" {
		return books, nil
	}
	var names []string
	for _, b := range books {
		names = append(names, b.Name)
	}
	i, err := lookup.NameIn("pit", names, name)
	if err != nil {
		return nil, err
	}
	return books[i : i+1], nil
}

// Judge says how good a cook was, freed of how strict its eaters are.
func (k *Known) Judge(c *journal.Cook) drivers.Judgement { return k.eaters.Judge(c) }

// Matters weighs what the finished cooks hold against a target. Nothing is
// replayed for it: the physics alone says what a cook should have taken.
func (k *Known) Matters(ctx context.Context, target drivers.Target) (drivers.Report, error) {
	k.mutex.Lock()
	w := k.weighed[target]
	if w == nil {
		w = new(weighing)
		k.weighed[target] = w
	}
	k.mutex.Unlock()
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if w.known {
		return w.report, nil
	}
	s, pits := k.app.Settings(), k.app.Pits()
	r, err := drivers.Weigh(ctx, k.Cooks, target, drivers.Options{
		Engine: drivers.Engine(forecast.Untaught(pits, s)), Units: s.Units, Context: model.Context{Pits: pits, Settings: s},
	})
	w.report, w.known = r, err == nil
	return r, err
}

// Matters weighs what the finished cooks say about a target. It replays no cook; the time
// that a cook should have taken comes from the physics alone.
func (k *Known) Account(ctx context.Context, c *journal.Cook, opt attribution.Options) (attribution.Account, error) {
	acc, err := attribution.Explain(ctx, c, k.Cooks, model.Context{Pits: k.app.Pits(), Settings: k.app.Settings()}, opt)
	if ctx.Err() != nil {
		return attribution.Account{}, ctx.Err()
	}
	if err != nil {
		acc.Says = append(acc.Says, fmt.Sprintf("The minutes could not be worked out: %v.", err))
	}
	return acc, nil
}

// FromFirst accounts for every cook but the first, each against the first; none
// where the first is not finished.
func (k *Known) FromFirst(ctx context.Context, cooks []*journal.Cook) ([]attribution.Account, error) {
	if _, ok := cooks[0].Took(); !ok {
		return nil, nil
	}
	var out []attribution.Account
	for _, c := range cooks[1:] {
		acc, err := k.Account(ctx, c, attribution.Options{Against: cooks[0]})
		if err != nil {
			return nil, err
		}
		out = append(out, acc)
	}
	return out, nil
}

// Explained is one cook held against what it is compared with.
type Explained struct {
	Comparison baseline.Comparison
	Account    attribution.Account
	Over       drivers.Report // what all cooks say of time; empty where the notes hold no guess to hold against it
}

// Explain holds a cook against the usual one, its plan, or another cook.
func (k *Known) Explain(ctx context.Context, c *journal.Cook, opt attribution.Options) (Explained, error) {
	out := Explained{Comparison: baseline.Compare(c, k.Cooks)}
	if opt.Against != nil {
		out.Comparison = baseline.Against(c, opt.Against)
	}
	var err error
	if out.Account, err = k.Account(ctx, c, opt); err == nil {
		out.Over, err = k.over(ctx, c)
	}
	return out, err
}

// over is what all cooks say of time, where the notes of a cook hold a guess.
func (k *Known) over(ctx context.Context, c *journal.Cook) (drivers.Report, error) {
	if len(report.Guesses(c, measure.Metric)) == 0 {
		return drivers.Report{}, nil
	}
	return k.Matters(ctx, drivers.Time)
}

// Tell is what all cooks say of one, for its page.
func (k *Known) Tell(ctx context.Context, c *journal.Cook) (told report.Told, err error) {
	told = report.Told{Eaters: k.eaters}
	if _, done := c.Took(); !done {
		return told, nil
	}
	if told.Account, err = k.Account(ctx, c, attribution.Options{}); err == nil {
		told.Over, err = k.over(ctx, c)
	}
	return told, err
}

// Hindsight replays the finished cooks.
func (a *App) Hindsight(ctx context.Context, opt hindsight.Options, learning Progress) (hindsight.Report, error) {
	x, err := a.Learn(ctx, learning)
	if err != nil {
		return hindsight.Report{}, err
	}
	return hindsight.Replay(ctx, x, opt)
}

// ReplayPlans says how often plans would have been in time.
func (a *App) ReplayPlans(ctx context.Context, known forecast.Known, learning, replaying Progress) (buffer.Replayed, error) {
	x, err := a.Learn(ctx, learning)
	if err != nil {
		return buffer.Replayed{}, err
	}
	return buffer.Replay(ctx, x, known, replaying)
}
