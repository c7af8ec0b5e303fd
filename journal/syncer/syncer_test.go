package syncer_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ashbook/journal/carrier"
	"ashbook/journal/folder"
	"ashbook/journal/history"
	"ashbook/journal/journaltest"
	"ashbook/journal/syncer"
)

// The people here are invented: Ann and Ben keep the journal of a village hall.

const supper = journaltest.Supper

// place is one person's copy of the journal.
type place struct {
	t    testing.TB
	who  string
	dir  string
	now  time.Time
	f    *folder.Folder
	hub  *history.Hub
	by   func(history.Remote, *history.Repo) syncer.Carrier // nil: the folder itself
	addr string
}

func (p *place) open() {
	p.t.Helper()
	f, err := folder.Open(p.dir, folder.Options{Now: func() time.Time { return p.now }, Wait: time.Second})
	if err != nil {
		p.t.Fatal(err)
	}
	p.f = f
}

func (p *place) read(path string) string { return journaltest.Read(p.t, p.dir, path) }

// note adds a line as ashbook does, one minute later.
func (p *place) note(line string) {
	p.t.Helper()
	p.now = p.now.Add(time.Minute)
	_, err := p.f.EditFile(supper, journaltest.Adding(line), "harvest-supper: "+line)
	if err != nil {
		p.t.Fatal(err)
	}
}

// set replaces text in the cook.
func (p *place) set(old, now string) {
	p.t.Helper()
	p.now = p.now.Add(time.Minute)
	_, err := p.f.EditFile(supper, func(b []byte) ([]byte, error) {
		if !strings.Contains(string(b), old) {
			return nil, fmt.Errorf("%q is not in the cook", old)
		}
		return []byte(strings.Replace(string(b), old, now, 1)), nil
	}, "harvest-supper: "+now)
	if err != nil {
		p.t.Fatal(err)
	}
}

func (p *place) try(opt syncer.Options) (syncer.Result, error) {
	p.t.Helper()
	opt.Remote, opt.Now, opt.All = history.Remote{URL: p.addr}, func() time.Time { return p.now }, true
	var c syncer.Carrier
	if p.by != nil {
		c = p.by(opt.Remote, p.f.History())
	} else {
		hub, err := history.OpenHub(p.addr)
		if err != nil {
			return syncer.Result{}, err
		}
		hub.Wait = 0
		if p.hub != nil {
			hub.LockAge = p.hub.LockAge
		}
		c = carrier.Folder{Repo: p.f.History(), Hub: hub}
	}
	return syncer.Run(context.Background(), p.f, c, opt)
}

func (p *place) sync() syncer.Result {
	p.t.Helper()
	got, err := p.try(syncer.Options{})
	if err != nil {
		p.t.Fatalf("%s: %v", p.who, err)
	}
	return got
}

