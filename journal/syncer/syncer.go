// Package syncer keeps a journal in sync with those of other people through a git
// repository that all can reach. It commits what is saved, fetches, merges by meaning
// and pushes. Two values for one thing never stop it.
//
// One sync takes these steps:
//
//  1. It commits everything saved and every change made by other programs.
//  2. It fetches the remote's newest commit into an inbox, apart from the journal's own
//     objects, and checks everything in it, since a remote is not trusted before that.
//  3. It merges the two histories in memory. Under the journal's lock it compares each
//     file with the content that was merged, saves it like any save, and moves the
//     branch. If something has changed, it starts again at 1.
//  4. It pushes what the remote lacks if the remote's branch has not moved. If somebody
//     else was first, it starts again at 1.
//
// A crash at any point leaves the journal in order; the next sync does the rest.
package syncer

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"net/url"
	"slices"
	"strings"
	"time"

	"ashbook/journal/history"
)

// Carrier transfers commits from and to a remote. Commits are given by hash, 40
// hexadecimal digits; "" is no commit.
type Carrier interface {
	// Fetch copies the newest commit of a branch into the inbox, with everything
	// reachable from it but not from known, and returns its hash: "" if the remote has
	// no such branch yet.
	Fetch(ctx context.Context, into *history.Inbox, branch string, known []string) (tip string, err error)

	// Push sends what is reachable from tip and moves the branch from old to it. moved
	// is false if somebody else moved the branch first.
	Push(ctx context.Context, branch, old, tip string) (moved bool, err error)
}

// Journal is a journal to sync; folder.Folder is one.
type Journal interface {
	History() *history.Repo

	// Gather commits everything that any program has saved. If all is set, it does not
	// wait for more rows of a growing series.
	Gather(all bool) error

	// Join saves the files of a merge and moves the branch. It fails with
	// history.ErrMoved if something has changed since.
	Join(j history.Join) (tip string, err error)
}

// Options are the settings of a sync. Remote and Now are required.
type Options struct {
	Remote history.Remote
	Now    func() time.Time
	Limit  time.Duration // time limit of one fetch or one push; 0 means two minutes
	Dry    bool          // only report what would be done: nothing is saved, committed or sent
	All    bool          // commit growing series too, see Journal.Gather
	Resend bool          // go on although the remote lacks commits it once had
}

// Result is what a sync did.
type Result struct {
	Received  []history.Made // commits of others that are new here, newest first
	Sent      []history.Made // commits that the remote has received, newest first
	Conflicts []Conflict     // conflicts: places that both sides changed
	Tries     int            // number of attempts; 1 if nobody else was syncing
	Begun     bool           // this journal was empty and is now a copy of the remote's
	Problem   string         // why it stopped, in plain words; "" if it did not
	Tip       string         // the newest commit here
}

// Stopped is the error of a sync that needs the user to act.
type Stopped struct {
	Reason string // in plain words
	Next   string // what to type next; may be empty
}

func (s Stopped) Error() string { return s.Reason }

const (
	mostTries = 8
	limit     = 2 * time.Minute // chosen
	// grace is how long a carrier may take to stop after it is cancelled (chosen).
	grace = 2 * time.Second
)

// Run syncs once and stores the outcome for ReadState. It fails with history.ErrLocked
// if another sync of this journal is running, with Stopped, Unfit and
// *history.Postponed, and with the carrier's errors.
func Run(ctx context.Context, j Journal, c Carrier, opt Options) (Result, error) {
	if opt.Limit == 0 {
		opt.Limit = limit
	}
	repo := j.History()
	release, err := repo.LockSync(0)
	if err != nil {
		return Result{}, err
	}
	defer release()
	r := &run{Journal: j, Carrier: c, opt: opt, repo: repo, state: stateOf(repo, opt.Remote)}
	err = r.sync(ctx)
	if err != nil {
		r.result.Problem = Reason(err)
	}
	if opt.Dry {
		return r.result, err
	}
	r.state.Problem = r.result.Problem
	if ctx.Err() != nil && errors.Is(err, context.Canceled) {
		r.state.Problem = ""
	}
	r.count()
	if err2 := writeState(repo.Disk, repo.State(), repo.Perm(), r.state); err == nil && err2 != nil {
		err = err2
	}
	return r.result, err
}

// Missed stores why a remote could not be tried at all.
func Missed(repo *history.Repo, remote history.Remote, problem string) error {
	r := &run{repo: repo, opt: Options{Remote: remote}, state: stateOf(repo, remote)}
	if branch, err := repo.Branch(); err == nil {
		r.branch = branch
	}
	r.state.Problem = problem
	r.count()
	return writeState(repo.Disk, repo.State(), repo.Perm(), r.state)
}

// stateOf returns the state for a remote; the zero State if the last sync was with
// another remote.
func stateOf(repo *history.Repo, remote history.Remote) State {
	s, want := ReadState(repo.State()), Address(remote.URL)
	if s.Remote != want {
		return State{Remote: want}
	}
	return s
}

// run is one sync.
type run struct {
	Journal
	Carrier
	opt    Options
	repo   *history.Repo
	branch string
	begin  string // our newest commit at the start
	result Result
	state  State
}

