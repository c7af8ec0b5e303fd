// Package intent holds the closed set of things a person may want from a
// screen. Keys are turned into intents before a screen sees them.
package intent

// Do says what the person wants.
type Do uint8

// The intents. The last ones edit the line being typed, if there is one.
const (
	Nothing Do = iota
	Quit
	Help
	Night
	Back
	Up
	Down
	Left
	Right
	PageUp
	PageDown
	First
	Last
	Enter // open, note, save, yes: the main act of the screen
	Next  // section
	Previous
	Find     // anything that can be done, by its words
	Narrow   // to what holds the words typed
	Alter    // change a value of the page
	MarkCook // so that several can be shown together
	Point    // at line Row of the screen, with a mouse
	ToWatch
	ToCook // its page
	ToTasting
	ToBeside    // cooks against each other
	ToWhy       // why a cook was early or late
	ToMatters   // what matters, over all cooks
	ToHindsight // how far to trust the forecasts
	ToPits      // the page of the pits
	ToMixes     // all mixes
	ToSettings  // the person's choices
	Print       // how a page comes on paper, or to others
	Light
	Begin // a new cook, lit now
	TakeBack
	Redo    // put back what TakeBack took out
	Choices // what could be done now
	Stands  // of what two people set at once, the value that counts now is right
	Other   // the other is
	ToTimeline
	ToVersions
	ToHold
	ToReady
	ToWorkback
	DayBack // the meal a day earlier
	DayOn
	Editor   // open the cook's file in the person's own editor
	JustTime // change the time of an entry alone
	Drop     // take an entry out
	Bring    // bring a version back
	Tick     // a task is done, or is not
	Aside    // put a cook aside, or let it count again
	Sleep    // be woken at a time, or get up again
	NewEater
	Round
	Words
	Keep   // what to do again
	Change // what to do differently
	Weigh  // what came off, was thrown out, is left
	TooMuch
	TooLittle
	Score // Text holds the digit
	Clear
	Complete
	Put  // Text replaces the typed line
	Text // Text was typed
	Erase
	EraseNext
	EraseWord
	EraseLine
	LineStart
	LineEnd
)

// Intent is one wish.
type Intent struct {
	Do   Do
	Text string // of Text, Put and Score
	Row  int    // of Point: from the top of the screen, from 0
}

// Place is a screen.
type Place uint8

// The places.
const (
	Shelf Place = iota
	Watch
	Tasting
	Cook      // its page: of one cook
	Beside    // two or more cooks against each other; one, with the closest to it
	Why       // early or late: one cook, further ones to hold it against
	Matters   // what matters, over all cooks
	Hindsight // how far off the forecasts would have been
	Pits      // the page of the pits
	Mixes     // all mixes
	Settings  // the person's choices
	Timeline
	Versions
	Hold
	Ready
	Workback // from the meal to the fire; of no cook
	FirstRun // there is no journal, and no shelf
	Places   // how many there are
)

// IsPage reports whether a place is a page without a screen of its own.
func (p Place) IsPage() bool {
	switch p {
	case Shelf, Watch, Tasting, Timeline, Versions, Hold, Ready, Workback, FirstRun:
		return false
	}
	return p < Places
}

// Open is the wish of a screen for another one.
type Open struct {
	Place Place
	Cook  string   // ID
	With  []string // IDs of others, marked
}

// Cooks is all of them.
func (o Open) Cooks() []string {
	if o.Cook == "" {
		return o.With
	}
	return append([]string{o.Cook}, o.With...)
}

// Close is the wish of a screen to be left.
type Close struct{}

// Mover is part of a screen that asks to be left or for another one. It is seen to
// before the next key, which is the next screen's already.
type Mover struct{ wish any }

// Open asks for another screen.
func (m *Mover) Open(o Open) { m.wish = o }

// Close asks to be left.
func (m *Mover) Close() { m.wish = Close{} }

// Wish returns the Open or Close asked for since the last call, or nil.
func (m *Mover) Wish() any {
	w := m.wish
	m.wish = nil
	return w
}
