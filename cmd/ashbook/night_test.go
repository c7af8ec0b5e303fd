package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"ashbook/tui"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

var recordNight = flag.Bool("record", false, "write testdata/night/recording.txt anew; read it before keeping it")

// stage is where the night is played: inside the test, or in a terminal.
type stage interface {
	// run runs a command of the program and returns what it prints.
	run(now string, args []string) string
	// open opens the screens, close leaves them.
	open(now string)
	close()
	typed(text string)
	pressed(key string)
	// frame returns what the screens show. want is what is expected; frame returns want
	// if they differ only as far as the stage's clock allows.
	frame(want string) string
	// shows waits for a text to be shown, and returns the frame.
	shows(text string) string
}

// TestNight plays testdata/night/script.txt, a whole cook from the plan to the keep and
// change lines, with the keys that a user would press. It compares what is printed and
// shown with testdata/night/recording.txt. With ASHBOOK_TMUX=1 the built program plays
// the same in a terminal of tmux.
//
// A line of the script is "at TIME", "$ COMMAND", "quiet COMMAND", "open", "leave",
// "type TEXT", "press KEYS", "see TEXT" to wait for it, "file NAME" with its text
// indented below, "look" for a frame, or a comment after "#".
func TestNight(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	t.Parallel()
	play(t, func(dir string) stage { return newBeside(t, dir) }, *recordNight)
}

func TestNightInTmux(t *testing.T) {
	if os.Getenv("ASHBOOK_TMUX") == "" {
		t.Skip("opens a terminal: set ASHBOOK_TMUX=1")
	}
	tmux, err := exec.LookPath("tmux")
	if err != nil {
		t.Skip("tmux is not installed")
	}
	bin := filepath.Join(t.TempDir(), "ashbook")
	if out, err := exec.Command("go", "build", "-o", bin, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	play(t, func(dir string) stage { return &pane{t: t, tmux: tmux, bin: bin, dir: dir} }, false)
}

func play(t *testing.T, begin func(dir string) stage, record bool) {
	script, err := os.ReadFile(filepath.Join("testdata", "night", "script.txt"))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join("testdata", "night", "recording.txt")
	recorded, err := os.ReadFile(path)
	if err != nil && !record {
		t.Fatalf("%v; run with -record once the frames are right", err)
	}
	want := parted(string(recorded))
	dir := t.TempDir()
	s := begin(dir)
	var out strings.Builder
	now, shown, open := "", 0, false
	if record {
		defer func() {
			if err := os.WriteFile(path, []byte(out.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}()
	}
	show := func(title, text string) {
		text = strings.ReplaceAll(strings.TrimRight(text, "\n"), dir+string(filepath.Separator), "")
		fmt.Fprintf(&out, "%s%s\n%s\n", heading, title, text)
		if shown++; !record && (shown > len(want) || strings.TrimRight(want[shown-1], "\n") != title+"\n"+text) {
			wanted := "nothing more"
			if shown <= len(want) {
				wanted = want[shown-1]
			}
			t.Fatalf("script, at %s\n--- got\n%s\n%s\n--- want\n%s", now, title, text, wanted)
		}
	}
	next := func() string { // returns the next expected frame
		if shown < len(want) {
			_, frame, _ := strings.Cut(want[shown], "\n")
			return strings.TrimRight(frame, "\n")
		}
		return ""
	}
	lines := strings.Split(string(script), "\n")
	for i := 0; i < len(lines); i++ {
		word, rest, _ := strings.Cut(lines[i], " ")
		switch word {
		case "", "#":
		case "at":
			now = rest
		case "file":
			var text strings.Builder
			for i+1 < len(lines) && strings.HasPrefix(lines[i+1], "  ") {
				i++
				text.WriteString(lines[i][2:] + "\n")
			}
			if err := os.WriteFile(filepath.Join(dir, rest), []byte(text.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		case "quiet":
			s.run(now, words(t, rest)[1:])
		case "$":
			args := words(t, rest)
			show("$ "+rest, s.run(now, args[1:]))
		case "open":
			s.open(now)
			open = true
		case "leave":
			s.close()
			open = false
		case "type":
			s.typed(rest)
		case "press":
			for _, k := range strings.Fields(rest) {
				if k == "space" {
					s.typed(" ")
					continue
				}
				s.pressed(k)
			}
		case "see":
			if frame := s.shows(rest); !strings.Contains(frame, rest) {
				t.Fatalf("script line %d: no %q in\n%s", i+1, rest, frame)
			}
		case "look":
			show(now+" "+rest, s.frame(next()))
		default:
			t.Fatalf("script line %d: %q", i+1, lines[i])
		}
	}
	if open {
		s.close()
	}
	if !record && shown < len(want) {
		t.Errorf("the recording goes on with\n%s", want[shown])
	}
}

// heading begins each part of a recording.
const heading = "=== "

func parted(recording string) []string {
	if recording == "" {
		return nil
	}
	return strings.Split(strings.TrimPrefix(recording, heading), "\n"+heading)
}

const (
	nightWidth  = 80
	nightHeight = 24
)

// beside is a stage inside the test: without a terminal, and with commands that end at
// once.
type beside struct {
	t      *testing.T
	env    environment
	clock  time.Time
	app    *program
	driver *tuitest.Driver
}

func newBeside(t *testing.T, dir string) *beside {
	h := &beside{t: t, env: testEnvironment(t, dir)}
	h.env.now = func() time.Time { return h.clock }
	return h
}

func (h *beside) set(now string) {
	at, err := time.Parse("2006-01-02T15:04Z07:00", now)
	if err != nil {
		h.t.Fatal(err)
	}
	h.clock = at
}

func (h *beside) run(now string, args []string) string {
	h.set(now)
	var out bytes.Buffer
	env := h.env
	env.out, env.err = &out, &out
	run(context.Background(), append([]string{"--now", now}, args...), env)
	return out.String()
}

func (h *beside) open(now string) {
	h.set(now)
	h.app = &program{environment: h.env, ctx: still{context.Background()}, clock: now}
	p, err := h.app.outside()
	if err != nil {
		h.t.Fatal(err)
	}
	h.driver = tuitest.Start(tui.New(p, tui.Options{Look: style.Options{Colour: style.None, Dark: true}}), nil, nightWidth, nightHeight)
}

// still is a context in which no computation is stopped and no clock ticks.
type still struct{ context.Context }

func (still) Done() <-chan struct{} {
	done := make(chan struct{})
	close(done)
	return done
}

func (h *beside) close() {
	h.driver.Send(tea.KeyMsg{Type: tea.KeyCtrlC})
	if !h.driver.Quit {
		h.t.Fatalf("ctrl+c does not leave:\n%s", h.driver.Frame())
	}
	if err := h.app.close(); err != nil {
		h.t.Fatal(err)
	}
}

func (h *beside) typed(text string)  { h.driver.Type(text) }
func (h *beside) pressed(key string) { h.driver.Press(key) }

func (h *beside) shows(string) string { return h.frame("") }

func (h *beside) frame(string) string {
	lines := strings.Split(ansi.Strip(h.driver.Frame()), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.Join(lines, "\n")
}
