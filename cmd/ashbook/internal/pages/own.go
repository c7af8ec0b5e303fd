package pages

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// NotOurs is the error for a file of that name that ashbook did not write.
type NotOurs string

func (n NotOurs) Error() string { return string(n) + ": ashbook did not write that file" }

// WriteOwn writes a temporary file and renames it. It replaces only a file that has
// mark in its first bytes, unless force is set. It fails with NotOurs.
func WriteOwn(name string, data []byte, mark string, force bool) error {
	if !force {
		if err := own(name, mark); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return replace(name, data)
}

// ownList is the file that lists the pages written into a folder, with the hash of
// their sources.
const ownList = ".ashbook-pages"

// ownFiles is a folder of pages, with a hash of the data from which each page is made.
// A page is made again only if that data has changed. Only files in the list are
// replaced or removed.
type ownFiles struct {
	dir, mark string
	old       map[string]string // hash of the sources of each page of an earlier run
	anew      bool              // make every page again

	mutex sync.Mutex        // protects the fields below
	now   map[string]string // hash of the sources of each page of this run
	wrote int
}

// openOwn reads the list of a folder, which it makes if there is none. Every file in
// the list has mark in its first bytes.
func openOwn(dir, mark string) (*ownFiles, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	s := &ownFiles{dir: dir, mark: mark, old: map[string]string{}, now: map[string]string{}}
	data, err := os.ReadFile(filepath.Join(dir, ownList))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	for line := range strings.Lines(string(data)) {
		name, from, _ := strings.Cut(strings.TrimSpace(line), "\t")
		if name == filepath.Base(name) && strings.HasSuffix(name, ".html") {
			s.old[name] = from
		}
	}
	return s, nil
}

// page writes a page, named without its extension, unless it is there and was made from
// the same sources. Several goroutines may call it.
func (s *ownFiles) page(name, from string, make func() ([]byte, error)) error {
	name += ".html"
	file := filepath.Join(s.dir, name)
	anew := s.anew || s.old[name] != from || own(file, s.mark) != nil
	if anew {
		data, err := make()
		if err == nil {
			err = WriteOwn(file, data, s.mark, false)
		}
		if err != nil {
			return err
		}
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if anew {
		s.wrote++
	}
	s.now[name] = from
	return nil
}

// counts returns how many pages this run wrote, and how many it left unchanged.
func (s *ownFiles) counts() (wrote, kept int) { return s.wrote, len(s.now) - s.wrote }

// close removes pages of earlier runs that this run did not make, and writes the list.
func (s *ownFiles) close() error {
	for name := range s.old {
		file := filepath.Join(s.dir, name)
		if _, kept := s.now[name]; kept || own(file, s.mark) != nil {
			continue
		}
		if err := os.Remove(file); err != nil {
			return err
		}
	}
	return s.writeList()
}

// writeList writes the list: the pages of this run, and those of earlier runs that are
// still there.
func (s *ownFiles) writeList() error {
	var b bytes.Buffer
	for _, name := range slices.Sorted(maps.Keys(s.now)) {
		fmt.Fprintf(&b, "%s\t%s\n", name, s.now[name])
	}
	return replace(filepath.Join(s.dir, ownList), b.Bytes())
}

// stop writes the list when the work ends early, so that the next run continues there.
func (s *ownFiles) stop() error {
	for name, from := range s.old {
		if _, ok := s.now[name]; !ok {
			s.now[name] = from
		}
	}
	return s.writeList()
}

// key returns a hash of the data from which a page is made, as fmt prints it.
func key(from ...any) string {
	h := sha256.New()
	for _, v := range from {
		text := fmt.Sprintf("%+v", v)
		fmt.Fprintf(h, "%d:%s", len(text), text)
	}
	return hex.EncodeToString(h.Sum(nil)[:16])
}

// own returns an error unless the file has mark in its first bytes: NotOurs, or why it
// cannot be read.
func own(name, mark string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	head := make([]byte, 200)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return err
	}
	if !bytes.Contains(head[:n], []byte(mark)) {
		return NotOurs(name)
	}
	return nil
}

func replace(name string, data []byte) error {
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
