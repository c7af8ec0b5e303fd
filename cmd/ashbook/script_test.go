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

// mainInScripts is main, which waits for a lock no longer than $WAIT where a script
// sets it.
func mainInScripts() {
	wait, _ := time.ParseDuration(os.Getenv("WAIT"))
	os.Exit(start(wait))
}

// cacheHome is where the tests keep what was worked out, so that the cooks of the
// samples are replayed once in all. A test of what works it out has a folder of its own.
var cacheHome string

// warmed are the tests, run with a cacheHome.
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

// TestScripts runs testdata/script/*.txtar, each in a home of its own. Git is
// asked what it thinks of our repositories where it is installed.
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
			if name == "mounts" { // may a disk be mounted where nobody else sees it?
				return exec.Command("unshare", "-rm", "true").Run() == nil, nil
			}
			return false, fmt.Errorf("condition %q: expected mounts", name)
		},
		RequireUniqueNames: true,
	})
}
