package folder

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"ashbook/journal/journaltest"
	"ashbook/journal/measure"
)

// A listing that is stopped midway returns an error and writes no partial index: the
// next one finds every cook.
func TestStopped(t *testing.T) {
	const cooks = 300
	dir, cache := many(t, cooks), t.TempDir()
	f, err := Open(dir, Options{Now: (&clock{night}).now, Cache: cache})
	if err != nil {
		t.Fatal(err)
	}
	listed := list(t, dir, "")
	for _, polls := range []int{0, 1, 50, cooks} {
		ctx := func() context.Context { return journaltest.Ending(polls) }
		if all, _, err := f.List(ctx()); !errors.Is(err, context.Canceled) || len(all) > 0 {
			t.Errorf("List after %d polls: %d cooks, %v", polls, len(all), err)
		}
		if hits, err := f.Search(ctx(), []string{"on"}, listed); !errors.Is(err, context.Canceled) || len(hits) > 0 {
			t.Errorf("Search after %d polls: %d hits, %v", polls, len(hits), err)
		}
		if _, _, err := f.Check(ctx()); !errors.Is(err, context.Canceled) {
			t.Errorf("Check after %d polls: %v", polls, err)
		}
		if left, _ := filepath.Glob(filepath.Join(cache, "*")); len(left) > 0 {
			t.Fatalf("after %d polls there is %q", polls, left)
		}
	}
	if all, _, err := f.List(t.Context()); len(all) != cooks || err != nil {
		t.Errorf("%d cooks, %v", len(all), err)
	}
}

// A change of journal.md applies to everything read after it.
func TestSettingsAreReadAgain(t *testing.T) {
	isolate(t)
	dir := t.TempDir()
	write(t, dir, "journal.md", "---\nunits: metric\n---\n")
	write(t, dir, supper, supperText)
	f := open(t, dir, &clock{night})
	if s, _ := f.Settings(); s.Units != measure.Metric {
		t.Fatalf("%+v", s)
	}
	write(t, dir, "journal.md", "---\nunits: us\npit: drum\n---\n")
	if s, problems := f.Settings(); s.Units != measure.US || s.Pit != "drum" || len(problems) > 0 {
		t.Errorf("%+v, %v", s, problems)
	}
	if err := os.Remove(filepath.Join(dir, "journal.md")); err != nil {
		t.Fatal(err)
	}
	if s, problems := f.Settings(); s.Units != measure.Metric || s.Pit != "" || len(problems) > 0 {
		t.Errorf("%+v, %v", s, problems)
	}
}
