package tuitest

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// Sizes are the window sizes in which every screen is tested.
var Sizes = [][2]int{{60, 20}, {80, 24}, {132, 43}}

// Palettes are the palettes in which every screen is tested.
var Palettes = []struct {
	Name string
	Look style.Options
}{
	{"none", style.Options{}},
	{"colour", style.Options{Colour: style.Many, Dark: true}},
}

// Goldens compares the frames of a model, started anew for each size and palette, with
// the golden files of that name.
func Goldens(t *testing.T, name string, start func(style.Options) (tea.Model, *Port), do func(*Driver)) {
	t.Helper()
	for _, size := range Sizes {
		for _, p := range Palettes {
			full := fmt.Sprintf("%s-%dx%d-%s", name, size[0], size[1], p.Name)
			t.Run(full, func(t *testing.T) {
				m, port := start(p.Look)
				d := Start(m, port, size[0], size[1])
				do(d)
				Fits(t, d.Frame(), size[0], size[1])
				d.Golden(t, full)
			})
		}
	}
}

var codes = regexp.MustCompile("\x1b\\[[0-9;]*m")

// Text returns the frame without its colours.
func (d *Driver) Text() string { return codes.ReplaceAllString(d.Frame(), "") }

// Fits checks that a frame has at most w × h cells and, apart from colours, no control
// characters.
func Fits(t *testing.T, frame string, w, h int) {
	t.Helper()
	lines := strings.Split(codes.ReplaceAllString(frame, ""), "\n")
	if len(lines) > max(1, h) {
		t.Errorf("%d lines in a window of %d", len(lines), h)
	}
	for i, l := range lines {
		if got := layout.Width(l); got > w {
			t.Errorf("line %d is %d cells wide in a window of %d: %q", i, got, w, l)
		}
		for _, r := range l {
			if unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp) {
				t.Errorf("line %d holds %U: %q", i, r, l)
			}
		}
	}
}
