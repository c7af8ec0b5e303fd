package syncer

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"ashbook/journal/disk"
)

// State is what the last sync found out about the journal and its remote. The zero
// State is that of a journal never synced.
type State struct {
	LastHeard time.Time `json:"last_heard,omitzero"` // when the remote last answered
	// number of commits that the remote lacks, without merges
	NotSent int       `json:"not_sent,omitempty"`
	Since   time.Time `json:"since,omitzero"` // time of the oldest of those commits; zero if there are none
	// why the last sync stopped, in plain words; "" if it did not
	Problem string `json:"problem,omitempty"`
	Remote  string `json:"remote,omitempty"` // its address without the password
	Tip     string `json:"tip,omitempty"`    // newest commit last received from the remote
}

const stateFile = "sync"

// ReadState reads the state of a journal. dir is history.Repo.State, our folder inside
// git's. A file that cannot be read gives the zero State; the next sync writes it
// again.
func ReadState(dir string) State {
	data, err := os.ReadFile(filepath.Join(dir, stateFile))
	if err != nil {
		return State{}
	}
	var s State
	if json.Unmarshal(data, &s) != nil {
		return State{}
	}
	return s
}

// writeState replaces the state file by a rename. It does not flush it: after a power
// cut the state may only be older.
func writeState(to disk.FS, dir string, perm disk.Perm, s State) error {
	data, err := json.Marshal(s)
	if err != nil {
		return err
	}
	if err := disk.MkdirAll(to, dir, perm); err != nil {
		return err
	}
	name := filepath.Join(dir, stateFile)
	if err := to.Remove(name + ".new"); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	f, err := to.OpenFile(name+".new", os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(append(data, '\n'))
	if err = errors.Join(err, perm.Settle(f), f.Close()); err != nil {
		return errors.Join(err, to.Remove(name+".new"))
	}
	return to.Rename(name+".new", name)
}
