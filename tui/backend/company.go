package backend

import "time"

// Company is what is known of the others who keep a cook, and of the remote over which
// they hear of each other. The zero Company is that of a cook kept by one person alone.
type Company struct {
	Noted  []Noting // what the others noted of late, the newest first
	Clocks []Clocked

	Remote  bool      // there is one
	Heard   time.Time // when it last answered; zero: never
	NotSent int       // changes that it lacks
	Since   time.Time // when the oldest of them was made
	Problem string    // why the last sync stopped, a clause; "" where it did not
}

// Noting is an entry that somebody else brought.
type Noting struct {
	Who  string // as history has the name
	At   time.Time
	What string // "wood cherry 90 g"
}

// Clocked is somebody whose clock is ahead of this one, and by how much.
type Clocked struct {
	Who   string
	Ahead time.Duration
}
