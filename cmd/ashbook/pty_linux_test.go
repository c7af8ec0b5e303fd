package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	signals "os/signal"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"ashbook/journal/history"
	"ashbook/samples"
)

// window is the program in a terminal of its own.
type window struct {
	t       *testing.T
	cmd     *exec.Cmd
	master  *os.File
	slave   *os.File // kept open, to look at the terminal afterwards
	before  unix.Termios
	base    []string // the environment
	journal string

	mu    sync.Mutex
	shown bytes.Buffer
	more  chan struct{} // receives when something was shown since the last read
	ended chan error
}

// openTerminal makes a terminal. It skips the test if the system has none.
func openTerminal(t *testing.T) (master, slave *os.File) {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Skipf("no terminal to be had: %v", err)
	}
	// Fd would make reading block, so that closing waits for it.
	raw, err := master.SyscallConn()
	if err != nil {
		t.Fatal(err)
	}
	n, failed := 0, error(nil)
	err = raw.Control(func(fd uintptr) {
		if failed = unix.IoctlSetPointerInt(int(fd), unix.TIOCSPTLCK, 0); failed == nil {
			n, failed = unix.IoctlGetInt(int(fd), unix.TIOCGPTN)
		}
	})
	if err = errors.Join(err, failed); err != nil {
		t.Skip(err)
	}
	if slave, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|unix.O_NOCTTY, 0); err != nil {
		t.Skip(err)
	}
	if err := unix.IoctlSetWinsize(int(slave.Fd()), unix.TIOCSWINSZ, &unix.Winsize{Row: 24, Col: 80}); err != nil {
		t.Fatal(err)
	}
	return master, slave
}

// prepared makes a user's machine: base is the environment of a program on it.
func prepared(t *testing.T, env ...string) *window {
	t.Helper()
	home := t.TempDir()
	s := &window{t: t, journal: filepath.Join(home, "journal"), more: make(chan struct{}, 1), ended: make(chan error, 1)}
	s.base = append([]string{"HOME=" + home, "XDG_CACHE_HOME=" + cacheHome, "TERM=xterm", "TZ=Europe/London", "PATH=" + os.Getenv("PATH"), "GORACE=" + os.Getenv("GORACE"),
		"GIT_CONFIG_NOSYSTEM=1", "GIT_AUTHOR_NAME=hall", "GIT_AUTHOR_EMAIL=hall@example.org", "GIT_COMMITTER_NAME=hall", "GIT_COMMITTER_EMAIL=hall@example.org"}, env...)
	return s
}

// copySamples copies the sample journal and puts it under git.
func (s *window) copySamples() {
	s.t.Helper()
	if err := os.CopyFS(s.journal, samples.FS()); err != nil {
		s.t.Fatal(err)
	}
	for _, year := range []string{"2024", "2025"} { // fewer cooks are learnt from faster
		if err := os.RemoveAll(filepath.Join(s.journal, "cooks", year)); err != nil {
			s.t.Fatal(err)
		}
	}
	s.command("init", s.journal)
}

// program returns a command with the machine's environment.
func (s *window) program(name string, args ...string) *exec.Cmd {
	self, err := os.Executable()
	if err != nil {
		s.t.Fatal(err)
	}
	return &exec.Cmd{Path: self, Args: append([]string{name}, args...), Env: s.base}
}

// command runs a command beside the screens and returns its output and exit code.
func (s *window) command(args ...string) (string, int) {
	s.t.Helper()
	cmd := s.program("ashbook", args...)
	out, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		s.t.Fatal(err)
	}
	if code := cmd.ProcessState.ExitCode(); code != exitFine && code != exitWarnings && code != exitLocked {
		s.t.Fatalf("%q: exit code %d: %s", args, code, out)
	}
	return string(out), cmd.ProcessState.ExitCode()
}

