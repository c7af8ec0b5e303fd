package history

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// many makes a journal of n cooks over ten years under git, each about 1.5 KB.
func many(t testing.TB, n int) *Repo {
	t.Helper()
	needGit(t)
	dir := t.TempDir()
	for i := range n {
		write(t, dir, cookPath(i), fmt.Sprintf("---\ntitle: Supper %d\n---\n\n%s", i, prose(i)))
	}
	write(t, dir, "journal.md", "---\nunits: metric\n---\n")
	r, err := Init(dir, noon, 0)
	if err != nil {
		t.Fatal(err)
	}
	gitIn(t, dir, "status") // lets git refresh its index, as daily use does
	return r
}

func cookPath(i int) string {
	day := time.Date(2017+i%10, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, i/10%365)
	return fmt.Sprintf("cooks/%d/%s-supper-%d.md", day.Year(), day.Format(time.DateOnly), i)
}

func prose(i int) string {
	var b []byte
	for k := range 24 {
		b = fmt.Appendf(b, "- 2026-09-18T%02d:%02d+01:00 pit %d °C, core %d °C, bark %d — pale on the left\n", k, i%60, 95+i*k%30, 5+k*3, k%4)
	}
	return string(b)
}

func BenchmarkCommit(b *testing.B) {
	for _, n := range []int{1000, 10000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			r := many(b, n)
			path := cookPath(n / 2)
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				commitOne(b, r, path, i)
			}
		})
	}
}

func commitOne(t testing.TB, r *Repo, path string, i int) {
	data := fmt.Appendf(nil, "%s%d\n", prose(3), i)
	if err := os.WriteFile(filepath.Join(r.dir, path), data, 0o666); err != nil {
		t.Fatal(err)
	}
	if _, err := r.Commit(fmt.Sprint("entry ", i), noon, Change{Path: path, Data: data}); err != nil {
		t.Fatal(err)
	}
}

func BenchmarkVersions(b *testing.B) {
	r := many(b, 1000)
	for i := range 200 {
		commitOne(b, r, cookPath(i%5), i)
	}
	b.ReportAllocs()
	for b.Loop() {
		vs, err := r.Versions(cookPath(3), 0)
		if err != nil || len(vs) != 41 {
			b.Fatalf("%d versions, %v", len(vs), err)
		}
	}
}

// TestPairedCommit compares Commit with `git add f && git commit`, taking turns on the
// same journal, and prints both times. Run it with ASHBOOK_PAIRED=1.
func TestPairedCommit(t *testing.T) {
	if os.Getenv("ASHBOOK_PAIRED") == "" {
		t.Skip("ASHBOOK_PAIRED is not set")
	}
	for _, n := range []int{1000, 10000} {
		r := many(t, n)
		path := cookPath(n / 2)
		gitIn(t, r.dir, "config", "gc.auto", "0")
		var ours, theirs []time.Duration
		for i := range 40 {
			start := time.Now()
			commitOne(t, r, path, 2*i)
			ours = append(ours, time.Since(start))
			start = time.Now()
			write(t, r.dir, path, fmt.Sprintf("%s%d\n", prose(3), 2*i+1))
			gitIn(t, r.dir, "add", path)
			gitIn(t, r.dir, "commit", "-qm", "entry")
			theirs = append(theirs, time.Since(start))
		}
		slices.Sort(ours)
		slices.Sort(theirs)
		a, b := ours[len(ours)/2], theirs[len(theirs)/2]
		t.Logf("%d cooks: commit %v, git add && git commit %v, ratio %.2f (medians of %d)", n, a, b, float64(a)/float64(b), len(ours))
		sound(t, r.dir, "")
	}
}
