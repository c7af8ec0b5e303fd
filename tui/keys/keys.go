// Package keys maps keys to intents, screen by screen. The help of every screen is made
// from these tables, so it always agrees with the keys.
package keys

import (
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui/intent"
)

// Binding is one intent and its keys.
type Binding struct {
	Do   intent.Do
	Keys []string // names in the terminal library
	Show string   // name shown to the user: "ctrl+z"
	Says string   // words in the bottom line: "undo"; "" to leave it out there
	More string   // words in the list of all keys; "" for the same as Says
	Bare bool     // only while nothing is typed
}

// Map has the keys of one screen or of one mode of it.
type Map struct {
	Name     string
	Bindings []Binding
	Typing   bool // every other printable key is text
	Ways     bool // the keys to the other screens work here
	Acts     bool // timeline lines are typed here
}

// lists returns the bindings of a map in order: the first to bind a key has it. Those
// of a line being typed come last and are not included.
func (m Map) lists() [][]Binding {
	if m.Ways {
		return [][]Binding{m.Bindings, ways, everywhere}
	}
	return [][]Binding{m.Bindings, everywhere}
}

// Intent returns the meaning of a key. typed says whether there is text on the line.
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

// Foot returns the bottom line: as many keys as fit, the most needed first, and always
// the one that leaves. Last comes the key for the list of all keys, which is another one
// while text is typed.
func (m Map) Foot(typed bool, fits func(string) bool) string {
	all := "? keys"
	if typed {
		all = "F1 keys"
	}
	tail, foot := m.leaves().foot()+all, ""
	for _, b := range m.Bindings {
		if b.Says == "" {
			continue
		}
		if b.foot() == m.leaves().foot() {
			tail = all
		}
		if !fits(foot + b.foot() + tail) {
			break
		}
		foot += b.foot()
	}
	if fits(foot + tail) {
		return foot + tail
	}
	return foot + all
}

// foot returns the key and its words, as they are in the bottom line.
func (b Binding) foot() string {
	if b.Says == "" {
		return ""
	}
	return b.Show + " " + b.Says + "   "
}

// leaves returns the binding that leaves the screen or the mode.
func (m Map) leaves() Binding {
	for _, do := range []intent.Do{intent.Back, intent.Quit} {
		for _, b := range m.Bindings {
			if b.Do == do && b.Says != "" {
				return b
			}
		}
	}
	return Binding{}
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
	Key  string // as shown to the user; "" for none
	intent.Intent
}

// Offers returns what can be done here, without moving about and without what only its
// own key can do, such as a score.
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

// byHand is what cannot be chosen by name.
var byHand = []intent.Do{
	intent.Up, intent.Down, intent.Left, intent.Right, intent.PageUp, intent.PageDown, intent.First, intent.Last,
	intent.Next, intent.Previous, intent.Enter, intent.Find, intent.Complete,
	intent.Score, intent.TooMuch, intent.TooLittle, intent.Clear,
}
