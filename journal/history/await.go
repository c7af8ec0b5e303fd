package history

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"ashbook/journal/disk"
)

// How long git is waited for while it changes the working files: until nothing it
// leaves about has changed for awaitStill, which a rebase at work does every few
// milliseconds and one that waits for a person does not, and never longer than
// awaitMost (chosen).
const (
	awaitPause = 10 * time.Millisecond
	awaitStill = 300 * time.Millisecond
	awaitMost  = 5 * time.Second
)

// Await returns when git is not at work on the files, as far as its folder shows. A
// file that changes while git rebases makes it stop half way: "your local changes
// would be overwritten". It does not wait for a person to end what git stopped at, and
// finds out once that it has to.
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

// fetchFresh is how long after a fetch no commit is made: git pull writes FETCH_HEAD,
// then looks where the branch is, and only then shows that it rebases; a branch that
// moves in between makes it stop at the very end (chosen: it takes milliseconds).
const fetchFresh = time.Second

// fetched reports whether git has fetched just now, by the clock of the file system:
// made is a file made a moment ago.
func (r *Repo) fetched(made disk.File) bool {
	fetch, err := os.Lstat(filepath.Join(r.git, "FETCH_HEAD"))
	if err != nil {
		return false
	}
	now, err := made.Stat()
	return err == nil && now.ModTime().Sub(fetch.ModTime()).Abs() < fetchFresh
}

// trace is what git leaves about in the middle of something, with when it was last
// changed; "" where it is in the middle of nothing.
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
