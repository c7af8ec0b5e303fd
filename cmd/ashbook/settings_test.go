package main

import (
	"bytes"
	"context"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// withoutJournal are the commands that read no journal.
var withoutJournal = []string{"try", "init", "merge", "man", "help", "completion"}

// Every command says at once that the units of the journal are not known, and so do the
// screens line by line. A new command fails here until it has a line.
func TestUnknownUnitsAreSaid(t *testing.T) {
	lines := map[string]string{
		"": "--plain", "workback": "workback --cut brisket", "ready": "ready supper", "mix": "mix", "light": "light brisket", "note": "note v",
		"probe": "probe rows.csv", "import": "import old.csv", "hold": "hold supper", "taste": "taste supper RT 777777", "find": "find supper",
		"show": "show supper", "beside": "beside supper supper", "why": "why supper", "matters": "matters", "pit": "pit", "hindsight": "hindsight",
		"fix": "fix supper", "edit": "edit supper", "aside": "aside supper", "history": "history supper", "check": "check",
		"page": "page supper", "sheet": "sheet supper", "sync": "sync",
	}
	root := (&program{environment: testEnvironment(t, t.TempDir()), ctx: context.Background()}).root()
	for _, c := range root.Commands() {
		if _, ok := lines[c.Name()]; !ok && !slices.Contains(withoutJournal, c.Name()) {
			t.Errorf("no line for %s", c.Name())
		}
	}
	for _, name := range slices.Sorted(maps.Keys(lines)) {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			write := func(path, text string) {
				path = filepath.Join(dir, path)
				if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			write("journal.md", "---\nashbook: 1\nunits: imperial\n---\n")
			write("cooks/2026/2026-09-18-supper.md", "---\nashbook: 1\ntitle: Supper\ncut: brisket\n---\n\n## Timeline\n\n- 2026-09-18T18:00Z on\n")
			write("old.csv", "date,cut\n2025-05-03,brisket\n")
			env := testEnvironment(t, dir)
			var said bytes.Buffer
			env.out, env.err = &said, &said
			run(context.Background(), strings.Fields(lines[name]), env)
			if want := `journal.md:3:8: units: units "imperial" not known: write metric, or us`; !strings.Contains(said.String(), want) {
				t.Errorf("ashbook %s does not say %q:\n%s", lines[name], want, said.String())
			}
		})
	}
}
