package folder

import (
	"testing"

	"ashbook/journal"
)

// A cook is not parsed again while its file and the settings are the same. Whoever gets it
// may change it without the next one seeing that.
func TestParsedOnce(t *testing.T) {
	dir := hall(t)
	f := open(t, dir, &clock{night})
	enter(t, f, "- 2026-09-19T05:04+01:00 pit 240")
	load := func() *journal.Cook {
		t.Helper()
		f.Settings()
		file, err := f.Load(supperID)
		if err != nil {
			t.Fatal(err)
		}
		return &file.Cook
	}
	pit := func(c *journal.Cook) float64 {
		it, _ := c.Entries[len(c.Entries)-1].Item(journal.ReadPit)
		return it.Temp.Base
	}
	for range 3 { // the first was parsed, the others were not
		c := load()
		if got := pit(c); got != 240 {
			t.Fatalf("pit %g, want 240", got)
		}
		clear(c.Entries)
		clear(c.Pieces)
	}
	write(t, dir, settingsName, "---\nashbook: 1\nunits: US\n---\n")
	if got := pit(load()); got < 115 || got > 116 { // 240 °F
		t.Errorf("pit %g °C with the settings changed, want 115.6", got)
	}
	enter(t, f, "- 2026-09-19T05:05+01:00 pit 212")
	if got := pit(load()); got < 99 || got > 101 { // 212 °F
		t.Errorf("pit %g °C with a line more, want 100", got)
	}
}
