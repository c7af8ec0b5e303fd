package journaltest

import (
	"os"
	"testing"
)

// Whole reports whether tests should try all their cases, and those of saving on disk:
// CI sets ASHBOOK_WHOLE. Without it, each such test tries fewer cases of the same kind.
func Whole() bool { return os.Getenv("ASHBOOK_WHOLE") != "" }

// OnlyWhole skips a test that takes long unless CI runs the tests whole. Such a test
// proves again, with more effort or other programs, what shorter ones prove too.
func OnlyWhole(t testing.TB) {
	t.Helper()
	if !Whole() {
		t.Skip("takes long: set ASHBOOK_WHOLE=1 to run it")
	}
}
