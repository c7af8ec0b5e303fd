package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/journal"
	"ashbook/journal/folder"

	"github.com/spf13/cobra"
)

const editHelp = `Open a cook's file in your own editor: $VISUAL, else $EDITOR, else vi. When you
leave it the file is read again, what cannot be read as meant is told with its
line and column, and the version goes into history. Nothing is rewritten.

Without a name it is the cook that is running.`

func (a *program) editCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "edit [COOK]",
		Short: "Open a cook's file in your editor, and read it again",
		Long:  editHelp,
		RunE: func(_ *cobra.Command, args []string) error {
			j, now, err := a.openNow()
			if err != nil {
				return err
			}
			s, err := j.ResolveOrRunning(a.ctx, args, now)
			if err != nil {
				return err
			}
			run, err := openEditor(a.getenv, j, s.ID)
			if err != nil {
				return err
			}
			run.cmd.Stdin, run.cmd.Stdout, run.cmd.Stderr = a.in, a.out, a.err
			got, err := run.takeIn(j, run.cmd.Run())
			if err != nil {
				return err
			}
			return a.printEdited(s, got)
		},
	}
}

func (a *program) printEdited(s folder.Summary, got edited) error {
	if a.json {
		out := jsonout.Edited{Cook: s.ID, Changed: got.changed, Broken: got.broken, Problems: []string{}}
		for _, p := range got.problems {
			out.Problems = append(out.Problems, p.Error())
		}
		return a.printJSON(out)
	}
	if got.changed {
		a.printf("taken in: %s\n", s.Path)
	} else {
		a.printf("as it was: %s\n", s.Path)
	}
	for _, p := range got.problems {
		a.printf("%s\n", p.Error())
	}
	if len(got.problems) > 0 {
		return errWarnings
	}
	return nil
}

// editing is a cook's file in a person's editor.
type editing struct {
	cmd    *exec.Cmd
	id     string
	before []byte
}

// openEditor makes ready to open a cook's file in the person's editor.
func openEditor(getenv func(string) string, j *app.App, id string) (editing, error) {
	name, err := j.Folder().HandOver(id)
	if err != nil {
		return editing{}, err
	}
	var words []string
	for _, from := range []string{"VISUAL", "EDITOR"} {
		if words, err = commandWords(getenv(from)); err != nil {
			return editing{}, usage("$%s: %v", from, err)
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
		return editing{}, hint(fmt.Errorf("editor %q: %w", words[0], errors.Unwrap(err)), "set $VISUAL or $EDITOR to one you have")
	}
	before, err := os.ReadFile(name)
	if err != nil {
		return editing{}, err
	}
	return editing{exec.Command(path, append(words[1:], name)...), id, before}, nil
}

// edited is what became of a file in an editor.
type edited struct {
	changed  bool
	broken   bool              // nothing in the file can be relied on
	problems []journal.Problem // what cannot be read as meant
}

// takeIn reads the file again after the editor has ended, with an error or not:
// what was saved was saved.
func (e editing) takeIn(j *app.App, ended error) (edited, error) {
	name := e.cmd.Args[len(e.cmd.Args)-1]
	after, err := os.ReadFile(name)
	if err != nil {
		return edited{}, fmt.Errorf("%s: it is not there any more after the editor: %w", e.id, err)
	}
	out := edited{changed: !bytes.Equal(e.before, after)}
	if ended != nil && !out.changed {
		return out, fmt.Errorf("editor %q: %w", e.cmd.Args[0], ended)
	}
	if out.changed {
		if err := j.Folder().TakeIn(e.id); err != nil {
			return out, err
		}
	}
	f, err := j.Load(e.id)
	var p journal.Problem
	switch {
	case errors.As(err, &p):
		out.broken, out.problems = true, []journal.Problem{p}
	case err != nil:
		return out, err
	}
	out.problems = append(out.problems, f.Problems...)
	return out, nil
}

// commandWords splits what stands in $EDITOR at spaces, quotes kept together.
// No shell looks at it.
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
