package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/journal/shorthand"
	"ashbook/report/drivers"
	"ashbook/report/fire"
	"ashbook/report/forecast"
	"ashbook/report/hindsight"
	"ashbook/report/page"
	"ashbook/report/provision/buffer"
	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/style"
)

// shelf opens the screens, or prints the cooks where there is no terminal.
func (a *program) shelf() error {
	if a.plain || a.terminal() && a.getenv("TERM") == "dumb" {
		return a.talk()
	}
	if !a.terminal() {
		return a.find(nil, search{})
	}
	p, err := a.outside()
	if errors.Is(err, folder.ErrNotAJournal) && a.journal == "" {
		return a.firstRun(err)
	}
	if err != nil {
		return err
	}
	err = a.screens(tui.New(p, a.options()))
	p.writes.Lock() // what is being written is written out; nothing is begun any more
	return err
}

// outside opens the journal for the screens.
func (a *program) outside() (*outside, error) {
	j, err := a.open()
	if err != nil {
		return nil, err
	}
	clock, err := a.moving()
	if err != nil {
		return nil, err
	}
	p := &outside{program: a, use: j, clock: clock, ctx: a.ctx, done: a.ctx.Done(), cooks: map[string]*journal.Cook{}, fires: map[string]fire.Usual{}}
	p.experience = sync.OnceValues(func() (*forecast.Experience, error) { return j.Learn(a.ctx, nil) })
	p.margin = sync.OnceValues(func() (float64, error) {
		x, err := p.experience()
		if err != nil {
			return 0, err
		}
		past, err := buffer.Look(a.ctx, x)
		return past.Factor(), err
	})
	for i := range p.replayed {
		p.replayed[i] = sync.OnceValues(func() (hindsight.Report, error) {
			x, err := p.experience()
			if err != nil {
				return hindsight.Report{}, err
			}
			return hindsight.Replay(a.ctx, x, hindsight.Options{Known: hindsight.Known(i)})
		})
	}
	return p, nil
}

// options say what the terminal can do, from the environment alone: asking it
// would print junk over slow lines.
func (a *program) options() tui.Options {
	o := style.Options{Colour: style.Sixteen, Dark: true}
	term := a.getenv("TERM")
	switch {
	case a.getenv("NO_COLOR") != "" || term == "dumb" || term == "":
		o.Colour = style.None
	case strings.Contains(term, "256") || a.getenv("COLORTERM") != "":
		o.Colour = style.Many
	}
	// COLORFGBG is "foreground;background"; 7 and 15 are the light grounds.
	if _, ground, ok := strings.Cut(a.getenv("COLORFGBG"), ";"); ok && (strings.HasSuffix(ground, "7") || strings.HasSuffix(ground, "15")) {
		o.Dark = false
	}
	return tui.Options{Look: o}
}

// outside is the journal, the clock and the bell as the screens know them.
type outside struct {
	program *program
	use     *app.App
	clock   func() time.Time
	ctx     context.Context // of the run
	done    <-chan struct{} // ends Wait

	// Seconds of work, done once a run when first asked for.
	experience func() (*forecast.Experience, error)
	margin     func() (float64, error)             // by how much past plans draw a forecast in or out
	replayed   [3]func() (hindsight.Report, error) // by hindsight.Known

	// Saving holds it for reading, leaving for writing: what is being saved when
	// the screens are left is saved. Nothing that computes holds it.
	writes sync.RWMutex

	mu     sync.Mutex // guards what follows
	cooks  map[string]*journal.Cook
	fires  map[string]fire.Usual // by pit
	past   []journal.Cook        // as they were at pastAt
	pastAt time.Time
	scored int // how often scores were kept here
}

// writing keeps the program from ending until what it returns is called.
func (o *outside) writing() (done func()) {
	o.writes.RLock()
	return o.writes.RUnlock
}

func (o *outside) Now() time.Time { return o.clock() }

func (o *outside) Wait(d time.Duration) (time.Time, bool) {
	select {
	case <-time.After(d):
		return o.clock(), true
	case <-o.done:
		return time.Time{}, false
	}
}

func (o *outside) Search(words string) (backend.Shelf, error) {
	all, problems, err := o.use.Folder().List(o.ctx)
	if err != nil {
		return backend.Shelf{}, err
	}
	now := o.clock()
	out := backend.Shelf{Total: len(all), Units: o.use.Settings().Units, Notices: o.notices(problems)}
	if err := o.use.UnreadAmong(all, problems, now); err != nil {
		out.Notices = append([]string{err.Error()}, out.Notices...)
	}
	wanted := map[string]bool{}
	fields := strings.Fields(words)
	if len(fields) > 0 {
		hits, _, err := o.use.Folder().Search(o.ctx, fields)
		if err != nil {
			return backend.Shelf{}, err
		}
		for _, h := range hits {
			wanted[h.ID] = true
		}
	}
	for _, s := range all {
		if len(fields) == 0 || wanted[s.ID] {
			out.Rows = append(out.Rows, o.row(s, now))
		}
	}
	backend.SortRows(out.Rows)
	return out, nil
}

