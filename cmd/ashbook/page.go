package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"ashbook/report"
	"ashbook/report/page/html"
)

const pageHelp = `Write the page of a cook as one HTML file: no script, nothing fetched, to be sent,
printed or kept. Without a name it is the cook that is running.

The file is written where you stand, under the cook's own name. A file that
ashbook wrote before is replaced; any other is left alone unless you say --force.`

func (a *program) pageCommand() *cobra.Command {
	var name string
	var force bool
	cmd := &cobra.Command{
		Use:   "page [COOK]",
		Short: "Write a cook as a page for the browser or for paper",
		Long:  pageHelp,
		RunE: func(_ *cobra.Command, args []string) error {
			return a.page(args, name, force)
		},
	}
	cmd.Flags().StringVarP(&name, "output", "o", "", "the `FILE` to write; - is standard output")
	cmd.Flags().BoolVar(&force, "force", false, "replace a file that ashbook did not write")
	return cmd
}

func (a *program) page(args []string, name string, force bool) error {
	j, now, f, err := a.openCook(args)
	if err != nil {
		return err
	}
	past, err := j.Past(a.ctx)
	if err != nil {
		return err
	}
	p := report.CookPage(&f.Cook, past, j.Settings(), now, f.Problems)
	p.Source = fmt.Sprintf("From the notes of %s, read %s. Cautions are no verdict: your local food code decides.", f.Cook.ID, now.Format("2 January 2006"))
	data := html.Render(p)
	if name == "-" {
		_, err := a.out.Write(data)
		return err
	}
	if name == "" {
		name = f.Cook.ID + ".html"
	}
	if !filepath.IsAbs(name) {
		name = filepath.Join(a.dir, name)
	}
	if err := writePage(name, data, force); err != nil {
		return err
	}
	a.printf("wrote %s\n", name)
	return nil
}

// writePage writes a page beside its place and puts it there in one step. A file
// that ashbook did not write is refused unless force says otherwise.
func writePage(name string, data []byte, force bool) error {
	old, err := os.ReadFile(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	case !force && !bytes.Contains(old[:min(len(old), 200)], []byte(html.First)):
		return hint(usage("%s: ashbook did not write that file", name), "--force to replace it, or -o FILE")
	}
	temp, err := os.CreateTemp(filepath.Dir(name), ".ashbook-page-*")
	if err != nil {
		return err
	}
	_, err = temp.Write(data)
	err = errors.Join(err, temp.Chmod(0o644), temp.Close())
	if err == nil {
		err = os.Rename(temp.Name(), name)
	}
	if err != nil {
		os.Remove(temp.Name())
	}
	return err
}
