package bigtext

import (
	"strings"
	"testing"

	"ashbook/tui/layout"
	"ashbook/tui/style"
)

func draw(text string, w, height int) string {
	s := layout.NewSheet(w, height)
	Draw(s, s.All(), 0, height, style.Plain, text)
	return s.Render(&style.Look{})
}

func TestEveryLetterHasItsShape(t *testing.T) {
	for r, s := range shapes {
		rows := strings.Split(s, "|")
		if len(rows) != 5 {
			t.Errorf("%c has %d rows", r, len(rows))
		}
		for _, row := range rows {
			if len(row) != len(rows[0]) || strings.Trim(row, "# ") != "" {
				t.Errorf("%c: row %q", r, row)
			}
		}
	}
	seen := map[string]rune{}
	for r, s := range shapes {
		if other, ok := seen[s]; ok && !(r == '–' || r == '−') {
			t.Errorf("%c looks like %c", r, other)
		}
		seen[s] = r
	}
}

func TestDraw(t *testing.T) {
	if got, want := draw("104↓", 40, Small), ""+
		"▀█  █▀█ █ █  ▄▄▄▄▄\n"+
		" █  █ █ ▀▀█   ▀█▀\n"+
		"▀▀▀ ▀▀▀   ▀"; got != want {
		t.Errorf("small:\n%s\nwant\n%s", got, want)
	}
	if got, want := draw("1h", 40, Large), ""+
		"████   ██\n"+
		"  ██   ██\n"+
		"  ██   ████\n"+
		"  ██   ██  ██\n"+
		"██████ ██  ██"; got != want {
		t.Errorf("large:\n%s\nwant\n%s", got, want)
	}
	if got, want := draw("1am", 40, Small), "▀█\n █\n▀▀▀ am"; got != want {
		t.Errorf("half of the day:\n%s\nwant\n%s", got, want)
	}
	if got := draw("104 ↓", 40, Row); got != "104 ↓" {
		t.Errorf("row: %q", got)
	}
}

func TestWidth(t *testing.T) {
	for _, text := range []string{"104↓", "06:50–09:40", "1h50", "8", "−12", "7:20am–12:10pm"} {
		for _, h := range []int{Row, Small, Large, Huge} {
			w := Width(text, h)
			if strings.Contains(draw(text, w, h), "…") {
				t.Errorf("%q at %d does not fit its own width %d", text, h, w)
			}
			if w > 1 && !strings.Contains(draw(text, w-1, h), "…") {
				t.Errorf("%q at %d fits less than its width %d", text, h, w)
			}
		}
	}
}
