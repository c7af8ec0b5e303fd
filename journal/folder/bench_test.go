package folder

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal/history"
	"ashbook/journal/journaltest"
)

// The test binary starts itself as a process of its own, to measure a cold start.
func TestMain(m *testing.M) {
	as := os.Getenv("ASHBOOK_CHILD")
	if as == "" {
		if !journaltest.Whole() {
			journaltest.InMemory()
		}
		os.Exit(m.Run())
	}
	f, err := Open(os.Getenv("ASHBOOK_DIR"), Options{Now: (&clock{night}).now, Cache: os.Getenv("ASHBOOK_CACHE")})
	if err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
	if as == "record" {
		recordForever(f)
	} else if as == "list" {
		all, problems, _ := f.List(context.Background())
		fmt.Println(len(all), len(problems))
	} else {
		all, _, _ := f.List(context.Background())
		hits, err := f.Search(context.Background(), []string{"cherry"}, all)
		fmt.Println(len(hits), err)
	}
}

// many makes a journal of n cooks over ten years, of about 2 KB each, under git.
func many(t testing.TB, n int) string {
	t.Helper()
	isolate(t)
	dir := t.TempDir()
	woods := []string{"cherry", "oak", "apple", "hickory", "beech"}
	for i := range n {
		day := time.Date(2017+i%10, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, i/10%365)
		var b strings.Builder
		fmt.Fprintf(&b, "---\nashbook: 1\ntitle: Supper %d\ncut: pork shoulder\npieces:\n  - {name: large, raw: 5.2 kg}\n", i)
		fmt.Fprintf(&b, "pit: brick\nwood: [{kind: %s, mass: 180 g}]\naim: {pit: 115 °C, core: 94 °C}\ntasting:\n  - {eater: RT, overall: 7}\n---\n\n", woods[i%5])
		fmt.Fprintf(&b, "# Supper %d\n\nThe village hall asked for %d heads.\n\n## Timeline\n\n", i, 20+i%30)
		at := day.Add(20 * time.Hour)
		fmt.Fprintf(&b, "- %s on, pit 112 °C\n", at.Format("2006-01-02T15:04-07:00"))
		for k := range 20 {
			at = at.Add(30 * time.Minute)
			fmt.Fprintf(&b, "- %s pit %d °C, core %d °C — pale on the left\n", at.Format("2006-01-02T15:04-07:00"), 100+(i+k)%20, 5+4*k)
		}
		fmt.Fprintf(&b, "- %s off\n", at.Add(time.Hour).Format("2006-01-02T15:04-07:00"))
		write(t, dir, fmt.Sprintf("cooks/%d/%s-supper-%d.md", day.Year(), day.Format(time.DateOnly), i), b.String())
	}
	if _, err := history.Init(dir, night, 0); err != nil {
		t.Fatal(err)
	}
	return dir
}

// BenchmarkOpenAndList measures a new process without its start: nothing but the index
// is kept from one round to the next.
func BenchmarkOpenAndList(b *testing.B) {
	dir := many(b, 10000)
	for _, cache := range []string{b.TempDir(), ""} {
		name := "index"
		if cache == "" {
			name = "no index"
		}
		b.Run(name, func(b *testing.B) {
			list(b, dir, cache)
			b.ReportAllocs()
			for b.Loop() {
				list(b, dir, cache)
			}
		})
	}
}

func list(t testing.TB, dir, cache string) []Summary {
	f, err := Open(dir, Options{Now: (&clock{night}).now, Cache: cache})
	if err != nil {
		t.Fatal(err)
	}
	all, problems, _ := f.List(t.Context())
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	return all
}

func BenchmarkSearch(b *testing.B) {
	f := open(b, many(b, 10000), &clock{night})
	for _, words := range []string{"cherry", "HICKORY heads", "pale nowhere", "hälle"} {
		b.Run(words, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				all, _, _ := f.List(b.Context())
				f.Search(b.Context(), strings.Fields(words), all)
			}
		})
	}
}

// TestPaired compares listing with `git status` and search with `grep -rl` for 10,000
// cooks, each in a process of its own, taking turns, and prints the times. Run it with
// ASHBOOK_PAIRED=1.
func TestPaired(t *testing.T) {
	if os.Getenv("ASHBOOK_PAIRED") == "" {
		t.Skip("ASHBOOK_PAIRED is not set")
	}
	dir := many(t, 10000)
	cache := t.TempDir()
	self := func(as string) *exec.Cmd {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), "GOGC=400" /* as the program sets it */, "ASHBOOK_CHILD="+as, "ASHBOOK_DIR="+dir, "ASHBOOK_CACHE="+cache)
		return cmd
	}
	gitIn(t, dir, "status")
	for _, pair := range []struct {
		name         string
		ours, theirs func() *exec.Cmd
	}{
		{"list against git status", func() *exec.Cmd { return self("list") }, func() *exec.Cmd { return exec.Command("git", "-C", dir, "status", "--porcelain") }},
		{"search against grep -rl", func() *exec.Cmd { return self("search") }, func() *exec.Cmd { return exec.Command("grep", "-rl", "cherry", filepath.Join(dir, "cooks")) }},
		{"search against grep -rli", func() *exec.Cmd { return self("search") }, func() *exec.Cmd { return exec.Command("grep", "-rli", "cherry", filepath.Join(dir, "cooks")) }},
	} {
		var ours, theirs, oursCPU, theirsCPU []time.Duration
		for range 25 {
			wall, cpu := timed(t, pair.ours())
			ours, oursCPU = append(ours, wall), append(oursCPU, cpu)
			wall, cpu = timed(t, pair.theirs())
			theirs, theirsCPU = append(theirs, wall), append(theirsCPU, cpu)
		}
		t.Logf("%s: least %s; median %s; median processor time %s", pair.name, ratio(slices.Min(ours), slices.Min(theirs)),
			ratio(median(ours), median(theirs)), ratio(median(oursCPU), median(theirsCPU)))
	}
}

func median(d []time.Duration) time.Duration {
	slices.Sort(d)
	return d[len(d)/2]
}

func ratio(a, b time.Duration) string {
	return fmt.Sprintf("%v / %v = %.2f", a.Round(10*time.Microsecond), b.Round(10*time.Microsecond), float64(a)/float64(b))
}

func timed(t *testing.T, cmd *exec.Cmd) (wall, cpu time.Duration) {
	start := time.Now()
	out, err := cmd.Output()
	wall = time.Since(start)
	if err != nil {
		t.Fatalf("%v: %v %s", cmd.Args, err, out)
	}
	return wall, cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
}
