package folder

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"ashbook/journal"
)

func TestList(t *testing.T) {
	isolate(t)
	dir := t.TempDir()
	write(t, dir, "journal.md", "---\nunits: metric\n---\n")
	write(t, dir, supper, supperText)
	write(t, dir, strings.TrimSuffix(supper, ".md")+".csv", "time,pit_c\n")
	write(t, dir, "cooks/2026/2026-12-24-eve.md", "---\ntitle: Eve\npieces: [{raw: 3 kg}]\n---\n\n## Timeline\n\n- 2026-12-24T18:00+01:00 on\n- 2026-12-25T06:00+01:00 off\n")
	write(t, dir, "cooks/2025/2025-05-01-broken.md", "---\ntitle: [\n---\n")
	write(t, dir, "cooks/2024-01-01-loose.md", "a cook in the wrong folder\n")
	write(t, dir, "cooks/2026/notes.md", "not a cook\n")
	write(t, dir, "cooks/2026/.hidden.md", "x\n")
	f := open(t, dir, &clock{night})
	all, problems, _ := f.List(t.Context())
	var ids []string
	for _, s := range all {
		ids = append(ids, s.ID)
	}
	if want := []string{"2026-12-24-eve", supperID, "2025-05-01-broken", "2024-01-01-loose"}; !slices.Equal(ids, want) {
		t.Fatalf("got %q", ids)
	}
	if s := all[0]; s.Name() != "Eve" || s.Weight != 3 || s.Finish.Sub(s.On) != 12*time.Hour || s.Running(s.Last) || s.LeftOpen(night.AddDate(9, 0, 0)) || s.Series {
		t.Errorf("got %+v", s)
	}
	s := all[1]
	if s.Weight < 8.5999 || s.Weight > 8.6001 || s.Pieces != 2 || s.Pit != "brick" || !slices.Equal(s.Wraps, []journal.Wrap{journal.Paper}) ||
		s.Score != 7.5 || s.Eaters != 2 || !s.Series || s.Serve.IsZero() || !s.Finish.IsZero() || s.Stage != journal.Wrapped {
		t.Errorf("got %+v", s)
	}
	c, err := f.Load(supperID)
	if err != nil {
		t.Fatal(err)
	}
	for h := range 60 {
		now := s.Last.Add(time.Duration(h) * time.Hour)
		if s.Running(now) != c.Cook.Running(now) || s.LeftOpen(now) != c.Cook.Status(now).LeftOpen {
			t.Errorf("%d h after the last entry: running %v, left open %v; the cook says %v", h, s.Running(now), s.LeftOpen(now), c.Cook.Status(now))
		}
	}
	if !all[2].Broken || all[3].Broken {
		t.Error("what is broken?")
	}
	var files []string
	for _, p := range problems {
		files = append(files, p.File)
	}
	if !slices.Contains(files, "cooks/2025/2025-05-01-broken.md") || !slices.Contains(files, "cooks/2026/notes.md") {
		t.Errorf("problems: %v", problems)
	}
	if got := f.IDs(); !slices.Equal(got, []string{"2026-12-24-eve", supperID, "2025-05-01-broken", "2024-01-01-loose"}) {
		t.Errorf("IDs: %q", got)
	}
	if _, err := f.Load("2024-01-01-loose"); err != nil {
		t.Error(err)
	}
}

// old sets a file's time back, so that the index may rely on it.
func old(t *testing.T, dir, path string, ago time.Duration) {
	t.Helper()
	at := time.Now().Add(-ago)
	if err := os.Chtimes(filepath.Join(dir, path), at, at); err != nil {
		t.Fatal(err)
	}
}

