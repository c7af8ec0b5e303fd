package tuitest

import (
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui/backend"
)

var update = flag.Bool("update", false, "write the golden frames anew")

// Driver sends keys to a model and runs its commands at once, so that all answers have
// arrived when a call returns.
type Driver struct {
	Model tea.Model
	Port  *Port
	Quit  bool // the model has ended the program
	Hold  bool // answers are held until Release
	Keys  int  // number of keys pressed
	held  []tea.Msg
}

// Start starts the model in a window of that size.
func Start(m tea.Model, p *Port, w, h int) *Driver {
	d := &Driver{Model: m, Port: p}
	d.run(m.Init())
	d.Size(w, h)
	return d
}

// Size sets the size of the window.
func (d *Driver) Size(w, h int) { d.Send(tea.WindowSizeMsg{Width: w, Height: h}) }

// Send gives the model a message.
func (d *Driver) Send(msg tea.Msg) {
	if _, key := msg.(tea.KeyMsg); key {
		d.Keys++
	}
	m, cmd := d.Model.Update(msg)
	d.Model = m
	d.run(cmd)
}

// Release delivers the answers that were held, the last one first, since nothing may
// depend on their order.
func (d *Driver) Release() {
	d.Hold = false
	for _, msg := range slices.Backward(d.held) {
		d.Send(msg)
	}
	d.held = nil
}

// run runs a command and the commands that follow from it.
func (d *Driver) run(cmd tea.Cmd) {
	for queue := []tea.Cmd{cmd}; len(queue) > 0; queue = queue[1:] {
		if queue[0] == nil {
			continue
		}
		switch msg := queue[0]().(type) {
		case nil:
		case tea.BatchMsg:
			queue = append(queue, msg...)
		case tea.QuitMsg:
			d.Quit = true
		default:
			if d.Hold {
				d.held = append(d.held, msg)
				continue
			}
			m, next := d.Model.Update(msg)
			d.Model = m
			queue = append(queue, next)
		}
	}
}

// Type types a text letter by letter.
func (d *Driver) Type(text string) {
	for _, r := range text {
		if r == ' ' {
			d.Send(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}})
			continue
		}
		d.Send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	}
}

// Paste pastes a text as one message.
func (d *Driver) Paste(text string) {
	d.Send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text), Paste: true})
}

// special are the keys that a test can name.
var special = map[string]tea.KeyType{
	"enter": tea.KeyEnter, "esc": tea.KeyEsc, "tab": tea.KeyTab, "up": tea.KeyUp, "down": tea.KeyDown, "left": tea.KeyLeft,
	"right": tea.KeyRight, "pgup": tea.KeyPgUp, "pgdown": tea.KeyPgDown, "home": tea.KeyHome, "end": tea.KeyEnd, "backspace": tea.KeyBackspace,
	"delete": tea.KeyDelete, "ctrl+c": tea.KeyCtrlC, "ctrl+l": tea.KeyCtrlL, "ctrl+n": tea.KeyCtrlN, "ctrl+t": tea.KeyCtrlT, "ctrl+u": tea.KeyCtrlU,
	"ctrl+w": tea.KeyCtrlW, "ctrl+g": tea.KeyCtrlG, "ctrl+k": tea.KeyCtrlK, "ctrl+p": tea.KeyCtrlP, "ctrl+o": tea.KeyCtrlO, "ctrl+r": tea.KeyCtrlR, "ctrl+s": tea.KeyCtrlS, "ctrl+y": tea.KeyCtrlY, "ctrl+z": tea.KeyCtrlZ, "ctrl+f": tea.KeyCtrlF, "ctrl+v": tea.KeyCtrlV, "ctrl+d": tea.KeyCtrlD, "ctrl+q": tea.KeyCtrlQ, "ctrl+x": tea.KeyCtrlX,
	"shift+left": tea.KeyShiftLeft, "shift+right": tea.KeyShiftRight, "f1": tea.KeyF1, "f2": tea.KeyF2, "f3": tea.KeyF3, "f4": tea.KeyF4, "f5": tea.KeyF5, "f6": tea.KeyF6, "shift+tab": tea.KeyShiftTab, "ctrl+home": tea.KeyCtrlHome, "ctrl+end": tea.KeyCtrlEnd,
}

// Press presses keys by name.
func (d *Driver) Press(names ...string) {
	for _, n := range names {
		k, ok := special[n]
		if !ok {
			panic("no key is named " + n)
		}
		d.Send(tea.KeyMsg{Type: k})
	}
}

// Pass moves the clock forward and sends the model the new time.
func (d *Driver) Pass(t time.Duration) {
	d.Port.Clock = d.Port.Clock.Add(t)
	d.Send(backend.Time{Now: d.Port.Clock})
}

// Frame returns the current frame of the screen.
func (d *Driver) Frame() string { return d.Model.View() }

// Expect reports the texts of want that the screen does not show.
func (d *Driver) Expect(t *testing.T, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(d.Text(), w) {
			t.Errorf("no %q in\n%s", w, d.Text())
		}
	}
}

// Golden compares the frame with testdata/name. Escape codes are written as "\e".
func (d *Driver) Golden(t *testing.T, name string) {
	t.Helper()
	got := strings.ReplaceAll(d.Frame(), "\x1b", `\e`) + "\n"
	path := filepath.Join("testdata", name+".frame")
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; run with -update once the frame is right", err)
	}
	if got != string(want) {
		t.Errorf("%s differs\n--- got\n%s--- want\n%s", path, got, want)
	}
}
