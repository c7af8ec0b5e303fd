package series

import (
	"bytes"
	"fmt"

	"ashbook/journal"
	"ashbook/journal/cookfile/blocks"
)

// conflicts returns the merge conflicts in a file.
func conflicts(data []byte) []blocks.Conflict {
	if !bytes.Contains(data, []byte("<<<<<<<")) && !bytes.Contains(data, []byte(">>>>>>>")) {
		return nil
	}
	return blocks.FindConflicts(string(data))
}

// undecided returns the problem for a conflict.
func undecided(path string, data []byte, c blocks.Conflict) journal.Problem {
	line := 1 + bytes.Count(data[:c.From], []byte("\n"))
	last := bytes.Count(data[:c.To], []byte("\n"))
	return journal.Problem{File: path, Line: line, Col: 1, Text: fmt.Sprintf(
		"conflict marker %q: a merge left two versions of the rows up to line %d, and both are read; keep what is right, delete the marker lines, and save",
		data[c.From:c.From+7], max(line, last))}
}

// beside appends rows to a file with a merge conflict: nothing in the file moves, and
// nothing is written between the markers. It leaves out rows that are there with the
// same values.
func beside(path string, old []byte, s journal.Series, found []blocks.Conflict) ([]byte, Merged, error) {
	start := len(old) - len(bytes.TrimLeft(bytes.TrimPrefix(old, []byte(mark)), "\r\n\t "))
	head, body, _ := bytes.Cut(old[start:], []byte("\n"))
	f, missing, err := shape(string(bytes.TrimSpace(head)), s)
	if last := found[len(found)-1]; last.Open || err != nil || len(missing) > 0 || !bytes.HasSuffix(old, []byte("\n")) {
		p := undecided(path, old, found[0])
		p.Text = "nothing was put in: " + p.Text
		return nil, Merged{}, p
	}
	end := "\n"
	if bytes.HasSuffix(head, []byte("\r")) {
		end = "\r\n"
	}
	there := map[string]bool{}
	for line := range bytes.Lines(body) {
		there[string(bytes.TrimSpace(line))] = true
	}
	var done Merged
	out := bytes.Clone(old)
	for i, t := range s.Times {
		row := f.row(nil, t, i)
		if there[string(row)] {
			done.Same++
			continue
		}
		out = append(append(out, row...), end...)
		done.Added++
	}
	return out, done, nil
}
