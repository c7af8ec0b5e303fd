package history

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
)

// The attributes of each path are those that `git check-attr` prints.
func TestAttributesAsGitReadsThem(t *testing.T) {
	needGit(t)
	for name, files := range map[string]map[string]string{
		"the last rule counts":       {".gitattributes": "*.md text\n*.md -text\ncooks/** eol=lf\n"},
		"deeper counts more":         {".gitattributes": "*.md filter=a\n", "cooks/.gitattributes": "*.md filter=b\n", "cooks/2026/.gitattributes": "*.csv filter=c\n"},
		"info counts most":           {".gitattributes": "*.md filter=a\n", ".git/info/attributes": "*.md !filter ident\n"},
		"a macro":                    {".gitattributes": "[attr]secret filter=rot -text\n*.md secret\n"},
		"a macro within a macro":     {".gitattributes": "[attr]a ident\n[attr]b a eol=crlf\ncooks/2026/*.md b\n"},
		"a macro turned off":         {".gitattributes": "[attr]a ident\n*.md -a\n"},
		"a macro below the top":      {"cooks/.gitattributes": "[attr]a ident\n*.md a\n"},
		"binary":                     {".gitattributes": "*.csv binary\n"},
		"what comes first in a line": {".gitattributes": "*.md filter=a filter=b\n"},
		"a path, not a name":         {".gitattributes": "/2026-*.md ident\ncooks/*.md ident\ncooks/*/*.csv ident\n"},
		"stars":                      {".gitattributes": "**/2026/** ident\ncooks/**/*.csv text\n**.md filter=x\n"},
		"sets":                       {".gitattributes": "*.[mc][!x]* ident\n2026-0[0-9]-* text\n*[[:digit:]]* eol=lf\n"},
		"a question mark":            {".gitattributes": "2026-??-18-*.md ident\ncooks?2026?*.md text\n"},
		"quoted":                     {".gitattributes": "\"cooks/2026/with space.md\" ident\n\"*.c\\163v\" text\n"},
		"escaped":                    {".gitattributes": "cooks/2026/star\\*.md ident\n"},
		"negative and folders":       {".gitattributes": "!*.md ident\ncooks/ ident\ncooks/2026/ text\n"},
		"a comment, a mark of order": {".gitattributes": "\ufeff*.md ident\n# *.csv ident\n   *.csv text\n"},
		"line ends and tabs":         {".gitattributes": "*.md\tident\ttext\r\n*.csv eol=crlf\r\n"},
	} {
		t.Run(name, func(t *testing.T) {
			r, dir := journal(t)
			write(t, dir, ".gitattributes", "")
			for file, text := range files {
				write(t, dir, file, text)
			}
			set, err := r.settings()
			if err != nil {
				t.Fatal(err)
			}
			names := []string{"text", "eol", "ident", "filter", "working-tree-encoding", "crlf"}
			paths := []string{supper, "cooks/2026/2026-09-18-harvest-supper.csv", "cooks/2026/with space.md",
				"cooks/2026/star*.md", "cooks/2026/stars.md", "journal.md", "cooks/top.md"}
			words := map[string]string{"": "unspecified", "true": "set", "false": "unset"}
			var got strings.Builder
			for _, p := range paths {
				says := attributesOf(r.attributes(set).rulesFor(p), p)
				for _, a := range names {
					fmt.Fprintf(&got, "%s: %s: %s\n", p, a, cmp.Or(words[says[a]], says[a]))
				}
			}
			if want := gitSays(t, dir, slices.Concat([]string{"check-attr"}, names, []string{"--"}, paths)...); got.String() != want {
				t.Errorf("got\n%s\ngit says\n%s", got.String(), want)
			}
		})
	}
}

// Attributes files that the user's settings name apply too.
func TestAttributesOfThePerson(t *testing.T) {
	for _, how := range []string{"core.attributesfile", "home"} {
		r, dir := journal(t)
		write(t, os.Getenv("HOME"), "git/attributes", "*.md ident\n")
		if how != "home" {
			write(t, os.Getenv("HOME"), "mine", "*.md ident\n")
			write(t, os.Getenv("HOME"), "git/attributes", "*.md filter=none\n")
			gitIn(t, dir, "config", "--global", how, "~/mine")
		}
		set, err := r.settings()
		if err != nil {
			t.Fatal(err)
		}
		if got := r.attributes(set).conversion("x.md"); !got.ident || got.filter != "" {
			t.Errorf("%s: %+v; git says %s", how, got, gitIn(t, dir, "check-attr", "-a", "x.md"))
		}
	}
}

