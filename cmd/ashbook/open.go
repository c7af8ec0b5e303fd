package main

import (
	"fmt"
	"os/exec"
	"runtime"
	"strings"
)

// openers hand a file to the program that the system has for it; none goes through a
// shell, to which a name could be a command.
var openers = map[string][]string{
	"darwin":  {"open"},
	"windows": {"rundll32", "url.dll,FileProtocolHandler"},
}

// openFile opens a file in the system's browser. The name is absolute.
func (a *program) openFile(name string) error {
	words, ok := openers[runtime.GOOS]
	if !ok {
		words = []string{"xdg-open"}
	}
	out, err := exec.CommandContext(a.ctx, words[0], append(words[1:len(words):len(words)], name)...).CombinedOutput()
	if err != nil {
		said := ""
		if line, _, _ := strings.Cut(strings.TrimSpace(string(out)), "\n"); line != "" {
			said = ": " + line
		}
		return hint(fmt.Errorf("written, but not opened: %s: %w%s", words[0], err, said), "open "+name+" in a browser")
	}
	return nil
}
