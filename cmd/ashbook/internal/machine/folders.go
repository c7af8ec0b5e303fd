// Package machine is what ashbook needs from the machine it runs on: the person's folders,
// editor, terminal and alert command.
package machine

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// DataFolder is the journal's place where no other is named; "" for none.
func DataFolder(getenv func(string) string) string {
	return ownFolder(getenv, place{"XDG_DATA_HOME", ""}, place{"LOCALAPPDATA", ""}, place{"HOME", ".local/share"})
}

// CacheFolder holds the index; "" for none.
func CacheFolder(getenv func(string) string) string {
	return ownFolder(getenv, place{"XDG_CACHE_HOME", ""}, place{"LOCALAPPDATA", "cache"}, place{"HOME", ".cache"})
}

// place is a folder below one that a variable of the environment names.
type place struct{ variable, below string }

// ownFolder is ours in the first of the places that is set; "" where none is. A
// relative path does not count (XDG Base Directory Specification 0.8): a journal
// would be made wherever the program was started.
func ownFolder(getenv func(string) string, places ...place) string {
	for _, p := range places {
		if dir := getenv(p.variable); filepath.IsAbs(dir) {
			return filepath.Join(dir, filepath.FromSlash(p.below), "ashbook")
		}
	}
	return ""
}

// American reports whether the locale uses United States measures (category LC_MEASUREMENT
// of ISO/IEC TR 14652, or LANG where that is not set).
func American(getenv func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_MEASUREMENT", "LANG"} {
		if v := getenv(name); v != "" {
			return strings.HasPrefix(v, "en_US")
		}
	}
	return false
}

// NotEmpty is an error: a folder that is to be new has something in it.
type NotEmpty string

func (n NotEmpty) Error() string { return strconv.Quote(string(n)) + " is not empty" }

// NewFolder makes a folder where there is none. It fails with NotEmpty.
func NewFolder(dir string) error {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return os.MkdirAll(dir, 0o755)
	}
	if err == nil && len(entries) > 0 {
		return NotEmpty(dir)
	}
	return err
}

// JournalFolder prepares the folder of a journal: a new or empty one, or one that has
// cooks already.
func JournalFolder(dir string) error {
	if info, err := os.Stat(filepath.Join(dir, "cooks")); err == nil && info.IsDir() {
		return nil
	}
	if err := NewFolder(dir); err != nil {
		return fmt.Errorf("%w; name a folder for the journal alone", err)
	}
	return nil
}
