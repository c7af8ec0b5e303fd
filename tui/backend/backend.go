// Package backend is everything the screens need from the outside: the journal,
// the clock, the bell. Screens speak to it through commands (Client) that run
// beside the drawing and answer with one message each.
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

// Port is the outside. All methods but Understand, Mending, Reword and Complete are called from
// commands, several at a time, and may take as long as they need.
type Port interface {
	Pages
	Edits
	Meals
	Night
	Clock

	// Search returns the cooks in which every one of the words occurs; no
	// words: all. Rows come in the order of SortRows.
	Search(words string) (Shelf, error)
	// Load reads a cook.
	Load(id string) (Cook, error)
	// Expect forecasts a loaded cook. It may take a second; the screen continues
	// meanwhile.
	Expect(c *journal.Cook, now time.Time) Forecast

	// Understand reads an entry line without noting it. It is called on every
	// key: it must not read files or go through a whole probe series.
	Understand(id string, now time.Time, line string) Understood
	// Complete returns the line with its last word completed as far as that
	// can mean one thing only.
	Complete(id, line string) string

	// Note does what the line asks: it adds an entry, or undoes the last one. It returns
	// when the change is on the disk.
	Note(id, line string) (Noted, error)
	// Undo removes the last entry and returns it.
	Undo(id string) (Noted, error)
	// LightNew makes a new cook of a cut, lit now, and returns its ID.
	LightNew(cut string) (string, error)
	// Light notes that the fire of a planned cook is lit now.
	Light(id string) (Noted, error)
	// Taste keeps the scores of one eater in place of what that eater gave before.
	Taste(id string, t journal.Taste) error
	// Judge frees the kept scores of a cook of the severity of its eaters.
	Judge(id string) (drivers.Judgement, error)
}

// Clock is the time as the screens know it.
type Clock interface {
	// Now reads the clock.
	Now() time.Time
	// Wait returns the time after d has passed; ok is false when no more
	// ticks are wanted.
	Wait(d time.Duration) (now time.Time, ok bool)
}

// Shelf is the answer to a search.
type Shelf struct {
	Rows    []Row
	Total   int // cooks in the journal, found or not
	Units   measure.System
	Notices []string // what needs saying, with what to do: "2 files need a look: ashbook check"
}

// Group is where a cook is on the shelf.
type Group uint8

// The groups, in order.
const (
	Burning Group = iota // lit, on, or in the box
	Ahead                // planned
	Past
)

// Row is one cook on the shelf. Zero values mean "not recorded".
type Row struct {
	ID     string
	Group  Group
	State  string // words, the most telling last: "wrapped, stalling", "served"
	Date   time.Time
	Title  string
	Cut    string
	Kg     float64 // as put on the grate; raw if that is not known
	Pit    string
	Took   time.Duration // first piece on to last piece off
	Score  float64       // mean of "overall", 1 to 9
	Eaters int           // who gave it
}

// Cook is a cook as it is read.
type Cook struct {
	Cook     *journal.Cook
	Settings journal.Settings
	Zone     *time.Location // in which its times are shown; nil: as written
	Waiting  string         // why the notes are not in history yet; "": they are, or will be in a moment
	Company  Company        // the others who keep it
}

// Tone is how things are.
type Tone uint8

// The tones; a word always says the same.
const (
	Even Tone = iota
	Good
	Careful
	Bad
)

// Forecast is when the last piece is expected off. Zero times: not known.
type Forecast struct {
	Early, Likely, Late time.Time
	Open                bool          // it may never get there: Late is not shown
	From                string        // what it is based on, or why there is none
	Moved               string        // which reading would narrow it, and how the last one moved it
	Said                []course.Said // what was forecast some hours ago, oldest first
	Meal                string        // what it means for the meal: "early, hold 3½ – 6 h"
	MealTone            Tone
	Band                []course.Expected // of the core of the slowest piece
	Stall               string            // "yours last 2 – 4 h"
	Fire                Fire
	Fuel                string        // for how long there is fuel: "for about 5 h, as your cooks burn it"; "": not known
	Care                string        // what to do now so that nobody gets hurt, and why; "": nothing
	CareNow             bool          // that presses: it is a call, and wakes
	Off                 []time.Time   // when it is off at the 1, 3 … 99 % points; empty without a forecast
	Hand                time.Duration // how often the person usually tends the fire in this pit; 0: not known
	Silent              []Silence     // probes that stopped
	Choices             []Choice      // what could be done now; empty: nothing is on
}

// Choice is one thing that could be done now, and when the last piece would be
// off then.
type Choice struct {
	Name                string // "leave it", "paper", "foil", "pit up 14 °C"
	Early, Likely, Late time.Time
	Open                bool          // it may not get there at all
	Saves               time.Duration // how much sooner than leaving it alone; negative: later
	Note                string        // what it costs or is based on
}

// Understood is how an entry line is understood so far.
type Understood struct {
	Text  string   // "01:04 pit 112 °C · core 71 °C"; empty while nothing is understood
	Flags []string // doubts: "core 17, last was 71?"
	Left  []string // words that are not understood and would be kept as words
	Asks  []string // questions that a second Enter answers with yes
	Err   error    // why it cannot be noted as it is
}

// Confirm reports whether the line is to be noted only on a second Enter.
func (u Understood) Confirm() bool { return len(u.Left)+len(u.Asks) > 0 }

// Doubts returns the lines shown below an understood line: questions, words not
// understood, and values that look odd.
func (u Understood) Doubts() []string {
	all := slices.Clone(u.Asks)
	for _, w := range u.Left {
		all = append(all, fmt.Sprintf("I don't know %q: kept as words", w))
	}
	return append(all, u.Flags...)
}

// Begun is a new cook.
type Begun struct{ ID string }

// Noted is an entry that is kept, or was taken back.
type Noted struct {
	Text      string
	Flags     []string
	TakenBack bool // the line asked for the last entry to be taken back, and it was
	PutBack   bool // the line asked for it to be put back, and it was
}
