package tuitest

import (
	"fmt"
	"slices"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report"
	"ashbook/report/attribution"
	"ashbook/report/baseline"
	"ashbook/report/drivers"
	"ashbook/report/forecast"
	"ashbook/report/frame"
	"ashbook/report/hindsight"
	"ashbook/report/hold"
	"ashbook/report/mix"
	"ashbook/report/numeric/score"
	"ashbook/report/pitbook"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
)

// Choose changes the units or the usual pit.
func (p *Port) Choose(_ backend.Wanted, v backend.Value, value string) (err error) {
	if v.Name == "pit" {
		p.Settings.Pit = value
		return nil
	}
	units, err := measure.ParseSystem(value)
	if err == nil {
		p.Settings.Units = units
	}
	return err
}

// Page makes the pages as the program does, with invented results of long computations.
func (p *Port) Page(w backend.Wanted) (backend.Opened, error) {
	var cooks []*journal.Cook
	for _, id := range w.Of {
		c, err := p.find(id)
		if err != nil {
			return backend.Opened{}, err
		}
		cooks = append(cooks, c)
	}
	turned := func(turns ...string) backend.Opened {
		return backend.Opened{Turn: turns[max(0, slices.Index(turns, w.Turn))], Turns: turns}
	}
	var o backend.Opened
	switch w.Kind {
	case intent.Cook:
		o.Others = cooks[0].Others
		o.Page = report.Cook(cooks[0], frame.Cooks(p.all()), p.Settings, p.Clock, nil)
	case intent.Beside:
		o.Page = report.Beside(cooks, nil, p.Settings)
	case intent.Why:
		turns := []string{"your usual", "its plan"}
		for _, c := range cooks[1:] {
			turns = append(turns, c.Name())
		}
		o = turned(turns...)
		o.Page = report.Why(baseline.Compare(cooks[0], frame.Cooks(p.all())), minutes(cooks[0], o.Turn), drivers.Report{}, p.Settings)
	case intent.Matters:
		o = turned(drivers.Targets()...)
		target, err := drivers.ParseTarget(o.Turn)
		if err != nil {
			return o, err
		}
		o.Page = report.Matters(moves(target), p.Settings)
	case intent.Pits:
		books := pitbook.All(pitbook.ReadAll(p.all(), nil), nil)
		turns := []string{"all pits"}
		for _, b := range books {
			turns = append(turns, b.Name)
		}
		o = turned(turns...)
		if o.Page = pitbook.Table(books, p.Settings); o.Turn != turns[0] {
			o.Page = books[slices.Index(turns, o.Turn)-1].Page(p.Settings)
		}
	case intent.Mixes:
		o = turned("all mixes")
		o.Page = mix.List(nil, nil, p.Settings)
	case intent.Settings:
		o.Page = report.Settings(p.Settings, []string{"brick", "drum"}, "journal.md")
		o.Values = []backend.Value{
			{Name: "units", Written: p.Settings.Units.String(), What: "the units of numbers typed without one", Key: []string{"units"}},
			{Name: "pit", Written: p.Settings.Pit, What: "the usual pit", Key: []string{"pit"}},
		}
	case intent.Hold:
		o.Page = hold.Page(cooks[0], p.all(), p.Settings, p.Clock)
	case intent.Hindsight:
		o = turned(forecast.Turns...)
		o.Page = report.Hindsight(replay(forecast.Known(slices.Index(forecast.Turns, o.Turn))))
	default:
		return o, fmt.Errorf("place %d: no page", w.Kind)
	}
	return o, nil
}

func (p *Port) all() []journal.Cook {
	var all []journal.Cook
	for _, c := range p.Cooks {
		all = append(all, *c)
	}
	return all
}

