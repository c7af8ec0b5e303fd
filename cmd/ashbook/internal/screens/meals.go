package screens

import (
	"errors"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/provision"
	"ashbook/report/provision/runsheet"
	"ashbook/tui/backend"
)

// The values with which a plan starts if there is no past cook (chosen).
const (
	firstCut   = "pork shoulder"
	firstHeads = 12
	firstMeal  = "sat 13:00"
)

func (o *Backend) Kitchen(now time.Time) (backend.Kitchen, error) {
	settings := o.app.Settings()
	serve, err := typed.When(firstMeal, now.AddDate(0, 0, 1))
	if err != nil {
		return backend.Kitchen{}, err
	}
	out := backend.Kitchen{Units: settings.Units, Pits: slices.Sorted(maps.Keys(o.app.Pits()))}
	out.Meal = backend.Meal{Serve: serve, Heads: strconv.Itoa(firstHeads), Cut: firstCut, Pit: settings.Pit}
	all, _, err := o.app.Folder().List(o.ctx)
	if err != nil {
		return backend.Kitchen{}, err
	}
	count := map[string]int{}
	asked := false
	for _, s := range all { // newest first
		if cut := strings.ToLower(strings.TrimSpace(s.Cut)); cut != "" {
			count[cut]++
		}
		if s.Heads > 0 && !asked {
			out.Meal.Heads, asked = strconv.Itoa(s.Heads), true
		}
	}
	out.Cuts = slices.Sorted(maps.Keys(count))
	slices.SortStableFunc(out.Cuts, func(a, b string) int { return count[b] - count[a] })
	if len(out.Cuts) == 0 {
		out.Cuts = []string{firstCut, "brisket", "lamb shoulder", "turkey", "chicken"}
	}
	out.Meal.Cut = out.Cuts[0]
	return out, nil
}

func (o *Backend) Reword(m backend.Meal, f backend.Field, text string, now time.Time) (backend.Meal, error) {
	var err error
	switch f {
	case backend.Serve:
		m.Serve, err = typed.When(text, now)
	case backend.Heads:
		_, err = typed.Party(text)
		m.Heads = text
	case backend.Cut:
		if m.Cut = strings.ToLower(text); text == "" {
			err = errors.New("what is cooked?")
		}
	case backend.Pit:
		m.Pit, m.Fits = text, ""
	case backend.Fits:
		_, err = typed.Fits(text)
		m.Fits = text
	case backend.AimPit:
		var t measure.Temperature
		if text != "" {
			err = measure.Read(&t, text, o.app.Settings().Units)
			text = t.String()
		}
		m.AimPit = text
	case backend.Wrap:
		m.Wrap = ""
		if text != "" && !strings.EqualFold(text, "none") {
			var w journal.WrapPlan
			w, err = journal.ParseWrapPlan(text, o.app.Settings().Units)
			m.Wrap = string(w.Kind)
			if w.At.Known {
				m.Wrap += " at " + w.At.String()
			}
		}
	}
	if err != nil {
		return backend.Meal{}, err
	}
	return m, nil
}

// plan plans back from a meal as the command does.
func (o *Backend) plan(m backend.Meal, now time.Time) (*runsheet.Sheet, error) {
	past, err := o.pastCooks()
	if err != nil {
		return nil, err
	}
	x, err := o.experience()
	if err != nil {
		return nil, err
	}
	margin, err := o.margin()
	if err != nil {
		return nil, err
	}
	known := provision.Known{Past: past, Experience: x, Settings: o.app.Settings(), Margin: margin, Now: now}
	r, err := o.request(m, known.Settings)
	if err != nil {
		return nil, err
	}
	sheet, err := o.app.WorkBack(o.ctx, r, known)
	var refused provision.Refusal
	if errors.As(err, &refused) && refused.Ask != nil {
		return nil, backend.Asks{Question: strings.ToUpper(refused.Text[:1]) + refused.Text[1:]}
	}
	return sheet, err
}

// request converts a meal to a request of package provision.
func (o *Backend) request(m backend.Meal, s journal.Settings) (r provision.Request, err error) {
	r.Serve = m.Serve
	if r.Party, err = typed.Party(m.Heads); err != nil {
		return r, err
	}
	d := provision.Dish{Cut: m.Cut}
	if m.AimPit != "" {
		if err := measure.Read(&d.Aim.Pit, m.AimPit, s.Units); err != nil {
			return r, err
		}
	}
	if m.Wrap != "" {
		if d.Aim.Wrap, err = journal.ParseWrapPlan(m.Wrap, s.Units); err != nil {
			return r, err
		}
	}
	if r.Serving, err = typed.Serving("", m.Cut); err != nil {
		return r, err
	}
	pit, err := o.app.PlanPit(m.Pit, measure.Temperature{})
	if err == nil && m.Fits != "" {
		pit.Takes, err = typed.Fits(m.Fits)
	}
	r.Dishes, r.Pits = []provision.Dish{d}, []provision.Pit{pit}
	return r, err
}

func (o *Backend) Work(m backend.Meal, now time.Time) (backend.Worked, error) {
	p, err := o.plan(m, now)
	if err != nil {
		return backend.Worked{}, err
	}
	l := p.First()
	out := backend.Worked{OnBy: l.OnBy, Light: l.Light, AimPit: l.Forecast.Pit, Sentence: p.Sentence, Page: p.Page()}
	past, err := o.pastCooks()
	if err != nil {
		return backend.Worked{}, err
	}
	out.Usual = slices.ContainsFunc(past, func(c journal.Cook) bool { return c.Pit == l.Cook.Pit && c.Aim.Pit.Known })
	if p.Hurry != nil {
		out.TooLate = p.Hurry.Late
	}
	if m.Fits != "" {
		done := o.writing()
		noted, err := o.app.RememberFits(p)
		done()
		if err != nil {
			return backend.Worked{}, err
		}
		out.Noted = len(noted) > 0 && noted[0].Path != ""
	}
	for _, s := range p.Strip {
		out.Starts = append(out.Starts, backend.Start{On: s.On, Late: s.Late, Hold: s.Hold, Is: s.Is})
	}
	return out, nil
}

func (o *Backend) Plan(m backend.Meal, now time.Time) (string, error) {
	p, err := o.plan(m, now)
	if err != nil {
		return "", err
	}
	defer o.writing()()
	ids, err := o.app.SavePlan(p)
	if err != nil {
		return "", err
	}
	return ids[0], nil
}
