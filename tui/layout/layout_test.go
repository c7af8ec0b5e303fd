package layout

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ashbook/report/page"
	"ashbook/tui/style"
)

func TestSplitsCoverTheRectangle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(-3, 50)
		r := Rect{n.Draw(t, "x"), n.Draw(t, "y"), max(0, n.Draw(t, "w")), max(0, n.Draw(t, "h"))}
		k := n.Draw(t, "k")
		top, rest := r.Top(k)
		if top.H+rest.H != r.H || top.Y != r.Y || rest.Y != r.Y+top.H || top.H < 0 || rest.H < 0 || top.W != r.W {
			t.Fatalf("top %d of %v: %v and %v", k, r, top, rest)
		}
		rest, bottom := r.Bottom(k)
		if rest.H+bottom.H != r.H || bottom.Y != rest.Y+rest.H || bottom.H > max(0, k) {
			t.Fatalf("bottom %d of %v: %v and %v", k, r, rest, bottom)
		}
		left, rest := r.Left(k)
		if left.W+rest.W != r.W || rest.X != r.X+left.W || left.W < 0 || rest.W < 0 {
			t.Fatalf("left %d of %v: %v and %v", k, r, left, rest)
		}
		rest, right := r.Right(k)
		if rest.W+right.W != r.W || right.X != rest.X+rest.W || right.W > max(0, k) {
			t.Fatalf("right %d of %v: %v and %v", k, r, rest, right)
		}
	})
}

// The chosen row is always visible, and no row is empty that could show something.
func TestRollFollows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		count, height := rapid.IntRange(1, 60).Draw(t, "count"), rapid.IntRange(1, 30).Draw(t, "height")
		r := Roll{rapid.IntRange(-5, 80).Draw(t, "top"), rapid.IntRange(-5, 80).Draw(t, "at")}
		r.Move(rapid.IntRange(-70, 70).Draw(t, "by"), count)
		r.Follow(count, height)
		if r.At < 0 || r.At >= count || r.Top < 0 || r.At < r.Top || r.At >= r.Top+height || r.Top > max(0, count-height) {
			t.Fatalf("%d rows, %d high: %+v", count, height, r)
		}
		r.Scroll(rapid.IntRange(-70, 70).Draw(t, "scroll"), count, height)
		if r.Top < 0 || r.Top > max(0, count-height) {
			t.Fatalf("%d rows, %d high, scrolled: %+v", count, height, r)
		}
	})
}

// plainly renders a sheet without colours or attributes.
func plainly(s *Sheet) string {
	return s.Render(&style.Look{})
}

