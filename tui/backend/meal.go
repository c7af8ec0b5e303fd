package backend

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal/measure"
	"ashbook/report/page"
)

// Meals are the methods that plan back from a meal. Reword reads no files and is called on
// every key; commands call the others.
type Meals interface {
	// Kitchen says with what to begin, and what there is to choose from.
	Kitchen(now time.Time) (Kitchen, error)
	// Reword is the meal with one field as typed, or why it cannot be.
	Reword(m Meal, f Field, text string, now time.Time) (Meal, error)
	// Work works a meal back.
	Work(m Meal, now time.Time) (Worked, error)
	// Plan saves a meal as a planned cook with its lists, and returns its ID.
	Plan(m Meal, now time.Time) (string, error)
}

// Meal is the meal to plan for.
type Meal struct {
	Serve  time.Time
	Heads  string // "24", or "24, children 6"
	Cut    string
	Pit    string // empty: the usual one
	AimPit string // "115 °C"; empty: as usual
	Wrap   string // "paper at 72 °C"; empty: none
	Fits   string // how many pieces the pit takes, as answered to Asks; empty: by its file
}

// Field is a part of a meal that can be changed.
type Field uint8

// The fields.
const (
	Serve Field = iota
	Heads
	Cut
	Pit
	AimPit
	Wrap
	Fields // how many there are to choose from
	Fits   // only where it is asked
)

// Asks is an error: before a meal is worked back, the person must say how many pieces its pit takes.
type Asks struct{ Question string }

func (a Asks) Error() string { return a.Question }

// Kitchen is the meal that a plan starts with, and the choices.
type Kitchen struct {
	Meal  Meal
	Cuts  []string
	Pits  []string
	Units measure.System
}

// Worked is a meal worked back.
type Worked struct {
	OnBy     time.Time
	Light    time.Time // when the fire is lit for it
	AimPit   float64   // °C, of the pit, as asked or usual
	Usual    bool      // past cooks show what is usual on that pit
	TooLate  float64   // chance to be late when lit at once; 0: there is time
	Noted    bool      // what fits is noted in the pit's file now
	Sentence []string
	Starts   []Start
	Page     page.Page // all of it
}

// Start is what comes of putting it on at a time.
type Start struct {
	On   time.Time
	Late float64 // chance, 0 to 1
	Hold float64 // h in the box, on average
	Is   bool    // the on-by time
}

// Planned is a meal that is saved.
type Planned struct {
	Meal Meal
	Cook string // ID
}

// Kitchen answers with Answer[Kitchen].
func (c *Client) Kitchen(now time.Time) (Request, tea.Cmd) {
	return ask(&c.last, func() (Kitchen, error) { return c.port.Kitchen(now) })
}

// Reword reads a field at once.
func (c *Client) Reword(m Meal, f Field, text string, now time.Time) (Meal, error) {
	return c.port.Reword(m, f, text, now)
}

// Work answers with Answer[Worked].
func (c *Client) Work(m Meal, now time.Time) (Request, tea.Cmd) {
	return ask(&c.last, func() (Worked, error) { return c.port.Work(m, now) })
}

// Plan answers with Answer[Planned].
func (c *Client) Plan(m Meal, now time.Time) (Request, tea.Cmd) {
	return ask(&c.last, func() (Planned, error) {
		id, err := c.port.Plan(m, now)
		return Planned{m, id}, err
	})
}