// openScreens copies the sample journal and opens its running cook. If own is set, the
// terminal is the program's own, and its end sends SIGHUP.
func openScreens(t *testing.T, program string, own bool, env ...string) *window {
	t.Helper()
	s := prepared(t, env...)
	s.copySamples()
	s.open(program, own)
	return s
}

// open opens the running cook of the journal in a terminal.
func (s *window) open(program string, own bool) {
	t := s.t
	t.Helper()
	s.master, s.slave = openTerminal(t)
	t.Cleanup(func() { s.master.Close(); s.slave.Close() })
	before, err := unix.IoctlGetTermios(int(s.slave.Fd()), unix.TCGETS)
	if err != nil {
		t.Fatal(err)
	}
	s.before = *before
	s.cmd = s.program(program, "--journal", s.journal, "--now", samples.Now().Format(time.RFC3339))
	s.cmd.Stdin, s.cmd.Stdout, s.cmd.Stderr = s.slave, s.slave, s.slave
	s.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: own}
	if err := s.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.cmd.Process.Kill() })
	go func() {
		buf := make([]byte, 4096)
		for {
			n, err := s.master.Read(buf)
			s.mu.Lock()
			s.shown.Write(buf[:n])
			s.mu.Unlock()
			select {
			case s.more <- struct{}{}:
			default: // the last signal has not been received yet
			}
			if err != nil {
				return
			}
		}
	}()
	go func() { s.ended <- s.cmd.Wait() }()
	s.awaits("Harvest supper")
	s.types("\r")
	s.awaits("NEXT CHECK")
	if strings.Contains(s.text(), "\x1b]11;?") || strings.Contains(s.text(), "\x1b[6n") {
		t.Error("the terminal was asked about itself")
	}
}

// text returns everything shown so far, with codes.
func (s *window) text() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.shown.String()
}

func (s *window) awaits(what string) {
	s.t.Helper()
	s.awaitsOne(regexp.MustCompile(regexp.QuoteMeta(what)), 0)
}

// awaitsOne waits until a match is shown after that many bytes of text.
func (s *window) awaitsOne(what *regexp.Regexp, after int) {
	s.t.Helper()
	for late := time.After(patience); !what.MatchString(s.text()[after:]); {
		select {
		case <-s.more:
		case <-late:
			s.t.Fatalf("no %q in\n%q", what, s.text()[after:])
		}
	}
}

func (s *window) types(keys string) {
	s.t.Helper()
	if _, err := s.master.WriteString(keys); err != nil {
		s.t.Fatal(err)
	}
}

// notes types a line and waits until the screen shows it as noted.
func (s *window) notes(line string) {
	s.t.Helper()
	s.types(line + "\r")
	s.awaits("NOTED")
}

// goodbye is written after the program's output, so that all of that has been read once
// goodbye is.
const goodbye = "the test says goodbye"

// ends waits for the program to end and returns its exit code.
func (s *window) ends() int {
	s.t.Helper()
	select {
	case err := <-s.ended:
		var exit *exec.ExitError
		if err != nil && !errors.As(err, &exit) {
			s.t.Fatal(err)
		}
		if _, err := s.slave.WriteString(goodbye); err == nil { // if it fails, the window was closed
			s.awaits(goodbye)
		}
		return s.cmd.ProcessState.ExitCode()
	case <-time.After(patience):
		s.t.Fatalf("still running\n%q", s.text())
	}
	return -1
}

// kept checks that the line is in the file and in a commit, and that nothing is half
// done.
func (s *window) kept(line string) {
	s.t.Helper()
	name := filepath.Join("cooks", "2026", samples.Running+".md")
	data, err := os.ReadFile(filepath.Join(s.journal, name))
	if err != nil || !strings.Contains(string(data), line) {
		s.t.Errorf("%q is not in the file: %v", line, err)
	}
	repo, err := history.Open(s.journal)
	if err != nil {
		s.t.Fatal(err)
	}
	committed, err := repo.Head(filepath.ToSlash(name))
	if err != nil || !strings.Contains(string(committed), line) {
		s.t.Errorf("%q is not in the last commit: %v", line, err)
	}
}

