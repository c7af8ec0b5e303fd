package main

import (
	"strings"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/report/mix"
	"ashbook/report/page/text"
	"ashbook/report/provision"
	"ashbook/report/provision/buffer"
	"ashbook/report/provision/runsheet"
)

// planRecord is a plan worked back, as JSON.
type planRecord struct {
	Title    string        `json:"title"`
	Serve    string        `json:"serve"`
	Heads    int           `json:"heads"`
	Meat     []meatRecord  `json:"meat"`
	Loads    []loadRecord  `json:"loads"`
	Steps    []stepRecord  `json:"steps"`
	Starts   []startRecord `json:"starts"`
	Hold     keepRecord    `json:"hold"`
	Fuel     []fuelRecord  `json:"fuel"`
	Levers   []leverRecord `json:"levers"`
	Tasks    []taskRecord  `json:"tasks"`
	Notes    []string      `json:"notes"`
	Sentence []string      `json:"sentence"`
	Now      *nowRecord    `json:"lit_now,omitempty"` // where on by has passed
	Saved    []string      `json:"saved"`
}

type nowRecord struct {
	Cut       string  `json:"cut"`
	On        string  `json:"on"`
	OffEarly  string  `json:"off_early"`
	OffLikely string  `json:"off_likely"`
	OffLate   string  `json:"off_late"`
	Late      float64 `json:"late"`
}

type meatRecord struct {
	Cut      string    `json:"cut"`
	CookedKg float64   `json:"cooked_kg"`
	RawKg    []float64 `json:"raw_kg"` // enough in 1, 5 and 9 of 10 cooks
	BuyKg    float64   `json:"buy_kg"`
	Pieces   []float64 `json:"pieces_kg"`
	Trim     float64   `json:"trim"`
	Loss     float64   `json:"cook_loss"`
	Discard  float64   `json:"discard"`
	OwnCooks int       `json:"own_cooks"` // the cook loss rests on
}

type loadRecord struct {
	Cut       string  `json:"cut"`
	Pit       string  `json:"pit,omitempty"`
	Fire      int     `json:"fire"` // the last is that of the meal
	Pieces    int     `json:"pieces"`
	Light     string  `json:"light,omitempty"` // left out: the pit burns already
	OnBy      string  `json:"on_by"`
	OffEarly  string  `json:"off_early"`
	OffLikely string  `json:"off_likely"`
	OffLate   string  `json:"off_late"`
	LatestOff string  `json:"latest_off"`
	Sure      float64 `json:"in_time"`
	PitC      float64 `json:"pit_c"`
	Later     []later `json:"later"` // pieces that may go on later
}

type later struct {
	Piece string `json:"piece"`
	OnBy  string `json:"on_by"`
}

type stepRecord struct {
	At     string `json:"at"`
	Kind   string `json:"kind"`
	What   string `json:"what"`
	Margin string `json:"margin,omitempty"`
}

type startRecord struct {
	On    string  `json:"on"`
	Late  float64 `json:"late"`
	HoldH float64 `json:"hold_h"`
	Is    bool    `json:"on_by"`
}

type keepRecord struct {
	HoldH    []float64 `json:"hold_h"` // short, likely, long
	LimitC   float64   `json:"limit_c"`
	KeepsH   []float64 `json:"box_keeps_h"` // 1, 5 and 9 of 10 times
	Loads    int       `json:"box_loads"`
	Answer   string    `json:"answer"`
	FallsAt  string    `json:"falls_at,omitempty"`
	OvenBy   string    `json:"oven_by,omitempty"`
	ChillBy  string    `json:"chill_by,omitempty"`
	ReheatBy string    `json:"reheat_by,omitempty"`
}

type fuelRecord struct {
	Pit      string  `json:"pit,omitempty"`
	Kind     string  `json:"kind"`
	LitH     float64 `json:"lit_h"`
	KgPerH   float64 `json:"kg_per_h"`
	OwnCooks int     `json:"own_cooks"`
	BuyKg    float64 `json:"buy_kg"`
	Wood     string  `json:"wood,omitempty"`
	WoodKg   float64 `json:"wood_kg,omitempty"`
}

type leverRecord struct {
	What  string   `json:"what"`
	BuysH *float64 `json:"buys_h,omitempty"` // negative: sooner; left out: it may never get there
	Late  float64  `json:"late"`
	HoldH float64  `json:"hold_h"`
	Risk  string   `json:"risk"`
}

