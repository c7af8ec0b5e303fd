package history

import (
	"errors"
	"os/exec"
	"strings"
	"testing"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/filemode"
)

// Flaw rejects what `git fsck --strict` rejects, and nothing else.
func TestFlaw(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "journal.md", "---\nunits: metric\n---\n")
	needGit(t)
	r, err := Init(dir, noon, 0)
	if err != nil {
		t.Fatal(err)
	}
	made := func(kind, text string) plumbing.Hash {
		cmd := exec.Command("git", "hash-object", "-t", kind, "-w", "--stdin", "--literally")
		cmd.Dir, cmd.Stdin = dir, strings.NewReader(text)
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		return plumbing.NewHash(strings.TrimSpace(string(out)))
	}
	blob := made("blob", "x\n")
	raw := func(h plumbing.Hash) string { return string(h[:]) }
	inner := made("tree", "100644 x.md\x00"+raw(blob))
	file := func(name string) string { return "100644 " + name + "\x00" + raw(blob) }
	folder := func(name string) string { return "40000 " + name + "\x00" + raw(inner) }
	const who = "Eve <eve@localhost> 1789840000 +0100\n"
	top := "tree " + inner.String() + "\n"
	all := map[plumbing.Hash]string{}
	for _, text := range []string{
		file("a.md") + folder("a"), // git sorts a folder as if its name ended in a slash
		folder("a") + file("a.md"),
		file("a") + file("a.b") + folder("a"),
		file("a") + file("a"),
		file("b") + file("a"),
		file("a") + "040000 b\x00" + raw(inner),
		"100644 a\x00" + strings.Repeat("\x00", 20),
		folder("a0") + file("a1") + file("b"),
	} {
		all[made("tree", text)] = text
	}
	for _, text := range []string{
		top + "author " + who + "committer " + who + "\nlid\n",
		top + "author " + who + "committer " + who + "encoding latin1\n\nlid\n",
		top + "author  <> 0 +0000\ncommitter " + who + "\nlid\n",
		top + "author <eve@localhost> 1789840000 +0100\ncommitter " + who + "\nlid\n",
		top + "author Eve<eve@localhost> 1789840000 +0100\ncommitter " + who + "\nlid\n",
		top + "author Eve <eve@<localhost> 1789840000 +0100\ncommitter " + who + "\nlid\n",
		top + "author Eve <eve@localhost> 01789840000 +0100\ncommitter " + who + "\nlid\n",
		top + "author Eve <eve@localhost> 99999999999999999999 +0100\ncommitter " + who + "\nlid\n",
		top + "author Eve <eve@localhost> 1789840000 0100\ncommitter " + who + "\nlid\n",
		top + "author Eve <eve@localhost> 1789840000 +010\ncommitter " + who + "\nlid\n",
		top + "author " + who + "author " + who + "committer " + who + "\nlid\n",
		top + "committer " + who + "\nlid\n",
		top + "author " + who + "\nlid\n",
		top + "parent x\nauthor " + who + "committer " + who + "\nlid\n",
		top + "author " + who + "committer " + who + "\nli\x00d\n",
	} {
		all[made("commit", text)] = text
	}
	cmd := exec.Command("git", "fsck", "--strict", "--no-dangling", "--no-progress")
	cmd.Dir = dir
	said, _ := cmd.CombinedOutput()
	o, err := r.Objects()
	if err != nil {
		t.Fatal(err)
	}
	faults := 0
	for h, text := range all {
		n := New{Hash: h, Kind: plumbing.CommitObject}
		var err error
		if !strings.HasPrefix(text, "tree ") {
			n.Kind, n.Mode = plumbing.TreeObject, filemode.Dir
			n.folder, err = (&newWalk{Objects: o, trees: map[plumbing.Hash]tree{}}).tree(h)
		}
		got, err2 := o.Flaw(n)
		if err := errors.Join(err, err2); err != nil {
			t.Errorf("%q: %v", text, err)
		}
		want := strings.Contains(string(said), "in tree "+h.String()) || strings.Contains(string(said), "in commit "+h.String())
		if want {
			faults++
		}
		if (got != "") != want {
			t.Errorf("%q: %q, git finds fault: %v\n%s", text, got, want, said)
		}
	}
	if faults < 15 {
		t.Errorf("git finds fault with only %d\n%s", faults, said)
	}
}
