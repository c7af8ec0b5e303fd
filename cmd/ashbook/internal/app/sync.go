package app

import (
	"context"
	"errors"
	"io/fs"
	"time"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal/carrier"
	"ashbook/journal/history"
	"ashbook/journal/syncer"
)

// SyncRequest is one sync of the journal with that of other people.
type SyncRequest struct {
	Remote string // a folder, an address, or the name of one in git's settings; "": the remembered one
	Dir    string // where a relative folder begins
	Now    func() time.Time
	Limit  time.Duration // how long one fetch, or one push, may take; 0: the usual
	Dry    bool          // nothing is saved or sent
	All    bool          // growing probe series go too
	Resend bool          // send everything again where the remote has lost what it had
}

// Synced is the result of a sync.
type Synced struct {
	syncer.Result
	Remote     string // its address, without a password
	Way        string // in words: "the git program"
	Made       bool   // the remote was an empty place, and is a repository now
	Remembered bool   // from now on it needs not be named
	Litter     string // that git gc would do it good; "": it would not, or a cook is running
}

// Sync syncs the journal once. Beside what syncer.Run fails with there is the mistake
// NoRemote, and history.NoHub. The text of an error is Problem, where that is not empty.
func (a *App) Sync(ctx context.Context, req SyncRequest) (Synced, error) {
	done, err := a.sync(ctx, req)
	if err != nil && done.Problem != "" && !errors.Is(err, context.Canceled) {
		err = worded{err, done.Problem}
	}
	return done, err
}

func (a *App) sync(ctx context.Context, req SyncRequest) (Synced, error) {
	j := a.journal
	repo := j.History()
	if repo == nil {
		return Synced{}, history.ErrNotUnderGit
	}
	remote, err := findRemote(repo, req)
	if err != nil {
		return Synced{}, err
	}
	done := Synced{Remote: syncer.Address(remote.URL)}
	by, err := a.carrierTo(repo, remote, req, &done)
	if err == nil {
		done.Result, err = syncer.Run(ctx, j, by, syncer.Options{Remote: remote, Now: req.Now, Limit: req.Limit, Dry: req.Dry, All: req.All, Resend: req.Resend})
	} else {
		done.Problem = syncer.Reason(err)
		if !req.Dry {
			err = errors.Join(err, syncer.Missed(repo, remote, done.Problem))
		}
	}
	if err != nil || req.Dry {
		return done, err
	}
	if repo.Untidy() > 0 {
		if all, _, err := j.List(ctx); err == nil {
			done.Litter = a.Litter(all, req.Now())
		}
	}
	if remote.Name != "" {
		return done, nil
	}
	if first, err := repo.Remote(""); err != nil || first.URL != "" {
		return done, err // another is remembered
	}
	_, err = repo.Remember(remote.URL)
	done.Remembered = err == nil
	return done, err
}

// SyncEvents are the callbacks of SyncEvery, and how it waits.
type SyncEvents struct {
	Done    func(s Synced, first bool) error // after a sync that worked; its error ends SyncEvery
	Trouble func(problem string)             // a sync failed, and not as the one before it did
	Works   func()                           // a sync worked again
	Pause   func() error                     // waits for the next sync; its error ends SyncEvery
}

// SyncEvery syncs again and again until ctx is done. It goes on after a sync that failed,
// unless it is the first one and can never work: a mistake, no place for a hub, or no address.
func (a *App) SyncEvery(ctx context.Context, req SyncRequest, e SyncEvents) error {
	last := ""
	for first := true; ; first = false {
		done, err := a.Sync(ctx, req)
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case errors.Is(err, history.ErrLocked): // another sync of this journal is at work
		case err != nil && first && (errors.As(err, new(typed.Mistake)) || errors.As(err, new(history.NoHub)) || errors.Is(err, carrier.ErrNoAddress)):
			return err
		case err != nil && done.Problem != last:
			e.Trouble(done.Problem)
			last = done.Problem
		case err == nil:
			if last != "" {
				e.Works()
				last = ""
			}
			if err := e.Done(done, first); err != nil {
				return err
			}
		}
		if err := e.Pause(); err != nil {
			return err
		}
	}
}

// worded replaces the text of an error with plainer words.
type worded struct {
	error
	text string
}

func (w worded) Error() string { return w.text }
func (w worded) Unwrap() error { return w.error }

// findRemote returns the remote that is named, or remembered. A folder is absolute.
func findRemote(repo *history.Repo, req SyncRequest) (history.Remote, error) {
	remote, err := repo.Remote(req.Remote)
	if err != nil {
		return remote, err
	}
	if remote.URL == "" {
		return remote, typed.Mistaken(typed.NoRemote, "", "no remote is remembered yet: name a folder that all of you can reach, or an address")
	}
	dir := req.Dir
	if remote.Name != "" {
		dir = repo.Top()
	}
	if folder := carrier.FolderOf(remote.URL, dir); folder != "" {
		if remote.Name == "" { // it may be known under its absolute name
			return repo.Remote(folder)
		}
		remote.URL = folder
	}
	return remote, nil
}

// carrierTo chooses how the remote is reached.
func (a *App) carrierTo(repo *history.Repo, remote history.Remote, req SyncRequest, done *Synced) (syncer.Carrier, error) {
	dir := carrier.FolderOf(remote.URL, req.Dir)
	switch {
	case dir == "" && carrier.Program():
		done.Way = "the git program"
		return carrier.Git{Repo: repo, Remote: remote}, nil
	case dir == "":
		done.Way = "the wire, without a git program"
		return carrier.Wire{Repo: repo, Remote: remote}, nil
	}
	done.Way = "a folder"
	branch, err := repo.Branch()
	if err != nil {
		return nil, &history.Postponed{Reason: err.Error()}
	}
	if !req.Dry && repo.Seen(remote.URL, branch) == "" && history.MayBecomeHub(dir) {
		if err := history.MakeHub(dir, branch); err != nil {
			return nil, err
		}
		done.Made = true
	}
	hub, err := history.OpenHub(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, syncer.Stopped{Reason: dir + " is not there", Next: "plug the stick in, or connect the share; the name of a new place must end in .git"}
	}
	if err != nil {
		return nil, err
	}
	return carrier.Folder{Repo: repo, Hub: hub}, nil
}
