package main

import (
	"os"
	"os/exec"
	"strings"
	"testing"
)

// Ctrl-C is handled before the large libraries are ready: Go prints the order in which
// it initialises packages (GODEBUG=inittrace=1, package runtime).
func TestHeardEarly(t *testing.T) {
	cmd := exec.Command(os.Args[0], "-test.run=^$")
	cmd.Env = append(os.Environ(), "GODEBUG=inittrace=1")
	trace, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, trace)
	}
	at := func(pkg string) int { return strings.Index(string(trace), "init "+pkg+" ") }
	heard := at("ashbook/cmd/ashbook/internal/interrupt")
	if heard < 0 {
		t.Fatalf("interrupt is not in the trace:\n%s", trace)
	}
	for _, late := range []string{"net", "net/http", "golang.org/x/crypto/ssh", "github.com/go-git/go-git/v5/plumbing", "github.com/yuin/goldmark/parser", "github.com/charmbracelet/bubbletea", "ashbook/journal/shorthand"} {
		switch i := at(late); {
		case i < 0:
			t.Errorf("%s is not in the trace: name another", late)
		case i < heard:
			t.Errorf("%s is ready before interrupt", late)
		}
	}
}
