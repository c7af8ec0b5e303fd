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
	"testing"

	"ashbook/journal/disk"
)

// recorder is the disk under a journal. It writes to a real disk and keeps a list of
// the steps, so that a test can work out what a power cut after any step leaves behind.
//
// Its model of a disk is that of POSIX, a little more than any one file system takes:
// what a file holds outlasts a cut once the file is flushed; a name made, moved or
// taken away once a folder that the step touches is flushed, and of other steps any
// may be there or not. A step that touches two names is done for both or for neither.
type recorder struct {
	disk.FS
	dir      string
	drop     func(what string) bool // leaves out a flush
	names    map[string]*node       // below dir
	base     map[string]*node       // names at the beginning
	baseData map[*node]string
	steps    []step
	flushes  map[string]bool // what was flushed
}

type node struct{ folder bool }

// step is one thing that was done to the disk.
type step struct {
	names  map[string]*node // where names lead from here on; nil: nowhere
	node   *node            // the file that
	data   string           // holds this from here on
	sync   *node            // flushed file
	folder string           // flushed folder
	acked  string           // a line that was acknowledged
}

func recording(t testing.TB, dir string) *recorder {
	r := &recorder{FS: disk.Unflushed(disk.OS), dir: dir, drop: func(string) bool { return false },
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

// outside lets another program do something, which outlasts a power cut at once.
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

// holds is what a file holds after the last step.
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

// flushed notes a flush unless it is left out.
func (r *recorder) flushed(name string, s step) {
	what := kindOf(r.rel(name))
	r.flushes[what] = true
	if !r.drop(what) {
		r.steps = append(r.steps, s)
	}
}

// kindOf names what a path is, the same in every run.
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

func (r *recorder) SyncFolder(name string) error {
	r.flushed(name, step{folder: r.rel(name)})
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
	f.r.flushed(f.Name(), step{sync: f.n})
	return nil
}

// tearing says what a file holds after a power cut that was flushed when it held was
// and holds now.
var tearing = map[string]func(was, now string) string{
	"lost": func(was, _ string) string { return was },
	"kept": func(_, now string) string { return now },
	"torn": func(was, now string) string { return now[:(len(was)+len(now)+1)/2] },
	"zeros": func(was, now string) string {
		return now[:len(was)] + strings.Repeat("\x00", len(now)-len(was))
	},
}

// crashes visits what may be on the disk after a power cut before step i.
func (r *recorder) crashes(i int, visit func(how string, tree map[string]*node, data map[*node]string)) {
	must, may := map[int]bool{}, []int{}
	for j, s := range r.steps[:i] {
		if s.names == nil {
			continue
		}
		must[j] = slices.ContainsFunc(r.steps[j:i], func(l step) bool {
			for name := range s.names {
				if l.folder != "" && l.folder == filepath.Dir(name) {
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
	for _, s := range r.steps[:i] {
		if s.node != nil {
			now[s.node] = s.data
			if !strings.HasPrefix(s.data, was[s.node]) {
				was[s.node] = "" // truncated
			}
		}
		if s.sync != nil {
			was[s.sync] = now[s.sync]
		}
	}
	for _, taken := range choices(may) {
		names := maps.Clone(r.base)
		for j, s := range r.steps[:i] {
			if s.names != nil && (must[j] || slices.Contains(taken, j)) {
				maps.Copy(names, s.names)
			}
		}
		maps.DeleteFunc(names, func(name string, n *node) bool { return n == nil || !reached(names, name) })
		for how, tear := range tearing {
			data := map[*node]string{}
			for n := range now {
				data[n] = tear(was[n], now[n])
			}
			visit(fmt.Sprintf("%s, %d of %d names", how, len(taken), len(may)), names, data)
		}
	}
}

// reached tells whether the folders above a name are there.
func reached(names map[string]*node, name string) bool {
	for dir := filepath.Dir(name); dir != "."; dir = filepath.Dir(dir) {
		if n := names[dir]; n == nil || !n.folder {
			return false
		}
	}
	return true
}

// choices returns which steps are taken: none, all, those up to any one, all but any
// one, and any one alone; but for the first two only where a long run is asked for.
func choices(may []int) [][]int {
	out := [][]int{nil, may}
	if os.Getenv("ASHBOOK_CRASHES") == "" {
		return out
	}
	for k := range may {
		out = append(out, may[:k], may[k:k+1], slices.Delete(slices.Clone(may), k, k+1))
	}
	return out
}

// lay makes a folder that holds the tree.
func lay(t testing.TB, tree map[string]*node, data map[*node]string) string {
	memory := "/dev/shm" // what was on a disk needs none to be looked at
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

// fingerprint tells trees apart.
func fingerprint(tree map[string]*node, data map[*node]string) [32]byte {
	var buf bytes.Buffer
	for _, name := range slices.Sorted(maps.Keys(tree)) {
		fmt.Fprintf(&buf, "%s %d\n%s\n", name, len(data[tree[name]]), data[tree[name]])
	}
	return sha256.Sum256(buf.Bytes())
}
