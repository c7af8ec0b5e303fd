package store

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"ashbook/journal/disk"
)

// recorder is a disk that writes to a real one and records each step, so that a test
// can compute what a power cut after any step leaves.
//
// It models POSIX, and allows slightly more than any one file system does. The content
// of a file survives once the file is flushed. A name that was made, moved or exchanged
// survives once a folder that gets a name by the step is flushed; a deletion, once its
// folder is flushed. Other steps may survive or not, in any combination. A step that
// changes two names survives for both or for neither. Of several flushes made at once,
// any may be finished when the power fails.
type recorder struct {
	disk.FS
	dir      string
	drop     string           // flush to leave out; "" for none
	names    map[string]*node // current names below dir
	base     map[string]*node // names at the start
	baseData map[*node]string
	steps    []step
	flushes  map[string]bool // names of the flushes made
}

type node struct{ folder bool }

// step is one change to the disk.
type step struct {
	names  map[string]*node // new targets of names; nil means deleted
	node   *node            // file whose content changes
	data   string           // its new content
	sync   *node            // file flushed
	folder string           // folder flushed
	wave   []step           // flushes made at once, any of which may be finished
	acked  string           // line acknowledged
}

func recording(t testing.TB, dir string) *recorder {
	r := &recorder{FS: disk.Unflushed(disk.OS), dir: dir,
		base: map[string]*node{}, baseData: map[*node]string{}, flushes: map[string]bool{}}
	r.scan(t, func(name string, n *node, data string) { r.base[name], r.baseData[n] = n, data })
	r.names = maps.Clone(r.base)
	return r
}

