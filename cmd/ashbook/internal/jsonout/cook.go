package jsonout

import (
	"time"

	"ashbook/cmd/ashbook/internal/lookup"
	"ashbook/journal"
	"ashbook/report/drivers"
	"ashbook/report/frame"
)

// Problem is one place where something is wrong.
type Problem struct {
	File    string `json:"file"`
	Line    int    `json:"line,omitempty"`
	Col     int    `json:"col,omitempty"`
	Warning bool   `json:"warning"`
	Text    string `json:"text"`
}

// ProblemsOf converts problems in files.
func ProblemsOf(problems []journal.Problem) []Problem {
	out := []Problem{}
	for _, p := range problems {
		out = append(out, Problem(p))
	}
	return out
}

// Piece is one piece of meat.
type Piece struct {
	Name      string   `json:"name,omitempty"`
	RawKg     *float64 `json:"raw_kg,omitempty"`
	TrimmedKg *float64 `json:"trimmed_kg,omitempty"`
	ThickCm   *float64 `json:"thick_cm,omitempty"`
	CoreC     *float64 `json:"core_c,omitempty"`
	Bone      string   `json:"bone,omitempty"`
	State     string   `json:"state"`
}

// Entry is one entry of a timeline.
type Entry struct {
	Time  string   `json:"time"`
	Items []string `json:"items"`
	Words string   `json:"words,omitempty"`
	Line  int      `json:"line"`
}

// Taste is the scores of one eater.
type Taste struct {
	Eater  string            `json:"eater"`
	Scores map[string]string `json:"scores"`
	Words  string            `json:"words,omitempty"`
}

// Cook is one cook. Numbers and Words have the columns that every comparison uses.
type Cook struct {
	ID      string             `json:"id"`
	Title   string             `json:"title,omitempty"`
	Cut     string             `json:"cut,omitempty"`
	Pit     string             `json:"pit,omitempty"`
	State   string             `json:"state"`
	Serve   string             `json:"serve,omitempty"`
	Heads   int                `json:"heads,omitempty"`
	On      string             `json:"on,omitempty"`
	Off     string             `json:"off,omitempty"`
	Pieces  []Piece            `json:"pieces"`
	Entries []Entry            `json:"entries"`
	Tasting []Taste            `json:"tasting"`
	Numbers map[string]float64 `json:"numbers"`
	Words   map[string]string  `json:"words"`
	Keep    string             `json:"keep,omitempty"`
	Change  string             `json:"change,omitempty"`
	Aside   string             `json:"aside,omitempty"` // why it is left out of reports
	Others  []Other            `json:"others"`
}

// Other is a pair of values that two people set for the same thing and nobody has
// decided.
type Other struct {
	Key    string `json:"key"` // "serve", "tasting RT moisture"
	Stands string `json:"stands,omitempty"`
	Other  string `json:"other"`
	By     string `json:"by,omitempty"` // who set the other value
	Says   string `json:"says"`
}

// CookOf converts a cook as it is at a time. Numbers has the columns that every
// comparison uses, in kg, °C, m, h, g/kg, m/s or shares from 0 to 1.
func CookOf(c *journal.Cook, now time.Time) Cook {
	r := Cook{
		ID: c.ID, Title: c.Title, Cut: c.Cut, Pit: c.Pit, State: c.Status(now).String(), Serve: Time(c.Serve), Heads: c.Heads,
		Pieces: []Piece{}, Entries: []Entry{}, Tasting: tastesOf(c),
		Numbers: map[string]float64{}, Words: map[string]string{}, Keep: c.Keep, Change: c.Change, Aside: c.Aside, Others: []Other{},
	}
	for _, o := range c.Others {
		r.Others = append(r.Others, Other{o.Name(), o.Stands, o.Value, o.By, o.String()})
	}
	if t, ok := c.OnAt(); ok {
		r.On = Time(t)
	}
	if t, ok := c.Finish(); ok {
		r.Off = Time(t)
	}
	for i, p := range c.Pieces {
		r.Pieces = append(r.Pieces, Piece{
			Name: p.Name, RawKg: known(p.Raw.Base, p.Raw.Known), TrimmedKg: known(p.Trimmed.Base, p.Trimmed.Known),
			ThickCm: known(p.Thick.Base*100, p.Thick.Known), CoreC: known(p.Core.Base, p.Core.Known), Bone: p.Bone,
			State: c.PieceStatus(i, now).String(),
		})
	}
	for _, e := range c.Entries {
		r.Entries = append(r.Entries, entryOf(e))
	}
	for _, col := range frame.Columns {
		switch v := col.Of(c); {
		case !v.Known:
		case col.Kind == frame.Word:
			r.Words[col.Name] = v.Word
		default:
			r.Numbers[col.Name] = v.Number
		}
	}
	return r
}

