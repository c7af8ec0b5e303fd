package jsonout

import (
	"strings"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/report/forecast"
	"ashbook/report/provision"
	"ashbook/report/provision/buffer"
	"ashbook/report/provision/runsheet"
)

// Plan is the output of workback.
type Plan struct {
	Title    string   `json:"title"`
	Serve    string   `json:"serve"`
	Heads    int      `json:"heads"`
	Meat     []Meat   `json:"meat"`
	Loads    []Load   `json:"loads"`
	Steps    []Step   `json:"steps"`
	Starts   []Start  `json:"starts"`
	Hold     Keep     `json:"hold"`
	Fuel     []Fuel   `json:"fuel"`
	Levers   []Lever  `json:"levers"`
	Tasks    []Task   `json:"tasks"`
	Lessons  []Lesson `json:"lessons"`
	Notes    []string `json:"notes"`
	Sentence []string `json:"sentence"`
	Now      *Now     `json:"lit_now,omitempty"` // only if the on-by time has passed
	Ways     []Way    `json:"ways_out"`
	Saved    []string `json:"saved"`
}

// Lesson is what the last cook of a cut says to change.
type Lesson struct {
	Cut    string `json:"cut"`
	Cook   string `json:"cook"`
	Change string `json:"change"`
}

// Way is one way to save a meal that would be late.
type Way struct {
	What   string  `json:"what"`
	Late   float64 `json:"late"`
	InTime bool    `json:"in_time"`
	Meal   string  `json:"meal_9_in_10,omitempty"` // left out if the meat may never be ready
	Cost   string  `json:"cost"`
}

// Rescue is the output of workback --rescue.
type Rescue struct {
	Cook  string `json:"cook"`
	Serve string `json:"serve"`
	Ways  []Way  `json:"ways_out"`
}

// RescueOf converts the ways to save the meal of a running cook.
func RescueOf(c *journal.Cook, ways []provision.Way) Rescue {
	return Rescue{c.ID, Time(c.Serve), waysOf(ways)}
}

func waysOf(ways []provision.Way) []Way {
	out := []Way{}
	for _, w := range ways {
		out = append(out, Way{w.What, w.Late, w.InTime(), Time(w.Meal), w.Cost})
	}
	return out
}

// Now is the outcome if the fire is lit now.
type Now struct {
	Cut       string  `json:"cut"`
	On        string  `json:"on"`
	OffEarly  string  `json:"off_early"`
	OffLikely string  `json:"off_likely"`
	OffLate   string  `json:"off_late"`
	Late      float64 `json:"late"`
}

// Meat is how much to buy of one cut.
type Meat struct {
	Cut      string    `json:"cut"`
	CookedKg float64   `json:"cooked_kg"`
	RawKg    []float64 `json:"raw_kg"` // amounts that are enough in 1, 5 and 9 of 10 meals
	// share of such meals for which the amount to buy is enough
	Enough   float64   `json:"enough_share"`
	BuyKg    float64   `json:"buy_kg"`
	Pieces   []float64 `json:"pieces_kg"`
	Trim     float64   `json:"trim"`
	Loss     float64   `json:"cook_loss"`
	Discard  float64   `json:"discard"`
	OwnCooks int       `json:"own_cooks"` // number of own cooks behind the cooking loss
}

// Load is one filling of one pit.
type Load struct {
	Cut       string  `json:"cut"`
	Pit       string  `json:"pit,omitempty"`
	Fire      int     `json:"fire"` // number of the fire, from 1; the last is for the meal
	Pieces    int     `json:"pieces"`
	Light     string  `json:"light,omitempty"` // left out if the pit is burning already
	OnBy      string  `json:"on_by"`
	OffEarly  string  `json:"off_early"`
	OffLikely string  `json:"off_likely"`
	OffLate   string  `json:"off_late"`
	LatestOff string  `json:"latest_off"`
	Sure      float64 `json:"in_time"`
	PitC      float64 `json:"pit_c"`
	Later     []Later `json:"later"` // pieces that may go on later
	Look      *Look   `json:"look,omitempty"`
}

