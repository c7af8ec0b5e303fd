package syncer_test

import (
	"bytes"
	"compress/zlib"
	"crypto/sha1"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"testing"

	"ashbook/journal/history"
	"ashbook/journal/journaltest"
	"ashbook/journal/syncer"
)

// put writes an object with any content into a bare repository.
func put(t testing.TB, hub, kind string, data []byte) string {
	t.Helper()
	whole := append(fmt.Appendf(nil, "%s %d\x00", kind, len(data)), data...)
	sum := sha1.Sum(whole)
	name := hex.EncodeToString(sum[:])
	var buf bytes.Buffer
	z := zlib.NewWriter(&buf)
	z.Write(whole)
	z.Close()
	journaltest.Write(t, hub, "objects/"+name[:2]+"/"+name[2:], buf.String())
	return name
}

// leafOf is one entry of a tree.
type leafOf struct{ mode, name, hash string }

func tree(t testing.TB, hub string, leaves ...leafOf) string {
	t.Helper()
	sort.Slice(leaves, func(i, j int) bool { return leaves[i].name < leaves[j].name })
	var raw []byte
	for _, l := range leaves {
		sum, err := hex.DecodeString(l.hash)
		if err != nil {
			t.Fatal(err)
		}
		raw = append(append(raw, l.mode+" "+l.name+"\x00"...), sum...)
	}
	return put(t, hub, "tree", raw)
}

// commitOf makes a commit and moves the hub's branch to it.
func commitOf(t testing.TB, hub, tree string, parents ...string) string {
	t.Helper()
	text := "tree " + tree + "\n"
	for _, p := range parents {
		text += "parent " + p + "\n"
	}
	hash := put(t, hub, "commit", []byte(text+"author Eve <eve@localhost> 1789840000 +0100\ncommitter Eve <eve@localhost> 1789840000 +0100\n\nharmless\n"))
	journaltest.Write(t, hub, "refs/heads/main", hash+"\n")
	return hash
}

