package screens

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/folder"
	"ashbook/report"
	"ashbook/report/attribution"
	"ashbook/report/baseline"
	"ashbook/report/drivers"
	"ashbook/report/forecast"
	"ashbook/report/frame"
	"ashbook/report/hold"
	"ashbook/report/mix"
	"ashbook/report/pitbook"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
)

// pageMakers make the pages of the screens, the same as the commands print.
var pageMakers = map[intent.Place]func(*Backend, backend.Wanted) (backend.Opened, error){
	intent.Cook:      (*Backend).cookPage,
	intent.Beside:    (*Backend).besidePage,
	intent.Why:       (*Backend).whyPage,
	intent.Matters:   (*Backend).mattersPage,
	intent.Hindsight: (*Backend).hindsightPage,
	intent.Pits:      (*Backend).pitPage,
	intent.Mixes:     (*Backend).mixPage,
	intent.Settings:  (*Backend).settingsPage,
	intent.Hold:      (*Backend).holdPage,
}

// Page makes a page. It fails for a place that is not a page.
func (o *Backend) Page(w backend.Wanted) (backend.Opened, error) {
	make, ok := pageMakers[w.Kind]
	if !ok {
		return backend.Opened{}, fmt.Errorf("place %d is not a page", w.Kind)
	}
	return make(o, w)
}

// turned returns the index of the variant that is asked for; 0 if none is.
func turned(w backend.Wanted, turns ...string) (at int, opened backend.Opened) {
	at = max(0, slices.Index(turns, w.Turn))
	return at, backend.Opened{Turn: turns[at], Turns: turns}
}

// cooksOf reads the cooks of a page. It fails if there is none.
func (o *Backend) cooksOf(w backend.Wanted) ([]*journal.Cook, []journal.Problem, error) {
	var out []*journal.Cook
	var problems []journal.Problem
	for _, id := range w.Of {
		f, err := o.load(id)
		if err != nil {
			return nil, nil, err
		}
		out, problems = append(out, &f.Cook), append(problems, f.Problems...)
	}
	if len(out) == 0 {
		return nil, nil, errors.New("no cook is chosen")
	}
	return out, problems, nil
}

// pastFor is how long the finished cooks are not read again, so that moving along the
// shelf does not read the journal for every page (chosen).
const pastFor = time.Minute

// known returns what the finished cooks show, read at most pastFor ago and after the
// last scores saved here.
func (o *Backend) known() (*app.Known, error) {
	now := o.machine.Now()
	o.mu.Lock()
	known, at, scored := o.past, o.pastAt, o.scored
	o.mu.Unlock()
	if known != nil && now.Sub(at) < pastFor {
		return known, nil
	}
	known, err := o.app.Known(o.ctx)
	if err != nil {
		return nil, err
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	if scored == o.scored {
		o.past, o.pastAt = known, now
	}
	return known, nil
}

// pastCooks returns the finished cooks of known with their timelines.
func (o *Backend) pastCooks() ([]journal.Cook, error) {
	known, err := o.known()
	if err != nil {
		return nil, err
	}
	return known.Whole(o.ctx)
}

// forgetPast makes known read the finished cooks again, since one was scored.
func (o *Backend) forgetPast() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.past, o.scored = nil, o.scored+1
}

func (o *Backend) cookPage(w backend.Wanted) (backend.Opened, error) {
	cooks, problems, err := o.cooksOf(w)
	if err != nil {
		return backend.Opened{}, err
	}
	c := cooks[0]
	var others []*frame.Cook
	if app.NeedsOthers(c) {
		known, err := o.known()
		if err != nil {
			return backend.Opened{}, err
		}
		others = known.Cooks
	}
	return backend.Opened{Page: report.Cook(c, others, o.app.Settings(), o.machine.Now(), problems), Others: c.Others}, nil
}

// besideClosest is how many similar cooks are shown next to a single cook (chosen).
const besideClosest = 2

func (o *Backend) besidePage(w backend.Wanted) (backend.Opened, error) {
	cooks, _, err := o.cooksOf(w)
	if err != nil {
		return backend.Opened{}, err
	}
	known, err := o.known()
	if err != nil {
		return backend.Opened{}, err
	}
	if len(cooks) == 1 {
		for _, near := range baseline.Closest(cooks[0], known.Cooks, besideClosest) {
			if whole := near.Whole(); whole != nil {
				cooks = append(cooks, whole)
			}
		}
	}
	accounts, err := known.FromFirst(o.ctx, cooks)
	if err != nil {
		return backend.Opened{}, err
	}
	return backend.Opened{Page: report.Beside(cooks, accounts, o.app.Settings())}, nil
}