// Look is when somebody must look at a load that does not keep in a box.
type Look struct {
	At    string  `json:"at"`
	CoreC float64 `json:"core_c,omitempty"` // below it the pit goes up
	PitC  float64 `json:"pit_c"`
}

// Later is a piece that may go on later.
type Later struct {
	Piece string `json:"piece"`
	OnBy  string `json:"on_by"`
}

// Step is one step of the plan.
type Step struct {
	At     string `json:"at"`
	Kind   string `json:"kind"`
	What   string `json:"what"`
	Margin string `json:"margin,omitempty"`
	Who    string `json:"who,omitempty"` // helper who does it
}

// Start is the outcome of one start time.
type Start struct {
	On    string  `json:"on"`
	Late  float64 `json:"late"`
	HoldH float64 `json:"hold_h"`
	Is    bool    `json:"on_by"`
}

// Keep is what the box must do.
type Keep struct {
	Boxes    int       `json:"boxes"`  // number of boxes it fills
	HoldH    []float64 `json:"hold_h"` // short, likely and long hold
	LimitC   float64   `json:"limit_c"`
	KeepsH   []float64 `json:"box_keeps_h"` // reached in 1, 5 and 9 of 10 cases
	Loads    int       `json:"box_loads"`
	Answer   string    `json:"answer"`
	FallsAt  string    `json:"falls_at,omitempty"`
	OvenBy   string    `json:"oven_by,omitempty"`
	ChillBy  string    `json:"chill_by,omitempty"`
	ReheatBy string    `json:"reheat_by,omitempty"`
}

// Fuel is what one pit burns.
type Fuel struct {
	Pit      string   `json:"pit,omitempty"`
	Kind     string   `json:"kind"`
	LitH     float64  `json:"lit_h"`
	KgPerH   float64  `json:"kg_per_h"`
	OwnCooks int      `json:"own_cooks"`
	LikelyKg float64  `json:"likely_kg"` // most likely amount burned
	BuyKg    float64  `json:"buy_kg"`
	TopUps   []string `json:"top_ups"`
	Wood     string   `json:"wood,omitempty"`
	WoodKg   float64  `json:"wood_kg,omitempty"`
}

// Lever is one change to the plan and what it gains.
type Lever struct {
	What string `json:"what"`
	// negative for a loss; left out if the meat may never be ready
	BuysH *float64 `json:"buys_h,omitempty"`
	Late  float64  `json:"late"`
	HoldH float64  `json:"hold_h"`
	Risk  string   `json:"risk"`
}

