// Package lineedit is one line being typed, with a history of earlier lines.
package lineedit

import (
	"slices"
	"strings"

	"github.com/rivo/uniseg"

	"ashbook/tui/intent"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// Line is the text and the cursor's position.
type Line struct {
	letters []string // graphemes
	at      int
	past    []string // earlier lines, oldest first
	back    int      // how far back in past the shown line is; 0 for the line itself
	draft   string   // the line itself while an earlier one is shown
}

// Text returns the typed text.
func (l *Line) Text() string { return strings.Join(l.letters, "") }

// Empty reports whether nothing is typed.
func (l *Line) Empty() bool { return len(l.letters) == 0 }

// Set replaces the line and puts the cursor at its end.
func (l *Line) Set(text string) {
	l.letters = graphemes(text)
	l.at = len(l.letters)
}

// Take empties the line, adds it to the history and returns it.
func (l *Line) Take() string {
	text := strings.TrimSpace(l.Text())
	if text != "" && (len(l.past) == 0 || l.past[len(l.past)-1] != text) {
		l.past = append(l.past, text)
	}
	l.back, l.draft = 0, ""
	l.Set("")
	return text
}

// Earlier shows the line n steps further back in the history; n may be negative.
func (l *Line) Earlier(n int) {
	back := max(0, min(l.back+n, len(l.past)))
	if back == l.back {
		return
	}
	if l.back == 0 {
		l.draft = l.Text()
	}
	l.back = back
	if back == 0 {
		l.Set(l.draft)
		return
	}
	l.Set(l.past[len(l.past)-back])
}

// Longest is the largest number of bytes of a line, since the line is parsed again for
// every key (chosen: a page of notes).
const Longest = 4000

// Takes reports whether text fits on the line. Edit leaves out what does not fit.
func (l *Line) Takes(text string) bool {
	held := len(text)
	for _, letter := range l.letters {
		held += len(letter)
	}
	return held <= Longest
}

// breaks replaces line ends by spaces.
var breaks = strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ")

// Edit carries out an intent on the line. It reports whether the text changed.
func (l *Line) Edit(in intent.Intent) (changed bool) {
	before := len(l.letters)
	switch in.Do {
	case intent.Put: // the line so far is an earlier line from here on
		l.Take()
		l.Set(in.Text)
		return true
	case intent.Text:
		if !l.Takes(in.Text) {
			return false
		}
		in.Text = breaks.Replace(in.Text)
		// Join the text again, so that a mark typed after its letter combines with it.
		head := strings.Join(l.letters[:l.at], "") + in.Text
		tail := strings.Join(l.letters[l.at:], "")
		l.letters = graphemes(head + tail)
		l.at = len(graphemes(head))
		return in.Text != ""
	case intent.Left:
		l.at = max(0, l.at-1)
	case intent.Right:
		l.at = min(len(l.letters), l.at+1)
	case intent.LineStart:
		l.at = 0
	case intent.LineEnd:
		l.at = len(l.letters)
	case intent.Erase:
		l.cut(l.at-1, l.at)
	case intent.EraseNext:
		l.cut(l.at, l.at+1)
	case intent.EraseWord:
		from := l.at
		for from > 0 && l.letters[from-1] == " " {
			from--
		}
		for from > 0 && l.letters[from-1] != " " {
			from--
		}
		l.cut(from, l.at)
	case intent.EraseLine:
		l.cut(0, len(l.letters))
	}
	return len(l.letters) != before
}

func (l *Line) cut(from, to int) {
	from, to = max(0, from), min(to, len(l.letters))
	if from < to {
		l.letters = slices.Delete(l.letters, from, to)
		l.at = from
	}
}

func graphemes(s string) []string {
	var all []string
	state := -1
	for s != "" {
		var g string
		g, s, _, state = uniseg.FirstGraphemeClusterInString(s, state)
		all = append(all, g)
	}
	return all
}

// Draw draws the line in the first row of r after a prompt, scrolled so that the cursor
// is visible. An empty line shows hint.
func (l *Line) Draw(s *layout.Sheet, r layout.Rect, prompt, hint string) {
	x := s.Write(r, 0, 0, layout.Span{Style: style.Strong, Text: prompt})
	under, rest := " ", ""
	if l.at < len(l.letters) {
		under, rest = l.letters[l.at], strings.Join(l.letters[l.at+1:], "")
	}
	from, room := l.at, r.W-x-layout.Width(under)
	for from > 0 && room >= layout.Width(l.letters[from-1]) {
		from--
		room -= layout.Width(l.letters[from])
	}
	x = s.Write(r, x, 0, layout.Span{Style: style.Strong, Text: strings.Join(l.letters[from:l.at], "")})
	spans := []layout.Span{{Style: style.Chosen, Text: under}, {Style: style.Strong, Text: rest}}
	if l.Empty() {
		spans[1] = layout.Span{Style: style.Quiet, Text: hint}
	}
	s.Write(r, x, 0, spans...)
}