// restored checks that the terminal is as before: main screen, visible cursor, keys
// echoed.
func (s *window) restored() {
	s.t.Helper()
	shown := s.text()
	for on, off := range map[string]string{"\x1b[?1049h": "\x1b[?1049l", "\x1b[?25l": "\x1b[?25h", "\x1b[?2004h": "\x1b[?2004l"} {
		if a, b := strings.LastIndex(shown, on), strings.LastIndex(shown, off); a < 0 || b < a {
			s.t.Errorf("%q is not followed by %q", on, off)
		}
	}
	after, err := unix.IoctlGetTermios(int(s.slave.Fd()), unix.TCGETS)
	if err != nil {
		s.t.Fatal(err)
	}
	if after.Lflag != s.before.Lflag || after.Iflag != s.before.Iflag || after.Oflag != s.before.Oflag {
		s.t.Errorf("the terminal is left raw: %x %x %x, before %x %x %x", after.Lflag, after.Iflag, after.Oflag, s.before.Lflag, s.before.Iflag, s.before.Oflag)
	}
}

const quickNote = "vent bottom shut -- in a hurry"

// Whichever signal ends the program, the note it has shown as noted is in the file and
// in a commit, and the terminal is as before.
func TestSentAway(t *testing.T) {
	for name, signal := range map[string]syscall.Signal{"hung up": syscall.SIGHUP, "ended": syscall.SIGTERM, "interrupted": syscall.SIGINT} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			if signals.Ignored(signal) {
				t.Skip("the tests were started with this signal ignored, as by nohup; the program keeps it so")
			}
			s := openScreens(t, "ashbook", true)
			s.notes(quickNote)
			s.cmd.Process.Signal(signal)
			if code := s.ends(); code != exitFine {
				t.Errorf("exit code %d", code)
			}
			s.kept("vent bottom shut — in a hurry")
			s.restored()
		})
	}
}

func TestLeft(t *testing.T) {
	t.Parallel()
	s := openScreens(t, "ashbook", true)
	s.notes(quickNote)
	s.types("\x03")
	if code := s.ends(); code != exitFine {
		t.Errorf("exit code %d", code)
	}
	s.kept("vent bottom shut — in a hurry")
	s.restored()
}

// Closing the window removes the terminal. The program ends by itself, and what it has
// shown as noted is saved.
func TestWindowClosed(t *testing.T) {
	t.Parallel()
	s := openScreens(t, "ashbook", true)
	s.notes(quickNote)
	s.slave.Close()
	s.master.Close()
	if code := s.ends(); code != exitFine {
		t.Errorf("exit code %d", code)
	}
	s.kept("vent bottom shut — in a hurry")
}

// The end of input, without a signal, ends the program too.
func TestInputEnds(t *testing.T) {
	t.Parallel()
	s := openScreens(t, "ashbook", false)
	s.notes(quickNote)
	s.slave.Close()
	s.master.Close()
	if code := s.ends(); code != exitFine {
		t.Errorf("exit code %d", code)
	}
	s.kept("vent bottom shut — in a hurry")
}

// A panic in a screen or beside it also leaves the terminal as before.
func TestBreakdown(t *testing.T) {
	for name, keys := range map[string]string{"in a screen": "sp\t", "beside it": "s\r"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			trap := filepath.Join(t.TempDir(), "trap")
			s := openScreens(t, trapped, true, trapEnv+"="+trap)
			s.notes(quickNote)
			if err := os.WriteFile(trap, nil, 0o600); err != nil {
				t.Fatal(err)
			}
			s.types(keys)
			if code := s.ends(); code != exitFailed {
				t.Errorf("exit code %d", code)
			}
			s.kept("vent bottom shut — in a hurry")
			s.restored()
			if !strings.Contains(s.text(), "your notes are saved") {
				t.Errorf("not told: %q", s.text())
			}
		})
	}
}