// snapshot returns the content of every file below a folder except git's own.
func snapshot(t testing.TB, dir string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == ".git" || strings.HasSuffix(d.Name(), "hall.git")) {
			return fs.SkipDir
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		fmt.Fprintf(&b, "%s %s", name, info.Mode())
		if d.Type().IsRegular() {
			data, err := os.ReadFile(name)
			if err != nil {
				return err
			}
			fmt.Fprintf(&b, " %x", sha1.Sum(data))
		}
		b.WriteString("\n")
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// What a hostile remote may contain. None of it is written or run, and the user is
// told. The names reserved by Windows are from Microsoft, "Naming Files, Paths, and
// Namespaces"; the names that git treats as .git are from git-fsck(1), hasDotgit.
func TestHostileRemote(t *testing.T) {
	file := func(name string) func(t testing.TB, hub string) []leafOf {
		return func(t testing.TB, hub string) []leafOf {
			return []leafOf{{"100644", name, put(t, hub, "blob", []byte("---\nashbook: 1\n---\n"))}}
		}
	}
	in := func(folder, name string) func(t testing.TB, hub string) []leafOf {
		return func(t testing.TB, hub string) []leafOf {
			return []leafOf{{"40000", folder, tree(t, hub, file(name)(t, hub)...)}}
		}
	}
	of := func(mode, name, text string) func(t testing.TB, hub string) []leafOf {
		return func(t testing.TB, hub string) []leafOf {
			return []leafOf{{mode, name, put(t, hub, "blob", []byte(text))}}
		}
	}
	// These are tried through the git program too: with ASHBOOK_WHOLE set also those of
	// 100 MB, with ASHBOOK_CRASHES set all.
	byGitToo, long := []string{"a link", "a way up", "hooks", "a missing file", "two files of the same name"}, os.Getenv("ASHBOOK_CRASHES") != ""
	cases := map[string]struct {
		leaves func(t testing.TB, hub string) []leafOf
		says   string
	}{
		"a link":                {of("120000", "cooks2", "/etc"), "symbolic link"},
		"a link out":            {of("120000", "zz.md", "../../outside/secret"), "symbolic link"},
		"a submodule":           {func(testing.TB, string) []leafOf { return []leafOf{{"160000", "sub", strings.Repeat("1", 40)}} }, "repository of its own"},
		"a program":             {of("100755", "run.sh", "#!/bin/sh\ntouch ran\n"), "marked as a program"},
		"100 MB":                {of("100644", "big.md", strings.Repeat("\x00", 100<<20)), "100 MB"},
		"5 MB of cook":          {of("100644", "long.md", strings.Repeat("- x\n", 5<<18)), "5 MB"},
		"a way up":              {in("..", "outside.md"), "leads out"},
		"a name with a way up":  {file("../outside/secret"), "not every system"},
		"a folder that is .git": {in(".git", "config"), "hidden"},
		"hooks": {func(t testing.TB, hub string) []leafOf {
			return []leafOf{{"40000", ".git", tree(t, hub, leafOf{"40000", "hooks", tree(t, hub, of("100755", "post-merge", "#!/bin/sh\ntouch ran\n")(t, hub)...)})}}
		}, "hidden"},
		".GIT":                      {in(".GIT", "config"), "hidden"},
		"git~1":                     {in("git~1", "config"), "git's own folder on Windows"},
		".git with a mark of HFS+":  {in(".g\u200cit", "config"), "not every system"},
		"a hidden file":             {file(".envrc"), "hidden"},
		"modules":                   {file(".gitmodules"), "hidden"},
		"a filter":                  {of("100644", ".gitattributes", "*.md filter=evil\n"), `"filter=evil"`},
		"a driver":                  {of("100644", ".gitattributes", "*.md merge=evil\n"), `"merge=evil"`},
		"CON":                       {file("CON"), "Windows uses"},
		"nul.md":                    {file("nul.md"), "Windows uses"},
		"com1.tar.md":               {file("com1.tar.md"), "Windows uses"},
		"a stream of NTFS":          {file("cook.md:evil"), "not every system"},
		"a dot at the end":          {file("cook.md."), "not every system"},
		"a space at the end":        {file("cook.md "), "not every system"},
		"a backslash":               {file(`cooks\evil.md`), "not every system"},
		"an escape of the terminal": {file("a\x1b[2Jb.md"), "not every system"},
		"right to left":             {file("a\u202edm.md"), "not every system"},
		"no UTF-8":                  {file("a\xff.md"), "not UTF-8"},
		"a name of another case":    {file("JOURNAL.md"), "the same name on some systems"},
		"a folder of another case":  {in("Cooks", "x.md"), "the same name on some systems"},
		"two names of one case": {func(t testing.TB, hub string) []leafOf {
			return append(file("One.md")(t, hub), file("oNE.md")(t, hub)...)
		}, "the same name on some systems"},
		"two files of the same name": {func(t testing.TB, hub string) []leafOf {
			return append(file("one.md")(t, hub), leafOf{"100644", "one.md", put(t, hub, "blob", []byte("other"))})
		}, "two files of the same name"},
		"a very long name": {file(strings.Repeat("a", 250) + ".md"), "too long"},
		"a missing file":   {func(testing.TB, string) []leafOf { return []leafOf{{"100644", "lost.md", strings.Repeat("2", 40)}} }, "not found"},
	}
	hub, all := people(t, "Ann")
	ann := all[0]
	outside := filepath.Join(filepath.Dir(ann.dir), "outside")
	journaltest.Write(t, outside, "secret", "mine")
	was := tip(t, ann)
	o, err := ann.f.History().Objects()
	if err != nil {
		t.Fatal(err)
	}
	top, err := o.Tree(was)
	if err != nil {
		t.Fatal(err)
	}
	before, beforeOut := snapshot(t, ann.dir), snapshot(t, outside)
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			if name == "100 MB" {
				journaltest.OnlyWhole(t)
				if testing.Short() {
					t.Skip("takes long under the race detector")
				}
			}
			leaves := c.leaves(t, hub)
			commitOf(t, hub, tree(t, hub, append(leavesOf(t, ann.dir, top, leaves), leaves...)...), was)
			bys := []func(history.Remote, *history.Repo) syncer.Carrier{nil}
			if _, err := exec.LookPath("git"); err == nil && (slices.Contains(byGitToo, name) || name == "100 MB" || long) {
				bys = append(bys, byProgram)
			}
			for _, by := range bys {
				ann.by = by
				_, err := ann.try(syncer.Options{})
				if err == nil {
					t.Fatal("it was taken in")
				}
				var u syncer.Unfit
				if by == nil && c.says != "not found" && (!errors.As(err, &u) && !errors.As(err, new(history.TooLarge)) || !strings.Contains(err.Error(), c.says)) {
					t.Errorf("said %q, expected %q", err, c.says)
				}
				if state := syncer.ReadState(ann.f.History().State()); state.Problem == "" {
					t.Error("the state says nothing")
				}
				if after := snapshot(t, ann.dir); after != before {
					t.Errorf("the journal has changed\n%s\nwas\n%s", after, before)
				}
				if after := snapshot(t, outside); after != beforeOut {
					t.Errorf("outside something has changed\n%s", after)
				}
				if left, _ := filepath.Glob(filepath.Join(ann.dir, ".git/ashbook/inbox-*")); len(left) > 0 {
					t.Errorf("left: %q", left)
				}
			}
			if got := tip(t, ann); got != was {
				t.Errorf("the branch went to %s", got)
			}
		})
	}
	ann.note("- 2026-09-19T01:10+01:00 pit 108 °C")
	if err := ann.f.Flush(); err != nil {
		t.Fatal(err)
	}
	journaltest.Sound(t, ann.dir)
}

