package store

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

const rows = "cooks/2026/2026-09-18-harvest-supper.csv"

// Append appends to a file that is as it was left or has more whole lines. It leaves
// any other file alone, and Grow merges with it.
func TestAppendAndGrow(t *testing.T) {
	const head = "time,pit_c\n"
	merge := func(add string) func([]byte) ([]byte, error) {
		return func(old []byte) ([]byte, error) {
			if len(old) == 0 {
				old = []byte(head)
			}
			if bytes.Contains(old, []byte(add)) {
				return old, nil
			}
			return append(bytes.Clone(old), add...), nil
		}
	}
	// longer than the part that is compared
	long := strings.Repeat("2026-09-19T01:04:00+01:00,112\n", 6)
	g := Growth{Message: "harvest-supper: probe rows", Hold: time.Minute}
	for _, c := range []struct {
		name   string
		do     func(dir string)
		ok     bool
		before string // content before the row
	}{
		{"as it was", func(string) {}, true, head + long},
		{"a line more", func(dir string) { write(t, dir, rows, head+long+"theirs\n") }, true, head + long + "theirs\n"},
		{"half a line more", func(dir string) { write(t, dir, rows, head+long+"theirs") }, false, head + long + "theirs"},
		{"another file in its place", func(dir string) { rename(t, dir, rows, head+long) }, false, head + long},
		{"shorter", func(dir string) { write(t, dir, rows, head) }, false, head},
		{"other rows at the end", func(dir string) {
			write(t, dir, rows, head+strings.Replace(long, "112\n", "999\n", -1))
		}, false, head + strings.Replace(long, "112\n", "999\n", -1)},
		{"taken away", func(dir string) { remove(t, dir, rows) }, false, head},
	} {
		t.Run(c.name, func(t *testing.T) {
			needGit(t)
			dir := hall(t)
			now := &clock{night}
			k := open(t, dir, now)
			var mark Mark
			if ok, err := k.Append(rows, &mark, []byte("x\n"), g); ok || err != nil {
				t.Fatalf("no file yet: %v, %v", ok, err)
			}
			if err := k.Grow(rows, &mark, merge(long), g); err != nil {
				t.Fatal(err)
			}
			c.do(dir)
			ok, err := k.Append(rows, &mark, []byte("ours\n"), g)
			if ok != c.ok || err != nil {
				t.Errorf("append: %v, %v", ok, err)
			}
			if !ok {
				if err := k.Grow(rows, &mark, merge("ours\n"), g); err != nil {
					t.Fatal(err)
				}
			}
			want := c.before + "ours\n"
			if got := read(t, dir, rows); got != want || mark.Size() != int64(len(want)) {
				t.Errorf("got %q, mark %d", got, mark.Size())
			}
			flush(t, k)
			if log := subjects(t, dir); len(log) != 0 {
				t.Errorf("in history before its time: %q", log)
			}
			if err := k.Commit(rows); err != nil {
				t.Fatal(err)
			}
			if got := gitIn(t, dir, "show", "HEAD:"+rows); got != want {
				t.Errorf("in history: %q", got)
			}
			sound(t, dir)
		})
	}
}

// If only a part of the rows fits on the disk, that part is removed again.
func TestAppendWithoutRoom(t *testing.T) {
	dir := hall(t)
	k := open(t, dir, &clock{night})
	g := Growth{Message: "harvest-supper: probe rows", Hold: time.Minute}
	var mark Mark
	const head = "time,pit_c\n2026-09-19T01:04:00+01:00,112\n"
	if err := k.Grow(rows, &mark, func([]byte) ([]byte, error) { return []byte(head), nil }, g); err != nil {
		t.Fatal(err)
	}
	k.disk = &small{FS: k.disk, file: filepath.Base(rows), room: 12}
	if ok, err := k.Append(rows, &mark, []byte("2026-09-19T01:05:00+01:00,113\n"), g); ok || err == nil {
		t.Errorf("%v, %v", ok, err)
	}
	if got := read(t, dir, rows); got != head {
		t.Errorf("got %q", got)
	}
}
