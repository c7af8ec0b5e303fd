package history

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

func TestLitter(t *testing.T) {
	dir := t.TempDir()
	r := &Repo{common: dir}
	if loose, packs := r.Litter(); loose != 0 || packs != 0 {
		t.Errorf("nothing there: %d loose, %d packs", loose, packs)
	}
	for _, d := range []string{"objects/17", "objects/18", "objects/pack"} {
		if err := os.MkdirAll(filepath.Join(dir, d), 0o777); err != nil {
			t.Fatal(err)
		}
	}
	for i := range 3 {
		for _, name := range []string{"objects/17/%038d", "objects/pack/pack-%d.pack", "objects/pack/pack-%d.idx"} {
			if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf(name, i)), nil, 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
	if loose, packs := r.Litter(); loose != 768 || packs != 3 {
		t.Errorf("%d loose, %d packs, want 768 and 3", loose, packs)
	}
}
