// Package tuitest drives the screens without a terminal: a Port that answers from
// memory, and a Driver that types keys and runs the commands.
package tuitest

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/shorthand"
	"ashbook/report/drivers"
	"ashbook/report/frame"
	"ashbook/tui/backend"
)

// Port answers from memory. Its clock does not change until Clock is set.
type Port struct {
	Clock     time.Time
	Cooks     []*journal.Cook
	Settings  journal.Settings
	Forecasts map[string]backend.Forecast // forecasts by ID
	Notices   []string
	Waiting   string // why what was noted is not in history yet
	Company   backend.Company
	Fails     error // error of every method that writes, if set

	Alerts     []string // texts for which it rang
	AlertFails error    // error of every alert
	Loads      int      // number of times a cook was loaded
	Expected   int      // number of times a forecast was asked for
	Asked      []string // the searches made
	Kept       []journal.Taste

	Start   backend.Beginning            // the suggested answers of the first run
	Made    []backend.Beginning          // answers from which journals were made
	Cellar  backend.Kitchen              // the answer of Kitchen
	Worked  []backend.Meal               // meals planned back, in order
	Fits    bool                         // how many pieces fit in the shed is known
	Planned []backend.Meal               // meals saved
	Lists   []backend.Task               // task lists of every cook
	Box     backend.Hold                 // box of every cook
	Past    []backend.Version            // versions of every cook, newest first
	Brought []int                        // numbers of the versions brought back
	Edited  backend.Edited               // answer of the editor
	Opened  []string                     // IDs of the cooks opened in the editor
	Older   bool                         // the last entry is from before this run
	undone  []journal.Entry              // entries undone since the last note
	changes map[string][][]journal.Entry // by ID: the entries before each change
}

// Now returns the clock.
func (p *Port) Now() time.Time { return p.Clock }

// Wait stops the ticks: tests move the clock themselves.
func (p *Port) Wait(time.Duration) (time.Time, bool) { return time.Time{}, false }

// Alert records the text.
func (p *Port) Alert(text string) error {
	p.Alerts = append(p.Alerts, text)
	return p.AlertFails
}

// Mark returns a text that changes with the entries, the meal and the probe series of a
// cook.
func (p *Port) Mark(id string) (backend.Mark, error) {
	c, err := p.find(id)
	if err != nil {
		return "", err
	}
	last, _ := c.LastEntry()
	return backend.Mark(fmt.Sprint(len(c.Entries), last, len(c.Series.Times), p.Waiting, len(c.Others), c.Serve, p.Company)), nil
}

// Search finds the cooks that contain every word.
func (p *Port) Search(words string) (backend.Shelf, error) {
	p.Asked = append(p.Asked, words)
	out := backend.Shelf{Total: len(p.Cooks), Units: p.Settings.Units, Notices: p.Notices}
	for _, c := range p.Cooks {
		text := strings.ToLower(strings.Join([]string{c.Title, c.Cut, c.Pit, c.ID, c.Prose, c.Keep, c.Change}, " "))
		if !slices.ContainsFunc(strings.Fields(strings.ToLower(words)), func(w string) bool { return !strings.Contains(text, w) }) {
			out.Rows = append(out.Rows, row(c, p.Clock))
		}
	}
	backend.SortRows(out.Rows)
	return out, nil
}

func row(c *journal.Cook, now time.Time) backend.Row {
	st := c.Status(now)
	last, ok := c.LastEntry()
	if !ok {
		last = c.Date()
	}
	r := backend.Row{ID: c.ID, State: st.String(), Date: c.Date(), Title: c.Name(), Cut: c.Cut, Pit: c.Pit, Group: backend.GroupOf(st, last, now)}
	r.Kg, _ = c.OnWeight()
	if took, ok := c.Took(); ok {
		r.Took = took
	}
	r.Score, r.Eaters = c.MeanScore(journal.Overall)
	return r
}

