// Package keys binds keys to intents, screen by screen. The help shown on
// every screen is made from these tables, so none can differ from what the
// keys do.
package keys

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui/intent"
)

// Binding is one intent and the keys for it.
type Binding struct {
	Do   intent.Do
	Keys []string // as the terminal library names them
	Show string   // how they are printed: "ctrl+z"
	Says string   // "take back"; empty: not told in the foot line
	More string   // told among all keys; empty: as Says
	Bare bool     // only while nothing is typed
}

// Map is the keys of one screen or one mode of it.
type Map struct {
	Name     string
	Bindings []Binding
	Typing   bool // every other printable key is text
}

// Intent returns what a key means; typed says whether something stands on the
// line being typed.
func (m Map) Intent(k tea.KeyMsg, typed bool) intent.Intent {
	if !k.Paste {
		for _, list := range [][]Binding{m.Bindings, everywhere} {
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
		return intent.Intent{Do: intent.Text, Text: strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ").Replace(string(k.Runes))}
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

// All returns every key with what it does, in two columns.
func (m Map) All() [][2]string {
	var rows [][2]string
	lists := [][]Binding{m.Bindings}
	if m.Typing {
		lists = append(lists, editing)
	}
	for _, list := range append(lists, everywhere) {
		for _, b := range list {
			text := b.More
			if text == "" {
				text = b.Says
			}
			row := [2]string{b.Show, text}
			if b.Show != "" && !slices.Contains(rows, row) {
				rows = append(rows, row)
			}
		}
	}
	return rows
}
