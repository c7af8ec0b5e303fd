package folder

import "testing"

// Names that folder-sync programs give to copies (common practice, no source), and
// names that only look like them.
func TestCopyOf(t *testing.T) {
	there := func(name string) bool { return name == "2026-09-18-harvest.md" || name == "2026-09-18-harvest.csv" }
	for name, want := range map[string]string{
		"2026-09-18-harvest (conflicted copy 2026-09-19).md":              "2026-09-18-harvest.md",
		"2026-09-18-harvest (Ben's Conflicted Copy 2026-09-19 1).md":      "2026-09-18-harvest.md",
		"2026-09-18-harvest (hall, conflicted copy 2026-09-19 00101).csv": "2026-09-18-harvest.csv",
		"2026-09-18-harvest.sync-conflict-20260919-003000-ABCDEFG.md":     "2026-09-18-harvest.md",
		"2026-09-18-harvest (1).md":                                       "2026-09-18-harvest.md",
		"2026-09-18-harvest (12).md":                                      "2026-09-18-harvest.md",
		"2026-09-18-harvest.md":                                           "",
		// no file of the plain name
		"2026-09-18-supper (1).md":    "",
		"2026-09-18-harvest (1).txt":  "",
		"2026-09-18-harvest (0).md":   "",
		"2026-09-18-harvest (two).md": "",
		"2026-09-18-harvest(1).md":    "",
	} {
		if got := copyOf(name, there); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}
