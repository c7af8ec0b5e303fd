package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// pane is a stage with the built program in a terminal of tmux.
type pane struct {
	t              *testing.T
	tmux, bin, dir string
	env            []string
	session        int
}

// paneWait is how long a screen may take to show something, on a machine busy with
// other tests.
const paneWait = 30 * time.Second

func (p *pane) environ() []string {
	if p.env == nil {
		e := testEnvironment(p.t, p.dir)
		for _, k := range []string{"HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME"} {
			p.env = append(p.env, k+"="+e.getenv(k))
		}
		p.env = append(p.env, "TZ=Europe/London", "NO_COLOR=1", "LANG=C.UTF-8", "PATH="+os.Getenv("PATH"))
		p.t.Cleanup(func() { p.tell("kill-server") })
	}
	return p.env
}

func (p *pane) run(now string, args []string) string {
	cmd := exec.Command(p.bin, append([]string{"--now", now}, args...)...)
	cmd.Dir, cmd.Env = p.dir, p.environ()
	out, _ := cmd.CombinedOutput() // what went wrong is printed
	return string(out)
}

func (p *pane) tell(args ...string) string {
	cmd := exec.Command(p.tmux, append([]string{"-S", filepath.Join(p.dir, "tmux"), "-f", os.DevNull}, args...)...)
	cmd.Env, cmd.Dir = p.environ(), p.dir
	out, err := cmd.CombinedOutput()
	if err != nil && args[0] != "kill-server" {
		p.t.Fatalf("tmux %q: %v\n%s", args, err, out)
	}
	return string(out)
}

func (p *pane) open(now string) {
	p.session++
	p.tell("new-session", "-d", "-s", fmt.Sprint(p.session), "-x", fmt.Sprint(nightWidth), "-y", fmt.Sprint(nightHeight), p.bin, "--now", now)
	p.await(func(frame string) bool { return strings.Contains(frame, "keys") })
}

func (p *pane) close() {
	p.tell("send-keys", "-t", fmt.Sprint(p.session), "C-c")
	p.until(func() bool {
		return exec.Command(p.tmux, "-S", filepath.Join(p.dir, "tmux"), "has-session", "-t", fmt.Sprint(p.session)).Run() != nil
	})
}

func (p *pane) typed(text string) { p.tell("send-keys", "-t", fmt.Sprint(p.session), "-l", text) }

func (p *pane) pressed(key string) {
	names := map[string]string{"enter": "Enter", "esc": "Escape", "tab": "Tab", "up": "Up", "down": "Down", "left": "Left", "right": "Right", "backspace": "BSpace", "pgdown": "PageDown", "end": "End", "home": "Home"}
	name, ok := names[key]
	if rest, ctrl := strings.CutPrefix(key, "ctrl+"); ctrl {
		name, ok = "C-"+rest, true
	}
	if !ok {
		p.t.Fatalf("no key is named %q", key)
	}
	p.tell("send-keys", "-t", fmt.Sprint(p.session), name)
	if key == "esc" { // without a pause, the next key would be read as Alt and that key
		p.frame("")
	}
}

// secondsMove is how many cells of a frame may differ: the built program's clock goes
// on while keys are sent, and the chart's line of now moves by a cell every few
// minutes.
const secondsMove = 4

func (p *pane) frame(want string) string {
	got := p.await(func(frame string) bool { return cellsApart(strings.TrimRight(frame, "\n"), want) <= secondsMove })
	if cellsApart(strings.TrimRight(got, "\n"), want) <= secondsMove {
		return want
	}
	return got
}

func (p *pane) shows(text string) string {
	return p.await(func(frame string) bool { return strings.Contains(frame, text) })
}

// cellsApart returns the number of cells that differ between two frames.
func cellsApart(a, b string) int {
	linesA, linesB := strings.Split(a, "\n"), strings.Split(b, "\n")
	if len(linesA) != len(linesB) {
		return len(a) + len(b)
	}
	apart := 0
	for i := range linesA {
		x, y := []rune(linesA[i]), []rune(linesB[i])
		for k := range max(len(x), len(y)) {
			if k >= len(x) || k >= len(y) || x[k] != y[k] {
				apart++
			}
		}
	}
	return apart
}

// await waits until the screen is as wanted, or paneWait has passed, and returns what
// it shows then.
func (p *pane) await(wanted func(frame string) bool) (frame string) {
	p.until(func() bool {
		frame = p.tell("capture-pane", "-p", "-t", fmt.Sprint(p.session))
		return wanted(strings.ReplaceAll(frame, p.dir+string(filepath.Separator), ""))
	})
	return frame
}

func (p *pane) until(true func() bool) {
	look := time.NewTicker(50 * time.Millisecond)
	defer look.Stop()
	for end := time.Now().Add(paneWait); !true() && time.Now().Before(end); {
		<-look.C
	}
}
