package tui

import (
	"cmp"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/tui/component/lineedit"
	"ashbook/tui/intent"
	"ashbook/tui/keys"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// finder is the list of everything that can be done on the screen below it, narrowed by
// typed words.
type finder struct {
	offers []keys.Offer
	found  []keys.Offer // offers that contain the words
	words  lineedit.Line
	roll   layout.Roll
}

// newFinder returns a finder of what the keys of a screen do, without the way to the
// screen itself and, if no cook is chosen, without the ways that need one.
func newFinder(m keys.Map, here intent.Place, cook bool) *finder {
	f := &finder{}
	for _, o := range m.Offers() {
		if w, ok := keys.WayOf(o.Do); !ok || w.Place != here && (cook || !w.OfCook) {
			f.offers = append(f.offers, o)
		}
	}
	if m.Acts {
		f.offers = append(f.offers, acts()...)
	}
	f.narrow()
	return f
}

// acts returns the acts of a timeline. A chosen one is put on the entry line, to be
// completed and noted there.
func acts() []keys.Offer {
	var out []keys.Offer
	add := func(line, gloss string) {
		out = append(out, keys.Offer{Says: line + ": " + gloss, Key: "on the line", Intent: intent.Intent{Do: intent.Put, Text: line + " "}})
	}
	for _, a := range journal.Acts() {
		if a != journal.PutWrap {
			add(a.Word(), a.Gloss())
			continue
		}
		for _, k := range journal.Wraps {
			add(a.Word()+" "+string(k), a.Gloss())
		}
	}
	return out
}

func (f *finder) typed() bool { return !f.words.Empty() }

// narrow keeps the offers that contain every typed word. Those that begin with the
// first word come first, the shorter ones before the longer.
func (f *finder) narrow() {
	words := strings.Fields(strings.ToLower(f.words.Text()))
	f.found = nil
	for _, o := range f.offers {
		text := strings.ToLower(o.Says + " " + o.Key)
		if !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(text, w) }) {
			f.found = append(f.found, o)
		}
	}
	if len(words) > 0 {
		slices.SortStableFunc(f.found, func(a, b keys.Offer) int {
			return cmp.Or(place(a, words[0])-place(b, words[0]), len(a.Says)-len(b.Says))
		})
	}
	f.roll = layout.Roll{}
}

// place returns 0 if the offer begins with the word, 1 if one of its words does, and 2
// if none does.
func place(o keys.Offer, word string) int {
	says := strings.ToLower(o.Says)
	switch {
	case strings.HasPrefix(says, word):
		return 0
	case strings.Contains(says, " "+word):
		return 1
	}
	return 2
}

// find carries out an intent while the finder is shown.
func (a *App) find(in intent.Intent) tea.Cmd {
	f := a.finder
	switch in.Do {
	case intent.Quit:
		a.finder = nil
		return a.quit()
	case intent.Back, intent.Find:
		a.finder = nil
	case intent.Up:
		f.roll.Move(-1, len(f.found))
	case intent.Down:
		f.roll.Move(1, len(f.found))
	case intent.Point:
		f.roll.Follow(len(f.found), a.h-1-headRows)
		f.roll.At = max(0, min(f.roll.Top+in.Row-headRows, len(f.found)-1))
	case intent.Enter:
		if f.roll.At < len(f.found) {
			a.finder, a.notice, a.asked = nil, "", false
			return a.do(f.found[f.roll.At].Intent)
		}
	default:
		if f.words.Edit(in) {
			f.narrow()
		}
	}
	return nil
}

// headRows is the number of rows above the list: the words and a blank one.
const headRows = 2

func (f *finder) draw(s *layout.Sheet, r layout.Rect) {
	head, r := r.Top(headRows)
	f.words.Draw(s, head.Pad(1), "› ", "words of what you want to do: foil, late, tasting …")
	if len(f.found) == 0 {
		s.Write(r, 2, 0, layout.Span{Style: style.Mind, Text: "nothing you can do here is described by all of these words"})
		return
	}
	roll := f.roll
	roll.Follow(len(f.found), r.H)
	for y := range r.H {
		i := roll.Top + y
		if i >= len(f.found) {
			break
		}
		row := layout.Rect{X: r.X, Y: r.Y + y, W: r.W, H: 1}
		face, keyStyle := style.Plain, style.Quiet
		if i == roll.At {
			face, keyStyle = style.Chosen, style.Chosen
			s.Fill(row, face)
			s.Write(row, 0, 0, layout.Span{Style: face, Text: "›"})
		}
		o := f.found[i]
		text, key := row.Pad(1).Right(layout.Width(o.Key) + 1)
		s.Write(text, 1, 0, layout.Span{Style: face, Text: o.Says})
		s.WriteRight(key, 0, layout.Span{Style: keyStyle, Text: o.Key})
	}
}