func (r *run) sync(ctx context.Context) (err error) {
	if r.branch, err = r.repo.Branch(); err != nil {
		return &history.Postponed{Reason: err.Error()}
	}
	for r.result.Tries = 1; ; r.result.Tries++ {
		done, err := r.once(ctx)
		if done || err != nil && !errors.Is(err, history.ErrMoved) {
			return err
		}
		if r.result.Tries == mostTries {
			return Stopped{Reason: fmt.Sprintf("somebody else sent first in each of %d tries", mostTries), Next: "ashbook sync, in a moment"}
		}
		pause := time.Duration(rand.Int64N(int64(r.result.Tries) * int64(50*time.Millisecond)))
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(pause):
		}
	}
}

// once makes one attempt. done is false if somebody else sent first.
func (r *run) once(ctx context.Context) (done bool, err error) {
	if !r.opt.Dry {
		if err := r.Gather(r.opt.All); err != nil {
			return false, err
		}
	}
	in, err := r.repo.NewInbox()
	if err != nil {
		return false, err
	}
	defer in.Close()
	ours, theirs, err := r.fetch(ctx, in)
	if err != nil {
		return false, err
	}
	tip, err := r.takeIn(ctx, in, ours, theirs)
	if err != nil {
		return false, err
	}
	if r.opt.Dry {
		o, err := in.Objects()
		if err == nil {
			r.result.Sent, err = o.Between(tip, theirs)
		}
		return true, err
	}
	return r.send(ctx, tip, theirs)
}

// fetch returns our newest commit, and the remote's newest commit, which is then in the
// inbox and checked.
func (r *run) fetch(ctx context.Context, in *history.Inbox) (ours, theirs string, err error) {
	o, err := r.repo.Objects()
	if err != nil {
		return "", "", err
	}
	if ours, err = o.Head(); err != nil {
		return "", "", err
	}
	if r.result.Tries == 1 {
		r.begin = ours
	}
	seen := r.repo.Seen(r.opt.Remote.URL, r.branch)
	known := slices.DeleteFunc([]string{ours, seen}, func(h string) bool { return h == "" })
	theirs, err = within(ctx, r.opt.Limit, func(ctx context.Context) (string, error) {
		return r.Fetch(ctx, in, r.branch, known)
	})
	if err != nil {
		return "", "", err
	}
	r.state.LastHeard = r.opt.Now()
	if o, err = in.Objects(); err != nil {
		return "", "", err
	}
	if seen != "" && !r.opt.Resend {
		has := false
		if theirs != "" {
			if has, err = o.Within(seen, theirs); err != nil {
				return "", "", err
			}
		}
		if !has {
			return "", "", Stopped{Reason: "the remote no longer has what it had at the last sync: somebody reset or emptied it, or it is another one",
				Next: "ask who changed it; then ashbook sync --resend sends everything again"}
		}
	}
	if theirs == "" || theirs == seen || theirs == ours {
		return ours, theirs, nil
	}
	return ours, theirs, inspect(ctx, o, theirs, known)
}

// within calls do with a time limit. If do does not return after it is cancelled,
// within returns without it.
func within[T any](ctx context.Context, limit time.Duration, do func(context.Context) (T, error)) (T, error) {
	type answer struct {
		got T
		err error
	}
	inner, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	answers := make(chan answer, 1)
	go func() {
		got, err := do(inner)
		answers <- answer{got, err}
	}()
	var a answer
	select {
	case a = <-answers:
	case <-inner.Done():
		select {
		case a = <-answers:
		case <-time.After(grace):
			a.err = inner.Err()
		}
	}
	if a.err != nil && ctx.Err() != nil {
		return a.got, ctx.Err()
	}
	if a.err != nil && inner.Err() != nil {
		return a.got, Stopped{Reason: fmt.Sprintf("no answer within %s", limit), Next: "check whether the remote can be reached; your notes are safe here"}
	}
	return a.got, a.err
}

// takeIn merges the remote's newest commit into ours and returns our new one.
func (r *run) takeIn(ctx context.Context, in *history.Inbox, ours, theirs string) (tip string, err error) {
	o, err := in.Objects()
	if err != nil {
		return "", err
	}
	r.result.Tip = ours
	if theirs == "" || theirs == ours {
		return ours, r.received(o, theirs)
	}
	if behind, err := o.Within(theirs, ours); err != nil || ours != "" && behind {
		return ours, errors.Join(err, r.received(o, theirs))
	}
	j, conflicts, err := r.merge(ctx, o, ours, theirs)
	if err != nil {
		return "", err
	}
	if err := r.received(o, theirs); err != nil {
		return "", err
	}
	if r.opt.Dry {
		r.result.Conflicts = conflicts
		return ours, nil
	}
	if err := in.Admit(); err != nil {
		return "", err
	}
	if tip, err = r.Join(j); err != nil {
		return "", err
	}
	r.result.Tip, r.result.Conflicts = tip, append(r.result.Conflicts, conflicts...)
	return tip, r.repo.SetSeen(r.opt.Remote, r.branch, theirs)
}

