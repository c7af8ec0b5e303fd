package journaltest

import "os"

// Whole reports whether sweeps are to be tried whole, and on the disk: CI sets
// ASHBOOK_WHOLE. Without it every sweep is a smaller one of the same kind.
func Whole() bool { return os.Getenv("ASHBOOK_WHOLE") != "" }
