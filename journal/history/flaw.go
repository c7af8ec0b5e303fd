package history

import (
	"bytes"

	"github.com/go-git/go-git/v5/plumbing"

	"ashbook/journal/pattern"
)

// commitHead is how a commit begins: its folder, its parents, then who made it and when
// (git-commit-tree(1)).
var commitHead = pattern.New(`\Atree [0-9a-f]{40}\n(?:parent [0-9a-f]{40}\n)*author ` + ident + `\ncommitter ` + ident + `\n`)

const ident = `[^<>\n]* <[^<>\n]*> (?:0|[1-9][0-9]{0,17}) [+-][0-9]{4}`

// Flaw says what of git's rules a commit or a folder breaks, a clause in plain words; ""
// if nothing. The rules are those that git fetch checks with fetch.fsckObjects
// (git-fsck(1), FSCK MESSAGES), but for names and kinds of files. Other repositories may
// refuse what breaks them.
func (o *Objects) Flaw(n New) (string, error) {
	if n.Again || n.What() == Repository || n.Kind != plumbing.CommitObject && n.Kind != plumbing.TreeObject {
		return "", nil
	}
	raw, err := readObject(o.st, n.Kind, n.Hash)
	if err != nil {
		return "", err
	}
	if n.Kind == plumbing.CommitObject {
		if !commitHead.MatchString(string(raw)) || bytes.IndexByte(raw, 0) >= 0 {
			return "is not written as git writes a commit", nil
		}
		return "", nil
	}
	entries, err := readTree(o.st, n.Hash)
	if err != nil {
		return "", err
	}
	last, names := "", map[string]bool{}
	for _, e := range entries {
		key := sortKey(e.name, e.mode)
		switch {
		case names[e.name]:
			return "has two files of one name", nil
		case key < last:
			return "has its files in another order than git", nil
		case e.hash.IsZero():
			return "has a file without content", nil
		case raw[0] == '0':
			return "is not written as git writes a folder", nil
		}
		last, names[e.name] = key, true
		raw = raw[bytes.IndexByte(raw, 0)+1+len(e.hash):]
	}
	return "", nil
}
