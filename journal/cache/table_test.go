package cache

import (
	"fmt"
	"os"
	"sync"
	"testing"
)

// asked returns the answers that a table has for things.
func asked(t *Table, things ...string) (out string) {
	for _, of := range things {
		answer, ok := t.Get(of)
		out += fmt.Sprint(answer, ok, ";")
	}
	return out
}

func TestTable(t *testing.T) {
	dir := t.TempDir()
	open := func(build string, from ...any) *Table { return In(dir, build).Table("weights", from...) }
	first := open("one", 5)
	if got := asked(first, "a"); got != "false;" {
		t.Fatalf("an empty table has %s", got)
	}
	first.Put("a", "4 kg")
	first.Put("b", "")
	first.Put("", "not sure which")
	if got := asked(first, "a", "b", "", "c"); got != "4 kgtrue;true;false;false;" {
		t.Errorf("before it is saved: %s", got)
	}
	if got := asked(open("one", 5), "a"); got != "false;" {
		t.Errorf("not saved: %s", got)
	}
	first.Save()
	for name, c := range map[string]struct {
		table *Table
		want  string
	}{
		"the same":      {open("one", 5), "4 kgtrue;true;false;false;"},
		"another build": {open("two", 5), "false;false;false;false;"},
		"from other":    {open("one", 6), "false;false;false;false;"},
		"another name":  {In(dir, "one").Table("times", 5), "false;false;false;false;"},
		"none":          {In("", "one").Table("weights", 5), "false;false;false;false;"},
	} {
		if got := asked(c.table, "a", "b", "", "c"); got != c.want {
			t.Errorf("%s: %s, expected %s", name, got, c.want)
		}
	}
}

// Answers that nobody asked for are dropped on Save, so that a table does not grow
// forever.
func TestTableForgets(t *testing.T) {
	c := In(t.TempDir(), "one")
	all := c.Table("weights")
	for i := range 100 {
		all.Put(fmt.Sprint(i), "4 kg")
	}
	all.Save()
	few := c.Table("weights")
	asked(few, "1", "2")
	few.Save()
	if got := asked(c.Table("weights"), "1", "2", "3"); got != "4 kgtrue;4 kgtrue;false;" {
		t.Errorf("after two were asked for: %s", got)
	}
}

// A table without changes is not written again.
func TestTableUnchanged(t *testing.T) {
	c := In(t.TempDir(), "one")
	first := c.Table("weights")
	first.Put("a", "4 kg")
	first.Save()
	if err := os.Chmod(first.file, 0o600); err != nil {
		t.Fatal(err)
	}
	before, err := os.Stat(first.file)
	if err != nil {
		t.Fatal(err)
	}
	again := c.Table("weights")
	asked(again, "a", "b")
	again.Save()
	after, err := os.Stat(first.file)
	if err != nil || !os.SameFile(before, after) {
		t.Errorf("written again, %v", err)
	}
}

// A damaged table has no answers, whatever the damage.
func TestDamagedTable(t *testing.T) {
	c := In(t.TempDir(), "one")
	whole := c.Table("weights")
	whole.Put("a", "4 kg")
	whole.Put("b", "5 kg")
	whole.Save()
	data, err := os.ReadFile(whole.file)
	if err != nil {
		t.Fatal(err)
	}
	for i := range data {
		turned := append([]byte{}, data...)
		turned[i] ^= 4
		for _, bad := range [][]byte{turned, data[:i]} {
			if err := os.WriteFile(whole.file, bad, 0o600); err != nil {
				t.Fatal(err)
			}
			if got := asked(c.Table("weights"), "a", "b"); got != "false;false;" {
				t.Fatalf("byte %d: %s", i, got)
			}
		}
	}
}

// Several programs may save one table at once. The file is always that of one of them.
func TestTablesAtOnce(t *testing.T) {
	c := In(t.TempDir(), "one")
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for range 20 {
				mine := c.Table("weights")
				if got := asked(mine, "a"); got != "false;" && got != "4 kgtrue;" {
					t.Errorf("in between: %s", got)
				}
				mine.Put("a", "4 kg")
				mine.Save()
			}
		})
	}
	all.Wait()
	if got := asked(c.Table("weights"), "a"); got != "4 kgtrue;" {
		t.Errorf("afterwards: %s", got)
	}
}
