package backend

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal/measure"
	"ashbook/report/page"
)

// Meals are the methods that plan back from a meal. Reword reads no files and is called
// for every key. Commands call the others.
type Meals interface {
	// Kitchen returns the meal to start with and what can be chosen.
	Kitchen(now time.Time) (Kitchen, error)
	// Reword returns the meal with one field set to the typed text, or an error if the
	// text cannot be read.
	Reword(m Meal, f Field, text string, now time.Time) (Meal, error)
	// Work plans back from a meal.
	Work(m Meal, now time.Time) (Worked, error)
	// Plan saves a meal as a planned cook with its lists, and returns its ID.
	Plan(m Meal, now time.Time) (string, error)
}

// Meal is the meal to plan for.
type Meal struct {
	Serve  time.Time
	Heads  string // "24", or "24, children 6"
	Cut    string
	Pit    string // "" for the usual one
	AimPit string // "115 °C"; "" for the usual
	Wrap   string // "paper at 72 °C"; "" for none
	Fits   string // how many pieces the pit takes, the answer to Asks; "" to go by the pit's file
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
	Fields // number of the fields above
	Fits   // only shown when the plan asks for it
)

// Asks is the error of a meal that cannot be planned before the user says how many
// pieces its pit takes.
type Asks struct{ Question string }

func (a Asks) Error() string { return a.Question }

// Kitchen is the meal that a plan starts with, and what can be chosen.
type Kitchen struct {
	Meal  Meal
	Cuts  []string
	Pits  []string
	Units measure.System
}

// Worked is a plan for a meal.
type Worked struct {
	OnBy   time.Time
	Light  time.Time // when to light the fire
	AimPit float64   // pit temperature, as asked or usual, °C
	Usual  bool      // past cooks show what is usual in that pit
	// chance that the meal is late even if the fire is lit now, 0 to 1; 0 if there is
	// time
	TooLate  float64
	Noted    bool // how many pieces fit is now noted in the pit's file
	Sentence []string
	Starts   []Start
	Page     page.Page // the whole plan
}

// Start is the outcome of one start time.
type Start struct {
	On   time.Time
	Late float64 // chance that the meal is late, 0 to 1
	Hold float64 // mean time in the box, h
	Is   bool    // this start is the on-by time
}

// Planned is a meal that was saved as a planned cook.
type Planned struct {
	Meal Meal
	Cook string // ID of the cook
}

// Kitchen answers with Answer[Kitchen].
func (c *Client) Kitchen(now time.Time) (Request, tea.Cmd) {
	return ask(&c.last, func() (Kitchen, error) { return c.port.Kitchen(now) })
}

// Reword reads a field without a command.
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
