package machine

import (
	"errors"
	"fmt"
	"os/exec"
	"strings"
)

// NoEditor is the error if the editor is not on this machine.
type NoEditor struct {
	Name string
	Err  error
}

func (e NoEditor) Error() string { return fmt.Sprintf("editor %q: %v", e.Name, e.Err) }

// BadEditor is the error if an environment variable names the editor in words that
// cannot be split.
type BadEditor struct {
	Variable string
	Err      error
}

func (e BadEditor) Error() string { return fmt.Sprintf("$%s: %v", e.Variable, e.Err) }

// Editor returns the command that opens a file in the user's editor: $VISUAL, or
// $EDITOR, or vi. It fails with NoEditor or BadEditor.
func Editor(getenv func(string) string, file string) (*exec.Cmd, error) {
	var words []string
	var err error
	for _, from := range []string{"VISUAL", "EDITOR"} {
		if words, err = commandWords(getenv(from)); err != nil {
			return nil, BadEditor{from, err}
		}
		if len(words) > 0 {
			break
		}
	}
	if len(words) == 0 {
		words = []string{"vi"}
	}
	path, err := exec.LookPath(words[0])
	if err != nil {
		return nil, NoEditor{words[0], errors.Unwrap(err)}
	}
	return exec.Command(path, append(words[1:], file)...), nil
}

// commandWords splits $EDITOR at spaces, except inside quotes. No shell reads it.
func commandWords(s string) ([]string, error) {
	var out []string
	var word strings.Builder
	in, quote := false, rune(0)
	for _, r := range s {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote == 0 && (r == '"' || r == '\''):
			quote, in = r, true
		case quote == 0 && (r == ' ' || r == '\t'):
			if in {
				out = append(out, word.String())
				word.Reset()
			}
			in = false
		default:
			word.WriteRune(r)
			in = true
		}
	}
	if quote != 0 {
		return nil, fmt.Errorf("%q: a quote is not closed", s)
	}
	if in {
		out = append(out, word.String())
	}
	return out, nil
}
