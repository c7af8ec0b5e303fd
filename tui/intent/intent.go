// Package intent has everything that a user can want from a screen. Keys are turned
// into intents before a screen gets them.
package intent

// Do is one kind of thing that the user can want.
type Do uint8

// The intents. The last ones edit the typed line if there is one.
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
	Enter // the main act of the screen: open, note, save, yes
	Next  // next section
	Previous
	Find     // look for anything that can be done by its words
	Narrow   // narrow the page by typed words
	Alter    // change a value of the page
	MarkCook // mark the cook, to show several together
	Point    // click at line Row of the screen
	ToWatch
	ToCook // go to the cook's page
	ToTasting
	ToBeside    // compare cooks
	ToWhy       // show why a cook was early or late
	ToMatters   // show what matters over all cooks
	ToHindsight // show how accurate the forecasts would have been
	ToPits      // show the page of the pits
	ToMixes     // show all mixes
	ToSettings  // show the user's settings
	Print       // say how to print or send a page
	Light
	Begin // light a new cook
	TakeBack
	Redo    // restore what TakeBack undid
	Choices // show what could be done now
	Stands  // of two people's values, the one in its place is right
	Other   // the other one is right
	ToTimeline
	ToVersions
	ToHold
	ToReady
	ToWorkback
	DayBack // move the meal a day earlier
	DayOn
	Editor   // open the cook's file in the user's editor
	JustTime // change only the time of an entry
	Drop     // delete an entry
	Bring    // bring a version back
	Tick     // tick or untick a task
	Aside    // leave a cook out of reports, or bring it back
	Sleep    // say when to be woken, or get up
	NewEater
	Round
	Words
	Keep   // write what to do again
	Change // write what to do differently
	Weigh  // write the weights that came off, were thrown out, are left over
	TooMuch
	TooLittle
	Score // Text is the digit
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

// Intent is one wish of the user.
type Intent struct {
	Do   Do
	Text string // for Text, Put and Score
	Row  int    // for Point: line from the top of the screen, from 0
}

// Place names a screen or a page.
type Place uint8

// The places.
const (
	Shelf Place = iota
	Watch
	Tasting
	Cook      // the page of one cook
	Beside    // two or more cooks compared; one is compared with the most similar one
	Why       // why one cook was early or late; further ones to compare it with
	Matters   // what matters over all cooks
	Hindsight // how accurate the forecasts would have been
	Pits      // the page of the pits
	Mixes     // all mixes
	Settings  // the user's settings
	Timeline
	Versions
	Hold
	Ready
	Workback // plan from a meal back to the fire; about no cook
	FirstRun // there is no journal and no shelf
	Places   // number of places above
)

// IsPage reports whether a place is a page, which the reader screen shows.
func (p Place) IsPage() bool {
	switch p {
	case Shelf, Watch, Tasting, Timeline, Versions, Hold, Ready, Workback, FirstRun:
		return false
	}
	return p < Places
}

// Open is a screen's request to open another one.
type Open struct {
	Place Place
	Cook  string   // its ID
	With  []string // IDs of other marked cooks
}

// Cooks returns Cook and With together.
func (o Open) Cooks() []string {
	if o.Cook == "" {
		return o.With
	}
	return append([]string{o.Cook}, o.With...)
}

// Close is a screen's request to be closed.
type Close struct{}

// Mover is embedded in a screen that can ask to open another screen or to be closed.
// The App carries the request out before the next key, which already belongs to the
// next screen.
type Mover struct{ wish any }

// Open asks for another screen.
func (m *Mover) Open(o Open) { m.wish = o }

// Close asks to be closed.
func (m *Mover) Close() { m.wish = Close{} }

// Wish returns the Open or Close asked for since the last call, or nil.
func (m *Mover) Wish() any {
	w := m.wish
	m.wish = nil
	return w
}
