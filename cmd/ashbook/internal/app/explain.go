package app

import (
	"context"
	"fmt"

	"ashbook/journal"
	"ashbook/report"
	"ashbook/report/attribution"
	"ashbook/report/baseline"
	"ashbook/report/drivers"
	"ashbook/report/forecast"
	"ashbook/report/forecast/model"
	"ashbook/report/hindsight"
	"ashbook/report/provision/buffer"
)

// Progress is called as long work goes on, from one goroutine at a time; it may
// be nil.
type Progress func(done, of int)

// Matters weighs what the finished cooks hold against a target. Nothing is
// replayed for it: the physics alone says what a cook should have taken.
func (a *App) Matters(ctx context.Context, past []journal.Cook, target drivers.Target) (drivers.Report, error) {
	s, pits := a.Settings(), a.Pits()
	return drivers.Weigh(ctx, past, target, drivers.Options{
		Engine: drivers.Engine(forecast.Untaught(pits, s)), Units: s.Units, Context: model.Context{Pits: pits, Settings: s},
	})
}

// Account tells in minutes why a cook was early or late. The error is that of
// ctx; what else cannot be worked out is said in the account.
func (a *App) Account(ctx context.Context, c *journal.Cook, past []journal.Cook, opt attribution.Options) (attribution.Account, error) {
	acc, err := attribution.Explain(ctx, c, past, model.Context{Pits: a.Pits(), Settings: a.Settings()}, opt)
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
func (a *App) FromFirst(ctx context.Context, cooks []*journal.Cook, past []journal.Cook) ([]attribution.Account, error) {
	if _, ok := cooks[0].Took(); !ok {
		return nil, nil
	}
	var out []attribution.Account
	for _, c := range cooks[1:] {
		acc, err := a.Account(ctx, c, past, attribution.Options{Against: cooks[0]})
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
func (a *App) Explain(ctx context.Context, c *journal.Cook, past []journal.Cook, opt attribution.Options) (Explained, error) {
	out := Explained{Comparison: baseline.Compare(c, past)}
	if opt.Against != nil {
		out.Comparison = baseline.Against(c, opt.Against)
	}
	var err error
	if out.Account, err = a.Account(ctx, c, past, opt); err == nil && len(report.Guesses(c)) > 0 {
		out.Over, err = a.Matters(ctx, past, drivers.Time)
	}
	return out, err
}

// Hindsight replays the finished cooks.
func (a *App) Hindsight(ctx context.Context, opt hindsight.Options, learning Progress) (hindsight.Report, error) {
	x, err := a.Learn(ctx, learning)
	if err != nil {
		return hindsight.Report{}, err
	}
	return hindsight.Replay(ctx, x, opt)
}

// ReplayPlans tells how often plans would have been in time.
func (a *App) ReplayPlans(ctx context.Context, leaveOneOut bool, learning, replaying Progress) (buffer.Replayed, error) {
	x, err := a.Learn(ctx, learning)
	if err != nil {
		return buffer.Replayed{}, err
	}
	return buffer.Replay(ctx, x, leaveOneOut, replaying)
}
