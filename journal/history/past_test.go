package history

import (
	"fmt"
	"os"
	"os/exec"
	"testing"
	"time"
)

// Past gives the same versions when asked again after new commits, and ends at the time
// asked for. Checked against `git log --since`.
func TestPast(t *testing.T) {
	r, dir := journal(t)
	p := r.Past(supper)
	for i := range 4 {
		write(t, dir, supper, fmt.Sprint("line ", i, "\n"))
		date := fmt.Sprintf("2026-09-19T0%d:00:00Z", i)
		cmd := exec.Command("git", "commit", "-qam", date)
		cmd.Dir, cmd.Env = dir, append(os.Environ(), "GIT_COMMITTER_DATE="+date, "GIT_AUTHOR_DATE="+date,
			"GIT_AUTHOR_NAME=Ann", "GIT_AUTHOR_EMAIL=ann@example.org", "GIT_COMMITTER_NAME=Ann", "GIT_COMMITTER_EMAIL=ann@example.org")
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		vs, err := p.Versions(time.Date(2026, 9, 19, 1, 30, 0, 0, time.UTC), 0)
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, v := range vs {
			got += v.Message + "\n"
		}
		if want := gitIn(t, dir, "log", "--format=%s", "--since=2026-09-19T01:30:00Z", "--", supper); got != want {
			t.Errorf("after %s: got %q, git log says %q", date, got, want)
		}
	}
}
