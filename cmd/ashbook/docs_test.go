package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// example is a block of documentation: commands after "$ " and what they print.
type example struct {
	file  string
	line  int
	steps []step
}

type step struct {
	line    int
	command string
	want    string
}

// examples returns the fenced or indented blocks of a text that have lines beginning
// with "$ ".
func examples(file, text string) []example {
	var out []example
	var now example
	flush := func() {
		if len(now.steps) > 0 {
			out = append(out, now)
		}
		now = example{}
	}
	fenced := false
	for i, l := range strings.Split(text, "\n") {
		if strings.HasPrefix(strings.TrimSpace(l), "```") {
			fenced = !fenced
			flush()
			continue
		}
		body, indented := strings.CutPrefix(l, "    ")
		if fenced {
			body = l
		} else if !indented && strings.TrimSpace(l) != "" {
			flush()
			continue
		}
		if command, ok := strings.CutPrefix(body, "$ "); ok {
			if len(now.steps) == 0 {
				now.file, now.line = file, i+1
			}
			now.steps = append(now.steps, step{line: i + 1, command: command})
		} else if n := len(now.steps); n > 0 && (fenced || indented) {
			now.steps[n-1].want += body + "\n"
		}
	}
	flush()
	return out
}

// TestDocumentation runs every "$ ashbook …" of the README, of DEVELOPERS.md and of
// help, and compares the output. The blocks of one file run one after the other in one
// folder.
func TestDocumentation(t *testing.T) {
	texts := map[string]string{}
	for _, f := range []string{"README.md", "DEVELOPERS.md"} {
		data, err := os.ReadFile(filepath.Join("..", "..", f))
		if err != nil {
			t.Fatal(err)
		}
		texts[f] = string(data)
	}
	a := &program{environment: testEnvironment(t, t.TempDir())}
	for _, c := range a.root().Commands() {
		texts["help of "+c.Name()] = c.Long + "\n" + c.Example
	}
	ran := 0
	for name, text := range texts {
		dir := t.TempDir()
		clock := time.Date(2026, 9, 18, 19, 5, 0, 0, time.FixedZone("", 3600))
		for _, ex := range examples(name, text) {
			for _, s := range ex.steps {
				args := words(t, s.command)
				if len(args) == 0 || args[0] != "ashbook" {
					t.Errorf("%s:%d: %q is not a command of ashbook", name, s.line, s.command)
					continue
				}
				ran++
				env := testEnvironment(t, dir)
				env.now = func() time.Time { return clock }
				var out bytes.Buffer
				env.out, env.err = &out, &out
				run(context.Background(), args[1:], env)
				got := strings.ReplaceAll(out.String(), dir+string(filepath.Separator), "")
				if strings.TrimRight(got, "\n") != strings.TrimRight(s.want, "\n") {
					t.Errorf("%s:%d: $ %s\nprints:\n%s\nthe text says:\n%s", name, s.line, s.command, got, s.want)
				}
			}
		}
	}
	if ran == 0 {
		t.Error("no command was found in any text")
	}
}

// testEnvironment returns an environment with a home of its own and no terminal.
func testEnvironment(t *testing.T, dir string) environment {
	return environmentWith(t, dir, cacheHome)
}

// environmentWith does what testEnvironment does, with a cache folder, which may be "".
func environmentWith(t *testing.T, dir, cache string) environment {
	t.Helper()
	home := map[string]string{"HOME": filepath.Join(dir, "home"), "XDG_DATA_HOME": filepath.Join(dir, "data"), "XDG_CACHE_HOME": cache}
	if cache == "" {
		home["HOME"] = "" // the cache is looked for there next
	}
	return environment{
		in: strings.NewReader(""), out: &bytes.Buffer{}, err: &bytes.Buffer{}, dir: dir,
		getenv: func(k string) string { return home[k] },
		now:    func() time.Time { return time.Date(2026, 9, 18, 19, 5, 0, 0, time.UTC) },
	}
}

// words splits a command line at spaces, but not inside quotes.
func words(t *testing.T, s string) []string {
	t.Helper()
	var out []string
	var now strings.Builder
	in, quoted := false, false
	for _, r := range s {
		switch {
		case r == '"':
			quoted, in = !quoted, true
		case r == ' ' && !quoted:
			if in {
				out = append(out, now.String())
			}
			now.Reset()
			in = false
		default:
			now.WriteRune(r)
			in = true
		}
	}
	if quoted {
		t.Fatalf("%q: a quote is not closed", s)
	}
	if in {
		out = append(out, now.String())
	}
	return out
}
