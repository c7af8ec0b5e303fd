package app

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/report/frame"
	"ashbook/samples"
)

// known lists every column of every finished cook, and what pitbook takes from it.
func known(t *testing.T, dir, cache string, expected bool) string {
	t.Helper()
	f, err := folder.Open(dir, folder.Options{Now: samples.Now, Zone: time.UTC, Cache: cache, Build: "one"})
	if err != nil {
		t.Fatal(err)
	}
	a := New(f)
	if expected {
		a.ExpectKnown()
		if _, err := a.Resolve(t.Context(), []string{"last"}); err != nil {
			t.Fatal(err)
		}
	}
	k, err := a.Known(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	for i, c := range k.Cooks {
		fmt.Fprintln(&out, c.ID, c.Name, c.Cut, c.Change, c.Date.Unix(), c.Off.Unix(), c.Tasting, k.pits[i])
		for _, col := range frame.Columns {
			fmt.Fprintln(&out, col.Name, c.Of(col))
		}
	}
	return out.String()
}

// few returns a journal of some sample cooks, two of them with a probe series.
func few(t *testing.T) (dir string) {
	t.Helper()
	dir = t.TempDir()
	if err := os.CopyFS(dir, samples.FS()); err != nil {
		t.Fatal(err)
	}
	all, err := filepath.Glob(filepath.Join(dir, "cooks", "*", "*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range all {
		if base := filepath.Base(name); !strings.HasPrefix(base, "2024-10") && !strings.HasPrefix(base, "2024-07") {
			if err := os.Remove(name); err != nil {
				t.Fatal(err)
			}
		}
	}
	return dir
}

// Known gives the same without a cache, while it fills, while a cook is looked for, and
// when it is full; also with two files of one name, a changed file, a removed one, and
// a changed pit.
func TestKnownIsTheSame(t *testing.T) {
	if testing.Short() {
		t.Skip("reads the samples many times")
	}
	dir := few(t)
	const one = "cooks/2024/2024-10-11-quiz-night.md"
	text, err := os.ReadFile(filepath.Join(dir, one))
	if err != nil {
		t.Fatal(err)
	}
	write := func(path, text string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(dir, path), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := folder.Init(dir, measure.Metric, samples.Now()); err != nil {
		t.Fatal(err)
	}
	kept, expected := t.TempDir(), t.TempDir()
	last := ""
	for _, change := range []struct {
		what string
		do   func()
	}{
		{"as it was", func() {}},
		{"a weight more", func() { write(one, strings.Replace(string(text), "trimmed: ", "trimmed: 1", 1)) }},
		{"two of a name", func() {
			write("cooks/2025/"+filepath.Base(one), strings.Replace(string(text), "title: ", "title: Other ", 1))
		}},
		{"one is gone", func() {
			if err := os.Remove(filepath.Join(dir, one)); err != nil {
				t.Fatal(err)
			}
		}},
		{"two of a name again", func() { write(one, string(text)) }},
		{"the pit is read by its setting", func() { write("pits/brick.md", "---\nkind: brick\npit is: setting\n---\n") }},
	} {
		change.do()
		want := known(t, dir, "", false)
		if want == last {
			t.Errorf("%s: nothing is another", change.what)
		}
		last = want
		for name, got := range map[string]string{
			"while it fills": known(t, dir, kept, false), "full": known(t, dir, kept, false),
			"while one is looked for": known(t, dir, expected, true), "an empty one": known(t, dir, t.TempDir(), true),
		} {
			if got != want {
				t.Errorf("%s, %s: another answer", change.what, name)
			}
		}
	}
}

// If it is stopped, it says so, and what was cached before stays right.
func TestKnownIsStopped(t *testing.T) {
	dir, cache := few(t), t.TempDir()
	f, err := folder.Open(dir, folder.Options{Now: samples.Now, Zone: time.UTC, Cache: cache, Build: "one"})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if k, err := New(f).Known(ctx); err == nil {
		t.Errorf("stopped, it knows %d cooks", len(k.Cooks))
	}
	if got, want := known(t, dir, cache, false), known(t, dir, "", false); got != want {
		t.Error("after it was stopped: another answer")
	}
}

// BenchmarkKnown measures Known on the sample cooks, with an empty and with a full
// cache.
func BenchmarkKnown(b *testing.B) {
	dir := b.TempDir()
	if err := os.CopyFS(dir, samples.FS()); err != nil {
		b.Fatal(err)
	}
	know := func(b *testing.B, cache string) {
		f, err := folder.Open(dir, folder.Options{Now: samples.Now, Zone: time.UTC, Cache: cache, Build: "one"})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := New(f).Known(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
	b.Run("nothing kept", func(b *testing.B) {
		for b.Loop() {
			know(b, b.TempDir())
		}
	})
	b.Run("kept", func(b *testing.B) {
		cache := b.TempDir()
		for b.Loop() {
			know(b, cache)
		}
	})
}