func (o *outside) notices(problems []journal.Problem) []string {
	var out []string
	files := map[string]bool{}
	for _, p := range problems {
		files[p.File] = true
	}
	if n := len(files); n > 0 {
		verb := "need"
		if n == 1 {
			verb = "needs"
		}
		out = append(out, fmt.Sprintf("%s %s a look: ashbook check", page.Count(n, "file"), verb))
	}
	return append(out, o.use.Folder().Notices()...)
}

// lastOf is the last entry of a cook, or its day while it has none.
func lastOf(s folder.Summary) time.Time {
	if s.Last.IsZero() {
		return s.Date
	}
	return s.Last
}

func (o *outside) row(s folder.Summary, now time.Time) backend.Row {
	st := journal.Status{Stage: s.Stage, LeftOpen: s.LeftOpen(now)}
	if s.Running(now) {
		if f, err := o.use.Folder().Load(s.ID); err == nil {
			st = f.Cook.Status(now)
		}
	}
	r := backend.Row{
		ID: s.ID, State: st.String(), Group: backend.GroupOf(st, lastOf(s), now), Date: s.Date,
		Title: s.Name(), Cut: s.Cut, Kg: s.Weight, Pit: s.Pit, Score: s.Score, Eaters: s.Eaters,
	}
	r.Took, _ = app.Took(s)
	return r
}

// load reads a cook and remembers it for reading entry lines.
func (o *outside) load(id string) (cookfile.File, error) {
	f, err := o.use.Folder().Load(id)
	if err == nil {
		o.remember(&f.Cook)
	}
	return f, err
}

func (o *outside) remember(c *journal.Cook) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.cooks[c.ID] = c
}

func (o *outside) remembered(id string) *journal.Cook {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.cooks[id]
}

func (o *outside) Load(id string) (backend.Cook, error) {
	f, err := o.load(id)
	if err != nil {
		return backend.Cook{}, err
	}
	return backend.Cook{Cook: &f.Cook, Settings: o.use.Settings(), Zone: o.clock().Location(), Waiting: o.use.Folder().Waiting()}, nil
}

// Expect forecasts from the journal's finished cooks, which are replayed once a
// run.
func (o *outside) Expect(c *journal.Cook, now time.Time) backend.Forecast {
	x, err := o.experience()
	if err != nil {
		return backend.Forecast{}
	}
	p := o.pit(c)
	return watched(expected(x, c, now), c, p, o.usualFire(x, p), now, o.use.Settings().Units)
}

func (o *outside) Understand(id string, now time.Time, line string) backend.Understood {
	c := o.remembered(id)
	if c == nil || strings.TrimSpace(line) == "" {
		return backend.Understood{}
	}
	settings := o.use.Settings()
	l, err := shorthand.Parse(line, shorthand.Context{Now: now, Settings: settings, Cook: c})
	switch {
	case err != nil:
		return backend.Understood{Err: err}
	case l.Undo:
		return backend.Understood{Text: "take the last entry back"}
	}
	return backend.Understood{Text: l.Understood(settings.Units), Flags: l.Flags}
}

func (o *outside) Complete(id, line string) string {
	c := o.remembered(id)
	if c == nil {
		return line
	}
	ends := shorthand.Complete(line, shorthand.Context{Now: o.clock(), Settings: o.use.Settings(), Cook: c})
	if len(ends) != 1 {
		return line
	}
	return line + ends[0] + " "
}

func (o *outside) Note(id, line string) (backend.Noted, error) {
	defer o.writing()()
	return o.noted(o.use.Note(id, line, o.clock()))
}

func (o *outside) Undo(id string) (backend.Noted, error) {
	defer o.writing()()
	return o.noted(o.use.Undo(id))
}

// noted remembers a cook as it was saved.
func (o *outside) noted(n app.Noted, err error) (backend.Noted, error) {
	if err != nil {
		return backend.Noted{}, err
	}
	o.remember(&n.Cook)
	return backend.Noted{Text: n.Text, Flags: n.Flags, TakenBack: n.Undone}, nil
}

func (o *outside) Light(id string) (backend.Noted, error) {
	defer o.writing()()
	at := o.clock().Truncate(time.Minute)
	if err := o.use.Unread(o.program.ctx, at); err != nil {
		return backend.Noted{}, err
	}
	return o.noted(o.use.Light(id, at))
}

func (o *outside) Judge(id string) (drivers.Judgement, error) {
	f, err := o.load(id)
	if err != nil {
		return drivers.Judgement{}, err
	}
	past, err := o.use.Past(o.ctx)
	return drivers.Judge(&f.Cook, past), err
}
