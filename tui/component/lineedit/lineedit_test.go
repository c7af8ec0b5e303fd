package lineedit

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ashbook/tui/intent"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

func text(s string) intent.Intent { return intent.Intent{Do: intent.Text, Text: s} }

func do(l *Line, ins ...intent.Do) {
	for _, in := range ins {
		l.Edit(intent.Intent{Do: in})
	}
}

func TestEdit(t *testing.T) {
	var l Line
	l.Edit(text("112 71 vant"))
	do(&l, intent.Left, intent.Left, intent.Left, intent.EraseNext)
	l.Edit(text("e"))
	if got := l.Text(); got != "112 71 vent" {
		t.Errorf("%q", got)
	}
	do(&l, intent.LineEnd, intent.EraseWord)
	if got := l.Text(); got != "112 71 " {
		t.Errorf("%q", got)
	}
	do(&l, intent.LineStart, intent.EraseNext, intent.Erase)
	if got := l.Text(); got != "12 71 " {
		t.Errorf("%q", got)
	}
	do(&l, intent.EraseLine)
	if !l.Empty() {
		t.Errorf("%q", l.Text())
	}
}

// A letter and its mark are deleted together, however they were typed.
func TestMarksStayWithTheirLetter(t *testing.T) {
	var l Line
	l.Edit(text("fe"))
	l.Edit(text("\u0302"))
	l.Edit(text("te"))
	do(&l, intent.Left, intent.Left, intent.Erase)
	if got := l.Text(); got != "fte" {
		t.Errorf("%q", got)
	}
}

func TestPast(t *testing.T) {
	var l Line
	for _, s := range []string{"one", "two", "two"} {
		l.Set(s)
		if got := l.Take(); got != s {
			t.Errorf("took %q", got)
		}
	}
	l.Edit(text("draft"))
	for _, want := range []string{"two", "one", "one"} {
		l.Earlier(1)
		if got := l.Text(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for _, want := range []string{"two", "draft", "draft"} {
		l.Earlier(-1)
		if got := l.Text(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// The cursor is always visible, and the line is never wider than its place.
func TestDrawShowsTheCursor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var l Line
		l.Set(rapid.StringMatching(`[a-z日é ]{0,40}`).Draw(t, "text"))
		for range rapid.IntRange(0, 45).Draw(t, "left") {
			do(&l, intent.Left)
		}
		w := rapid.IntRange(5, 30).Draw(t, "width")
		s := layout.NewSheet(w, 1)
		l.Draw(s, s.All(), "› ", "hint")
		frame := s.Render(style.New(style.Options{}))
		if !strings.Contains(frame, "\x1b[7m") {
			t.Fatalf("no cursor in %q for %q at %d", frame, l.Text(), l.at)
		}
	})
}