func tastesOf(c *journal.Cook) []Taste {
	out := []Taste{}
	for _, t := range c.Tasting {
		scores := map[string]string{}
		for _, trait := range journal.Traits {
			if s := t.Scores[trait].String(); s != "" {
				scores[trait.String()] = s
			}
		}
		out = append(out, Taste{t.Eater, scores, t.Words})
	}
	return out
}

func entryOf(e journal.Entry) Entry {
	items := []string{}
	for _, it := range e.Items {
		items = append(items, it.String())
	}
	return Entry{Time(e.Time), items, e.Words, e.Line}
}

func known(v float64, ok bool) *float64 {
	if !ok {
		return nil
	}
	return &v
}

// Time returns a time in RFC 3339; "" for the zero time.
func Time(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return journal.FormatTime(t)
}

// List returns s, or an empty list if s is nil.
func List(s []string) []string {
	if s == nil {
		return []string{}
	}
	return s
}

// Judgement is the scores of all eaters of a cook together.
type Judgement struct {
	Scores []Score  `json:"scores"`
	Says   []string `json:"says"`
}

// Score is one trait of a judgement, in points of 1 to 9.
type Score struct {
	Trait     string  `json:"trait"`
	Eaters    int     `json:"eaters"`
	Mean      float64 `json:"mean"`
	Low       int     `json:"low"`
	High      int     `json:"high"`
	Adjusted  float64 `json:"adjusted"`
	Doubt     float64 `json:"doubt"`
	Shrunk    float64 `json:"shrunk"`
	Agreement float64 `json:"agreement"` // share of the spread over all cooks, 0 to 1
}

// JudgementOf converts a cook's scores.
func JudgementOf(j drivers.Judgement) Judgement {
	out := Judgement{Scores: []Score{}, Says: List(j.Says)}
	for _, x := range j.Traits {
		out.Scores = append(out.Scores, Score{x.Trait.String(), x.Eaters, x.Mean, x.Low, x.High, x.Adjusted, x.Doubt, x.Shrunk, x.Agreement})
	}
	return out
}

// Found is one cook of a list.
type Found struct {
	ID       string   `json:"id"`
	Title    string   `json:"title,omitempty"`
	Cut      string   `json:"cut,omitempty"`
	Date     string   `json:"date"`
	Pit      string   `json:"pit,omitempty"`
	State    string   `json:"state"`
	Pieces   int      `json:"pieces"`
	WeightKg float64  `json:"weight_kg,omitempty"`
	Wraps    []string `json:"wraps"`
	TookH    float64  `json:"took_h,omitempty"`
	Overall  float64  `json:"overall,omitempty"`
	Lines    []Hit    `json:"lines"`
}

// Hit is the line of a file with the words.
type Hit struct {
	Line int    `json:"line"`
	Text string `json:"text"`
}

// FindsOf converts the cooks found.
func FindsOf(found []lookup.Found, problems []journal.Problem) Finds {
	out := Finds{Cooks: []Found{}, Problems: ProblemsOf(problems)}
	for _, f := range found {
		r := Found{
			ID: f.ID, Title: f.Title, Cut: f.Cut, Date: f.Date.Format(time.DateOnly), Pit: f.Pit, State: string(f.State),
			Pieces: f.Pieces, WeightKg: f.Weight, Wraps: []string{}, Overall: f.Score, Lines: []Hit{},
		}
		for _, w := range f.Wraps {
			r.Wraps = append(r.Wraps, string(w))
		}
		if d, ok := lookup.Took(f.Summary); ok {
			r.TookH = d.Hours()
		}
		if f.Hit.Line > 0 {
			r.Lines = append(r.Lines, Hit{f.Hit.Line, f.Hit.Text})
		}
		out.Cooks = append(out.Cooks, r)
	}
	return out
}

// Settled is the output of fix when it decides between two people's values.
type Settled struct {
	Cook    string `json:"cook"`
	Settled string `json:"settled"` // "serve 12:30, not 14:00"
}

// Finds is the output of find.
type Finds struct {
	Cooks    []Found   `json:"cooks"`
	Problems []Problem `json:"problems"`
}

// Show is the output of show.
type Show struct {
	Cook     Cook      `json:"cook"`
	Judged   Judgement `json:"judged"`
	Problems []Problem `json:"problems"`
}

// Entries is the output of fix without an entry.
type Entries struct {
	Cook    string  `json:"cook"`
	Entries []Entry `json:"entries"`
}

// EntriesOf converts a cook's entries.
func EntriesOf(c *journal.Cook) Entries {
	out := Entries{c.ID, []Entry{}}
	for _, e := range c.Entries {
		out.Entries = append(out.Entries, entryOf(e))
	}
	return out
}
