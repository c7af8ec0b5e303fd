package store

import (
	"bytes"
	"errors"
	"strings"

	"ashbook/journal"
	"ashbook/journal/history"
)

// Half is the error for a file that another program has saved only in part, or is
// saving: the file is empty, or ends inside the front matter or inside a line of our
// version or of the committed one. Such a file is neither edited nor committed, since
// the rest may still come. Until then all bytes that we saved stay in the pending file.
type Half struct{ Problem journal.Problem }

func (h Half) Error() string { return h.Problem.Error() }

// half returns a *Half if now is a partly saved version of the file.
func (d *tx) half(path string, ours []record, now []byte) error {
	if d.anyway {
		return nil
	}
	known := [][]byte{}
	if data, ok := d.find(path, latest(ours).Is); ok {
		known = append(known, data)
	}
	if data, err := d.repo.Head(path); err == nil {
		known = append(known, data)
	}
	for _, whole := range known {
		if cut(whole, now) {
			line := bytes.Count(now, []byte("\n"))
			p := journal.Problem{File: path, Line: line + 1, Col: 1, Text: "the file is empty; another program may be saving it, or has emptied it"}
			if len(now) > 0 {
				p.Col = 1 + len([]rune(string(now[bytes.LastIndexByte(now, '\n')+1:])))
				p.Text = "the file stops in the middle of a line or of its front matter; another program may be saving it"
			}
			return Half{p}
		}
	}
	return nil
}

// cut reports whether part is empty, or ends inside the front matter or inside a line
// of whole.
func cut(whole, part []byte) bool {
	if len(part) == 0 {
		return len(whole) > 0
	}
	last := string(part[bytes.LastIndexByte(part, '\n')+1:])
	if last == "" || !bytes.HasSuffix(whole, []byte("\n")) {
		closes := []byte("\n---")
		return bytes.HasPrefix(whole, part) && bytes.Contains(whole, closes) && !bytes.Contains(part, closes)
	}
	for _, l := range splitLines(whole) {
		if l = strings.TrimRight(l, "\r\n"); strings.HasPrefix(l, last) && l != last {
			return true
		}
	}
	return false
}

// reason says in plain words why a file is not committed yet.
func reason(path string, err error) string {
	if errors.As(err, new(Half)) {
		return subject(path) + " is only half saved (wait for the program that saves it, or repair the file)"
	}
	return history.Reason(err)
}
