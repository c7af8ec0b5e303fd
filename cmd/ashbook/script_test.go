package main

import (
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"runtime/debug"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"ashbook/journal/journaltest"
)

func TestMain(m *testing.M) {
	testscript.Main(warmed{m}, map[string]func(){"ashbook": mainInScripts, trapped: mainTrapped})
}

// mainInScripts is main. If a script sets $WAIT, it waits for a lock no longer than
// that.
func mainInScripts() {
	wait, _ := time.ParseDuration(os.Getenv("WAIT"))
	os.Exit(start(wait))
}

// cacheHome is the cache folder of the tests, so that the sample cooks are replayed
// only once in all. A test of the computation itself has its own folder.
var cacheHome string

// warmed runs the tests with a cacheHome.
type warmed struct{ *testing.M }

func (w warmed) Run() int {
	signal.Reset() // Ctrl-C ends the tests
	journaltest.InMemory()
	debug.SetGCPercent(heapGrowth) // as main does
	var err error
	if cacheHome, err = os.MkdirTemp("", "ashbook-cache-"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(cacheHome)
	return w.M.Run()
}

// TestScripts runs testdata/script/*.txtar, each with a home of its own. If git is
// installed, it checks our repositories.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(env *testscript.Env) error {
			env.Setenv("TZ", "Europe/London")
			env.Setenv("HOME", env.WorkDir+"/home")
			env.Setenv("XDG_CACHE_HOME", cacheHome)
			env.Setenv("XDG_DATA_HOME", env.WorkDir+"/data")
			env.Setenv("GIT_CONFIG_NOSYSTEM", "1")
			env.Setenv("GIT_AUTHOR_NAME", "hall")
			env.Setenv("GIT_AUTHOR_EMAIL", "hall@example.org")
			env.Setenv("GIT_COMMITTER_NAME", "hall")
			env.Setenv("GIT_COMMITTER_EMAIL", "hall@example.org")
			return os.MkdirAll(env.WorkDir+"/home", 0o755)
		},
		Condition: func(name string) (bool, error) {
			if name == "mounts" { // reports whether a disk can be mounted privately
				return exec.Command("unshare", "-rm", "true").Run() == nil, nil
			}
			return false, fmt.Errorf("condition %q: expected mounts", name)
		},
		RequireUniqueNames: true,
	})
}
