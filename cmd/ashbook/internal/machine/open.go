package machine

import (
	"context"
	"fmt"
	"os/exec"
	"runtime"
	"strings"
)

// openers are the programs with which each system opens a file. None goes through a
// shell, which could read a file name as a command.
var openers = map[string][]string{
	"darwin":  {"open"},
	"windows": {"rundll32", "url.dll,FileProtocolHandler"},
}

// Open opens a file in the system's program for it. The name is absolute.
func Open(ctx context.Context, name string) error {
	words, ok := openers[runtime.GOOS]
	if !ok {
		words = []string{"xdg-open"}
	}
	out, err := exec.CommandContext(ctx, words[0], append(words[1:len(words):len(words)], name)...).CombinedOutput()
	if err == nil {
		return nil
	}
	if said, _, _ := strings.Cut(strings.TrimSpace(string(out)), "\n"); said != "" {
		return fmt.Errorf("%s: %w: %s", words[0], err, said)
	}
	return fmt.Errorf("%s: %w", words[0], err)
}
