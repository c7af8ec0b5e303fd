package probefile

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
)

// Lines splits a stream into lines. Of a line longer than MaxLine it keeps only enough
// to show that it is too long.
type Lines struct {
	part []byte // the current line without its end
}

// Feed takes new data and calls line for each line that has ended. It stops at an
// error.
func (l *Lines) Feed(data []byte, line func([]byte) error) error {
	for len(data) > 0 {
		head, rest, ended := bytes.Cut(data, []byte("\n"))
		data = rest
		head = head[:min(len(head), MaxLine+1-len(l.part))]
		if !ended || len(l.part) > 0 {
			l.part = append(l.part, head...)
			head = l.part
		}
		if !ended {
			return nil
		}
		if err := line(head); err != nil {
			return err
		}
		l.Drop()
	}
	return nil
}

// End calls line for a last line without a line end.
func (l *Lines) End(line func([]byte) error) error {
	if len(l.part) == 0 {
		return nil
	}
	defer l.Drop()
	return line(l.part)
}

// Drop discards a line that has not ended.
func (l *Lines) Drop() { l.part = l.part[:0] }

// tailMark is how many of the last bytes read are compared to see whether a file was
// rewritten (chosen: one or two rows).
const tailMark = 128

// Tail reads a file that grows. If the file was truncated, rewritten or replaced by
// another, it reads from the start.
type Tail struct {
	path  string
	file  *os.File
	at    int64
	mark  []byte // the last bytes before at
	lines Lines
}

// OpenTail opens a file to read while it grows.
func OpenTail(path string) (*Tail, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	return &Tail{path: path, file: f}, nil
}

// Close closes the file.
func (t *Tail) Close() error { return t.file.Close() }

// Read calls line for every line that has ended since the last Read. If the file has
// started again, it calls anew before its lines. If the file is missing, it does
// nothing.
func (t *Tail) Read(line func([]byte) error, anew func()) error {
	over, err := t.begun()
	if err != nil {
		return err
	}
	if over {
		t.at, t.mark = 0, nil
		t.lines.Drop()
		anew()
	}
	if err := t.rest(line); err != nil {
		return err
	}
	next, err := os.Open(t.path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if sameOpen(next, t.file) {
		return next.Close()
	}
	t.file.Close()
	t.file, t.at, t.mark = next, 0, nil
	t.lines.Drop()
	anew()
	return t.rest(line)
}

func sameOpen(a, b *os.File) bool {
	x, err := a.Stat()
	if err != nil {
		return false
	}
	y, err := b.Stat()
	return err == nil && os.SameFile(x, y)
}

// begun reports whether the open file was truncated or rewritten.
func (t *Tail) begun() (bool, error) {
	info, err := t.file.Stat()
	if err != nil || info.Size() < t.at {
		return err == nil, err
	}
	now := make([]byte, len(t.mark))
	if _, err := t.file.ReadAt(now, t.at-int64(len(now))); err != nil && !errors.Is(err, io.EOF) {
		return false, err
	}
	return !bytes.Equal(now, t.mark), nil
}

// rest reads the open file to its end.
func (t *Tail) rest(line func([]byte) error) error {
	buf := make([]byte, 64<<10)
	for {
		n, err := t.file.ReadAt(buf, t.at)
		t.at += int64(n)
		t.mark = append(t.mark, buf[:n]...)
		t.mark = append([]byte{}, t.mark[max(0, len(t.mark)-tailMark):]...)
		if err := t.lines.Feed(buf[:n], line); err != nil {
			return err
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
	}
}
