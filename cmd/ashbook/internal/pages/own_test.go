package pages

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// A run that was stopped is continued. A run makes only what changed, removes only its
// own pages, and leaves other files alone.
func TestOwnFiles(t *testing.T) {
	const mark = "<!-- ours -->"
	dir := filepath.Join(t.TempDir(), "out")
	stopped := errors.New("stopped")
	run := func(anew bool, pages map[string]string, order []string, fail string) (made []string, err error) {
		t.Helper()
		o, err := openOwn(dir, mark)
		if err != nil {
			t.Fatal(err)
		}
		o.anew = anew
		for _, name := range order {
			if err := o.page(name, key(pages[name]), func() ([]byte, error) {
				if name == fail {
					return nil, stopped
				}
				made = append(made, name)
				return []byte(mark + pages[name]), nil
			}); err != nil {
				return made, errors.Join(err, o.stop())
			}
		}
		if wrote, kept := o.counts(); wrote != len(made) || wrote+kept != len(order) {
			t.Errorf("wrote %d, kept %d, made %q", wrote, kept, made)
		}
		return made, o.close()
	}
	check := func(what string, made []string, err error, want ...string) {
		t.Helper()
		if err != nil || !slices.Equal(made, want) {
			t.Errorf("%s: made %q, %v; want %q", what, made, err, want)
		}
	}
	order := []string{"a", "b", "c"}
	pages := map[string]string{"a": "1", "b": "2", "c": "3"}
	if made, err := run(false, pages, order, "c"); !errors.Is(err, stopped) || len(made) != 2 {
		t.Errorf("stopped: %q, %v", made, err)
	}
	made, err := run(false, pages, order, "")
	check("gone on with", made, err, "c")
	made, err = run(false, pages, order, "")
	check("nothing changed", made, err)
	pages["b"] = "x"
	made, err = run(false, pages, order, "")
	check("one changed", made, err, "b")
	made, err = run(true, pages, order, "")
	check("anew", made, err, "a", "b", "c")

	mine := func(name string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(dir, name), []byte("mine"), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	mine("a.html")
	if _, err := run(false, pages, order, ""); !errors.As(err, new(NotOurs)) {
		t.Errorf("a foreign file: %v", err)
	}
	mine("notes.html")
	made, err = run(false, pages, []string{"c"}, "")
	check("less", made, err)
	for name, there := range map[string]bool{"a.html": true, "b.html": false, "c.html": true, "notes.html": true} {
		if _, err := os.Stat(filepath.Join(dir, name)); (err == nil) != there {
			t.Errorf("%s: %v", name, err)
		}
	}
}
