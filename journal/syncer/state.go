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

// State is what is known of the journal and its remote, as the last sync left it. The zero
// State is that of a journal that has never been synced.
type State struct {
	LastHeard time.Time `json:"last_heard,omitzero"` // when the remote last answered
	NotSent   int       `json:"not_sent,omitempty"`  // commits the remote lacks, merges not counted
	Since     time.Time `json:"since,omitzero"`      // when the oldest of them was made; zero where there is none
	Problem   string    `json:"problem,omitempty"`   // why the last sync stopped, a clause in plain words; "" where it did not
	Remote    string    `json:"remote,omitempty"`    // its address, without a password
	Tip       string    `json:"tip,omitempty"`       // the newest commit of the remote, as it was last heard
}

const stateFile = "sync"

// ReadState reads the state of a journal; dir is history.Repo.State, the folder inside
// git's own that ashbook may use. A file that cannot be read is as good as none: the
// next sync writes it again.
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

// writeState puts a state in place of the last one in one step. It is not flushed to
// the disk: a state that a power cut takes back is only older.
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
