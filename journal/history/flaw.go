package history

import (
	"bytes"
	"regexp"
	"slices"
	"sync"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/filemode"
)

// commitHead matches the start of a commit: its tree, its parents, then author and
// committer with their times (git-commit-tree(1)).
var commitHead = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`\Atree [0-9a-f]{40}\n(?:parent [0-9a-f]{40}\n)*author ` + ident + `\ncommitter ` + ident + `\n`)
})

const ident = `[^<>\n]* <[^<>\n]*> (?:0|[1-9][0-9]{0,17}) [+-][0-9]{4}`

// Flaw says in plain words which rule of git a commit or tree breaks; "" for none. The
// rules are those that git fetch checks with fetch.fsckObjects (git-fsck(1), FSCK
// MESSAGES), except those for names and kinds of files. Other repositories may refuse
// an object that breaks them.
func (o *Objects) Flaw(n New) (string, error) {
	if n.Kind == plumbing.CommitObject && n.What() != Repository {
		raw, err := readObject(o.st, n.Kind, n.Hash)
		if err == nil && (!commitHead().Match(raw) || bytes.IndexByte(raw, 0) >= 0) {
			return "is not in the form in which git writes a commit", nil
		}
		return "", err
	}
	// A file and a folder of the same name may have other entries between them.
	mixed := slices.ContainsFunc(n.folder.entries, func(e treeEntry) bool { return e.mode == filemode.Dir })
	names := map[string]bool{}
	raw, last := n.folder.raw, ""
	for i, e := range n.folder.entries {
		key := e.name
		if e.mode == filemode.Dir {
			key += "/"
		}
		switch {
		case i > 0 && e.name == n.folder.entries[i-1].name || names[e.name]:
			return "has two files of the same name", nil
		case key < last:
			return "does not list its files in git's order", nil
		case e.hash.IsZero():
			return "has a file without content", nil
		case raw[0] == '0':
			return "is not in the form in which git writes a folder", nil
		}
		if mixed {
			names[e.name] = true
		}
		last, raw = key, raw[bytes.IndexByte(raw, 0)+1+len(e.hash):]
	}
	return "", nil
}
