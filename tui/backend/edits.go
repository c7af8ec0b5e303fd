package backend

import (
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page"
)

// Edits are the methods that change a cook's file. Commands call all of them except
// Mending.
type Edits interface {
	// Mending reads a line that is to replace an entry, as Understand does for a new
	// entry.
	Mending(id string, old journal.Entry, now time.Time, line string) Understood
	// Mend replaces an entry by a new line.
	Mend(id string, old journal.Entry, line string) (Mended, error)
	// Drop deletes an entry.
	Drop(id string, old journal.Entry) (Mended, error)
	// Unmend undoes the last Mend or Drop of this run.
	Unmend(id string) (Mended, error)

	// Settle decides between the two values that two people set for the same thing: if
	// take is false the one in its place is right, if true the other one.
	Settle(id string, o journal.Other, take bool) (Noted, error)

	// Tasks returns the cook's name and the items of its task lists, in order.
	Tasks(id string) (Tasks, error)
	// SetTask ticks a task, or unticks it.
	SetTask(id string, t Task, done bool) error

	// Hold returns the state of a cook's box and of its leftovers.
	Hold(id string, now time.Time) (Hold, error)

	// Write replaces a text written after a cook; "" deletes it. A weight without a unit
	// has the journal's unit.
	Write(id string, what journal.After, text string) (Written, error)

	// Aside leaves a cook out of reports, or brings it back.
	Aside(id string, aside bool) error

	// Versions returns the versions of a cook's file, the newest first.
	Versions(id string) ([]Version, error)
	// VersionPage shows what a version changed, and what would change if it were brought
	// back.
	VersionPage(id string, v Version) (page.Page, error)
	// Bring replaces the file by an older version, as a new version.
	Bring(id string, v Version) error

	// Edit opens a cook's file in the user's own editor while the screens wait. Then it
	// saves the changes and sends the message that done returns.
	Edit(id string, done func(Edited, error) tea.Msg) tea.Cmd
}

// Mended is how an entry changed.
type Mended struct {
	Was, Is journal.Entry // zero Time: there was no entry, or it was deleted
	Flags   []string
}

// Edited is the result of editing a cook's file by hand.
type Edited struct {
	Changed  bool
	Problems []string // what cannot be read as meant, with its place: "line 3:5: …"
	Broken   bool     // nothing in the file can be used
}

// Version is a version of a cook's file.
type Version struct {
	N    int    // number from 1, the oldest
	Hash string // hash of the commit
	When time.Time
	Who  string
	What string // the commit message
	Gone bool   // the file was deleted in this version
	// only for the newest version, if it was merged from two people's versions: the
	// commit with the current file; "" otherwise
	Now string
}

// Tasks are the task lists of a cook.
type Tasks struct {
	Title string
	Serve time.Time // serving hour; zero if not known
	Units measure.System
	All   []Task
}

// Task is one item of a task list in a cook's file.
type Task struct {
	Section string // the heading above it
	Text    string
	Done    bool
	Line    int // line in the file
}

// Hold is the state of a cook's box, or of its leftovers, in words.
type Hold struct {
	Title     string
	Units     measure.System
	Stage     string // "in the box"
	Label     string // what the large figure means: "AT OR ABOVE 60 °C UNTIL"
	Large     string // the large text: "13:40"; "" if not known
	Beside    []string
	Tone      Tone   // of the large text
	Answer    string // the same in a sentence
	Meal      string // what it means for the meal
	MealTone  Tone
	Do        []Step
	Leftovers []page.Fact
	Box       []page.Fact
	Near      bool   // so near the limit that it is time to decide
	Unsure    string // why the last reading is doubted and not counted; "" if it is not
}

// Why joins the reasons for doubts into one sentence; "" for none.
func Why(doubts []journal.Doubt) string {
	if len(doubts) == 0 {
		return ""
	}
	why := make([]string, len(doubts))
	for i, d := range doubts {
		why[i] = d.Why
	}
	all := strings.Join(why, "; ")
	if !strings.HasSuffix(all, "?") {
		all += "."
	}
	return all
}

// Step is something to do.
type Step struct {
	page.Fact
	By time.Time // the latest time for it; zero for none
}

// Set is the answer to Aside.
type Set struct{ Aside bool }

// Mending reads a line without a command.
func (c *Client) Mending(id string, old journal.Entry, now time.Time, line string) Understood {
	return c.port.Mending(id, old, now, line)
}

// Mend answers with Answer[Mended].
func (c *Client) Mend(id string, old journal.Entry, line string) (Request, tea.Cmd) {
	return ask(&c.last, func() (Mended, error) { return c.port.Mend(id, old, line) })
}

// Drop answers with Answer[Mended].
func (c *Client) Drop(id string, old journal.Entry) (Request, tea.Cmd) {
	return ask(&c.last, func() (Mended, error) { return c.port.Drop(id, old) })
}

// Unmend answers with Answer[Mended].
func (c *Client) Unmend(id string) (Request, tea.Cmd) {
	return ask(&c.last, func() (Mended, error) { return c.port.Unmend(id) })
}

// Tasks answers with Answer[Tasks].
func (c *Client) Tasks(id string) (Request, tea.Cmd) {
	return ask(&c.last, func() (Tasks, error) { return c.port.Tasks(id) })
}

// SetTask answers with Answer[Task], the task as it is then.
func (c *Client) SetTask(id string, t Task, done bool) (Request, tea.Cmd) {
	return ask(&c.last, func() (Task, error) {
		err := c.port.SetTask(id, t, done)
		if err == nil {
			t.Done = done
		}
		return t, err
	})
}

// Hold answers with Answer[Hold].
func (c *Client) Hold(id string, now time.Time) (Request, tea.Cmd) {
	return ask(&c.last, func() (Hold, error) { return c.port.Hold(id, now) })
}

// Aside answers with Answer[Set].
func (c *Client) Aside(id string, aside bool) (Request, tea.Cmd) {
	return ask(&c.last, func() (Set, error) { return Set{aside}, c.port.Aside(id, aside) })
}

// Versions answers with Answer[[]Version].
func (c *Client) Versions(id string) (Request, tea.Cmd) {
	return ask(&c.last, func() ([]Version, error) { return c.port.Versions(id) })
}

// VersionPage answers with Answer[page.Page].
func (c *Client) VersionPage(id string, v Version) (Request, tea.Cmd) {
	return ask(&c.last, func() (page.Page, error) { return c.port.VersionPage(id, v) })
}

// Bring answers with Answer[Version].
func (c *Client) Bring(id string, v Version) (Request, tea.Cmd) {
	return ask(&c.last, func() (Version, error) { return v, c.port.Bring(id, v) })
}

// Edit answers with Answer[Edited], which the App itself shows.
func (c *Client) Edit(id string) tea.Cmd {
	c.last++
	r := c.last
	return c.port.Edit(id, func(e Edited, err error) tea.Msg { return Answer[Edited]{r, e, err} })
}
