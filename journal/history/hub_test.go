package history

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A branch moves only from the commit expected, even if somebody else moves it between
// two reads. No lock is left.
func TestHubMoves(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "hall.git")
	if err := MakeHub(dir, "main"); err != nil {
		t.Fatal(err)
	}
	h, err := OpenHub(dir)
	if err != nil {
		t.Fatal(err)
	}
	one, two := strings.Repeat("1", 40), strings.Repeat("2", 40)
	for _, step := range []struct {
		old, tip, then string
		moved          bool
	}{{"", one, one, true}, {"", two, one, false}, {two, two, one, false}, {one, two, two, true}} {
		moved, err := h.move("main", step.old, step.tip)
		if got, _ := h.Tip("main"); err != nil || moved != step.moved || got != step.then {
			t.Errorf("%.4q to %.4q: moved %v, the branch is at %.4q, %v", step.old, step.tip, moved, got, err)
		}
		if _, err := os.Lstat(filepath.Join(dir, "refs/heads/main.lock")); err == nil {
			t.Error("a lock is left")
		}
	}
	// A writer whose lock was removed while it was paused no longer counts as holding
	// it.
	lock, err := h.lock(filepath.Join(dir, "refs/heads/main.lock"))
	if err != nil || !h.mine(lock) {
		t.Fatalf("the lock is not ours: %v", err)
	}
	old := time.Now().Add(-time.Hour)
	if err := os.Chtimes(lock.Name(), old, old); err != nil {
		t.Fatal(err)
	}
	if moved, err := h.move("main", two, one); !moved || err != nil {
		t.Errorf("behind a dead writer: %v, %v", moved, err)
	}
	if h.mine(lock) {
		t.Error("the lock that was taken away still counts as ours")
	}
	lock.Close()
}

// Packed references are read. A reference that is no commit hash is an error.
func TestHubTip(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "hall.git")
	if err := MakeHub(dir, "main"); err != nil {
		t.Fatal(err)
	}
	h, err := OpenHub(dir)
	if err != nil {
		t.Fatal(err)
	}
	one := strings.Repeat("1", 40)
	write(t, dir, "packed-refs", "# pack-refs with: peeled fully-peeled sorted\n"+strings.Repeat("2", 40)+" refs/heads/mainly\n"+one+" refs/heads/main\n^"+strings.Repeat("3", 40)+"\n")
	if got, err := h.Tip("main"); got != one || err != nil {
		t.Errorf("packed: %q, %v", got, err)
	}
	write(t, dir, "refs/heads/main", "ref: refs/heads/evil\n")
	if got, err := h.Tip("main"); err == nil {
		t.Errorf("a reference to another: %q", got)
	}
	if moved, err := h.move("main", one, strings.Repeat("2", 40)); moved || err == nil {
		t.Errorf("it moved: %v", err)
	}
}
