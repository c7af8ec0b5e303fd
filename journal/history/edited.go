package history

import (
	"encoding/binary"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	git "github.com/go-git/go-git/v5"
	"github.com/go-git/go-git/v5/plumbing"
)

// Edited returns the journal's files whose content on disk or in the index differs from
// the newest commit, ordered by path below the journal folder. A file that no commit
// has is listed only if take accepts it and no .gitignore names it.
//
// Like git, it does not read a file whose index entry matches both the disk and the
// commit.
func (r *Repo) Edited(take func(path string) bool) ([]string, error) {
	o, err := r.Objects()
	if err != nil {
		return nil, err
	}
	tip, err := o.Head()
	if err != nil {
		return nil, err
	}
	index, err := r.indexed()
	if err != nil {
		return nil, err
	}
	files := make(map[string]treeEntry, len(index))
	if tip != "" {
		n, err := o.commit(plumbing.NewHash(tip))
		if err != nil {
			return nil, err
		}
		if err := o.files(n.tree, "", func(path string, e treeEntry) { files[path] = e }); err != nil {
			return nil, err
		}
	}
	var edited, fresh []string
	err = r.onDisk(func(path string, info fs.FileInfo) error {
		top := r.path(path)
		e, known := files[top]
		delete(files, top)
		switch {
		case !known:
			if take(path) {
				fresh = append(fresh, path)
			}
			return nil
		case !e.mode.IsFile():
			return nil
		}
		hash := e.hash
		i, there := index[top]
		if there && i.hash == hash && i.fits(info) {
			return nil
		}
		data, err := readRegular(filepath.Join(r.dir, filepath.FromSlash(path)))
		if err != nil {
			return nil // the next save reports the error
		}
		if plumbing.ComputeHash(plumbing.BlobObject, data) != hash || i.hash != hash {
			edited = append(edited, path)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	if len(fresh) > 0 {
		ignored, err := r.ignored()
		if err != nil {
			return nil, err
		}
		for _, p := range fresh {
			if !ignored.Match(strings.Split(p, "/"), false) {
				edited = append(edited, p)
			}
		}
	}
	for top, e := range files {
		path, below := strings.CutPrefix(top, r.path(""))
		if !below || !e.mode.IsFile() {
			continue
		}
		if _, err := os.Lstat(filepath.Join(r.root, filepath.FromSlash(top))); errors.Is(err, fs.ErrNotExist) {
			edited = append(edited, path)
		}
	}
	slices.Sort(edited)
	return edited, nil
}

// onDisk calls visit for each regular file of the journal, except hidden files and
// files of other repositories.
func (r *Repo) onDisk(visit func(path string, info fs.FileInfo) error) error {
	return filepath.WalkDir(r.dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || name == r.dir {
			return err
		}
		hidden := strings.HasPrefix(d.Name(), ".") && d.Name() != ".gitattributes" && d.Name() != ".gitignore"
		if d.IsDir() {
			if _, err := os.Lstat(filepath.Join(name, git.GitDirName)); hidden || err == nil {
				return fs.SkipDir
			}
			return nil
		}
		if hidden || !d.Type().IsRegular() {
			return nil
		}
		info, err := d.Info()
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		rel, err2 := filepath.Rel(r.dir, name)
		if err = errors.Join(err, err2); err != nil {
			return err
		}
		return visit(filepath.ToSlash(rel), info)
	})
}

// indexEntry is what the index stores about a file.
type indexEntry struct {
	hash plumbing.Hash
	stat stat
	racy bool // the file may have changed since, without a change of its size and time
}

// fits reports whether the file still matches the index. Like git, it ignores the
// device number, which may change when a disk is mounted again.
func (e indexEntry) fits(info fs.FileInfo) bool {
	now := newStat(info)
	now.dev, now.uid, now.gid = e.stat.dev, e.stat.uid, e.stat.gid
	return !e.racy && now == e.stat
}

// indexed returns the index entries by path. It returns none for an index version that
// shortens paths.
func (r *Repo) indexed() (map[string]indexEntry, error) {
	data, seen, err := readIndex(filepath.Join(r.git, "index"))
	if err != nil {
		return nil, err
	}
	if len(data) < indexHead || binary.BigEndian.Uint32(data[4:]) > 3 {
		return nil, nil
	}
	out := make(map[string]indexEntry, min(int(binary.BigEndian.Uint32(data[8:])), len(data)/entryFixed))
	at := indexHead
	for range binary.BigEndian.Uint32(data[8:]) {
		name, end, err := entryAt(data, at)
		if err != nil {
			return nil, err
		}
		e := data[at:end]
		n := func(i int) uint32 { return binary.BigEndian.Uint32(e[4*i:]) }
		out[string(name)] = indexEntry{plumbing.Hash(e[40:60]),
			stat{n(0), n(1), n(2), n(3), n(4), n(5), n(7), n(8), n(9)}, mayHaveChanged(e, seen.written())}
		at = end
	}
	return out, nil
}
