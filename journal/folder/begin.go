package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"ashbook/journal/history"
	"ashbook/journal/measure"
)

// front is journal.md as a new journal has it.
const front = `---
ashbook: 1
units: %s
hot hold: %s
---

# Cook journal
`

// Init makes dir a journal under git: journal.md, a folder for cooks, git with a
// first commit. What is there already is left as it is. It returns what was made,
// in words; nothing when dir was a journal under git.
func Init(dir string, units measure.System, now time.Time) (made []string, err error) {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, err
	}
	hold := measure.Degrees(60, measure.Metric)
	if units == measure.US {
		hold = measure.Degrees(140, measure.US)
	}
	name := filepath.Join(dir, settingsName)
	f, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	switch {
	case errors.Is(err, fs.ErrExist):
	case err != nil:
		return nil, err
	default:
		_, err = fmt.Fprintf(f, front, units, hold)
		if err = errors.Join(err, f.Close()); err != nil {
			return nil, errors.Join(err, os.Remove(name))
		}
		made = append(made, settingsName)
	}
	if !isJournal(dir) {
		if err := os.Mkdir(filepath.Join(dir, cooksDir), 0o777); err != nil {
			return made, err
		}
		made = append(made, cooksDir)
	}
	_, before := history.Open(dir)
	if _, err := history.Init(dir, now, 0); err != nil {
		return made, err
	}
	if errors.Is(before, history.ErrNotUnderGit) {
		made = append(made, "git, with a first commit")
	}
	return made, nil
}

// Find returns the journal's folder: start or the nearest folder above it that is a
// journal, else env if it is given, else data. It fails with ErrNotAJournal.
func Find(start, env, data string) (string, error) {
	if abs, err := filepath.Abs(start); err == nil && start != "" {
		for dir := abs; ; dir = filepath.Dir(dir) {
			if isJournal(dir) {
				return dir, nil
			}
			if dir == filepath.Dir(dir) {
				break
			}
		}
	}
	if env != "" {
		data = env
	}
	if data == "" {
		return "", fmt.Errorf("%q and the folders above it: %w", start, ErrNotAJournal)
	}
	if !isJournal(data) {
		return "", fmt.Errorf("%q: %w", data, ErrNotAJournal)
	}
	return data, nil
}

func isJournal(dir string) bool {
	info, err := os.Stat(filepath.Join(dir, cooksDir))
	return err == nil && info.IsDir()
}

const (
	cooksDir     = "cooks"
	settingsName = "journal.md"
)
