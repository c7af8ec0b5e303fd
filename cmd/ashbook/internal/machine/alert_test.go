package machine

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

func environ(pairs ...string) func(string) string {
	return func(name string) string {
		for _, p := range pairs {
			if k, v, _ := strings.Cut(p, "="); k == name {
				return v
			}
		}
		return ""
	}
}

func TestNotification(t *testing.T) {
	const nine, seven = "\x1b]9;check due\a", "\x1b]777;notify;ashbook;check due\a"
	for _, c := range []struct {
		env  []string
		want string
	}{
		{nil, ""},
		{[]string{"TERM=xterm-256color"}, ""},
		{[]string{"TERM=linux", "VTE_VERSION=7600"}, ""},
		{[]string{"TERM=dumb", "KITTY_WINDOW_ID=1"}, ""},
		{[]string{"TERM=screen", "VTE_VERSION=7600"}, ""}, // the other multiplexer passes nothing on
		{[]string{"TERM=xterm-256color", "TERM_PROGRAM=iTerm.app"}, nine},
		{[]string{"TERM=xterm-256color", "LC_TERMINAL=iTerm2"}, nine},
		{[]string{"TERM=xterm-kitty"}, nine},
		{[]string{"TERM=xterm-256color", "VTE_VERSION=7600"}, seven},
		{[]string{"TERM=foot"}, seven},
		{[]string{"TERM=rxvt-unicode-256color"}, seven},
		{[]string{"TERM=xterm-256color", "TERM_PROGRAM=WezTerm"}, seven},
		{[]string{"TERM=xterm-ghostty", "TERM_PROGRAM=ghostty"}, seven},
		{[]string{"TERM=xterm-256color", "KONSOLE_VERSION=230804"}, seven},
		{[]string{"TERM=tmux-256color", "TERM_PROGRAM=tmux", "TMUX=/tmp/t,1,0"}, ""},
		{[]string{"TERM=screen-256color", "TERM_PROGRAM=tmux", "TMUX=/tmp/t,1,0", "VTE_VERSION=7600"}, "\x1bPtmux;\x1b" + seven + "\x1b\\"},
	} {
		if got := notification(environ(c.env...), "check due"); got != c.want {
			t.Errorf("%q: %q, want %q", c.env, got, c.want)
		}
	}
	if got := notification(environ("TERM=xterm-kitty"), "4;0;0: time to get up"); !strings.HasPrefix(got, "\x1b]9;ashbook: ") {
		t.Errorf("a text that begins with a number is another command: %q", got)
	}
}

// No control character from a file gets out in an alert.
func TestAlertIsHarmless(t *testing.T) {
	var out bytes.Buffer
	hostile := "core \x1b]0;owned\a\x9b31m\u202e large\r\nnew line " + strings.Repeat("long ", 200)
	if err := Alert(&out, environ("TERM=foot"), hostile); err != nil {
		t.Fatal(err)
	}
	inner, ok := strings.CutPrefix(out.String(), "\a\x1b]"+osc777)
	inner, closed := strings.CutSuffix(inner, "\a")
	if !ok || !closed || len([]rune(inner)) > alertLong {
		t.Fatalf("%q", out.String())
	}
	for _, r := range inner {
		if r < ' ' || r == 0x7f || r >= 0x80 && r < 0xa0 || r == '\u202e' {
			t.Errorf("%U in %q", r, inner)
		}
	}
}

func TestOwnAlertCommand(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("a script of a shell")
	}
	dir := t.TempDir()
	horn, heard := filepath.Join(dir, "horn"), filepath.Join(dir, "heard")
	script := "#!/bin/sh\nout=$1; shift; printf '%s|' \"$@\" > \"$out\"\n"
	if err := os.WriteFile(horn, []byte(script), 0o700); err != nil {
		t.Fatal(err)
	}
	const text = `check due: "vent"; $(touch gone) && echo 'x' | cat > y`
	if err := runAlert([]string{horn, heard, "-u", "critical"}, text, time.Minute); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(heard)
	if want := "-u|critical|" + text + "|"; err != nil || string(got) != want {
		t.Errorf("%q, %v; want %q", got, err, want)
	}
	if err := runAlert([]string{"ashbook-no-such-horn"}, text, time.Minute); err == nil || !strings.Contains(err.Error(), `$ASHBOOK_ALERT: "ashbook-no-such-horn"`) {
		t.Errorf("%v", err)
	}
	if err := runAlert([]string{"sleep", "60"}, "1", 50*time.Millisecond); err == nil || !strings.Contains(err.Error(), "was stopped") {
		t.Errorf("%v", err)
	}
	if err := runAlert(nil, text, time.Minute); err != nil {
		t.Error(err)
	}
}