func TestIndexIsNeverTrustedOverTheFiles(t *testing.T) {
	isolate(t)
	dir, cache := t.TempDir(), t.TempDir()
	const a, b = "cooks/2026/2026-01-01-a.md", "cooks/2026/2026-01-02-b.md"
	text := "---\ntitle: First\npieces: [{raw: 3 kgg}]\n---\n"
	write(t, dir, a, text)
	write(t, dir, b, supperText)
	old(t, dir, a, time.Hour)
	old(t, dir, b, time.Hour)
	titles := func(build string) string {
		t.Helper()
		f, err := Open(dir, Options{Now: (&clock{night}).now, Cache: cache, Build: build})
		if err != nil {
			t.Fatal(err)
		}
		cached, p1, _ := f.List(t.Context())
		f.opt.Cache = ""
		plain, p2, _ := f.List(t.Context())
		for i := range cached { // the name of a zone is not stored
			for _, s := range []*Summary{&cached[i], &plain[i]} {
				for _, at := range []*time.Time{&s.Date, &s.On, &s.Finish, &s.Serve, &s.Last, &s.OpenTo} {
					if _, offset := at.Zone(); !at.IsZero() {
						*at = at.In(time.FixedZone("", offset))
					}
				}
			}
		}
		if fmt.Sprintf("%+v", cached) != fmt.Sprintf("%+v", plain) || !reflect.DeepEqual(p1, p2) {
			t.Errorf("with the index\n%+v %v\nwithout\n%+v %v", cached, p1, plain, p2)
		}
		var names []string
		for _, s := range cached {
			names = append(names, s.Name())
		}
		return strings.Join(names, ", ")
	}
	want := func(got, want string) {
		t.Helper()
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	index := func() string {
		t.Helper()
		names, _ := filepath.Glob(filepath.Join(cache, "*"))
		if len(names) != 1 {
			t.Fatalf("in the cache: %v", names)
		}
		return names[0]
	}
	want(titles("1"), "Harvest supper, First")
	want(titles("1"), "Harvest supper, First")

	// Another file with the same size and time.
	rename(t, dir, a, strings.Replace(text, "First", "Other", 1))
	old(t, dir, a, time.Hour)
	want(titles("1"), "Harvest supper, Other")

	// Changed again before the file system's clock advanced: relied on only if it is
	// old enough.
	write(t, dir, a, strings.Replace(text, "First", "Third", 1))
	info, err := os.Stat(filepath.Join(dir, a))
	if err != nil {
		t.Fatal(err)
	}
	want(titles("1"), "Harvest supper, Third")
	write(t, dir, a, strings.Replace(text, "First", "Forth", 1))
	if err := os.Chtimes(filepath.Join(dir, a), info.ModTime(), info.ModTime()); err != nil {
		t.Fatal(err)
	}
	want(titles("1"), "Harvest supper, Forth")

	// A damaged index, one of another build, and one that is cut short.
	whole, err := os.ReadFile(index())
	if err != nil {
		t.Fatal(err)
	}
	for n := 0; n < len(whole); n += 7 {
		broken := slices.Clone(whole)
		broken[n] ^= 0x55
		write(t, cache, filepath.Base(index()), string(broken))
		want(titles("1"), "Harvest supper, Forth")
		write(t, cache, filepath.Base(index()), string(whole[:n]))
		want(titles("1"), "Harvest supper, Forth")
	}
	want(titles("2"), "Harvest supper, Forth")
	if err := os.Remove(filepath.Join(dir, b)); err != nil {
		t.Fatal(err)
	}
	want(titles("2"), "Forth")
	index()
}

// TestIndexIsUsed checks that the index saves reading: List returns what the index says
// about a file that has not changed, even if that is wrong.
func TestIndexIsUsed(t *testing.T) {
	isolate(t)
	dir, cache := t.TempDir(), t.TempDir()
	const a = "cooks/2026/2026-01-01-a.md"
	write(t, dir, a, "---\ntitle: First\n---\n")
	at := time.Unix(1_700_000_000, 0)
	if err := os.Chtimes(filepath.Join(dir, a), at, at); err != nil {
		t.Fatal(err)
	}
	tick(t)
	if all := list(t, dir, cache); all[0].Title != "First" {
		t.Errorf("got %q", all[0].Title)
	}
	made, err := filepath.Glob(filepath.Join(cache, "index-*"))
	if err != nil || len(made) != 1 {
		t.Fatal(made, err)
	}
	data, err := os.ReadFile(made[0])
	if err != nil {
		t.Fatal(err)
	}
	data = bytes.Replace(data, []byte("First"), []byte("Forth"), 1)
	binary.LittleEndian.PutUint32(data, crc32.ChecksumIEEE(data[4:]))
	if err := os.WriteFile(made[0], data, 0o666); err != nil {
		t.Fatal(err)
	}
	if all := list(t, dir, cache); all[0].Title != "Forth" {
		t.Errorf("got %q: the file was read again", all[0].Title)
	}
}

// tick makes files until one is newer than the first by more than racyTick, by the file
// system's clock.
func tick(t *testing.T) {
	t.Helper()
	made := func() time.Time {
		name := filepath.Join(t.TempDir(), "tick")
		if err := os.WriteFile(name, nil, 0o666); err != nil {
			t.Fatal(err)
		}
		info, err := os.Stat(name)
		if err != nil {
			t.Fatal(err)
		}
		return info.ModTime()
	}
	for first := made(); made().Sub(first) <= racyTick; {
	}
}

func TestSearch(t *testing.T) {
	isolate(t)
	dir := t.TempDir()
	write(t, dir, supper, supperText)
	write(t, dir, "cooks/2026/2026-11-11-martinmas.md", "---\ntitle: Martinmas\n---\nGänse und ÄPFEL\r\nPork and cherry wood\r\npork\n")
	write(t, dir, "cooks/2025/2025-05-01-may.md", "no words here, only CHERRY")
	f := open(t, dir, &clock{night})
	for _, c := range []struct{ words, want string }{
		{"cherry", "2026-11-11-martinmas:5:Pork and cherry wood 2025-05-01-may:1:no words here, only CHERRY"},
		{"PORK cherry", "2026-11-11-martinmas:5:Pork and cherry wood"},
		{"äpfel", "2026-11-11-martinmas:4:Gänse und ÄPFEL"},
		{"gÄNSE pork", "2026-11-11-martinmas:4:Gänse und ÄPFEL"},
		{"pork", "2026-11-11-martinmas:5:Pork and cherry wood 2026-09-18-harvest-supper:4:cut: pork shoulder"},
		{"wrap paper nowhere", ""},
		{"cherry may 2025", "2025-05-01-may:1:no words here, only CHERRY"},
		{"november", "2026-11-11-martinmas:0:"},
		{"pork sep", "2026-09-18-harvest-supper:4:cut: pork shoulder"},
		{"", ""},
	} {
		all, _, _ := f.List(t.Context())
		hits, err := f.Search(t.Context(), strings.Fields(c.words), all)
		var got []string
		for _, h := range hits {
			got = append(got, fmt.Sprintf("%s:%d:%s", h.ID, h.Line, h.Text))
		}
		if strings.Join(got, " ") != c.want || err != nil {
			t.Errorf("%q: got %q, %v", c.words, got, err)
		}
	}
}

// TestSearchFindsWhatGrepFinds compares Search with grep on generated cooks.
func TestSearchFindsWhatGrepFinds(t *testing.T) {
	if _, err := exec.LookPath("grep"); err != nil {
		t.Skip("no grep program")
	}
	dir := many(t, 200)
	f := open(t, dir, &clock{night})
	for _, word := range []string{"cherry", "HICKORY", "supper 17", "°c, core 8", "pale", "zzz", "2020-01-0"} {
		out, _ := exec.Command("grep", "-rliF", word, filepath.Join(dir, "cooks")).Output()
		want := strings.Fields(string(out))
		for i := range want {
			want[i] = strings.TrimSuffix(filepath.Base(want[i]), ".md")
		}
		all, _, _ := f.List(t.Context())
		hits, _ := f.Search(t.Context(), []string{word}, all)
		got := make([]string, len(hits))
		for i, h := range hits {
			got[i] = h.ID
		}
		slices.Sort(want)
		slices.Sort(got)
		if !slices.Equal(got, want) {
			t.Errorf("%q: got %d cooks, grep found %d", word, len(got), len(want))
		}
	}
}

// TestFoldersAreListedAgain changes a folder whose listing is in the index.
func TestFoldersAreListedAgain(t *testing.T) {
	isolate(t)
	dir, cache := t.TempDir(), t.TempDir()
	const a, b = "cooks/2026/2026-01-01-a.md", "cooks/2026/2026-01-02-b.md"
	at := time.Now().Add(-time.Hour)
	settle := func() {
		t.Helper()
		for _, p := range []string{"cooks/2026", a} {
			if err := os.Chtimes(filepath.Join(dir, p), at, at); err != nil {
				t.Fatal(err)
			}
		}
		at = at.Add(time.Minute)
	}
	shelf := func() (out string) {
		t.Helper()
		f, err := Open(dir, Options{Now: (&clock{night}).now, Cache: cache})
		if err != nil {
			t.Fatal(err)
		}
		for range 2 { // once read, once from the index
			all, problems, _ := f.List(t.Context())
			out = ""
			for _, s := range all {
				out += fmt.Sprint(s.ID, " ", s.Series, " ")
			}
			for _, p := range problems {
				out += p.File + " "
			}
		}
		return out
	}
	write(t, dir, a, "---\ntitle: A\n---\n")
	for _, step := range []struct {
		do   func()
		want string
	}{
		{func() {}, "2026-01-01-a false "},
		{func() { write(t, dir, b, "---\ntitle: B\n---\n") }, "2026-01-02-b false 2026-01-01-a false "},
		{func() { write(t, dir, "cooks/2026/2026-01-02-b.csv", "time,pit_c\n") }, "2026-01-02-b true 2026-01-01-a false "},
		{func() { write(t, dir, "cooks/2026/notes.md", "x\n") }, "2026-01-02-b true 2026-01-01-a false cooks/2026/notes.md "},
		{func() { write(t, dir, "cooks/2025/2026-01-02-b.md", "---\ntitle: B\n---\n") },
			"2026-01-02-b true 2026-01-02-b false 2026-01-01-a false cooks/2025/2026-01-02-b.md cooks/2026/notes.md "},
		{func() { os.RemoveAll(filepath.Join(dir, "cooks/2025")) }, "2026-01-02-b true 2026-01-01-a false cooks/2026/notes.md "},
		{func() { os.Remove(filepath.Join(dir, "cooks/2026/notes.md")) }, "2026-01-02-b true 2026-01-01-a false "},
		{func() { os.Remove(filepath.Join(dir, "cooks/2026/2026-01-02-b.csv")) }, "2026-01-02-b false 2026-01-01-a false "},
		{func() { os.Rename(filepath.Join(dir, b), filepath.Join(dir, "cooks/2026/2026-01-03-c.md")) }, "2026-01-03-c false 2026-01-01-a false "},
	} {
		step.do()
		settle()
		if got := shelf(); got != step.want {
			t.Errorf("got %q, want %q", got, step.want)
		}
		if got := shelf(); got != step.want {
			t.Errorf("again %q, want %q", got, step.want)
		}
	}
}

// TestRecentFolderIsReadAgain adds a file in the same moment of the file system's
// clock in which the folder was last changed.
func TestRecentFolderIsReadAgain(t *testing.T) {
	isolate(t)
	dir, cache := t.TempDir(), t.TempDir()
	write(t, dir, "cooks/2026/2026-01-01-a.md", "---\ntitle: A\n---\n")
	if all := list(t, dir, cache); len(all) != 1 {
		t.Fatalf("%d cooks", len(all))
	}
	name := filepath.Join(dir, "cooks/2026")
	info, err := os.Stat(name)
	if err != nil {
		t.Fatal(err)
	}
	write(t, dir, "cooks/2026/2026-01-02-b.md", "---\ntitle: B\n---\n")
	if err := os.Chtimes(name, info.ModTime(), info.ModTime()); err != nil {
		t.Fatal(err)
	}
	if all := list(t, dir, cache); len(all) != 2 {
		t.Errorf("%d cooks, want 2", len(all))
	}
}

func TestEachLeavesNoneOut(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for procs := 1; procs <= 5; procs++ {
		runtime.GOMAXPROCS(procs)
		for n := range 40 {
			for share := 1; share <= 9; share++ {
				visits := make([]atomic.Int32, n)
				each(t.Context(), n, share, func(i int) { visits[i].Add(1) })
				for i := range visits {
					if got := visits[i].Load(); got != 1 {
						t.Fatalf("%d processors, %d of %d in shares of %d: visited %d times", procs, i, n, share, got)
					}
				}
			}
		}
	}
}

// Names that differ only in capitals are one file on some machines.
func TestNamesThatDifferInCapitals(t *testing.T) {
	isolate(t)
	dir := t.TempDir()
	write(t, dir, "cooks/2026/2026-01-01-case.md", "---\ntitle: a\n---\n")
	write(t, dir, "cooks/2026/2026-01-01-Case.md", "---\ntitle: b\n---\n")
	f, err := Open(dir, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(f.IDs()) < 2 {
		t.Skip("they are one file here")
	}
	_, problems, err := f.Check(t.Context())
	if err != nil || len(problems) != 1 || !strings.Contains(problems[0].Text, "in capitals alone") {
		t.Errorf("%v, %v", problems, err)
	}
}