func planOf(p *runsheet.Sheet, saved []string) planRecord {
	out := planRecord{Title: p.Request.Title, Serve: timeRecord(p.Request.Serve), Heads: p.Request.Party.Heads, Meat: []meatRecord{}, Loads: []loadRecord{},
		Steps: []stepRecord{}, Starts: []startRecord{}, Fuel: []fuelRecord{}, Levers: []leverRecord{}, Tasks: []taskRecord{},
		Notes: notNil(p.Notes), Sentence: p.Sentence, Saved: notNil(saved)}
	if h := p.Hurry; h != nil {
		out.Now = &nowRecord{h.Load.Cook.Cut, timeRecord(h.On), timeRecord(h.Off[0]), timeRecord(h.Off[1]), timeRecord(h.Off[2]), h.Late}
	}
	for _, m := range p.Meats {
		r := meatRecord{m.Cut, m.Cooked, m.Raw[:], m.Buy, []float64{}, m.Trim.Lost, m.Loss.Lost, m.Discard.Lost, m.Loss.N}
		for _, piece := range m.Pieces {
			r.Pieces = append(r.Pieces, piece.Raw.Base)
		}
		out.Meat = append(out.Meat, r)
	}
	for _, l := range p.Loads {
		r := loadRecord{l.Cook.Cut, l.Cook.Pit, p.Batches - l.Batch, len(l.Cook.Pieces), timeRecord(l.Light), timeRecord(l.OnBy),
			timeRecord(l.Off[0]), timeRecord(l.Off[1]), timeRecord(l.Off[2]), timeRecord(l.LatestOff), l.Sure, l.Forecast.Pit, []later{}}
		for _, s := range l.Stagger {
			r.Later = append(r.Later, later{s.Piece, timeRecord(s.OnBy)})
		}
		out.Loads = append(out.Loads, r)
	}
	for _, s := range p.Steps {
		out.Steps = append(out.Steps, stepRecord{timeRecord(s.At), string(s.Kind), s.What, s.Margin})
	}
	for _, s := range p.Strip {
		out.Starts = append(out.Starts, startRecord{timeRecord(s.On), s.Late, s.Hold, s.Is})
	}
	h := p.Hold
	out.Hold = keepRecord{[]float64{h.Short, h.Mid, h.Long}, h.Limit, h.Keeps[:], h.Loads, string(h.Lasts), timeRecord(h.FallsAt), timeRecord(h.OvenBy), timeRecord(h.ChillBy), timeRecord(h.ReheatBy)}
	for _, f := range p.Fuel {
		out.Fuel = append(out.Fuel, fuelRecord{p.Pits[f.Pit].Name, f.Kind, f.Hours, f.Rate, f.Own, f.Buy, f.Wood.Kind, f.Wood.Buy})
	}
	for _, l := range p.Levers {
		buys := l.Buys.Hours()
		out.Levers = append(out.Levers, leverRecord{l.What, known(buys, !l.Open), l.Late, l.Hold, l.Risk})
	}
	for i, t := range p.Tasks {
		out.Tasks = append(out.Tasks, taskRecord{Number: i + 1, Section: t.Section, Text: t.Text})
	}
	return out
}

// mixesFor weighs out the mixes of the journal for a plan: the rub that past cooks
// name, as much as is to be bought, and the sauce and the slaw for the heads where
// there is one of it, so that none has to be chosen.
func mixesFor(j *app.App, p *provision.Plan) runsheet.Mixes {
	mixes, _ := j.Folder().Mixes()
	line := func(m *journal.Mix, w mix.Want) string {
		b, err := mix.Scale(*m, w, p.Settings.Units)
		if err != nil || len(b.Lines) == 0 {
			return ""
		}
		return b.Line(p.Settings.Units)
	}
	rub := func() string {
		for i := range mixes {
			m := &mixes[i]
			if m.For.Of != journal.ForMeat || !mix.Named(m, p.Salt.Mix) {
				continue
			}
			if one, err := mix.Scale(*m, mix.Want{Meat: 1}, p.Settings.Units); err == nil && one.Grams > 0 {
				return line(m, mix.Want{Meat: p.Salt.RubG / one.Grams})
			}
		}
		return ""
	}
	only := func(what string) string {
		found := ""
		for i := range mixes {
			m := &mixes[i]
			if m.For.Of == journal.ForMeat || !strings.Contains(strings.ToLower(m.Name+" "+m.Title), what) {
				continue
			}
			if found != "" {
				return ""
			}
			found = line(m, mix.Want{Heads: float64(p.Request.Party.Heads)})
		}
		return found
	}
	return runsheet.Mixes{Rub: rub(), Sauce: only("sauce"), Slaw: only("slaw")}
}

type replayRecord struct {
	LeaveOneOut bool         `json:"leave_one_out"`
	Cooks       int          `json:"cooks"`
	Rules       []ruleRecord `json:"rules"`
}

type ruleRecord struct {
	Rule    string  `json:"rule"`
	Cooks   int     `json:"cooks"`
	InTime  float64 `json:"in_time"`
	LateH   float64 `json:"late_h"`
	WorstH  float64 `json:"worst_late_h"`
	HoldH   float64 `json:"hold_h"`
	HoldAll float64 `json:"hold_all_h"`
}

// replayPlans tells how often plans would have been in time.
func (a *program) replayPlans(leaveOneOut bool) error {
	j, err := a.open()
	if err != nil {
		return err
	}
	r, err := j.ReplayPlans(a.ctx, leaveOneOut, a.progress("reading the past"), a.progress("replaying"))
	if err != nil {
		return err
	}
	if a.json {
		out := replayRecord{LeaveOneOut: leaveOneOut, Cooks: r.Cooks, Rules: []ruleRecord{}}
		for _, s := range r.Scores {
			out.Rules = append(out.Rules, ruleRecord{string(s.Rule), s.Cooks, float64(s.InTime) / float64(s.Cooks), s.LateBy, s.Worst, s.Hold, s.HoldAll})
		}
		return a.printJSON(out)
	}
	a.printf("%s", text.Render(buffer.Page(r), a.width()))
	return nil
}
