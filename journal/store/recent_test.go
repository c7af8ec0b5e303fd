package store

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ashbook/journal/disk"
)

// written counts the bytes written to files in a folder.
type written struct {
	disk.FS
	folder string
	bytes  *int
}

func (w written) OpenFile(name string, flag int, perm fs.FileMode) (disk.File, error) {
	f, err := w.FS.OpenFile(name, flag, perm)
	if err != nil || filepath.Dir(name) != w.folder || isTemp(filepath.Base(name)) {
		return f, err
	}
	return writtenFile{f, w.bytes}, nil
}

type writtenFile struct {
	disk.File
	bytes *int
}

func (f writtenFile) Write(p []byte) (int, error) {
	*f.bytes += len(p)
	return f.File.Write(p)
}

// The hundredth note in an hour writes no more than the fifth, apart from the growing
// cook itself, which the pending file has as a whole until history has it. Recent lines
// are still put back into an old copy.
func TestRecentSavesCostNothing(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	size := map[int]int{}
	var copied string
	for i := range 100 {
		now.Time = now.Add(30 * time.Second)
		k := open(t, dir, now) // as a command does
		n := 0
		k.disk = written{k.disk, k.state, &n}
		enter(t, k, fmt.Sprintf("- 2026-09-19T01:%02d+01:00 pit %d °C", i/2, 100+i))
		flush(t, k)
		size[i] = n - len(read(t, dir, supper))*4/3 // base64
		if i == 50 {
			copied = read(t, dir, supper)
		}
	}
	if size[99] > size[5]*11/10 {
		t.Errorf("%d bytes for the hundredth note, %d for the sixth", size[99], size[5])
	}
	want := read(t, dir, supper)
	rename(t, dir, supper, copied)
	flush(t, open(t, dir, now))
	if got := read(t, dir, supper); got != want {
		t.Errorf("over an old copy:\n%s", got)
	}
	now.Time = now.Add(2 * guardTime)
	flush(t, open(t, dir, now))
	if there(filepath.Join(dir, ".git/ashbook/at-/recent")) {
		t.Error("what need not be guarded any longer is still kept")
	}
	sound(t, dir)
}

// A power cut leaves zeros or half a line in the file of recent saves. The whole lines
// count, and those after them.
func TestTornRecentSaves(t *testing.T) {
	for _, torn := range []string{strings.Repeat("\x00", 300), "1789772640000000000,ab", "1,2,3,4\t{\n", "x\ty\n"} {
		dir := hall(t)
		now := &clock{night}
		k := open(t, dir, now)
		enter(t, k, "- first")
		flush(t, k)
		f, err := os.OpenFile(k.recentFile(), os.O_APPEND|os.O_WRONLY, 0)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.WriteString(torn); err != nil {
			t.Fatal(err)
		}
		f.Close()
		k = open(t, dir, now)
		enter(t, k, "- second")
		flush(t, k)
		now.Time = now.Add(time.Minute)
		rename(t, dir, supper, supperText)
		flush(t, open(t, dir, now))
		if got := read(t, dir, supper); got != supperText+"- first\n- second\n" {
			t.Errorf("%q: got %q", torn, strings.TrimPrefix(got, supperText))
		}
	}
}

// A crash can leave a save both in the pending file and among the recent ones. It
// counts once.
func TestSaveInBothFiles(t *testing.T) {
	dir := hall(t)
	now := &clock{night}
	k := open(t, dir, now)
	enter(t, k, "- first")
	pending := read(t, dir, ".git/ashbook/at-/pending")
	flush(t, k)
	write(t, dir, ".git/ashbook/at-/pending", pending)
	now.Time = now.Add(time.Minute)
	rename(t, dir, supper, supperText)
	flush(t, open(t, dir, now))
	if got := read(t, dir, supper); got != supperText+"- first\n" {
		t.Errorf("got %q", strings.TrimPrefix(got, supperText))
	}
	sound(t, dir)
}
