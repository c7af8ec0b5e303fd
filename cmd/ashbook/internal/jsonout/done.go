package jsonout

import (
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/folder"
	"ashbook/report/drivers"
)

// Noted is the output of note.
type Noted struct {
	Cook       string   `json:"cook"`
	Understood string   `json:"understood"`
	Line       string   `json:"line"`
	Flags      []string `json:"flags"`
	KeptWords  []string `json:"kept_as_words"`
	Asks       []string `json:"asks"`
	Undone     bool     `json:"undone"`
}

// NotedOf converts a noted line.
func NotedOf(id string, n app.Noted) Noted {
	return Noted{Cook: id, Understood: n.Text, Line: n.Line, Flags: List(n.Flags), KeptWords: List(n.Left), Asks: List(n.Asks), Undone: n.Undone}
}

// Fix is the output of fix.
type Fix struct {
	Cook    string   `json:"cook"`
	Was     string   `json:"was"`
	Line    string   `json:"line,omitempty"`
	Flags   []string `json:"flags"`
	Dropped bool     `json:"dropped"`
}

// FixOf converts a corrected entry.
func FixOf(id string, c app.Changed) Fix {
	out := Fix{Cook: id, Was: c.Was.String(), Flags: List(c.Flags), Dropped: c.Dropped}
	if !c.Dropped {
		out.Line = c.Is.String()
	}
	return out
}

// Written is the shape of a text or number written after a cook.
type Written struct {
	What  string   `json:"what"`
	Is    string   `json:"is,omitempty"`
	Was   string   `json:"was,omitempty"`
	Flags []string `json:"flags"`
}

func writtenOf(after []app.Written) []Written {
	out := []Written{}
	for _, w := range after {
		out = append(out, Written{w.What.String(), w.Is, w.Was, List(w.Flags)})
	}
	return out
}

// Tasted is the output of taste.
type Tasted struct {
	Cook    string  `json:"cook"`
	Tasting []Taste `json:"tasting"`
	Judgement
	Written []Written `json:"written"`
}

// TastedOf converts the scores of a cook, with the judgement of all its eaters.
func TastedOf(t app.Tasted, j drivers.Judgement) Tasted {
	return Tasted{Cook: t.Cook.ID, Tasting: tastesOf(&t.Cook), Judgement: JudgementOf(j), Written: writtenOf(t.Written)}
}

// Lit is the output of light.
type Lit struct {
	Cook Cook `json:"cook"`
}

// LitOf converts a cook that was lit.
func LitOf(c *journal.Cook, now time.Time) Lit { return Lit{Cook: CookOf(c, now)} }

// Edited is the output of edit.
type Edited struct {
	Cook     string   `json:"cook"`
	Changed  bool     `json:"changed"`
	Broken   bool     `json:"broken"`
	Problems []string `json:"problems"`
}

// EditedOf converts the outcome of editing a cook's file.
func EditedOf(id string, e app.Edited) Edited {
	out := Edited{Cook: id, Changed: e.Changed, Broken: e.Broken, Problems: []string{}}
	for _, p := range e.Problems {
		out.Problems = append(out.Problems, p.Error())
	}
	return out
}

// Aside is the output of aside.
type Aside struct {
	Cook  string `json:"cook"`
	Aside bool   `json:"aside"`
	Why   string `json:"why,omitempty"`
}

// AsideOf converts whether a cook is left out of reports, and why.
func AsideOf(c *journal.Cook) Aside { return Aside{Cook: c.ID, Aside: c.Aside != "", Why: c.Aside} }

// Check is the output of check.
type Check struct {
	Cooks    int       `json:"cooks"`
	Problems []Problem `json:"problems"`
	Notices  []string  `json:"notices"`
}

// Folds is the output of check --fold.
type Folds struct {
	Folded []Fold `json:"folded"`
}

// Fold is one copy that a synced folder left.
type Fold struct {
	Copy string   `json:"copy"`
	Into string   `json:"into"`
	Told []string `json:"told"`           // conflicts: what both set
	Left string   `json:"left,omitempty"` // why the copy was not deleted
}

// FoldedOf converts the outcomes of folding copies.
func FoldedOf(done []folder.Folded) Folds {
	out := Folds{Folded: []Fold{}}
	for _, d := range done {
		f := Fold{Copy: d.Path, Into: d.Of, Told: []string{}, Left: d.Left}
		for _, t := range d.Conflicts {
			f.Told = append(f.Told, t.String())
		}
		out.Folded = append(out.Folded, f)
	}
	return out
}

// CheckOf converts what check found in the given number of cooks.
func CheckOf(cooks int, problems []journal.Problem, notices []string) Check {
	return Check{Cooks: cooks, Problems: ProblemsOf(problems), Notices: List(notices)}
}

// Begun is the output of init.
type Begun struct {
	Journal string   `json:"journal"`
	Made    []string `json:"made"`
}

// BegunOf converts a new journal with the files made.
func BegunOf(dir string, made []string) Begun { return Begun{Journal: dir, Made: List(made)} }
