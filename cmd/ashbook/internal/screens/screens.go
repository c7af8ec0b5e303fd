// Package screens implements tui/backend for a journal, with internal/app and the
// machine.
package screens

import (
	"context"
	"fmt"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/lookup"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/journal/shorthand"
	"ashbook/report/drivers"
	"ashbook/report/forecast"
	"ashbook/report/hindsight"
	"ashbook/report/provision/buffer"
	"ashbook/report/safety"
	"ashbook/tui/backend"
)

// Machine is what the screens need from the machine.
type Machine struct {
	Now   func() time.Time
	Done  <-chan struct{}         // closed when the ticks should end
	Alert func(text string) error // rings and shows text

	// returns the command that opens a file in the user's editor
	Editor func(file string) (*exec.Cmd, error)
}

// Backend is the backend.Port of one journal.
type Backend struct {
	machine Machine
	app     *app.App
	ctx     context.Context // of the run

	// These take seconds, and are computed once a run when first needed.
	experience func() (*forecast.Experience, error)
	margin     func() (float64, error)             // factor on the forecast spread, from past plans
	replayed   [3]func() (hindsight.Report, error) // by forecast.Known

	// A save holds this lock for reading, and leaving the screens holds it for writing,
	// so leaving waits for every save. Nothing that computes holds it.
	writes sync.RWMutex

	stopSync func() // ends the syncing of SyncEvery; nil for none

	mu     sync.Mutex // protects the fields below
	cooks  map[string]*journal.Cook
	fires  map[string]usualFire // by pit
	past   *app.Known           // the cooks as read at pastAt
	pastAt time.Time
	scored int // number of scores saved here
}

var _ backend.Port = (*Backend)(nil)

// New returns the Backend of a journal. Its computations end with ctx.
func New(ctx context.Context, j *app.App, m Machine) *Backend {
	o := &Backend{machine: m, app: j, ctx: ctx, cooks: map[string]*journal.Cook{}, fires: map[string]usualFire{}}
	o.experience = sync.OnceValues(func() (*forecast.Experience, error) { return j.Learn(ctx, nil) })
	o.margin = sync.OnceValues(func() (float64, error) {
		x, err := o.experience()
		if err != nil {
			return 0, err
		}
		past, err := buffer.Look(ctx, x)
		return past.Factor(), err
	})
	for i := range o.replayed {
		o.replayed[i] = sync.OnceValues(func() (hindsight.Report, error) {
			x, err := o.experience()
			if err != nil {
				return hindsight.Report{}, err
			}
			return hindsight.Replay(ctx, x, hindsight.Options{Known: forecast.Known(i)})
		})
	}
	return o
}

// Close waits until everything is saved, and ends syncing. No method may be called
// after it.
func (o *Backend) Close() {
	if o.stopSync != nil {
		o.stopSync()
	}
	o.writes.Lock()
}

// SyncEvery syncs the journal now and then every so often, if it has a remote. A
// relative folder is relative to dir. The state is in Company. What is noted meanwhile
// is committed once each time.
func (o *Backend) SyncEvery(every time.Duration, dir string) {
	repo := o.app.Folder().History()
	if repo == nil {
		return
	}
	if remote, err := repo.Remote(""); err != nil || remote.URL == "" {
		return
	}
	select {
	case <-o.ctx.Done(): // ended before it began
		return
	default:
	}
	o.app.Folder().Batch(every)
	ctx, cancel := context.WithCancel(o.ctx)
	done := make(chan struct{})
	o.stopSync = func() { cancel(); <-done }
	go func() {
		defer close(done)
		for ctx.Err() == nil {
			// A failure is stored with the state of the remote.
			_, _ = o.app.Sync(ctx, app.SyncRequest{Dir: dir, Now: o.machine.Now})
			select {
			case <-ctx.Done():
			case <-time.After(every):
			}
		}
	}()
}

// writing makes Close wait until done is called.
func (o *Backend) writing() (done func()) {
	o.writes.RLock()
	return o.writes.RUnlock
}