func (o *Backend) whyPage(w backend.Wanted) (backend.Opened, error) {
	cooks, _, err := o.cooksOf(w)
	if err != nil {
		return backend.Opened{}, err
	}
	turns := []string{"its plan", "your usual"}
	if !cooks[0].Aim.Pit.Known {
		turns[0], turns[1] = turns[1], turns[0]
	}
	for _, c := range cooks[1:] {
		turns = append(turns, c.Name()+" "+c.Date().Format("2 Jan 2006"))
	}
	if w.Turn == "" && len(cooks) > 1 {
		w.Turn = turns[2]
	}
	at, opened := turned(w, turns...)
	opt := attribution.Options{Plan: opened.Turn == "its plan", Usual: opened.Turn == "your usual"}
	if at > 1 {
		opt.Against = cooks[at-1]
	}
	known, err := o.known()
	if err != nil {
		return backend.Opened{}, err
	}
	e, err := known.Explain(o.ctx, cooks[0], opt)
	if err != nil {
		return backend.Opened{}, err
	}
	opened.Page = report.Why(e.Comparison, e.Account, e.Over, o.app.Settings())
	return opened, nil
}

func (o *Backend) mattersPage(w backend.Wanted) (backend.Opened, error) {
	at, opened := turned(w, drivers.Targets()...)
	target, err := drivers.ParseTarget(opened.Turns[at])
	if err != nil {
		return opened, err
	}
	known, err := o.known()
	if err != nil {
		return opened, err
	}
	r, err := known.Matters(o.ctx, target)
	if err != nil {
		return opened, err
	}
	opened.Page = report.Matters(r, o.app.Settings())
	return opened, nil
}

func (o *Backend) hindsightPage(w backend.Wanted) (backend.Opened, error) {
	at, opened := turned(w, forecast.Turns...)
	r, err := o.replayed[at]()
	opened.Page = report.Hindsight(r)
	return opened, err
}

func (o *Backend) pitPage(w backend.Wanted) (backend.Opened, error) {
	known, err := o.known()
	if err != nil {
		return backend.Opened{}, err
	}
	settings := o.app.Settings()
	books := known.Pits()
	turns := []string{"all pits"}
	for _, b := range books {
		turns = append(turns, b.Name)
	}
	at, opened := turned(w, turns...)
	if opened.Page = pitbook.Table(books, settings); at > 0 {
		opened.Page = books[at-1].Page(settings)
		opened.Values = o.choices(folder.PitPath(books[at-1].Name))
	}
	return opened, nil
}

// mixPage lists the mixes, or weighs one out for the amount in its file.
func (o *Backend) mixPage(w backend.Wanted) (backend.Opened, error) {
	mixes, problems := o.app.Folder().Mixes()
	settings := o.app.Settings()
	turns := []string{"all mixes"}
	for _, m := range mixes {
		turns = append(turns, m.Name)
	}
	at, opened := turned(w, turns...)
	if opened.Page = mix.List(mixes, problems, settings); at > 0 {
		b := mix.Written(mixes[at-1])
		opened.Page = b.Page(mix.Tasted{}, nil, settings)
		opened.Values = o.choices(folder.MixPath(mixes[at-1].Name))
	}
	return opened, nil
}

// settingsPage shows the settings and where to change them.
func (o *Backend) settingsPage(backend.Wanted) (backend.Opened, error) {
	var pits []string
	for name := range o.app.Pits() {
		pits = append(pits, name)
	}
	slices.Sort(pits)
	return backend.Opened{
		Page:   report.Settings(o.app.Settings(), pits, filepath.Join(o.app.Folder().Dir(), folder.SettingsPath)),
		Values: o.choices(folder.SettingsPath),
	}, nil
}

// choices returns the values of a file that can be changed; none if there is no file.
func (o *Backend) choices(p string) (all []backend.Value) {
	written, err := o.app.Folder().Choices(p)
	if err != nil {
		return nil // the page works without it, and check reports what is wrong
	}
	for _, c := range written {
		all = append(all, backend.Value{Name: strings.TrimPrefix(strings.Join(c.Key, " "), "parts "), Written: c.Written, What: c.What, Key: c.Key})
	}
	return all
}

// Choose writes a value into the file of its page.
func (o *Backend) Choose(w backend.Wanted, c backend.Value, value string) error {
	defer o.writing()()
	p := folder.SettingsPath
	switch w.Kind {
	case intent.Pits:
		p = folder.PitPath(w.Turn)
	case intent.Mixes:
		p = folder.MixPath(w.Turn)
	}
	return o.app.Folder().Choose(p, strings.TrimSpace(value), c.Key...)
}

func (o *Backend) holdPage(w backend.Wanted) (backend.Opened, error) {
	cooks, _, err := o.cooksOf(w)
	if err != nil {
		return backend.Opened{}, err
	}
	past, err := o.pastCooks()
	if err != nil {
		return backend.Opened{}, err
	}
	return backend.Opened{Page: hold.Page(cooks[0], past, o.app.Settings(), o.machine.Now())}, nil
}
