package folder

import (
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"ashbook/journal/history"
)

// Pictures returns the pictures that belong to a cook, sorted by name: the files next
// to the cook's file whose name begins with its ID, such as 2026-09-18-supper-2.jpg,
// and for which picture returns true.
func (f *Folder) Pictures(id string, picture func(name string) bool) ([]string, error) {
	p, err := f.locate(id)
	if err != nil {
		return nil, err
	}
	all, err := os.ReadDir(f.full(path.Dir(p)))
	if err != nil {
		return nil, err
	}
	var names, longer []string
	for _, e := range all {
		name := e.Name()
		if !belongs(name, id) {
			continue
		}
		if other, ok := strings.CutSuffix(name, ".md"); ok && other != id {
			longer = append(longer, other)
		}
		if picture(name) {
			names = append(names, name)
		}
	}
	own := names[:0]
	for _, name := range names {
		other := false
		for _, l := range longer {
			other = other || belongs(name, l)
		}
		if !other {
			own = append(own, name)
		}
	}
	return own, nil
}

// belongs reports whether a name is an ID followed by a separator and more.
func belongs(name, id string) bool {
	rest, ok := strings.CutPrefix(name, id)
	return ok && rest != "" && strings.ContainsRune(".-_ (", rune(rest[0]))
}

// Picture reads a file next to a cook's file, or in a folder there. It refuses links,
// names that climb out of that folder, and files of more than most bytes.
func (f *Folder) Picture(id, name string, most int64) ([]byte, error) {
	p, err := f.locate(id)
	if err != nil {
		return nil, err
	}
	asked := path.Join(path.Dir(p), name)
	if !strings.HasPrefix(asked, path.Dir(p)+"/") || path.IsAbs(name) {
		return nil, fmt.Errorf("%q: not beside the cook", name)
	}
	real, err := f.resolve(asked)
	switch {
	case err != nil:
		return nil, fmt.Errorf("%q: not a file beside the cook", name)
	case real != asked:
		return nil, fmt.Errorf("%q: a link, which is not followed", name)
	}
	file, err := history.OpenRegular(f.full(real))
	if err != nil {
		return nil, fmt.Errorf("%q: no such file beside the cook", name)
	}
	defer file.Close()
	info, err := file.Stat()
	switch {
	case err != nil || info.IsDir():
		return nil, fmt.Errorf("%q: no such file beside the cook", name)
	case info.Size() > most:
		return nil, fmt.Errorf("%q: %d MB, expected at most %d", name, info.Size()>>20, most>>20)
	}
	return io.ReadAll(io.LimitReader(file, most))
}

// PicturesMark returns a text that identifies the state of all pictures below a folder
// of the journal, without reading them.
func (f *Folder) PicturesMark(dir string, picture func(name string) bool) string {
	var marks strings.Builder
	filepath.WalkDir(f.full(dir), func(name string, e fs.DirEntry, err error) error {
		if err != nil || !picture(name) {
			return nil
		}
		if info, err := e.Info(); err == nil {
			fmt.Fprintln(&marks, name, info.Size(), info.ModTime().UnixNano())
		}
		return nil
	})
	return marks.String()
}