func (p *Port) find(id string) (*journal.Cook, error) {
	for _, c := range p.Cooks {
		if c.ID == id {
			return c, nil
		}
	}
	return nil, fmt.Errorf("cook %q: not in the journal", id)
}

// Load returns a copy, as reading the file again would.
func (p *Port) Load(id string) (backend.Cook, error) {
	p.Loads++
	c, err := p.find(id)
	if err != nil {
		return backend.Cook{}, err
	}
	dup := *c
	dup.Entries = slices.Clone(c.Entries)
	return backend.Cook{Cook: &dup, Settings: p.Settings, Zone: p.Clock.Location(), Waiting: p.Waiting, Company: p.Company}, nil
}

// Expect returns the forecast set for the cook.
func (p *Port) Expect(c *journal.Cook, _ time.Time) backend.Forecast {
	p.Expected++
	return p.Forecasts[c.ID]
}

func (p *Port) parse(id, line string, now time.Time) (*journal.Cook, shorthand.Line, error) {
	c, err := p.find(id)
	if err != nil {
		return nil, shorthand.Line{}, err
	}
	l, err := shorthand.Parse(line, shorthand.Context{Now: now, Settings: p.Settings, Cook: c})
	return c, l, err
}

// Understand parses a line as the program does.
func (p *Port) Understand(id string, now time.Time, line string) backend.Understood {
	_, l, err := p.parse(id, line, now)
	if err != nil {
		return backend.Understood{Err: err}
	}
	if l.Undo && p.Older {
		l.Asks = []string{"You noted it before you opened ashbook: undo it anyway?"}
	}
	return backend.Understood{Text: l.Understood(p.Settings.Units), Flags: l.Flags, Left: l.Left, Asks: l.Asks}
}

// Complete completes a word that has only one ending.
func (p *Port) Complete(id, line string) string {
	c, err := p.find(id)
	if err != nil {
		return line
	}
	ends := shorthand.Complete(line, shorthand.Context{Now: p.Clock, Settings: p.Settings, Cook: c})
	if len(ends) != 1 {
		return line
	}
	return line + ends[0] + " "
}

// Note adds an entry.
func (p *Port) Note(id, line string) (backend.Noted, error) {
	if p.Fails != nil {
		return backend.Noted{}, p.Fails
	}
	c, l, err := p.parse(id, line, p.Clock)
	if err != nil {
		return backend.Noted{}, err
	}
	switch {
	case l.Undo:
		return p.Undo(id)
	case l.Redo:
		return p.redo(c)
	}
	p.undone = nil
	c.Entries = append(c.Entries, l.Entries()...)
	journal.SortEntries(c.Entries)
	return backend.Noted{Text: measure.FormatTime(l.Entry.Time, measure.Clock, p.Settings.Units) + "  " + l.Understood(p.Settings.Units), Flags: l.Flags}, nil
}

// Undo removes the last entry.
func (p *Port) Undo(id string) (backend.Noted, error) {
	if p.Fails != nil {
		return backend.Noted{}, p.Fails
	}
	c, err := p.find(id)
	switch {
	case err != nil:
		return backend.Noted{}, err
	case len(c.Entries) == 0:
		return backend.Noted{}, errors.New("nothing is noted yet")
	}
	gone := c.Entries[len(c.Entries)-1]
	p.undone = append(p.undone, gone)
	c.Entries = c.Entries[:len(c.Entries)-1]
	return backend.Noted{Text: measure.FormatTime(gone.Time, measure.Clock, p.Settings.Units) + "  " + gone.Body(), TakenBack: true}, nil
}

// redo restores what Undo removed last.
func (p *Port) redo(c *journal.Cook) (backend.Noted, error) {
	if len(p.undone) == 0 {
		return backend.Noted{}, errors.New("nothing was undone here since the last note")
	}
	back := p.undone[len(p.undone)-1]
	p.undone = p.undone[:len(p.undone)-1]
	c.Entries = append(c.Entries, back)
	return backend.Noted{Text: measure.FormatTime(back.Time, measure.Clock, p.Settings.Units) + "  " + back.Body(), PutBack: true}, nil
}

