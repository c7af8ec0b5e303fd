package machine

import (
	"bytes"
	"testing"
)

// POSIX.1-2017, XBD 8.3: COLUMNS is the preferred width of text, a positive whole
// number. Any other value, and one too narrow for a page, is ignored.
func TestWidthFromTheEnvironment(t *testing.T) {
	for columns, want := range map[string]int{"": 0, "60": 60, "132": 132, "40": 40, "39": 0, "0": 0, "-80": 0, "wide": 0, "80.5": 0, "99999999999999999999": 0} {
		if got := Width(&bytes.Buffer{}, func(k string) string { return map[string]string{"COLUMNS": columns}[k] }); got != want {
			t.Errorf("COLUMNS=%q: %d, want %d", columns, got, want)
		}
	}
}