// PlanOf converts a plan. saved has the IDs of the cooks saved from it.
func PlanOf(p *runsheet.Sheet, saved []string) Plan {
	out := Plan{Title: p.Request.Title, Serve: Time(p.Request.Serve), Heads: p.Request.Party.Heads, Meat: []Meat{}, Loads: []Load{},
		Steps: []Step{}, Starts: []Start{}, Fuel: []Fuel{}, Levers: []Lever{}, Ways: waysOf(p.Ways), Lessons: []Lesson{}, Tasks: []Task{},
		Notes: List(p.Notes), Sentence: p.Sentence, Saved: List(saved)}
	if h := p.Hurry; h != nil {
		out.Now = &Now{h.Load.Cook.Cut, Time(h.On), Time(h.Off[0]), Time(h.Off[1]), Time(h.Off[2]), h.Late}
	}
	for _, m := range p.Meats {
		r := Meat{m.Cut, m.Cooked, m.Raw[:], m.Odds, m.Buy, []float64{}, m.Trim.Lost, m.Loss.Lost, m.Discard.Lost, m.Loss.N}
		for _, piece := range m.Pieces {
			r.Pieces = append(r.Pieces, piece.Raw.Base)
		}
		out.Meat = append(out.Meat, r)
	}
	for _, l := range p.Loads {
		r := Load{l.Cook.Cut, l.Cook.Pit, p.Batches - l.Batch, len(l.Cook.Pieces), Time(l.Light), Time(l.OnBy),
			Time(l.Off[0]), Time(l.Off[1]), Time(l.Off[2]), Time(l.LatestOff), l.Sure, l.Forecast.Pit, []Later{}, nil}
		if f := l.Finish; f != nil {
			r.Look = &Look{Time(l.LookAt()), f.Core, f.Pit}
		}
		for _, s := range l.Stagger {
			r.Later = append(r.Later, Later{s.Piece, Time(s.OnBy)})
		}
		out.Loads = append(out.Loads, r)
	}
	for _, s := range p.Steps {
		out.Steps = append(out.Steps, Step{Time(s.At), string(s.Kind), s.What, s.Margin, s.Who})
	}
	for _, s := range p.Strip {
		out.Starts = append(out.Starts, Start{Time(s.On), s.Late, s.Hold, s.Is})
	}
	h := p.Hold
	out.Hold = Keep{h.Boxes, []float64{h.Short, h.Mid, h.Long}, h.Limit, h.Keeps[:], h.Loads, string(h.Lasts), Time(h.FallsAt), Time(h.OvenBy), Time(h.ChillBy), Time(h.ReheatBy)}
	for _, f := range p.Fuel {
		topUps := []string{}
		for _, at := range f.TopUps {
			topUps = append(topUps, Time(at))
		}
		out.Fuel = append(out.Fuel, Fuel{p.Pits[f.Pit].Name, f.Kind, f.Hours, f.Rate, f.Own, f.Likely, f.Buy, topUps, f.Wood.Kind, f.Wood.Buy})
	}
	for _, l := range p.Levers {
		buys := l.Buys.Hours()
		out.Levers = append(out.Levers, Lever{l.What, known(buys, !l.Open), l.Late, l.Hold, l.Risk})
	}
	for _, l := range p.Lessons {
		out.Lessons = append(out.Lessons, Lesson{l.Cut, l.Cook, l.Change})
	}
	for i, t := range p.Tasks {
		out.Tasks = append(out.Tasks, Task{Number: i + 1, Section: t.Section, Text: t.Text})
	}
	return out
}

// Replay is the output of workback --replay.
type Replay struct {
	LeaveOneOut bool   `json:"leave_one_out"`
	Known       string `json:"known"` // as in Hindsight
	Cooks       int    `json:"cooks"`
	Rules       []Rule `json:"rules"`
}

// Rule is how well one rule would have done.
type Rule struct {
	Rule    string  `json:"rule"`
	Cooks   int     `json:"cooks"`
	InTime  float64 `json:"in_time"`
	LateH   float64 `json:"late_h"`
	WorstH  float64 `json:"worst_late_h"`
	HoldH   float64 `json:"hold_h"`
	HoldAll float64 `json:"hold_all_h"`
}

// Ready is the output of ready.
type Ready struct {
	Cook  string `json:"cook"`
	Tasks []Task `json:"tasks"`
}

// Task is one task of a list.
type Task struct {
	Number  int    `json:"number"`
	Section string `json:"section,omitempty"`
	Text    string `json:"text"`
	Done    bool   `json:"done"`
	Line    int    `json:"line,omitempty"`
}

// ReadyOf converts a cook's tasks.
func ReadyOf(id string, tasks []cookfile.Task) Ready {
	out := Ready{Cook: id, Tasks: []Task{}}
	for i, t := range tasks {
		out.Tasks = append(out.Tasks, Task{i + 1, t.Section, strings.TrimSpace(t.Text), t.Done, t.Line})
	}
	return out
}

// ReplayOf converts a replay of plans.
func ReplayOf(r buffer.Replayed) Replay {
	out := Replay{LeaveOneOut: r.Known == forecast.Others, Known: replayKnown[r.Known], Cooks: r.Cooks, Rules: []Rule{}}
	for _, s := range r.Scores {
		out.Rules = append(out.Rules, Rule{string(s.Rule), s.Cooks, float64(s.InTime) / float64(s.Cooks), s.LateBy, s.Worst, s.Hold, s.HoldAll})
	}
	return out
}
