package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"ashbook/journal/journaltest"
)

// TestMain runs the tests, or is one of the programs that they start: this file under
// another name.
func TestMain(m *testing.M) {
	if strings.TrimSuffix(filepath.Base(os.Args[0]), ".exe") == "ashbook" {
		mainInScripts()
	}
	testscript.Main(warmed{m}, map[string]func(){trapped: mainTrapped})
}

// mainInScripts is main.
func mainInScripts() { os.Exit(start(waitIn(os.Getenv))) }

// waitIn returns how long to wait for a lock: $WAIT, or 0 as in environment.
func waitIn(getenv func(string) string) time.Duration {
	wait, _ := time.ParseDuration(getenv("WAIT"))
	return wait
}

// cacheHome is the cache folder of the tests, so that the sample cooks are replayed
// only once in all. A test of the computation itself has its own folder.
var cacheHome string

// warmed runs the tests with a cacheHome.
type warmed struct{ *testing.M }

func (w warmed) Run() int {
	signal.Reset() // Ctrl-C ends the tests
	if !journaltest.Whole() {
		journaltest.InMemory()
	}
	debug.SetGCPercent(heapGrowth) // as main does
	var err error
	if cacheHome, err = os.MkdirTemp("", "ashbook-cache-"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(cacheHome)
	if err = named("ashbook"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return w.M.Run()
}

// named puts this file into the folder of programs under another name. testscript.Main
// would also make that name a command of scripts, which runOrStart is.
func named(name string) error {
	other, err := exec.LookPath(trapped)
	if err != nil {
		return err
	}
	return os.Link(other, filepath.Join(filepath.Dir(other), name+filepath.Ext(other)))
}

// processSettings are what the program reads of the process's own environment, and what
// that is in scripts.
var processSettings = map[string]string{
	"TZ":                  "Europe/London",
	"GIT_CONFIG_GLOBAL":   os.DevNull,
	"GIT_CONFIG_NOSYSTEM": "1",
	"XDG_CONFIG_HOME":     os.DevNull,
}

// TestScripts runs testdata/script/*.txtar, each with a home of its own. If git is
// installed, it checks our repositories.
func TestScripts(t *testing.T) {
	for name, value := range processSettings {
		t.Setenv(name, value)
	}
	zone, err := time.LoadLocation(processSettings["TZ"])
	if err != nil {
		t.Fatal(err)
	}
	machines := time.Local
	time.Local = zone
	t.Cleanup(func() { time.Local = machines })
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(env *testscript.Env) error {
			for name, value := range processSettings {
				env.Setenv(name, value)
			}
			env.Setenv("HOME", env.WorkDir+"/home")
			env.Setenv("XDG_CACHE_HOME", cacheHome)
			env.Setenv("XDG_DATA_HOME", env.WorkDir+"/data")
			env.Setenv("GIT_AUTHOR_NAME", "hall")
			env.Setenv("GIT_AUTHOR_EMAIL", "hall@example.org")
			env.Setenv("GIT_COMMITTER_NAME", "hall")
			env.Setenv("GIT_COMMITTER_EMAIL", "hall@example.org")
			return os.MkdirAll(env.WorkDir+"/home", 0o755)
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"ashbook": func(ts *testscript.TestScript, neg bool, args []string) {
				if code := runOrStart(ts, args); (code != exitFine) != neg {
					ts.Fatalf("exit code %d", code)
				}
			},
			"code": codeInScripts,
		},
		Condition: func(name string) (bool, error) {
			switch name {
			case "mounts": // reports whether a disk can be mounted privately
				return exec.Command("unshare", "-rm", "true").Run() == nil, nil
			case "whole": // as in CI
				return journaltest.Whole(), nil
			}
			return false, fmt.Errorf("condition %q: expected mounts or whole", name)
		},
		RequireUniqueNames: true,
	})
}

// runOrStart is the command ashbook of scripts, with nothing to read from. It runs the
// program here, since a process costs more than most commands do. It starts a process,
// as "exec ashbook" does, in CI, and where the script changed a setting that is the
// process's own.
func runOrStart(ts *testscript.TestScript, args []string) (code int) {
	if ownProcess(ts) {
		var ended *exec.ExitError
		if err := ts.Exec("ashbook", args...); errors.As(err, &ended) {
			return ended.ExitCode()
		} else if err != nil {
			ts.Fatalf("%v", err)
		}
		return exitFine
	}
	return run(context.Background(), args, environment{
		in: strings.NewReader(""), out: ts.Stdout(), err: ts.Stderr(),
		getenv: ts.Getenv, now: time.Now, dir: ts.MkAbs("."), wait: waitIn(ts.Getenv),
	})
}

func ownProcess(ts *testscript.TestScript) bool {
	if journaltest.Whole() || ts.Getenv("PATH") != os.Getenv("PATH") {
		return true
	}
	for name := range processSettings {
		if ts.Getenv(name) != os.Getenv(name) {
			return true
		}
	}
	return false
}

// codeInScripts is the command "code N ashbook ..." of scripts: the exit code is N.
func codeInScripts(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 || args[1] != "ashbook" {
		ts.Fatalf("expected: code N ashbook ...")
	}
	if code := runOrStart(ts, args[2:]); strconv.Itoa(code) != args[0] {
		ts.Fatalf("exit code %d", code)
	}
}