// sign sets the author of the commits.
func sign(t testing.TB, dir, who string) {
	t.Helper()
	name := filepath.Join(dir, ".git", "config")
	f, err := os.OpenFile(name, os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(f, "[user]\n\tname = %s\n\temail = %s@localhost\n", who, strings.ToLower(who))
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}

// people makes a hub and one copy of the journal for each person, all in sync.
func people(t testing.TB, names ...string) (hub string, all []*place) {
	hub = filepath.Join(t.TempDir(), "hall.git")
	if err := history.MakeHub(hub, "main"); err != nil {
		t.Fatal(err)
	}
	first := journaltest.Hall(t, func(dir string, now time.Time) error {
		_, err := history.Init(dir, now, 0)
		return err
	})
	for i, who := range names {
		dir := first
		if i > 0 {
			dir = t.TempDir()
			if _, err := folder.Init(dir, 0, journaltest.Night); err != nil {
				t.Fatal(err)
			}
		}
		sign(t, dir, who)
		p := &place{t: t, who: who, dir: dir, now: journaltest.Night, addr: hub}
		p.open()
		p.sync()
		all = append(all, p)
	}
	return hub, all
}

// same fails if the copies differ in bytes, in history, or in git's status.
func same(t testing.TB, all ...*place) {
	t.Helper()
	for _, p := range all {
		if got, want := p.read(supper), all[0].read(supper); got != want {
			t.Errorf("%s has\n%s\n%s has\n%s", p.who, got, all[0].who, want)
		}
		if got, want := tip(t, p), tip(t, all[0]); got != want {
			t.Errorf("%s is at %s, %s at %s", p.who, got, all[0].who, want)
		}
		journaltest.Sound(t, p.dir)
	}
}

func tip(t testing.TB, p *place) string {
	t.Helper()
	o, err := p.f.History().Objects()
	if err != nil {
		t.Fatal(err)
	}
	head, err := o.Head()
	if err != nil {
		t.Fatal(err)
	}
	return head
}

func TestTwoPeople(t *testing.T) {
	_, all := people(t, "Ann", "Ben")
	ann, ben := all[0], all[1]
	same(t, ann, ben)

	ann.note("- 2026-09-19T01:10+01:00 pit 108 °C")
	ben.note("- 2026-09-19T01:12+01:00 wood cherry 90 g")
	ben.set("Harvest supper\ncut", "Harvest supper of the hall\ncut")
	if got := ann.sync(); len(got.Sent) != 1 || len(got.Received) != 0 {
		t.Errorf("Ann sent %v, got %v", got.Sent, got.Received)
	}
	got := ben.sync()
	if len(got.Received) != 1 || got.Received[0].Who != "Ann" || len(got.Conflicts) != 0 {
		t.Errorf("Ben got %v, conflicts %v", got.Received, got.Conflicts)
	}
	ann.sync()
	same(t, ann, ben)
	text := ann.read(supper)
	for _, want := range []string{"pit 108 °C\n", "wood cherry 90 g\n", "title: Harvest supper of the hall\n"} {
		if strings.Count(text, want) != 1 {
			t.Errorf("%q is %d times in\n%s", want, strings.Count(text, want), text)
		}
	}
}

// Of two values for one key the later wins, by the commit that last set that key. The
// other is kept in the also list.
func TestLaterValueIsKept(t *testing.T) {
	_, all := people(t, "Ann", "Ben")
	ann, ben := all[0], all[1]
	ann.set("serve: 2026-09-19T13:00", "serve: 2026-09-19T12:30")
	ann.f.Flush()
	ben.now = ben.now.Add(time.Hour)
	ben.set("serve: 2026-09-19T13:00", "serve: 2026-09-19T14:00")
	ben.f.Flush()
	ann.now = ann.now.Add(2 * time.Hour)
	ann.note("- 2026-09-19T03:10+01:00 pit 108 °C") // a later change of something else
	ann.sync()
	got := ben.sync()
	if len(got.Conflicts) != 1 || got.Conflicts[0].By != "Ann" || got.Conflicts[0].Path != supper {
		t.Fatalf("conflicts %+v", got.Conflicts)
	}
	ann.sync()
	same(t, ann, ben)
	text := ann.read(supper)
	for _, want := range []string{"\nserve: 2026-09-19T14:00+01:00\n", "{serve: 2026-09-19T12:30+01:00, by: Ann, at: 2026-09-19T01:05+01:00}"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}

func TestHandEditsGoAlong(t *testing.T) {
	_, all := people(t, "Ann", "Ben")
	ann, ben := all[0], all[1]
	journaltest.Rename(t, ann.dir, "journal.md", "---\nunits: us\n---\n")
	journaltest.Write(t, ann.dir, "cooks/2027/2027-01-02-feast.md", "---\nashbook: 1\ntitle: Feast\n---\n")
	journaltest.Write(t, ann.dir, "notes.txt", "nobody's\n")
	ann.sync()
	ben.sync()
	if got := ben.read("journal.md"); got != "---\nunits: us\n---\n" {
		t.Errorf("Ben has %q", got)
	}
	if _, err := os.Stat(filepath.Join(ben.dir, "notes.txt")); err == nil {
		t.Error("a file that is not the journal's went along")
	}
	if err := os.Remove(filepath.Join(ben.dir, "cooks/2027/2027-01-02-feast.md")); err != nil {
		t.Fatal(err)
	}
	ben.sync()
	ann.sync()
	if _, err := os.Stat(filepath.Join(ann.dir, "cooks/2027/2027-01-02-feast.md")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("what Ben took away is still there: %v", err)
	}
	os.Remove(filepath.Join(ann.dir, "notes.txt"))
	same(t, ann, ben)
}
