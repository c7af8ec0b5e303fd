package backend

import "time"

// Company is what is known about the other people who note in a cook, and about the
// remote that they share. It is zero if one person notes alone.
type Company struct {
	Noted  []Noting // recent entries of others, newest first
	Clocks []Clocked

	Remote  bool      // there is a remote
	Heard   time.Time // when it last answered; zero for never
	NotSent int       // number of changes that it lacks
	Since   time.Time // when the oldest of them was made
	Problem string    // why the last sync stopped, in words; "" if it did not
}

// Noting is an entry by another person.
type Noting struct {
	Who  string // name in the journal's history
	At   time.Time
	What string // "wood cherry 90 g"
}

// Clocked is a person whose clock is ahead of this machine's, and by how much.
type Clocked struct {
	Who   string
	Ahead time.Duration
}