// minutes is an invented attribution that adds up.
func minutes(c *journal.Cook, against string) attribution.Account {
	return attribution.Account{
		Cook: c, Known: true, Against: against, From: 15 + 10./60, Took: 12.5,
		Lines: []attribution.Line{
			{Cause: "pit in the stall", Says: "pit hotter, nearly all of it in the stall (+9 °C for 5 h)", Minutes: -85, Doubt: 20},
			{Cause: "wrap", Says: "paper at 74 °C, you usually leave it bare", Minutes: -50, Doubt: 35},
			{Cause: "thickness", Says: "thinner pieces, 13 and 11 cm against 14", Minutes: -40, Doubt: 15},
			{Cause: "core when it came off", Says: "off at 94 °C against 93", Minutes: 20, Doubt: 10},
			{Cause: "core when it went on", Says: "meat warmer when it went on, 9 °C against 5", Minutes: -10, Doubt: 5},
		},
		Unexplained: attribution.Line{Cause: "not explained", Says: "not explained", Minutes: 5},
		RestsOn:     "31 pit readings, 9 core readings; no core between 02:10 and 04:20",
		Says:        []string{"It took 12 h 30, 2 h 40 less than your usual pork shoulder, 9 cooks."},
	}
}

// moves is an invented report of what changes a target.
func moves(t drivers.Target) drivers.Report {
	pan := drivers.Candidate{
		Column: frame.Named(frame.WaterPan), Inclusion: .93, Reads: drivers.Likely, Known: 23,
		Lines:   []drivers.Line{{Change: "hot instead of dry", Effect: 34, Lo: 5, Hi: 61, With: 9, Without: 14}},
		Tangles: []drivers.Tangle{{Says: "8 of the 9 pan cooks were on the brick pit: it may be the pit."}},
	}
	for i := range 23 {
		pan.Lines[0].Points = append(pan.Lines[0].Points, drivers.Point{Cook: fmt.Sprintf("2025-%02d-%02d-supper", 1+i/2, 1+i), X: float64(i % 5 / 3), Y: float64((i*37)%90) - 45 + 34*float64(i%5/3)})
	}
	return drivers.Report{
		Target: t, Cooks: 23, Scatter: 41,
		Candidates: []drivers.Candidate{
			pan,
			{Column: frame.Named(frame.LidOpened), Inclusion: .84, Reads: drivers.Likely, Known: 23, Lines: []drivers.Line{{Change: "each lid opening", Effect: 6, Lo: 1, Hi: 11, With: 12, Without: 11}}},
			{Column: frame.Named(frame.Wrap), Inclusion: .6, Reads: drivers.Maybe, Known: 11, Lines: []drivers.Line{{Reads: drivers.Maybe, More: 12, For: 40, Change: "foil instead of paper", Effect: -41, Lo: -80, Hi: -3, With: 4, Without: 7}}},
			{Column: frame.Named(frame.Wood), Inclusion: .12, Reads: drivers.CannotTell, Known: 23, Lines: []drivers.Line{{Reads: drivers.CannotTell, More: 240, For: 12, Change: "cherry instead of oak", Effect: 0, Lo: -12, Hi: 12, With: 8, Without: 15}}},
		},
		Silent: []drivers.Silent{{Name: "rub", Why: "the same in all cooks that noted it"}},
		Says:   []string{"Two in three of your cooks fall within 41 min of what all this together gives."},
		Next:   "Next cook to learn most: a shoulder on the drum with the pan dry.",
	}
}

// replay is an invented result of a replay.
func replay(known forecast.Known) hindsight.Report {
	table := func(share, scale float64) hindsight.Table {
		row := func(m hindsight.Method, mean float64, banded int) hindsight.Row {
			return hindsight.Row{Method: m, OursThere: scale, WorstCook: Past, Summary: score.Summary{
				N: 52, Mean: mean * scale, Median: .7 * mean * scale, Worst: 3 * mean * scale, Bias: (mean - 1.2) * scale,
				Covered: .83, Width: 3.1 * scale, CRPS: .6 * scale, Banded: banded, Relative: .05 * mean,
			}}
		}
		return hindsight.Table{Share: share, Rows: []hindsight.Row{
			row(hindsight.Ours, 1, 52), row(hindsight.EngineOnly, 1.3, 0), row(hindsight.CutAverage, 1.7, 0),
			row(hindsight.HoursPerKg, 2.2, 0), row(hindsight.LookAlikes, 1.2, 0),
		}}
	}
	r := hindsight.Report{Known: known, Cooks: 52, Held: hindsight.Held{Share: .83, Cooks: 52}, During: table(-1, .8), DuringHand: table(-1, .8), DuringDense: table(-1, .7)}
	for _, s := range hindsight.Shares {
		r.Tables = append(r.Tables, table(s, 1.4-s))
	}
	return r
}
