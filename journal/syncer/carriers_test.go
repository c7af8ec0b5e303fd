package syncer_test

import (
	"context"
	"encoding/pem"
	"net/http"
	"net/http/cgi"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"ashbook/journal/carrier"
	"ashbook/journal/history"
	"ashbook/journal/journaltest"
	"ashbook/journal/syncer"
)

// server serves the bare repositories in a folder by git's own program
// (git-http-backend(1)), to clients that know the password.
func server(t testing.TB, root string, secure bool) *httptest.Server {
	t.Helper()
	journaltest.NeedGit(t)
	where, err := exec.Command("git", "--exec-path").Output()
	if err != nil {
		t.Fatal(err)
	}
	backend := &cgi.Handler{Path: filepath.Join(strings.TrimSpace(string(where)), "git-http-backend"),
		Env: []string{"GIT_PROJECT_ROOT=" + root, "GIT_HTTP_EXPORT_ALL=1", "GIT_CONFIG_COUNT=1", "GIT_CONFIG_KEY_0=safe.directory", "GIT_CONFIG_VALUE_0=*"}}
	asks := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if name, password, ok := r.BasicAuth(); !ok || name != "ann" || password != "hickory" {
			w.Header().Set("WWW-Authenticate", `Basic realm="hall"`)
			http.Error(w, "who is there?", http.StatusUnauthorized)
			return
		}
		r.Header.Set("REMOTE_USER", "ann")
		backend.ServeHTTP(w, r)
	})
	s := httptest.NewUnstartedServer(asks)
	if secure {
		s.StartTLS()
	} else {
		s.Start()
	}
	t.Cleanup(s.Close)
	out := journaltest.Git(t, root, "-C", "hall.git", "config", "http.receivepack", "true")
	if out != "" {
		t.Log(out)
	}
	return s
}

// setting adds a key to the user's git settings.
func setting(t testing.TB, key, value string) {
	t.Helper()
	journaltest.Git(t, t.TempDir(), "config", "--global", key, value)
}

func byProgram(remote history.Remote, repo *history.Repo) syncer.Carrier {
	return carrier.Git{Repo: repo, Remote: remote}
}

func byWire(remote history.Remote, repo *history.Repo) syncer.Carrier {
	return carrier.Wire{Repo: repo, Remote: remote}
}

// ways prepare each of the three carriers to reach the hub.
var ways = map[string]func(t testing.TB, hub string, all []*place){
	"folder": func(testing.TB, string, []*place) {},
	"program, https, a helper for the password": func(t testing.TB, hub string, all []*place) {
		journaltest.OnlyWhole(t)
		s := server(t, filepath.Dir(hub), true)
		trusted := filepath.Join(t.TempDir(), "ca.pem")
		if err := os.WriteFile(trusted, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: s.Certificate().Raw}), 0o600); err != nil {
			t.Fatal(err)
		}
		t.Setenv("GIT_SSL_CAINFO", trusted)
		setting(t, "credential.helper", `!f() { echo username=ann; echo password=hickory; }; f`)
		for _, p := range all {
			p.addr, p.by = s.URL+"/hall.git", byProgram
		}
	},
	"wire, http": func(t testing.TB, hub string, all []*place) {
		s := server(t, filepath.Dir(hub), false)
		for _, p := range all {
			p.addr, p.by = strings.Replace(s.URL, "http://", "http://ann:hickory@", 1)+"/hall.git", byWire
		}
	},
	"program, a path": func(t testing.TB, hub string, all []*place) {
		journaltest.NeedGit(t)
		for _, p := range all {
			p.by = byProgram
		}
	},
}

// late is a carrier that runs a function of the test before it pushes.
type late struct {
	syncer.Carrier
	before func()
}

func (l *late) Push(ctx context.Context, branch, old, tip string) (bool, error) {
	if do := l.before; do != nil {
		l.before = nil
		do()
	}
	return l.Carrier.Push(ctx, branch, old, tip)
}

func TestCarriers(t *testing.T) {
	for name, way := range ways {
		t.Run(name, func(t *testing.T) {
			hub, all := people(t, "Ann", "Ben", "Cleo")
			way(t, hub, all)
			ann, ben, cleo := all[0], all[1], all[2]
			ann.note("- 2026-09-19T01:10+01:00 pit 108 °C")
			ann.sync()
			ben.note("- 2026-09-19T01:12+01:00 wood cherry 90 g")
			cleo.note("- 2026-09-19T01:14+01:00 lid")

			// Cleo pushes after Ben has fetched and before he pushes.
			by := ben.by
			if by == nil {
				by = func(_ history.Remote, repo *history.Repo) syncer.Carrier {
					h, err := history.OpenHub(hub)
					if err != nil {
						t.Fatal(err)
					}
					return carrier.Folder{Repo: repo, Hub: h}
				}
			}
			before := func() { cleo.sync() }
			ben.by = func(remote history.Remote, repo *history.Repo) syncer.Carrier {
				return &late{by(remote, repo), before}
			}
			if got := ben.sync(); got.Tries != 2 || len(got.Conflicts) != 0 {
				t.Errorf("Ben tried %d times, conflicts %v", got.Tries, got.Conflicts)
			}
			ben.by = by
			ann.sync()
			cleo.sync()
			same(t, ann, ben, cleo)
			text := ann.read(supper)
			for _, want := range []string{"pit 108 °C\n", "wood cherry 90 g\n", "lid\n"} {
				if strings.Count(text, want) != 1 {
					t.Errorf("%q is %d times in\n%s", want, strings.Count(text, want), text)
				}
			}
			for _, p := range all {
				if packs, _ := filepath.Glob(filepath.Join(p.dir, ".git/objects/pack/*")); len(packs) > 0 {
					t.Errorf("%s keeps packs of small fetches: %q", p.who, packs)
				}
				if left, _ := filepath.Glob(filepath.Join(p.dir, ".git/ashbook/inbox-*")); len(left) > 0 {
					t.Errorf("%s keeps %q", p.who, left)
				}
			}
			journaltest.Intact(t, hub)
			if ann.by != nil {
				return
			}
			if left, _ := filepath.Glob(filepath.Join(hub, "objects/tmp_*")); len(left) > 0 {
				t.Errorf("left at the hub: %q", left)
			}
		})
	}
}

// If the password is not known, the sync fails and does not ask on the terminal.
func TestNoPassword(t *testing.T) {
	hub, all := people(t, "Ann")
	s := server(t, filepath.Dir(hub), false)
	ann := all[0]
	ann.addr = s.URL + "/hall.git"
	for name, by := range map[string]func(history.Remote, *history.Repo) syncer.Carrier{"program": byProgram, "wire": byWire} {
		ann.by = by
		_, err := ann.try(syncer.Options{})
		if err == nil || !strings.Contains(err.Error(), "password") {
			t.Errorf("%s: %v", name, err)
		}
		state := syncer.ReadState(ann.f.History().State())
		if state.Problem == "" || state.NotSent == 0 || strings.Contains(state.Remote, "hickory") {
			t.Errorf("%s: %+v", name, state)
		}
	}
}