// What git converts on commit, Commit converts the same way: the blob is the one that
// `git add` makes, and afterwards git sees no change.
func TestConversions(t *testing.T) {
	needGit(t)
	const rot = "tr a-z n-za-m"
	for name, c := range map[string]struct {
		attributes     string
		config         []string
		disk, inside   string
		lackingProgram string // reason for postponing without the git program; "" if it commits
	}{
		"a filter": {attributes: "cooks/** filter=rot\n", config: []string{"filter.rot.clean", rot, "filter.rot.smudge", rot},
			disk: "secret\n", inside: "frperg\n", lackingProgram: `the filter "rot"`},
		"line ends": {attributes: "cooks/** text eol=crlf\n",
			disk: "one\r\ntwo\r\n", inside: "one\ntwo\n", lackingProgram: "line ends"},
		"line ends that are as they should be": {attributes: "cooks/** text eol=lf\n", disk: "one\ntwo\n", inside: "one\ntwo\n"},
		"core.autocrlf": {attributes: "", config: []string{"core.autocrlf", "true"},
			disk: "one\r\n", inside: "one\n", lackingProgram: "line ends"},
		"core.autocrlf, and -text": {attributes: "cooks/** -text\n", config: []string{"core.autocrlf", "true"},
			disk: "one\r\n", inside: "one\r\n"},
		"text=auto": {attributes: "* text=auto\n", config: []string{"core.eol", "crlf"},
			disk: "one\r\n", inside: "one\n", lackingProgram: "line ends"},
		"an encoding": {attributes: "cooks/** text working-tree-encoding=ISO-8859-1\n",
			disk: "caf\xe9\n", inside: "café\n", lackingProgram: `the encoding "ISO-8859-1"`},
		"ident":                {attributes: "cooks/** ident\n", disk: "$Id: 0123 $\n", inside: "$Id$\n", lackingProgram: "the attribute ident"},
		"ident without a mark": {attributes: "cooks/** ident\n", disk: "plain\n", inside: "plain\n"},
	} {
		setup := func(t *testing.T) (*Repo, string) {
			r, dir := journal(t)
			for i := 0; i < len(c.config); i += 2 {
				gitIn(t, dir, "config", c.config[i], c.config[i+1])
			}
			write(t, dir, ".gitattributes", c.attributes)
			gitIn(t, dir, "add", "-A")
			gitIn(t, dir, "commit", "-q", "--allow-empty", "-m", "attributes")
			return r, dir
		}
		t.Run(name, func(t *testing.T) {
			r, dir := setup(t)
			save(t, r, supper, c.disk, "changed")
			sound(t, dir, "")
			if got := gitIn(t, dir, "cat-file", "blob", "HEAD:"+supper); got != c.inside {
				t.Errorf("history holds %q, want %q", got, c.inside)
			}
			if got := gitIn(t, dir, "hash-object", "--path="+supper, supper); got != gitIn(t, dir, "rev-parse", "HEAD:"+supper) {
				t.Error("git add would put other bytes into history")
			}
			if name == "ident" { // the file on disk contains the blob's hash
				c.disk = "$Id: " + strings.TrimSpace(gitIn(t, dir, "rev-parse", "HEAD:"+supper)) + " $\n"
			}
			if got, err := r.Head(supper); err != nil || string(got) != c.disk {
				t.Errorf("read back %q, %v; want %q", got, err, c.disk)
			}
			if hash := save(t, r, supper, c.disk, "again"); hash != "" {
				t.Errorf("a commit for the same bytes: %s", hash)
			}
		})
		t.Run(name+", without git installed", func(t *testing.T) {
			r, dir := setup(t)
			before, path := gitIn(t, dir, "rev-parse", "HEAD"), os.Getenv("PATH")
			t.Setenv("PATH", t.TempDir())
			write(t, dir, supper, c.disk)
			_, err := r.Commit("changed", noon, Change{Path: supper, Data: []byte(c.disk)})
			var p *Postponed
			if c.lackingProgram == "" && err != nil {
				t.Error(err)
			}
			if c.lackingProgram != "" && (!errors.As(err, &p) || !strings.Contains(p.Reason, c.lackingProgram) || !strings.Contains(p.Reason, "not installed")) {
				t.Errorf("got %v, want a reason with %q", err, c.lackingProgram)
			}
			t.Setenv("PATH", path)
			if err != nil && gitIn(t, dir, "rev-parse", "HEAD") != before {
				t.Error("the branch moved although the commit was postponed")
			}
		})
	}
}

// If a required filter fails, the commit is postponed.
func TestFilterThatFails(t *testing.T) {
	r, dir := journal(t)
	gitIn(t, dir, "config", "filter.lock.clean", "false")
	gitIn(t, dir, "config", "filter.lock.required", "true")
	write(t, dir, ".gitattributes", "cooks/** filter=lock\n")
	write(t, dir, supper, "secret\n")
	_, err := r.Commit("x", noon, Change{Path: supper, Data: []byte("secret\n")})
	var p *Postponed
	if !errors.As(err, &p) || !strings.Contains(p.Reason, `the filter "lock"`) {
		t.Errorf("got %v", err)
	}
	if got := gitIn(t, dir, "cat-file", "blob", "HEAD:"+supper); got != "one\n" {
		t.Errorf("history holds %q", got)
	}
}
