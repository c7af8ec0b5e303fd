// Package machine has what ashbook needs from its machine: the user's folders, editor,
// terminal and alert command.
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

// DataFolder returns where the journal is if no other place is named; "" for none.
func DataFolder(getenv func(string) string) string {
	return ownFolder(getenv, place{"XDG_DATA_HOME", ""}, place{"LOCALAPPDATA", ""}, place{"HOME", ".local/share"})
}

// CacheFolder returns the folder of the index and of cached results; "" for none.
func CacheFolder(getenv func(string) string) string {
	return ownFolder(getenv, place{"XDG_CACHE_HOME", ""}, place{"LOCALAPPDATA", "cache"}, place{"HOME", ".cache"})
}

// place is a folder below one that an environment variable names.
type place struct{ variable, below string }

// ownFolder returns our folder in the first of the places that is set; "" if none is. A
// relative path is ignored (XDG Base Directory Specification 0.8), since it would put
// the journal wherever the program was started.
func ownFolder(getenv func(string) string, places ...place) string {
	for _, p := range places {
		if dir := getenv(p.variable); filepath.IsAbs(dir) {
			return filepath.Join(dir, filepath.FromSlash(p.below), "ashbook")
		}
	}
	return ""
}

// American reports whether the locale uses United States measures (category
// LC_MEASUREMENT of ISO/IEC TR 14652, or LANG if that is not set).
func American(getenv func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_MEASUREMENT", "LANG"} {
		if v := getenv(name); v != "" {
			return strings.HasPrefix(v, "en_US")
		}
	}
	return false
}

// NotEmpty is the error if a folder that should be new has something in it.
type NotEmpty string

func (n NotEmpty) Error() string { return strconv.Quote(string(n)) + " is not empty" }

// NewFolder makes a folder if there is none. It fails with NotEmpty.
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

// JournalFolder prepares the folder of a journal: a new or empty one, or one that
// already has cooks. It fails with NotEmpty.
func JournalFolder(dir string) error {
	if info, err := os.Stat(filepath.Join(dir, "cooks")); err == nil && info.IsDir() {
		return nil
	}
	if err := NewFolder(dir); err != nil {
		return fmt.Errorf("%w; name a folder for the journal alone", err)
	}
	return nil
}
