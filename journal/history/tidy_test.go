package history

import (
	"fmt"
	"testing"

	"ashbook/journal/journaltest"
)

func TestUntidy(t *testing.T) {
	r, dir := journal(t)
	if n := r.Untidy(); n != 0 {
		t.Errorf("a new journal: %d", n)
	}
	for i := range 51 {
		journaltest.Write(t, dir, fmt.Sprintf(".git/objects/pack/pack-%d.pack", i), "")
	}
	if n := r.Untidy(); n < 51 || n > 51+256*3 {
		t.Errorf("with 51 packs: %d", n)
	}
	for i := range 79 {
		journaltest.Write(t, dir, fmt.Sprintf(".git/objects/17/%038d", i), "")
	}
	if n := r.Untidy(); n < 79*256 {
		t.Errorf("with 79 objects of 17: %d", n)
	}
}
