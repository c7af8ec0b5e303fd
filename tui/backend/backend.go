// Package backend has everything that the screens need from outside: the journal, the
// clock, the bell. Screens call it through a Client, whose commands run beside the
// drawing and answer with one message each.
package backend

import (
	"fmt"
	"slices"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/course"
	"ashbook/report/drivers"
)

// Port is everything outside the screens. Understand, Mending, Reword and Complete are
// called while a key is handled. Commands call the other methods, several at a time,
// and they may take as long as they need.
type Port interface {
	Pages
	Edits
	Meals
	Night
	Clock

	// Search returns the cooks that contain every one of the words; all cooks for no
	// words. Rows are sorted by SortRows.
	Search(words string) (Shelf, error)
	// Load reads a cook.
	Load(id string) (Cook, error)
	// Expect forecasts a loaded cook. It may take a second.
	Expect(c *journal.Cook, now time.Time) Forecast

	// Understand reads an entry line without noting it. It is called for every key, so
	// it must read no files and not process a whole probe series.
	Understand(id string, now time.Time, line string) Understood
	// Complete returns the line with its last word completed, as far as only one
	// completion is possible.
	Complete(id, line string) string

	// Note carries out the line: it adds an entry, or undoes the last one. It returns
	// when the change is on disk.
	Note(id, line string) (Noted, error)
	// Undo removes the last entry and returns it.
	Undo(id string) (Noted, error)
	// LightNew makes a new cook of a cut, lit now, and returns its ID.
	LightNew(cut string) (string, error)
	// Light notes that the fire of a planned cook is lit now.
	Light(id string) (Noted, error)
	// Taste saves the scores of one eater in place of that eater's earlier ones.
	Taste(id string, t journal.Taste) error
	// Judge returns a cook's saved scores, corrected for each rater's severity.
	Judge(id string) (drivers.Judgement, error)
}

// Clock is the screens' clock.
type Clock interface {
	// Now reads the clock.
	Now() time.Time
	// Wait returns the time after d has passed; ok is false when the ticks should end.
	Wait(d time.Duration) (now time.Time, ok bool)
}

// Shelf is the answer to a search.
type Shelf struct {
	Rows    []Row
	Total   int // number of cooks in the journal
	Units   measure.System
	Notices []string // messages, with what to do: "2 files need a look: ashbook check"
}

// Group is the section of the shelf that a cook is in.
type Group uint8

// The groups, in order.
const (
	Burning Group = iota // lit, on the grate, or in the box
	Ahead                // planned
	Past
)

// Row is one cook on the shelf. Zero values mean "not recorded".
type Row struct {
	ID     string
	Group  Group
	State  string // words, the most important last: "wrapped, stalling", "served"
	Date   time.Time
	Title  string
	Cut    string
	Kg     float64 // weight on the grate, kg; raw if that is not known
	Pit    string
	Took   time.Duration // time from the first piece on to the last piece off
	Score  float64       // mean of the overall scores, 1 to 9
	Eaters int           // number of eaters who gave one
}

// Cook is a cook as read from the journal.
type Cook struct {
	Cook     *journal.Cook
	Settings journal.Settings
	Zone     *time.Location // zone in which its times are shown; nil means as written
	Waiting  string         // why the notes are not in history yet; "" if they are or soon will be
	Company  Company        // the other people who note in it
}

// Tone says whether a text is good news, bad news or neither.
type Tone uint8

// The tones. Each always goes with a word.
const (
	Even Tone = iota
	Good
	Careful
	Bad
)

// Forecast is when the last piece is expected to be ready to take off. A zero time
// means not known.
type Forecast struct {
	Early, Likely, Late time.Time
	Open                bool          // it may never be ready; Late is not shown
	From                string        // what it is based on, or why there is no forecast
	Moved               string        // which reading would narrow it, and how the last one moved it
	Said                []course.Said // forecasts of some hours ago, oldest first
	Meal                string        // what it means for the meal: "early, hold 3½ – 6 h"
	MealTone            Tone
	Band                []course.Expected // range of the core of the slowest piece
	Stall               string            // "yours last 2 – 4 h"
	Fire                Fire
	// how long the fuel lasts: "for about 5 h, as your cooks burn it"; "" if not known
	Fuel string
	// what to do now so that nobody gets hurt, and why; "" for nothing
	Care    string
	CareNow bool // Care is urgent: it rings and wakes
	// when it is ready at the 1, 3, … 99 % points; empty without a forecast
	Off []time.Time
	// usual time between two times that the user tends the fire in this pit; 0 if not
	// known
	Hand    time.Duration
	Silent  []Silence // probes that have stopped writing
	Choices []Choice  // what could be done now; empty if nothing is on
}

// Choice is one thing that could be done now, and when the last piece would then be
// ready.
type Choice struct {
	Name                string // "change nothing", "paper", "foil", "pit up 14 °C"
	Early, Likely, Late time.Time
	Open                bool          // it may never be ready
	Saves               time.Duration // how much earlier than by changing nothing; negative for later
	Note                string        // what it costs or is based on
}

// Understood is how a typed entry line is understood.
type Understood struct {
	Text  string   // "01:04 pit 112 °C · core 71 °C"; "" while nothing is understood
	Flags []string // warnings: "core 17, last was 71?"
	Left  []string // parts not understood, to be saved as words
	Asks  []string // questions; a second Enter answers yes
	Err   error    // why it cannot be noted
}

// Confirm reports whether the line needs a second Enter to be noted.
func (u Understood) Confirm() bool { return len(u.Left)+len(u.Asks) > 0 }

// Doubts returns the lines shown below an understood line: questions, parts not
// understood, and warnings.
func (u Understood) Doubts() []string {
	all := slices.Clone(u.Asks)
	for _, w := range u.Left {
		all = append(all, fmt.Sprintf("I don't know %q: kept as words", w))
	}
	return append(all, u.Flags...)
}

// Begun is a new cook.
type Begun struct{ ID string }

// Noted is an entry that was saved or undone.
type Noted struct {
	Text      string
	Flags     []string
	TakenBack bool // the line undid the last entry
	PutBack   bool // the line restored the entry that was undone
}
