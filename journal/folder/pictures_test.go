package folder

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// A picture belongs to the cook whose ID its name begins with. Links and names that
// climb out are refused.
func TestPictures(t *testing.T) {
	dir := hall(t)
	const id = "2026-09-18-harvest-supper"
	write(t, dir, "cooks/2026/"+id+".md", supperText)
	write(t, dir, "cooks/2026/"+id+"-again.md", supperText)
	for _, name := range []string{id + ".jpg", id + "-2.png", id + "-again-1.jpg", id + "s.jpg", "bark.jpg", "day/crust.jpg", id + ".csv", id + "-large.jpg"} {
		write(t, dir, "cooks/2026/"+name, name)
	}
	write(t, dir, "secret.jpg", "secret")
	outside := filepath.Join(t.TempDir(), "outside.jpg")
	if err := os.WriteFile(outside, []byte("secret"), 0o666); err != nil {
		t.Fatal(err)
	}
	for name, to := range map[string]string{"out.jpg": outside, "in.jpg": "bark.jpg", "up.jpg": "../../secret.jpg", "far": filepath.Dir(outside)} {
		if err := os.Symlink(to, filepath.Join(dir, "cooks/2026", name)); err != nil {
			t.Fatal(err)
		}
	}
	f, err := Open(dir, Options{Now: (&clock{night}).now})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	named := func(name string) bool {
		return strings.HasSuffix(name, ".jpg") || strings.HasSuffix(name, ".png")
	}
	got, err := f.Pictures(id, named)
	if want := []string{id + "-2.png", id + "-large.jpg", id + ".jpg"}; err != nil || !slices.Equal(got, want) {
		t.Errorf("%q %v, expected %q", got, err, want)
	}
	if got, err := f.Pictures(id+"-again", named); err != nil || !slices.Equal(got, []string{id + "-again-1.jpg"}) {
		t.Errorf("%q %v", got, err)
	}
	for _, name := range []string{"bark.jpg", "day/crust.jpg", "./bark.jpg"} {
		if data, err := f.Picture(id, name, 100); err != nil || string(data) != filepath.Clean(name) {
			t.Errorf("%s: %q %v", name, data, err)
		}
	}
	for _, name := range []string{"", ".", "day", "none.jpg", "../../secret.jpg", "../2026/../../secret.jpg", outside, "out.jpg", "in.jpg", "up.jpg", "far/outside.jpg", `..\..\secret.jpg`, "../../.git/config", "bark.jpg\x00.png", "day/../../../secret.jpg"} {
		if data, err := f.Picture(id, name, 100); err == nil || len(data) > 0 {
			t.Errorf("%q is read: %q", name, data)
		}
	}
	if _, err := f.Picture(id, "bark.jpg", 3); err == nil || !strings.Contains(err.Error(), "expected at most") {
		t.Errorf("too large: %v", err)
	}
}