func TestWriteCuts(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"short", "|short |"},
		{"sixsix", "|sixsix|"},
		{"seven77", "|seven…|"},
		{"日本語", "|日本語|"},
		{"日本語x", "|日本 …|"},
		{"a\tb\x1b[", "|a b‹1…|"},
		{"e\u0301e\u0301", "|e\u0301e\u0301    |"},
		{"a\u00a0b", "|a b   |"},
	} {
		s := NewSheet(8, 1)
		s.Write(Rect{W: 1, H: 1}, 0, 0, Span{Text: "|"})
		s.Write(Rect{X: 7, W: 1, H: 1}, 0, 0, Span{Text: "|"})
		s.Write(Rect{X: 1, W: 6, H: 1}, 0, 0, Span{Text: c.text})
		if got := plainly(s); got != c.want {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
}

func TestHalfOfAWideLetterIsNotLeft(t *testing.T) {
	for at, want := range []string{"x 本", " x本", "日x", "日 x"} {
		s := NewSheet(4, 1)
		s.Write(s.All(), 0, 0, Span{Text: "日本"})
		s.Write(s.All(), at, 0, Span{Text: "x"})
		if got := plainly(s); got != want {
			t.Errorf("at %d: %q, want %q", at, got, want)
		}
	}
}

// A letter with hundreds of marks is cut, since a terminal would draw them over other
// lines.
func TestPiledMarks(t *testing.T) {
	s := NewSheet(4, 1)
	s.Write(s.All(), 0, 0, Span{Text: "a" + strings.Repeat("\u0301", 500) + "b"})
	if got := plainly(s); len(got) > longest+1 || !strings.HasSuffix(got, "b") {
		t.Errorf("%d bytes: %q", len(got), got)
	}
}

func TestNothingIsDrawnOutside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(-4, 12)
		s := NewSheet(n.Draw(t, "w"), n.Draw(t, "h"))
		r := Rect{n.Draw(t, "x"), n.Draw(t, "y"), max(0, n.Draw(t, "rw")), max(0, n.Draw(t, "rh"))}
		text := rapid.StringMatching(`[a-z日é ]{0,12}`).Draw(t, "text")
		s.Fill(s.All(), style.Chosen)
		s.Write(r, n.Draw(t, "dx"), n.Draw(t, "dy"), Span{style.Plain, text})
		s.WriteRight(r, n.Draw(t, "dy"), Span{style.Plain, text})
		for y := range s.h {
			for x := range s.w {
				in := x >= r.X && x < r.X+r.W && y >= r.Y && y < r.Y+r.H
				if c := s.cells[y*s.w+x]; !in && c.text != "" {
					t.Fatalf("%q at %d,%d outside %v", c.text, x, y, r)
				}
			}
		}
		s.Render(style.New(style.Options{}))
	})
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  string
	}{
		{"the lid was off", 8, "the lid|was off"},
		{"the lid was off", 7, "the lid|was off"},
		{"overlongword x", 5, "overl|ongwo|rd x"},
		{"in " + Tie("40 min") + " more", 7, "in|40\u00a0min|more"},
		{"日本語", 4, "日本|語"},
		{"  ", 4, ""},
		{"x", 0, ""},
	} {
		if got := strings.Join(Wrap(c.text, c.width), "|"); got != c.want {
			t.Errorf("%q at %d: %q, want %q", c.text, c.width, got, c.want)
		}
	}
}

func BenchmarkRender(b *testing.B) {
	s := NewSheet(132, 43)
	for y := range 43 {
		s.Write(s.All(), 0, y, Span{style.Strong, "Harvest supper · pork shoulder"}, Span{style.Quiet, strings.Repeat(" 4.7 kg", 12)})
	}
	l := style.New(style.Options{Colour: style.Many})
	b.ReportAllocs()
	for b.Loop() {
		s.Render(l)
	}
}

// Text with control characters is measured, wrapped and drawn as it is shown.
func TestSentences(t *testing.T) {
	const text = "! Read it now: unless it is at 57 °C or above, throw it out. It has been off for 4 h 30. 7 h is too long."
	for _, tt := range []struct {
		width, most int
		ends        string
	}{{60, 1, "throw it out."}, {10, 2, "throw it out."}, {30, 2, "throw it out."}, {30, 3, "for 4 h 30."}, {60, 2, "too long."}, {200, 1, "too long."}} {
		lines := Sentences(text, tt.width, tt.most)
		if got := strings.Join(lines, " "); !strings.HasSuffix(got, tt.ends) || !strings.HasPrefix(text, got) {
			t.Errorf("%d wide, %d lines: %q", tt.width, tt.most, lines)
		}
	}
	if got := Sentences("", 10, 1); len(got) != 0 {
		t.Errorf("%q", got)
	}
}

func TestMeasuredAsShown(t *testing.T) {
	const evil = "ab \x1b[31mcd\u202eef\n\u009b2J 5 kg \U000e0041 and so on, to the end of the line"
	clean := page.Clean(evil)
	if got, want := Width(evil), Width(clean); got != want {
		t.Errorf("%d cells, %d are shown", got, want)
	}
	for width := 1; width < 90; width++ {
		got, want := Wrap(evil, width), Wrap(clean, width)
		if !slices.Equal(got, want) {
			t.Errorf("at %d: %q, want %q", width, got, want)
		}
	}
}
