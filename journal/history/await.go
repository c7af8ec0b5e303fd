package history

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"ashbook/journal/disk"
)

// Limits for waiting while git changes the working files (chosen). Waiting ends once
// nothing in git's folder has changed for awaitStill: a running rebase changes it every
// few milliseconds, and one that waits for the user does not. It never lasts longer
// than awaitMost.
const (
	awaitPause = 10 * time.Millisecond
	awaitStill = 300 * time.Millisecond
	awaitMost  = 5 * time.Second
)

// Await waits until git has stopped changing the working files, as far as its folder
// shows. Otherwise a file that we change during a rebase would stop the rebase with
// "your local changes would be overwritten". If git waits for the user to act, Await
// does not wait; it takes awaitStill to notice this, but only the first time.
func (r *Repo) Await() {
	was, still := r.trace(), time.Duration(0)
	if stopped := r.stopped.Load(); stopped != nil && *stopped == was {
		return
	}
	for waited := time.Duration(0); was != "" && still < r.still && waited < awaitMost; waited += awaitPause {
		time.Sleep(awaitPause)
		now := r.trace()
		if still += awaitPause; now != was {
			was, still = now, 0
		}
	}
	r.stopped.Store(&was)
}

// fetchFresh is how long after a fetch no commit is made (chosen: a pull needs
// milliseconds). `git pull` writes FETCH_HEAD, reads the branch, and only then shows
// that it is rebasing. If the branch moved in between, the pull would fail at its end.
const fetchFresh = time.Second

// fetched reports whether git fetched within fetchFresh. It reads the file system's
// clock from made, a file that was just created.
func (r *Repo) fetched(made disk.File) bool {
	fetch, err := os.Lstat(filepath.Join(r.git, "FETCH_HEAD"))
	if err != nil {
		return false
	}
	now, err := made.Stat()
	return err == nil && now.ModTime().Sub(fetch.ModTime()).Abs() < fetchFresh
}

// trace describes the files that git has while an operation is unfinished, with the
// times when they last changed. It returns "" if no operation is unfinished.
func (r *Repo) trace() string {
	look := func(name string) string {
		info, err := os.Lstat(filepath.Join(r.git, name))
		if err != nil {
			return ""
		}
		return fmt.Sprint(name, info.ModTime().UnixNano(), " ")
	}
	text := look("index.lock")
	for _, u := range unfinished {
		text += look(u.file)
	}
	if text == "" {
		return ""
	}
	return text + look("HEAD") + look("index") + look("rebase-merge/done") + look("rebase-apply/next")
}
