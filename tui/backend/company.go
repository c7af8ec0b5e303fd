package backend

import "time"

// Company is what is known about the other people who keep a cook, and about the remote
// that connects them. It is zero where one person keeps the cook alone.
type Company struct {
	Noted  []Noting // recent entries of others, the newest first
	Clocks []Clocked

	Remote  bool      // there is one
	Heard   time.Time // when it last answered; zero: never
	NotSent int       // changes that it lacks
	Since   time.Time // when the oldest of them was made
	Problem string    // why the last sync stopped, a clause; "" where it did not
}

// Noting is an entry by another person.
type Noting struct {
	Who  string // as history has the name
	At   time.Time
	What string // "wood cherry 90 g"
}

// Clocked is a person whose clock is ahead of this machine's, and by how much.
type Clocked struct {
	Who   string
	Ahead time.Duration
}
