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

// SyncRequest is one sync of the journal with those of other people.
type SyncRequest struct {
	Remote string // a folder, an address, or a name in git's settings; "" for the remembered one
	Dir    string // folder to which a relative folder is relative
	Now    func() time.Time
	Limit  time.Duration // time limit of one fetch or one push; 0 for the usual one
	Dry    bool          // nothing is saved or sent
	All    bool          // sync growing probe series too
	Resend bool          // send everything again if the remote has lost commits
}

// Synced is the result of a sync.
type Synced struct {
	syncer.Result
	Remote     string // its address without the password
	Way        string // how it was reached, in words: "the git program"
	Made       bool   // the remote was an empty folder and is now a repository
	Remembered bool   // the remote need not be named from now on
	Litter     string // suggestion to run git gc; "" if not useful or a cook is running
}

// Sync syncs the journal once. It fails with the errors of syncer.Run, with NoRemote
// and with history.NoHub. If Problem is not "", it is the text of the error.
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
		return done, err // another remote is already remembered
	}
	_, err = repo.Remember(remote.URL)
	done.Remembered = err == nil
	return done, err
}

// SyncEvents are the callbacks of SyncEvery.
type SyncEvents struct {
	Done func(s Synced, first bool) error // called after a sync that worked; an error ends SyncEvery
	// called when a sync failed in another way than the one before
	Trouble func(problem string)
	Works   func() // called when a sync worked after one that failed
	// waits for the time of the next sync; an error ends SyncEvery
	Pause func() error
}

// SyncEvery syncs again and again until ctx is done. It goes on after a failed sync,
// unless the first one failed in a way that trying again cannot help: a mistake in the
// request, a folder that cannot become a shared repository, or no address.
func (a *App) SyncEvery(ctx context.Context, req SyncRequest, e SyncEvents) error {
	last := ""
	for first := true; ; first = false {
		done, err := a.Sync(ctx, req)
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case errors.Is(err, history.ErrLocked): // another sync of this journal is running
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

// findRemote returns the remote that is named or remembered. A folder is returned as an
// absolute path.
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
		if remote.Name == "" { // git's settings may have it under its absolute path
			return repo.Remote(folder)
		}
		remote.URL = folder
	}
	return remote, nil
}

// carrierTo chooses the way to reach the remote.
func (a *App) carrierTo(repo *history.Repo, remote history.Remote, req SyncRequest, done *Synced) (syncer.Carrier, error) {
	dir := carrier.FolderOf(remote.URL, req.Dir)
	switch {
	case dir == "" && carrier.Program():
		done.Way = "the git program"
		return carrier.Git{Repo: repo, Remote: remote}, nil
	case dir == "":
		done.Way = "the network, without the git program"
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
