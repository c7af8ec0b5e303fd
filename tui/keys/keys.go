// Package keys binds keys to intents, screen by screen. The help on every screen is made
// from these tables, so it always matches the keys.
package keys

import (
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui/intent"
)

// Binding is one intent and the keys for it.
type Binding struct {
	Do   intent.Do
	Keys []string // as the terminal library names them
	Show string   // how they are printed: "ctrl+z"
	Says string   // "take back"; "": not in the bottom line
	More string   // in the list of all keys; "": the same as Says
	Bare bool     // only while nothing is typed
}

// Map is the keys of one screen or one mode of it.
type Map struct {
	Name     string
	Bindings []Binding
	Typing   bool // every other printable key is text
	Ways     bool // the ways to the other screens count here
	Acts     bool // lines of a timeline are typed here
}

// lists are the bindings of a map, the first to bind a key having it; those
// of the line being typed come last and are not among them.
func (m Map) lists() [][]Binding {
	if m.Ways {
		return [][]Binding{m.Bindings, ways, everywhere}
	}
	return [][]Binding{m.Bindings, everywhere}
}

// Intent returns what a key means; typed says whether text is on the line.
func (m Map) Intent(k tea.KeyMsg, typed bool) intent.Intent {
	if !k.Paste {
		for _, list := range m.lists() {
			for _, b := range list {
				if slices.Contains(b.Keys, k.String()) && (!b.Bare || !typed) {
					in := intent.Intent{Do: b.Do}
					if b.Do == intent.Score {
						in.Text = k.String()
					}
					return in
				}
			}
		}
	}
	if m.Typing && !k.Alt && (k.Type == tea.KeyRunes || k.Type == tea.KeySpace) {
		return intent.Intent{Do: intent.Text, Text: string(k.Runes)}
	}
	if m.Typing {
		for _, b := range editing {
			if slices.Contains(b.Keys, k.String()) {
				return intent.Intent{Do: b.Do}
			}
		}
	}
	return intent.Intent{}
}

// Foot returns as many of the keys as fit, the most needed first; the key for
// all of them, which is another one while something is typed, comes last.
func (m Map) Foot(typed bool, fits func(string) bool) string {
	all := "? keys"
	if typed {
		all = "F1 keys"
	}
	foot := ""
	for _, b := range m.Bindings {
		if b.Says == "" {
			continue
		}
		next := foot + b.Show + " " + b.Says + "   "
		if !fits(next + all) {
			break
		}
		foot = next
	}
	return foot + all
}

// All returns every key and what it does, in two columns.
func (m Map) All() [][2]string {
	var rows [][2]string
	lists := m.lists()
	if m.Typing {
		lists = slices.Insert(lists, 1, editing)
	}
	told := map[intent.Do]bool{}
	for _, list := range lists {
		for _, b := range list {
			row := [2]string{b.Show, b.text()}
			if _, way := WayOf(b.Do); b.Show == "" || slices.Contains(rows, row) || way && told[b.Do] {
				continue
			}
			rows, told[b.Do] = append(rows, row), true
		}
	}
	return rows
}

func (b Binding) text() string {
	if b.More == "" {
		return b.Says
	}
	return b.More
}

// Offer is one thing that can be done here.
type Offer struct {
	Says string
	Key  string // as it is printed; empty: none
	intent.Intent
}

// Offers lists what can be done here, except moving about and what needs its own key, such
// as a score.
func (m Map) Offers() []Offer {
	var out []Offer
	seen := map[intent.Do]bool{}
	for _, list := range m.lists() {
		for _, b := range list {
			if b.text() == "" || seen[b.Do] || slices.Contains(byHand, b.Do) {
				continue
			}
			seen[b.Do] = true
			out = append(out, Offer{Says: b.text(), Key: b.Show, Intent: intent.Intent{Do: b.Do}})
		}
	}
	return out
}

// byHand is what cannot be asked for by name.
var byHand = []intent.Do{
	intent.Up, intent.Down, intent.Left, intent.Right, intent.PageUp, intent.PageDown, intent.First, intent.Last,
	intent.Next, intent.Previous, intent.Enter, intent.Find, intent.Complete,
	intent.Score, intent.TooMuch, intent.TooLittle, intent.Clear,
}
