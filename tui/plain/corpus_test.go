package plain

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/journal/journaltest"
	"ashbook/journal/shorthand"
	"ashbook/tui/tuitest"
)

// What people write is accepted line by line as on the screens: a line is noted at
// once, or repeated and noted on yes. No line is refused.
func TestCorpusInLines(t *testing.T) {
	names, err := filepath.Glob("../../journal/shorthand/testdata/*.txt")
	if err != nil || len(names) < 9 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		noted, asked, seen := 0, 0, 0
		for line := range strings.Lines(string(data)) {
			line, _, ok := strings.Cut(strings.TrimSpace(line), " => ")
			if _, _, command := commandOf(line); !ok || command || line == "" {
				continue
			}
			if seen++; !journaltest.Whole() && seen%5 != 0 {
				continue
			}
			p := tuitest.Hall()
			c, before := p.Cooks[0], slices.Clone(p.Cooks[0].Entries)
			want, err := shorthand.Parse(line, shorthand.Context{Now: p.Clock, Settings: p.Settings, Cook: c})
			if err != nil || want.Undo || want.Redo {
				continue
			}
			said := talk(t, p, "1", line, "yes")
			switch {
			case !want.Confirm() && strings.Contains(said, "\nNoted: "):
				noted++
			case want.Confirm() && strings.Contains(said, "\nNot noted yet. It would be") && strings.Contains(said, "\nNoted: "):
				asked++
			default:
				t.Errorf("%q:\n%s", line, said)
				continue
			}
			all := append(before, want.Entries()...)
			journal.SortEntries(all)
			if got := bodies(c.Entries); !slices.Equal(got[:len(all)], bodies(all)) {
				t.Errorf("%q is noted as %q, want %q", line, got, bodies(all))
			}
		}
		t.Logf("%s: %d noted at once, %d said back first", name, noted, asked)
	}
}

func bodies(entries []journal.Entry) []string {
	out := make([]string, len(entries))
	for i, e := range entries {
		out[i] = e.Body()
	}
	return out
}
