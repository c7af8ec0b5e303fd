package pages

import (
	"context"
	"fmt"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/report/attribution"
	"ashbook/report/drivers"
	"ashbook/report/page"
)

// Which says which page to make. The zero value is the page of one cook, or of several
// side by side.
type Which struct {
	Year      int    // the page of that year
	Pits      bool   // the page of all pits
	Matters   string // the page of what moves the target of that name
	Plan, Why bool   // the plan of one cook, or why it was early or late
}

// mostBeside is the largest number of cooks side by side on paper (chosen).
const mostBeside = 6

// Make makes a page of the cooks that the words name, or of the running cook. name is a
// file name without its extension. It fails with the errors of finding cooks, with
// typed.Invalid, or with a provision.Refusal.
func (m *Maker) Make(ctx context.Context, words []string, w Which) (p page.Page, name string, err error) {
	switch {
	case w.Year != 0:
		p, err = m.Year(ctx, w.Year)
		return p, fmt.Sprint(w.Year), err
	case w.Pits:
		return m.Pits(), "pits", nil
	case w.Matters != "":
		target, err := drivers.ParseTarget(append(words, w.Matters)[0])
		if err != nil {
			return p, "", typed.Mistake{Kind: typed.Invalid, Text: err.Error()}
		}
		p, err = m.Matters(ctx, target)
		return p, "matters-" + target.String(), err
	case len(words) > 1 && !w.Why:
		return m.beside(ctx, words)
	}
	f, err := m.app.Cook(ctx, words, m.now)
	if err != nil {
		return p, "", err
	}
	switch {
	case w.Plan:
		p, err = m.PlanPage(ctx, &f.Cook)
		name = "-plan"
	case w.Why:
		p, err = m.Why(ctx, &f.Cook, attribution.Options{})
		name = "-why"
	default:
		p, err = m.Cook(ctx, f)
	}
	return p, f.Cook.ID + name, err
}

func (m *Maker) beside(ctx context.Context, refs []string) (p page.Page, name string, err error) {
	cooks, err := m.app.Cooks(ctx, refs)
	if err != nil {
		return p, "", err
	}
	if len(cooks) > mostBeside {
		return p, "", typed.Mistake{Kind: typed.Invalid, Text: fmt.Sprintf("%d cooks: at most %d fit side by side", len(cooks), mostBeside)}
	}
	p, err = m.Beside(ctx, cooks)
	return p, "beside-" + cooks[0].ID, err
}
