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

// Progress is called while long work goes on, by one goroutine at a time. It may be
// nil.
type Progress func(done, of int)

// Known is what the finished cooks show. Each result is computed once. Several
// goroutines may use it.
type Known struct {
	Cooks []*frame.Cook

	app     *App
	pits    []pitbook.Cook // the values of Cooks that package pitbook needs
	eaters  *drivers.Eaters
	mutex   sync.Mutex // protects the fields below
	weighed map[drivers.Target]*weighing
	whole   []journal.Cook // nil until read
}

// weighing is the report of what changes one target, computed once.
type weighing struct {
	mutex  sync.Mutex // held while the report is computed
	known  bool
	report drivers.Report
}

// Know returns the Known of finished cooks, which must not change afterwards.
func (a *App) Know(past []journal.Cook) *Known {
	return a.know(frame.Cooks(past), pitbook.ReadAll(past, a.Pits()))
}

func (a *App) know(cooks []*frame.Cook, pits []pitbook.Cook) *Known {
	return &Known{Cooks: cooks, app: a, pits: pits, eaters: drivers.NewEaters(cooks), weighed: map[drivers.Target]*weighing{}}
}

// Pits returns what is known about each pit.
func (k *Known) Pits() []pitbook.Book { return pitbook.All(k.pits, k.app.Pits()) }

// PitsNamed returns what is known about the named pit, or about all pits if name is "".
// It fails with NoSuchName.
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

// Judge returns how well a cook was liked, corrected for each rater's severity.
func (k *Known) Judge(c *journal.Cook) drivers.Judgement { return k.eaters.Judge(c) }

// Matters returns what changes a target, such as the time, in the finished cooks. It
// replays no cook: the time that each cook should have taken comes from the physics
// alone. It fails with ctx's error.
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

// Account returns the causes, in minutes, why a cook took longer or shorter than what opt
// compares it with. If they cannot be computed, the Account says why. It fails with ctx's
// error.
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

// FromFirst returns the Account of every cook but the first, compared with the first. It
// returns none if the first is not finished.
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

// Explained is one cook compared with another.
type Explained struct {
	Comparison baseline.Comparison
	Account    attribution.Account
	// what changes time over all cooks; empty unless the notes have a guess to compare
	// with it
	Over drivers.Report
}

// Explain compares a cook with the usual one, its plan, or another cook.
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

// over returns what changes time over all cooks, if the notes of the cook have a guess
// to compare with it.
func (k *Known) over(ctx context.Context, c *journal.Cook) (drivers.Report, error) {
	if len(report.Guesses(c, measure.Metric)) == 0 {
		return drivers.Report{}, nil
	}
	return k.Matters(ctx, drivers.Time)
}

// Tell returns what all cooks show about one cook, for its page.
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

// ReplayPlans replays past meals and returns how often their plans would have been in
// time.
func (a *App) ReplayPlans(ctx context.Context, known forecast.Known, learning, replaying Progress) (buffer.Replayed, error) {
	x, err := a.Learn(ctx, learning)
	if err != nil {
		return buffer.Replayed{}, err
	}
	return buffer.Replay(ctx, x, known, replaying)
}
