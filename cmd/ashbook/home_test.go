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

// homes are facts that one package writes down: a literal of another is a second
// home, which one day says something else.
var homes = []struct {
	what   string
	home   string // the package
	is     func(literal string) bool
	except []string // files that mean something else by it
}{
	{"the layout of a clock", "journal/measure", regexp.MustCompile(`(^|[^:])\b15:04`).MatchString, []string{
		"journal/timeline.go", "journal/series/clock.go", "journal/series/series.go", "journal/shorthand/when.go", // times as they are typed and stored
		"journal/probefile/when.go", "cmd/ashbook/probe.go", "cmd/ashbook/internal/typed/typed.go",
	}},
	{"the layout of a duration", "journal/measure", regexp.MustCompile(`%d ?h ?%(02)?d`).MatchString, nil},
	{"a plural", "journal/measure", regexp.MustCompile(`%d %ss`).MatchString, nil},
	{"the name of a column", "report/frame", isColumn, []string{
		"report/safety/safety.go", "report/provision/runsheet/page.go", // kinds of findings, facts of a plan
		"journal/act.go", "report/fire/words.go", "tui/tuitest/pages.go", // acts, and causes as they are shown
	}},
}

// isColumn says whether a text can only be the name of a column: one of several words.
func isColumn(literal string) bool {
	return strings.Contains(literal, " ") && slices.ContainsFunc(frame.Columns, func(c frame.Column) bool { return c.Name == literal })
}

// TestOneHome looks for facts that are written down twice.
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