// LightNew begins a cook of a cut, lit now, and returns its ID.
func (o *Backend) LightNew(cut string) (string, error) {
	defer o.writing()()
	at := o.machine.Now().Truncate(time.Minute)
	if err := o.app.Unread(o.ctx, at); err != nil {
		return "", err
	}
	c, err := o.app.Begin(o.ctx, newCook(cut, o.app.Settings().Units), at)
	return c.ID, err
}

// newCook parses a cut and the core to reach, if that is given with its unit: "salmon
// 52 °C".
func newCook(words string, sys measure.System) journal.Cook {
	words = strings.TrimSpace(words)
	if at := strings.IndexAny(words, "0123456789"); at > 0 && strings.ContainsAny(words[len(words)-1:], "cfCF") {
		if core, err := measure.ParseTemperature(strings.TrimSpace(words[at:]), sys); err == nil {
			return journal.Cook{Cut: strings.TrimSpace(words[:at]), Aim: journal.Aim{Core: core}}
		}
	}
	return journal.Cook{Cut: words}
}

// Alert rings and shows the person a text.
func (o *Backend) Alert(text string) error { return o.machine.Alert(text) }

func (o *Backend) Now() time.Time { return o.machine.Now() }

func (o *Backend) Wait(d time.Duration) (time.Time, bool) {
	select {
	case <-time.After(d):
		return o.machine.Now(), true
	case <-o.machine.Done:
		return time.Time{}, false
	}
}

