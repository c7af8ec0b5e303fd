package main

import (
	"context"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ashbook/journal/folder"
	"ashbook/journal/journaltest"
	"ashbook/journal/measure"
	"ashbook/samples"
)

// The plans in testdata/plans, each under the command that makes it.
// report/provision/README.md says what was found when they were read. Those of the
// sample journal, which first learn from its fifty cooks, run only if
// journaltest.Whole.
func TestPlans(t *testing.T) {
	const dir = "testdata/plans"
	update := flag.Lookup("update").Value.String() == "true" // the flag of tuitest, for all goldens
	files, err := filepath.Glob(dir + "/*.txt")
	if err != nil || len(files) != 18 {
		t.Fatalf("%d plans, %v", len(files), err)
	}
	journals := map[string]fs.FS{"hall": samples.FS()}
	for _, name := range []string{"new", "us", "high"} {
		journals[name] = os.DirFS(filepath.Join(dir, "journals", name))
	}
	at := map[string]string{}
	cache := t.TempDir()
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		command, want, _ := strings.Cut(string(data), "\n")
		args := words(t, command)[2:]
		name := args[1]
		if name == "hall" && !journaltest.Whole() && !update {
			continue
		}
		if at[name] == "" {
			at[name] = filepath.Join(t.TempDir(), name)
			if err := os.CopyFS(at[name], journals[name]); err != nil {
				t.Fatal(err)
			}
			if _, err := folder.Init(at[name], measure.Metric, samples.Now()); err != nil {
				t.Fatal(err)
			}
		}
		args[1] = at[name]
		var out strings.Builder
		env := environmentWith(t, t.TempDir(), cache)
		env.out, env.err = &out, &out
		if code := run(context.Background(), args, env); code != exitFine {
			t.Fatalf("%s: exit code %d\n%s", file, code, out.String())
		}
		got := "\n" + out.String()
		if update {
			if err := os.WriteFile(file, []byte(command+"\n"+got), 0o666); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if got != want {
			t.Errorf("%s: %s; go test ./cmd/ashbook -run TestPlans -update, then read it", file, firstDifference(got, want))
		}
	}
}