// Settle removes a pair of values that two people set.
func (p *Port) Settle(id string, o journal.Other, take bool) (backend.Noted, error) {
	c, err := p.find(id)
	if err != nil || p.Fails != nil {
		return backend.Noted{}, errors.Join(err, p.Fails)
	}
	right, wrong := o.Both()
	if take {
		right, wrong = wrong, right
	}
	c.Others = slices.DeleteFunc(slices.Clone(c.Others), func(x journal.Other) bool { return x.String() == o.String() })
	return backend.Noted{Text: o.Name() + " " + right + ", not " + wrong}, nil
}

// LightNew adds a cook that is lit.
func (p *Port) LightNew(cut string) (string, error) {
	if p.Fails != nil {
		return "", p.Fails
	}
	c := &journal.Cook{ID: p.Clock.Format("2006-01-02-") + strings.ReplaceAll(cut, " ", "-"), Title: cut, Cut: cut, Pieces: []journal.Piece{{}},
		Entries: []journal.Entry{{Time: p.Clock, Items: []journal.Item{{Act: journal.Lit}}}}}
	p.Cooks = append(p.Cooks, c)
	return c.ID, nil
}

// Light notes that the fire is lit.
func (p *Port) Light(id string) (backend.Noted, error) { return p.Note(id, journal.Lit.Word()) }

// Taste saves the scores of an eater.
func (p *Port) Taste(id string, t journal.Taste) error {
	if p.Fails != nil {
		return p.Fails
	}
	c, err := p.find(id)
	if err != nil {
		return err
	}
	p.Kept = append(p.Kept, t)
	for i := range c.Tasting {
		if strings.EqualFold(c.Tasting[i].Eater, t.Eater) {
			c.Tasting[i] = t
			return nil
		}
	}
	c.Tasting = append(c.Tasting, t)
	return nil
}

// Write replaces a text written after a cook.
func (p *Port) Write(id string, what journal.After, text string) (backend.Written, error) {
	c, err := p.find(id)
	if err != nil || p.Fails != nil {
		return backend.Written{}, errors.Join(err, p.Fails)
	}
	w := backend.Written{What: what, Was: what.Of(c)}
	if y := &c.Yield; what.Weighs() {
		to := map[journal.After]*measure.Mass{journal.CameOff: &y.Off, journal.Discarded: &y.Discard, journal.LeftOver: &y.Left}[what]
		if text == "" {
			*to = measure.Mass{}
		} else {
			err = measure.Read(to, text, p.Settings.Units)
		}
	} else {
		*map[journal.After]*string{journal.ToKeep: &c.Keep, journal.ToChange: &c.Change}[what] = text
	}
	w.Is = what.Of(c)
	return w, err
}

// Judge returns the scores corrected for each rater's severity.
func (p *Port) Judge(id string) (drivers.Judgement, error) {
	c, err := p.find(id)
	if err != nil {
		return drivers.Judgement{}, err
	}
	var all []journal.Cook
	for _, o := range p.Cooks {
		all = append(all, *o)
	}
	return drivers.Judge(c, frame.Cooks(all)), nil
}

var _ backend.Port = (*Port)(nil)

// entries parses timeline lines of a time of day and a body. The first is on the day of
// from, each later one at the next such time.
func entries(from time.Time, g journal.Grammar, lines ...string) []journal.Entry {
	var all []journal.Entry
	at := from
	for _, l := range lines {
		clock, body, _ := strings.Cut(l, " ")
		h, m, _ := journal.ParseClock(clock)
		at = journal.ClockAfter(at, h, m, from.Location())
		items, words, _ := journal.ParseBody(body, g)
		all = append(all, journal.Entry{Time: at, Items: items, Words: words})
	}
	return all
}

func celsius(c float64) measure.Temperature { return measure.Degrees(c, measure.Metric) }