// leavesOf returns the entries of a journal's tree, with those in instead replaced.
func leavesOf(t testing.TB, dir, top string, instead []leafOf) (out []leafOf) {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(dir, ".git/objects", top[:2], top[2:]))
	if err != nil {
		t.Fatal(err)
	}
	z, err := zlib.NewReader(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	var buf bytes.Buffer
	buf.ReadFrom(z)
	_, text, _ := strings.Cut(buf.String(), "\x00")
next:
	for text != "" {
		head, rest, _ := strings.Cut(text, "\x00")
		mode, name, _ := strings.Cut(head, " ")
		hash := hex.EncodeToString([]byte(rest[:20]))
		text = rest[20:]
		for _, l := range instead {
			if l.name == name {
				continue next
			}
		}
		out = append(out, leafOf{mode, name, hash})
	}
	return out
}

// Links in a hub's folder lead nowhere outside it, and its hooks and settings are not
// used.
func TestHostileFolder(t *testing.T) {
	hub, all := people(t, "Ann")
	ann := all[0]
	outside := t.TempDir()
	for _, dir := range []string{"objects", "refs/heads"} {
		away := filepath.Join(outside, filepath.Base(dir))
		if err := os.Rename(filepath.Join(hub, dir), away); err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(away, filepath.Join(hub, dir)); err != nil {
			t.Skip(err)
		}
		before := snapshot(t, outside)
		ann.note("- 2026-09-19T01:10+01:00 pit 108 °C")
		if _, err := ann.try(syncer.Options{Resend: true}); err == nil {
			t.Errorf("%s: sent through a link", dir)
		}
		if after := snapshot(t, outside); after != before {
			t.Errorf("%s: written through a link\n%s", dir, after)
		}
		os.Remove(filepath.Join(hub, dir))
		os.Rename(away, filepath.Join(hub, dir))
	}
	for _, name := range []string{"pre-receive", "update", "post-receive", "post-update", "reference-transaction", "post-index-change"} {
		journaltest.Write(t, hub, "hooks/"+name, "#!/bin/sh\ntouch "+outside+"/ran\n")
		os.Chmod(filepath.Join(hub, "hooks", name), 0o755)
	}
	journaltest.Write(t, hub, "config", "[core]\n\tbare = true\n\tfsmonitor = touch "+outside+"/ran\n\tsshCommand = touch "+outside+"/ran\n")
	ann.sync()
	if _, err := os.Stat(filepath.Join(outside, "ran")); err == nil {
		t.Error("something of the hub was run")
	}
}
