package backend

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/report/drivers"
	"ashbook/tui/intent"
)

// Request is the number of a question. A screen uses it to recognise the answer to its
// last question and to drop older ones. No two questions have the same number.
type Request int

// Client calls a Port by commands. Only Update may use it.
type Client struct {
	ticker
	port Port
	last Request
}

// NewClient returns a client of p.
func NewClient(p Port) *Client { return &Client{ticker: ticker{p}, port: p} }

// Time is the clock's answer.
type Time struct{ Now time.Time }

// Answer is the answer of type T to one question.
type Answer[T any] struct {
	Request Request
	Value   T
	Err     error
}

// Loaded is a cook and when it was read.
type Loaded struct {
	Cook Cook
	Now  time.Time
	Mark Mark // state of its files just before they were read; only set by LoadSince
	Same bool // the files have not changed, so Cook is empty; only set by LoadSince
}

// Wish is a change to a running cook that the user wants saved.
type Wish struct {
	// Enter and Redo note Line; TakeBack undoes; Light lights; Stands and Other settle
	// the pair in Other
	Do    intent.Do
	Line  string        // an entry line, as typed
	Other journal.Other // what two people set for the same thing
}

// Tasted is the result of saving one eater's scores.
type Tasted struct{ Taste journal.Taste }

func ask[T any](last *Request, f func() (T, error)) (Request, tea.Cmd) {
	*last++
	r := *last
	return r, func() tea.Msg {
		v, err := f()
		return Answer[T]{r, v, err}
	}
}

// Search answers with Answer[Shelf].
func (c *Client) Search(words string) (Request, tea.Cmd) {
	return ask(&c.last, func() (Shelf, error) { return c.port.Search(words) })
}

// Load answers with Answer[Loaded].
func (c *Client) Load(id string) (Request, tea.Cmd) {
	return ask(&c.last, func() (Loaded, error) {
		cook, err := c.port.Load(id)
		return Loaded{Cook: cook, Now: c.port.Now()}, err
	})
}

// LoadSince does what Load does, but reads nothing if the files have not changed since
// the mark seen. With an empty mark it always reads.
func (c *Client) LoadSince(id string, seen Mark) (Request, tea.Cmd) {
	return ask(&c.last, func() (Loaded, error) {
		mark, err := c.port.Mark(id)
		if err == nil && seen != "" && mark == seen {
			return Loaded{Mark: mark, Same: true}, nil
		}
		cook, err := c.port.Load(id)
		return Loaded{Cook: cook, Now: c.port.Now(), Mark: mark}, err
	})
}

// Expect answers with Answer[Forecast].
func (c *Client) Expect(cook *journal.Cook, now time.Time) (Request, tea.Cmd) {
	return ask(&c.last, func() (Forecast, error) { return c.port.Expect(cook, now), nil })
}

// Note answers with Answer[Noted].
func (c *Client) Note(id string, w Wish) (Request, tea.Cmd) {
	return ask(&c.last, func() (Noted, error) {
		switch w.Do {
		case intent.TakeBack:
			return c.port.Undo(id)
		case intent.Light:
			return c.port.Light(id)
		case intent.Stands, intent.Other:
			return c.port.Settle(id, w.Other, w.Do == intent.Other)
		}
		return c.port.Note(id, w.Line)
	})
}

// LightNew answers with Answer[Begun].
func (c *Client) LightNew(cut string) (Request, tea.Cmd) {
	return ask(&c.last, func() (Begun, error) {
		id, err := c.port.LightNew(cut)
		return Begun{id}, err
	})
}

// Taste answers with Answer[Tasted].
func (c *Client) Taste(id string, t journal.Taste) (Request, tea.Cmd) {
	return ask(&c.last, func() (Tasted, error) { return Tasted{t}, c.port.Taste(id, t) })
}

// Judge answers with Answer[drivers.Judgement].
func (c *Client) Judge(id string) (Request, tea.Cmd) {
	return ask(&c.last, func() (drivers.Judgement, error) { return c.port.Judge(id) })
}

// Understand reads a line without a command.
func (c *Client) Understand(id string, now time.Time, line string) Understood {
	return c.port.Understand(id, now, line)
}

// Complete completes a line without a command.
func (c *Client) Complete(id, line string) string { return c.port.Complete(id, line) }

// ticker makes commands of a Clock.
type ticker struct{ clock Clock }

// Tick answers with Time after d, or with nothing when the clock has stopped.
func (t ticker) Tick(d time.Duration) tea.Cmd {
	return func() tea.Msg {
		if now, ok := t.clock.Wait(d); ok {
			return Time{now}
		}
		return nil
	}
}

// Clock answers with Time at once.
func (t ticker) Clock() tea.Cmd {
	return func() tea.Msg { return Time{t.clock.Now()} }
}