func (r *recorder) scan(t testing.TB, each func(name string, n *node, data string)) {
	err := filepath.WalkDir(r.dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			each(r.rel(name), &node{folder: true}, "")
			return err
		}
		data, err := os.ReadFile(name)
		each(r.rel(name), &node{}, string(data))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

func (r *recorder) rel(name string) string {
	rel, err := filepath.Rel(r.dir, name)
	if err != nil {
		panic(err)
	}
	return filepath.ToSlash(rel)
}

// outside runs a change by another program, which survives a power cut at once.
func (r *recorder) outside(t testing.TB, do func()) {
	do()
	r.scan(t, func(name string, n *node, data string) {
		if was := r.names[name]; was != nil && (was.folder || r.holds(was) == data) {
			return
		}
		r.steps = append(r.steps, step{node: n, data: data}, step{sync: n})
		r.name(map[string]*node{name: n})
		r.steps = append(r.steps, step{folder: filepath.Dir(name)})
	})
}

func (r *recorder) ack(line string) { r.steps = append(r.steps, step{acked: line}) }

// holds returns the content of a file after the last step.
func (r *recorder) holds(n *node) string {
	for _, s := range slices.Backward(r.steps) {
		if s.node == n {
			return s.data
		}
	}
	return r.baseData[n]
}

func (r *recorder) name(names map[string]*node) {
	r.steps = append(r.steps, step{names: names})
	maps.Copy(r.names, names)
	maps.DeleteFunc(r.names, func(_ string, n *node) bool { return n == nil })
}

// flushed records a flush unless it is the one to leave out.
func (r *recorder) flushed(name string, s step) []step {
	what := kindOf(r.rel(name))
	r.flushes[what] = true
	if what == r.drop {
		return nil
	}
	return []step{s}
}

// kindOf returns a name for the kind of path that is the same in every run.
func kindOf(p string) string {
	folder, base := filepath.Split(p)
	switch {
	case isTemp(base):
		base = tempPrefix
	case strings.HasPrefix(base, "tmp_obj_"):
		base = "tmp_obj_"
	case strings.HasPrefix(p, ".git/objects/"):
		base = "xx"
	}
	return folder + base
}

func (r *recorder) OpenFile(name string, flag int, perm fs.FileMode) (disk.File, error) {
	f, err := r.FS.OpenFile(name, flag, perm)
	if err != nil {
		return nil, err
	}
	n := r.names[r.rel(name)]
	if n == nil {
		n = &node{}
		r.name(map[string]*node{r.rel(name): n})
	} else if flag&os.O_TRUNC != 0 {
		r.steps = append(r.steps, step{node: n})
	}
	return &recorded{f, r, n}, nil
}

func (r *recorder) Mkdir(name string, perm fs.FileMode) error {
	err := r.FS.Mkdir(name, perm)
	if err == nil {
		r.name(map[string]*node{r.rel(name): {folder: true}})
	}
	return err
}

func (r *recorder) Link(old, name string) error {
	err := r.FS.Link(old, name)
	if err == nil {
		r.name(map[string]*node{r.rel(name): r.names[r.rel(old)]})
	}
	return err
}

func (r *recorder) Rename(old, name string) error {
	err := r.FS.Rename(old, name)
	if err == nil {
		r.name(map[string]*node{r.rel(name): r.names[r.rel(old)], r.rel(old): nil})
	}
	return err
}

func (r *recorder) Exchange(a, b string) error {
	err := r.FS.Exchange(a, b)
	if err == nil {
		r.name(map[string]*node{r.rel(a): r.names[r.rel(b)], r.rel(b): r.names[r.rel(a)]})
	}
	return err
}

func (r *recorder) Remove(name string) error {
	err := r.FS.Remove(name)
	if err == nil {
		r.name(map[string]*node{r.rel(name): nil})
	}
	return err
}

func (r *recorder) Flush(files []disk.File, folders ...string) error {
	var wave []step
	for _, f := range files {
		wave = append(wave, r.flushed(f.Name(), step{sync: r.names[r.rel(f.Name())]})...)
	}
	for _, name := range folders {
		wave = append(wave, r.flushed(name, step{folder: r.rel(name)})...)
	}
	r.steps = append(r.steps, step{wave: wave})
	return nil
}

type recorded struct {
	disk.File
	r *recorder
	n *node
}

func (f *recorded) Write(p []byte) (int, error) {
	n, err := f.File.Write(p)
	f.r.steps = append(f.r.steps, step{node: f.n, data: f.r.holds(f.n) + string(p[:n])})
	return n, err
}

func (f *recorded) Truncate(size int64) error {
	err := f.File.Truncate(size)
	if err == nil {
		f.r.steps = append(f.r.steps, step{node: f.n, data: f.r.holds(f.n)[:size]})
	}
	return err
}

func (f *recorded) Sync() error {
	f.r.steps = append(f.r.steps, f.r.flushed(f.Name(), step{sync: f.n})...)
	return nil
}

// tearing has the contents that a file may have after a power cut: was is the content
// when it was last flushed, now the content written since.
var tearing = map[string]func(was, now string) string{
	"lost": func(was, _ string) string { return was },
	"kept": func(_, now string) string { return now },
	"torn": func(was, now string) string { return now[:(len(was)+len(now)+1)/2] },
	"zeros": func(was, now string) string {
		return now[:len(was)] + strings.Repeat("\x00", len(now)-len(was))
	},
}

// crashes calls visit with states that the disk may have after a power cut before step
// i, or while its flushes are being made: a few of the possible states, or more.
func (r *recorder) crashes(i int, more bool, pick func(how string) bool, visit func(how string, tree map[string]*node, data map[*node]string)) {
	var done []step
	for _, s := range r.steps[:i] {
		done = append(append(done, s), s.wave...)
	}
	r.crashesAfter(done, "", more, pick, visit)
	if i == len(r.steps) {
		return
	}
	wave := r.steps[i].wave
	for _, part := range choices(len(wave), true) {
		if len(part) == 0 || len(part) == len(wave) {
			continue // the same state comes before or after it
		}
		some := slices.Clip(done)
		for _, j := range part {
			some = append(some, wave[j])
		}
		r.crashesAfter(some, fmt.Sprintf(", flushes %d of %d", part, len(wave)), more, pick, visit)
	}
}

// crashesAfter calls visit with states that the disk may have after these steps.
func (r *recorder) crashesAfter(steps []step, in string, more bool, pick func(how string) bool, visit func(how string, tree map[string]*node, data map[*node]string)) {
	must, may := map[int]bool{}, []int{}
	for j, s := range steps {
		if s.names == nil {
			continue
		}
		must[j] = slices.ContainsFunc(steps[j:], func(l step) bool {
			for name, n := range s.names {
				if l.folder != "" && l.folder == filepath.Dir(name) && (n != nil || len(s.names) == 1) {
					return true
				}
			}
			return false
		})
		if !must[j] {
			may = append(may, j)
		}
	}
	was, now := maps.Clone(r.baseData), maps.Clone(r.baseData)
	for _, s := range steps {
		if s.node != nil {
			now[s.node] = s.data
			if !strings.HasPrefix(s.data, was[s.node]) {
				was[s.node] = "" // the file was truncated
			}
		}
		if s.sync != nil {
			was[s.sync] = now[s.sync]
		}
	}
	for _, taken := range choices(len(may), more) {
		names := sync.OnceValue(func() map[string]*node {
			names := maps.Clone(r.base)
			for j, s := range steps {
				if s.names == nil {
					continue
				}
				if k, open := slices.BinarySearch(may, j); must[j] || open && slices.Contains(taken, k) {
					maps.Copy(names, s.names)
				}
			}
			maps.DeleteFunc(names, func(name string, n *node) bool { return n == nil || !reached(names, name) })
			return names
		})
		for how, tear := range tearing {
			how = fmt.Sprintf("%s, %d of %d names%s", how, len(taken), len(may), in)
			if !pick(how) {
				continue
			}
			data := map[*node]string{}
			for n := range now {
				data[n] = tear(was[n], now[n])
			}
			visit(how, names(), data)
		}
	}
}

// reached reports whether the folders above a name exist.
func reached(names map[string]*node, name string) bool {
	for dir := filepath.Dir(name); dir != "."; dir = filepath.Dir(dir) {
		if n := names[dir]; n == nil || !n.folder {
			return false
		}
	}
	return true
}

// choices returns which of n things survive: none and all; with more, also the first k
// for each k, each one alone, and all but one.
func choices(n int, more bool) [][]int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	out := [][]int{nil, all}
	if more {
		for i := range all {
			out = append(out, all[:i], all[i:i+1], slices.Delete(slices.Clone(all), i, i+1))
		}
	}
	return out
}

// lay writes the tree to a folder.
func lay(t testing.TB, tree map[string]*node, data map[*node]string) string {
	memory := "/dev/shm" // memory will do, since the files are only read
	if _, err := os.Stat(memory); err != nil {
		memory = ""
	}
	dir, err := os.MkdirTemp(memory, "ashbook-crash-")
	if err != nil {
		t.Fatal(err)
	}
	first := map[*node]string{}
	for _, name := range slices.Sorted(maps.Keys(tree)) {
		n, full := tree[name], filepath.Join(dir, name)
		switch {
		case n.folder:
			err = os.MkdirAll(full, 0o777)
		case first[n] != "":
			err = os.Link(first[n], full)
		default:
			first[n] = full
			err = os.WriteFile(full, []byte(data[n]), 0o666)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// fingerprint returns a hash that is equal for equal trees.
func fingerprint(tree map[string]*node, data map[*node]string) [32]byte {
	var buf bytes.Buffer
	for _, name := range slices.Sorted(maps.Keys(tree)) {
		fmt.Fprintf(&buf, "%s %d\n%s\n", name, len(data[tree[name]]), data[tree[name]])
	}
	return sha256.Sum256(buf.Bytes())
}
