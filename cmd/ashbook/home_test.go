package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ashbook/report/frame"
)

// homes are facts that only one package may write down. A literal in another package is
// a second place, which may one day say something else.
var homes = []struct {
	what   string
	home   string // the one package
	is     func(literal string) bool
	except []string // files in which the text means something else
}{
	{"the layout of a clock", "journal/measure", regexp.MustCompile(`(^|[^:])\b15:04`).MatchString, []string{
		// formats of typed and stored times
		"journal/timeline.go", "journal/series/clock.go", "journal/series/series.go", "journal/shorthand/when.go",
		"journal/probefile/when.go", "cmd/ashbook/probe.go", "cmd/ashbook/internal/typed/typed.go",
	}},
	{"the layout of a duration", "journal/measure", regexp.MustCompile(`%d ?h ?%(02)?d`).MatchString, nil},
	{"a plural", "journal/measure", regexp.MustCompile(`%d %ss`).MatchString, nil},
	{"the name of a column", "report/frame", isColumn, []string{
		// kinds of findings, facts of a plan
		"report/safety/safety.go", "report/provision/runsheet/page.go",
		// acts, and causes as they are shown
		"journal/act.go", "report/fire/words.go", "tui/tuitest/pages.go",
	}},
}

// isColumn reports whether a text can only be the name of a column, since it has
// several words.
func isColumn(literal string) bool {
	return strings.Contains(literal, " ") && slices.ContainsFunc(frame.Columns, func(c frame.Column) bool { return c.Name == literal })
}

// TestOneHome looks for facts that are written down in two places.
func TestOneHome(t *testing.T) {
	root := filepath.Join("..", "..")
	seen := make([]int, len(homes))
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		name := filepath.ToSlash(strings.TrimPrefix(path, root+string(filepath.Separator)))
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return true
			}
			text, err := strconv.Unquote(lit.Value)
			if err != nil {
				return true
			}
			for i, h := range homes {
				switch {
				case !h.is(text):
				case strings.HasPrefix(name, h.home+"/"):
					seen[i]++
				case !slices.Contains(h.except, name):
					t.Errorf("%s: %q: %s is the business of %s", name, text, h.what, h.home)
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for i, h := range homes {
		if seen[i] == 0 {
			t.Errorf("%s does not write down %s: the rule matches nothing", h.home, h.what)
		}
	}
}