func (o *Backend) Search(words string) (backend.Shelf, error) {
	all, problems, err := o.app.Folder().List(o.ctx)
	if err != nil {
		return backend.Shelf{}, err
	}
	now := o.machine.Now()
	out := backend.Shelf{Total: len(all), Units: o.app.Settings().Units, Notices: o.notices(problems)}
	if offer := o.app.Litter(all, now); offer != "" {
		out.Notices = append(out.Notices, offer)
	}
	if err := o.app.UnreadAmong(all, problems, now); err != nil {
		out.Notices = append([]string{err.Error()}, out.Notices...)
	}
	wanted := map[string]bool{}
	fields := strings.Fields(words)
	if len(fields) > 0 {
		hits, err := o.app.Folder().Search(o.ctx, fields, all)
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

func (o *Backend) notices(problems []journal.Problem) []string {
	var out []string
	_, own := o.app.Folder().Settings()
	for _, p := range own {
		out = append(out, p.Error())
	}
	files := map[string]bool{}
	for _, p := range problems {
		if !slices.Contains(own, p) {
			files[p.File] = true
		}
	}
	if n := len(files); n > 0 {
		verb := "need"
		if n == 1 {
			verb = "needs"
		}
		out = append(out, fmt.Sprintf("%s %s a look: ashbook check", measure.Count(n, "file"), verb))
	}
	return append(out, o.app.Folder().Notices()...)
}

// lastOf returns the time of a cook's last entry, or its day if it has none.
func lastOf(s folder.Summary) time.Time {
	if s.Last.IsZero() {
		return s.Date
	}
	return s.Last
}

func (o *Backend) row(s folder.Summary, now time.Time) backend.Row {
	st := journal.Status{Stage: s.Stage, LeftOpen: s.LeftOpen(now)}
	if s.Running(now) {
		if f, err := o.app.Folder().Load(s.ID); err == nil {
			st = f.Cook.Status(now)
		}
	}
	r := backend.Row{
		ID: s.ID, State: st.String(), Group: backend.GroupOf(st, lastOf(s), now), Date: s.Date,
		Title: s.Name(), Cut: s.Cut, Kg: s.Weight, Pit: s.Pit, Score: s.Score, Eaters: s.Eaters,
	}
	r.Took, _ = lookup.Took(&s)
	return r
}

// load reads a cook and remembers it, since reading an entry line needs it.
func (o *Backend) load(id string) (cookfile.File, error) {
	f, err := o.app.Folder().Load(id)
	if err == nil {
		o.remember(&f.Cook)
	}
	return f, err
}

func (o *Backend) remember(c *journal.Cook) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.cooks[c.ID] = c
}

func (o *Backend) remembered(id string) *journal.Cook {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.cooks[id]
}

func (o *Backend) Load(id string) (backend.Cook, error) {
	f, err := o.load(id)
	if err != nil {
		return backend.Cook{}, err
	}
	return backend.Cook{Cook: &f.Cook, Settings: o.app.Settings(), Zone: o.machine.Now().Location(), Waiting: o.app.Folder().Waiting(), Company: o.companyOf(f, o.machine.Now())}, nil
}

// Expect forecasts from the journal's finished cooks, which are replayed once a run.
func (o *Backend) Expect(c *journal.Cook, now time.Time) backend.Forecast {
	x, err := o.experience()
	if err != nil {
		return backend.Forecast{}
	}
	p := o.pit(c)
	out := watched(expected(o.ctx, x, c, now, o.app.Settings().Units), c, p, o.usualFire(x, p), now, o.app.Settings().Units)
	if f, ok := o.app.Care(o.ctx, c, now); ok && !(f.Kind == safety.DeadFire && out.Fire.Alert) {
		out.Care, out.CareNow = f.Said(), f.Weight == safety.DoNow
	}
	return out
}

func (o *Backend) Understand(id string, now time.Time, line string) backend.Understood {
	c := o.remembered(id)
	if c == nil || strings.TrimSpace(line) == "" {
		return backend.Understood{}
	}
	settings := o.app.Settings()
	l, err := shorthand.Parse(line, shorthand.Context{Now: now, Settings: settings, Cook: c})
	switch {
	case err != nil:
		return backend.Understood{Err: err}
	case l.Undo && !o.app.OwnLast(c):
		return backend.Understood{Text: "undo the last entry", Asks: []string{"You noted it before you opened ashbook: undo it anyway?"}}
	case l.Undo:
		return backend.Understood{Text: "undo the last entry"}
	case l.Redo:
		return backend.Understood{Text: "put back what undo removed"}
	}
	return backend.Understood{Text: l.Understood(settings.Units), Flags: l.Flags, Left: l.Left, Asks: l.Asks}
}

func (o *Backend) Complete(id, line string) string {
	c := o.remembered(id)
	if c == nil {
		return line
	}
	ends := shorthand.Complete(line, shorthand.Context{Now: o.machine.Now(), Settings: o.app.Settings(), Cook: c})
	if len(ends) != 1 {
		return line
	}
	return line + ends[0] + " "
}

func (o *Backend) Note(id, line string) (backend.Noted, error) {
	defer o.writing()()
	return o.noted(o.app.Note(id, line, o.machine.Now()))
}

func (o *Backend) Undo(id string) (backend.Noted, error) {
	defer o.writing()()
	return o.noted(o.app.Undo(id))
}

// noted remembers the saved cook, which is needed to read the next entry line, and
// returns what was noted.
func (o *Backend) noted(n app.Noted, err error) (backend.Noted, error) {
	if err != nil {
		return backend.Noted{}, err
	}
	o.remember(&n.Cook)
	return backend.Noted{Text: n.Text, Flags: n.Flags, TakenBack: n.Undone, PutBack: n.Redone}, nil
}

func (o *Backend) Light(id string) (backend.Noted, error) {
	defer o.writing()()
	at := o.machine.Now().Truncate(time.Minute)
	if err := o.app.Unread(o.ctx, at); err != nil {
		return backend.Noted{}, err
	}
	return o.noted(o.app.Light(id, at))
}

func (o *Backend) Judge(id string) (drivers.Judgement, error) {
	f, err := o.load(id)
	if err != nil {
		return drivers.Judgement{}, err
	}
	known, err := o.known()
	if err != nil {
		return drivers.Judgement{}, err
	}
	return known.Judge(&f.Cook), nil
}