func (r *run) received(o *history.Objects, theirs string) (err error) {
	r.result.Received, err = o.Between(theirs, r.begin)
	return err
}

// merge computes the merge of our history and the remote's.
func (r *run) merge(ctx context.Context, o *history.Objects, ours, theirs string) (history.Join, []Conflict, error) {
	j := history.Join{Head: ours, Other: theirs}
	m := &merging{ctx: ctx, o: o}
	begun, err := justBegun(o, ours)
	if err != nil {
		return j, nil, err
	}
	if bases, err := o.Bases(cmp.Or(ours, theirs), theirs); err != nil {
		return j, nil, err
	} else if begun && !slices.Contains(bases, ours) {
		r.result.Begun = true
		base, err := o.Tree(ours)
		if err != nil {
			return j, nil, err
		}
		j.Forward = true
		j.Changes, err = m.changes(base, ours, theirs)
		if err != nil {
			return j, nil, err
		}
	} else {
		j.Forward = len(bases) == 1 && bases[0] == ours
		if j.Changes, err = m.join(ours, theirs); err != nil {
			return j, nil, err
		}
	}
	return j, m.conflicts, distinct(o, ours, j.Changes)
}

// distinct fails with Unfit if the incoming files have names that collide, see collide.
func distinct(o *history.Objects, ours string, changes []history.Change) error {
	tree, err := o.Tree(ours)
	if err != nil {
		return err
	}
	var added []string
	gone := map[string]bool{}
	for _, c := range changes {
		was, err := o.FileIn(tree, c.Path)
		if err != nil {
			return err
		}
		gone[c.Path] = c.Remove
		if was == "" && !c.Remove {
			added = append(added, c.Path)
		}
	}
	if len(added) == 0 {
		return nil
	}
	files, err := o.Files(tree)
	if err != nil {
		return err
	}
	maps.DeleteFunc(files, func(p string, _ history.Entry) bool { return gone[p] })
	return collide(files, added)
}

func filesOf(o *history.Objects, commit string) (map[string]history.Entry, error) {
	tree, err := o.Tree(commit)
	if err != nil {
		return nil, err
	}
	return o.Files(tree)
}

// justBegun reports whether a history is that of a journal without a cook, unchanged
// since ashbook init made it.
func justBegun(o *history.Objects, tip string) (bool, error) {
	if tip == "" {
		return true, nil
	}
	_, parents, err := o.Commit(tip)
	if err != nil || len(parents) > 0 {
		return false, err
	}
	files, err := filesOf(o, tip)
	for p := range files {
		if p != settings && p != ".gitattributes" {
			return false, err
		}
	}
	return true, err
}

// send pushes the commits that the remote lacks. done is false if somebody else sent
// first.
func (r *run) send(ctx context.Context, tip, theirs string) (done bool, err error) {
	if tip == theirs || tip == "" {
		return true, r.seen(theirs)
	}
	o, err := r.repo.Objects()
	if err != nil {
		return false, err
	}
	sent, err := o.Between(tip, theirs)
	if err != nil {
		return false, err
	}
	moved, err := within(ctx, r.opt.Limit, func(ctx context.Context) (bool, error) {
		return r.Push(ctx, r.branch, theirs, tip)
	})
	if err != nil || !moved {
		return false, err
	}
	r.result.Sent = sent
	return true, r.seen(tip)
}

func (r *run) seen(tip string) error {
	if tip == "" {
		return nil
	}
	return r.repo.SetSeen(r.opt.Remote, r.branch, tip)
}

// count puts into the state how many commits the remote lacks.
func (r *run) count() {
	s := &r.state
	s.NotSent, s.Since = 0, time.Time{}
	s.Tip = r.repo.Seen(r.opt.Remote.URL, r.branch)
	o, err := r.repo.Objects()
	if err != nil {
		return
	}
	head, err := o.Head()
	if err != nil {
		return
	}
	left, err := o.Between(head, s.Tip, r.repo.Tracked(r.opt.Remote, r.branch))
	if err != nil {
		return
	}
	for _, m := range left {
		if !m.Merge {
			s.NotSent++
			s.Since = m.When
		}
	}
}

// Address returns a remote's address without its password.
func Address(remote string) string {
	if u, err := url.Parse(remote); err == nil && u.User != nil && u.Host != "" {
		u.User = url.User(u.User.Username())
		return u.String()
	}
	return remote
}

// Reason returns the error of a sync in plain words. It includes the path, since the
// error may come from the remote's disk or from the journal's.
func Reason(err error) string {
	var wait *history.Postponed
	var path *fs.PathError
	switch {
	case errors.Is(err, context.Canceled):
		return "it was stopped"
	case errors.As(err, &wait), errors.Is(err, history.ErrLocked):
		return history.Reason(err)
	case errors.Is(err, history.ErrMoved):
		return "the journal changed each time"
	case errors.As(err, &path) && errors.Is(err, fs.ErrNotExist):
		return path.Path + " is not there"
	case errors.As(err, &path) && !errors.Is(err, history.ErrBusy):
		return history.Reason(err) + ": " + path.Path
	}
	text, _, _ := strings.Cut(err.Error(), "\n")
	return text
}
