package journaltest

import "os"

// Whole reports whether tests should try all their cases, and those of saving on disk:
// CI sets ASHBOOK_WHOLE. Without it, each such test tries fewer cases of the same kind.
func Whole() bool { return os.Getenv("ASHBOOK_WHOLE") != "" }
