// Package syncer keeps a journal the same as those of other people, over a repository
// that all of them reach. It puts what is saved into history, fetches, merges by meaning
// and sends, and it never stops for two values of one thing.
//
// The order of one sync:
//
//  1. Everything saved, and what other programs made of the files, goes into history.
//  2. The remote's newest commit is fetched into an inbox, apart from the journal's own
//     objects, and looked through: a remote is nobody's friend until then.
//  3. The two histories are merged in memory. Under the journal's lock each file is
//     compared once more with what the merge was made of, saved like any save, and then
//     the branch moves. Where something has changed meanwhile, again from 1.
//  4. What the remote lacks is sent, if its branch is still where it was; where somebody
//     else was first, again from 1.
//
// A crash at any point leaves a journal that is whole; the next sync does the rest.
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

// Carrier brings commits from a remote and to it. What it is given and what it returns
// are the names of commits, 40 hexadecimal digits; "" is no commit.
type Carrier interface {
	// Fetch brings the newest commit of a branch into the inbox with all that it leads
	// to and known commits do not, and returns it: "" where the remote has no such
	// branch yet.
	Fetch(ctx context.Context, into *history.Inbox, branch string, known []string) (tip string, err error)

	// Push sends what tip leads to and moves the branch to it, if the branch is at old:
	// moved is false where somebody else has moved it first.
	Push(ctx context.Context, branch, old, tip string) (moved bool, err error)
}

// Journal is what is synced: folder.Folder is one.
type Journal interface {
	History() *history.Repo

	// Gather puts into history everything saved, by whatever program; all has it wait
	// for no more rows of a growing series.
	Gather(all bool) error

	// Join saves what a merge makes of the files and moves the branch; it fails with
	// history.ErrMoved where something has changed since.
	Join(j history.Join) (tip string, err error)
}

// Options say how a sync is done. Remote and Now are required.
type Options struct {
	Remote history.Remote
	Now    func() time.Time
	Limit  time.Duration // how long one fetch, or one push, may take; 0: two minutes
	Dry    bool          // tell what would be done: nothing is saved, committed or sent
	All    bool          // growing series go too, see Journal.Gather
	Resend bool          // go on where the remote lacks what it had
}

// Result is what a sync did.
type Result struct {
	Received []history.Made // commits of others that are new here, the newest first
	Sent     []history.Made // commits that the remote has got, the newest first
	Told     []Told         // places that both sides changed
	Tries    int            // 1 where nobody else was at work
	Begun    bool           // this journal was empty and has become a copy of the remote's
	Problem  string         // why it stopped, a clause in plain words; "" where it did not
	Tip      string         // the newest commit here
}

// Stopped is the error of a sync that a person has to see to.
type Stopped struct {
	Reason string // a clause in plain words
	Next   string // what to type next; may be empty
}

func (s Stopped) Error() string { return s.Reason }

const (
	mostTries = 8
	limit     = 2 * time.Minute // (chosen)
	// grace is how long a carrier that was told to stop is waited for (chosen).
	grace = 2 * time.Second
)

// Run syncs once and remembers how it went, for ReadState. It fails with
// history.ErrLocked where another sync of this journal is at work, with Stopped, Unfit,
// *history.Postponed, and with what the carrier fails with.
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

// Missed remembers that a remote could not even be tried, and why.
func Missed(repo *history.Repo, remote history.Remote, problem string) error {
	r := &run{repo: repo, opt: Options{Remote: remote}, state: stateOf(repo, remote)}
	if branch, err := repo.Branch(); err == nil {
		r.branch = branch
	}
	r.state.Problem = problem
	r.count()
	return writeState(repo.Disk, repo.State(), repo.Perm(), r.state)
}

// stateOf is the state with a remote: what is known of another does not count.
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
	begin  string // our newest commit at the beginning
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
			return Stopped{Reason: fmt.Sprintf("others were first each of %d times", mostTries), Next: "ashbook sync, in a moment"}
		}
		pause := time.Duration(rand.Int64N(int64(r.result.Tries) * int64(50*time.Millisecond)))
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(pause):
		}
	}
}

// once goes through the steps; done is false where somebody else was first.
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

// fetch returns our newest commit and the remote's, which is in the inbox and was looked
// through.
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
			return "", "", Stopped{Reason: "the remote no longer has what it had when it was last heard: it was put back by force, emptied, or is another one",
				Next: "ask who changed it; then ashbook sync --resend sends everything again"}
		}
	}
	if theirs == "" || theirs == seen || theirs == ours {
		return ours, theirs, nil
	}
	return ours, theirs, inspect(ctx, o, theirs, known)
}

// within has a carrier do something for as long as it may take. One that does not stop
// when it is told to is left to itself.
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
		return a.got, Stopped{Reason: fmt.Sprintf("no answer within %s", limit), Next: "look whether the remote can be reached; what is noted is safe here"}
	}
	return a.got, a.err
}

// takeIn merges the remote's newest commit into ours and returns ours then.
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
	j, told, err := r.merge(ctx, o, ours, theirs)
	if err != nil {
		return "", err
	}
	if err := r.received(o, theirs); err != nil {
		return "", err
	}
	if r.opt.Dry {
		r.result.Told = told
		return ours, nil
	}
	if err := in.Admit(); err != nil {
		return "", err
	}
	if tip, err = r.Join(j); err != nil {
		return "", err
	}
	r.result.Tip, r.result.Told = tip, append(r.result.Told, told...)
	return tip, r.repo.SetSeen(r.opt.Remote, r.branch, theirs)
}

func (r *run) received(o *history.Objects, theirs string) (err error) {
	r.result.Received, err = o.Between(theirs, r.begin)
	return err
}

// merge works out what our history and the remote's become.
func (r *run) merge(ctx context.Context, o *history.Objects, ours, theirs string) (history.Join, []Told, error) {
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
	return j, m.told, distinct(o, ours, j.Changes)
}

// distinct looks whether files that come in have names of their own.
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

// justBegun tells whether a history is that of a journal without a cook: what ashbook
// init has made and nobody has changed since.
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

// send gives the remote what it lacks; done is false where somebody else was first.
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

// count puts into the state what the remote lacks.
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

// Address is the address of a remote as it may be shown: without a password.
func Address(remote string) string {
	if u, err := url.Parse(remote); err == nil && u.User != nil && u.Host != "" {
		u.User = url.User(u.User.Username())
		return u.String()
	}
	return remote
}

// Reason is the error of a sync as a clause in plain words, with the path that it is
// about: the remote's disk may be meant, or the journal's.
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
