package keys

import (
	"os"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui/intent"
)

var maps = []Map{Shelf, Lighting, Marked, Page, Reader, Turning, Alterable, TurningAlterable, Altering, Narrowing, Finding, Watch, WatchPlanned, Bed, Asleep, Unread, Sure, Grid, KeepFirst, GridLine, Overview, Timeline, Mending, Versions, Hold, Ready, Workback, Rewording, FirstRun, FirstRunLine}

// No key has two meanings on one screen, and where a line is typed every letter can be
// typed.
func TestKeysAreFree(t *testing.T) {
	for _, m := range maps {
		seen := map[string]intent.Do{}
		lists := m.lists()
		if m.Typing {
			lists = append(lists, editing)
		}
		for _, list := range lists {
			for _, b := range list {
				if _, way := WayOf(b.Do); len(b.Keys) == 0 && !way || b.Do == intent.Nothing {
					t.Errorf("%s: %+v does nothing", m.Name, b)
				}
				for _, k := range b.Keys {
					if was, ok := seen[k]; ok && was != b.Do && m.Name != "Keys" {
						t.Errorf("%s: %s means two things", m.Name, k)
					}
					seen[k] = b.Do
					if m.Typing && len([]rune(k)) == 1 && !b.Bare {
						t.Errorf("%s: %q cannot be typed", m.Name, k)
					}
				}
			}
		}
	}
}

// No key is one that terminal multiplexers use themselves (from memory: ctrl+a and
// ctrl+b). Every key with ctrl has an alternative without: another key, or its word in
// the finder, which opens with a plain key. On a line, Backspace is the alternative.
func TestPlainTwins(t *testing.T) {
	plain := func(keys []string) bool {
		return slices.ContainsFunc(keys, func(k string) bool { return !strings.HasPrefix(k, "ctrl+") && !strings.HasPrefix(k, "alt+") })
	}
	for _, m := range maps {
		offered := map[intent.Do]bool{}
		for _, o := range m.Offers() {
			offered[o.Do] = true
		}
		for _, list := range append(m.lists(), editing) {
			for _, b := range list {
				for _, k := range b.Keys {
					if k == "ctrl+a" || k == "ctrl+b" {
						t.Errorf("%s: %s", m.Name, k)
					}
				}
				twin := offered[b.Do] || b.Do == intent.EraseWord || b.Do == intent.EraseLine || b.Do == intent.First || b.Do == intent.Last
				for _, other := range append(m.lists(), editing) {
					twin = twin || slices.ContainsFunc(other, func(o Binding) bool { return o.Do == b.Do && plain(o.Keys) })
				}
				if len(b.Keys) > 0 && !plain(b.Keys) && !twin {
					t.Errorf("%s: %s has no plain twin", m.Name, b.Show)
				}
			}
		}
	}
	if in := Watch.Intent(key(":"), false); in.Do != intent.Find {
		t.Error("the finder opens on no plain key")
	}
}

// The words that a user may type for a thing find it from the list of cooks.
func TestFinderWords(t *testing.T) {
	for _, word := range []string{"light", "start", "new", "log", "begin", "fire", "mix", "print", "export", "help", "quit", "plan", "meal"} {
		if !slices.ContainsFunc(Shelf.Offers(), func(o Offer) bool { return strings.Contains(strings.ToLower(o.Says), word) }) {
			t.Errorf("%q finds nothing", word)
		}
	}
}

// Every binding that is shown has words, and every key without words has a neighbour
// with some.
func TestEveryKeyHasWords(t *testing.T) {
	for _, m := range maps {
		for _, row := range m.All() {
			if row[0] == "" || row[1] == "" {
				t.Errorf("%s: %q says %q", m.Name, row[0], row[1])
			}
		}
		if m.Bindings[0].Show == "" || m.Bindings[0].Says == "" {
			t.Errorf("%s: the first key is not in the foot line", m.Name)
		}
	}
}

func key(r string) tea.KeyMsg { return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(r)} }

func TestIntent(t *testing.T) {
	paste := key("n\nq?")
	paste.Paste = true
	alt := key("x")
	alt.Alt = true
	for _, c := range []struct {
		m     Map
		k     tea.KeyMsg
		typed bool
		want  intent.Intent
	}{
		{Watch, key("v"), false, intent.Intent{Do: intent.Text, Text: "v"}},
		{Watch, key("?"), false, intent.Intent{Do: intent.Help}},
		{Watch, key("?"), true, intent.Intent{Do: intent.Text, Text: "?"}},
		{Watch, tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}, true, intent.Intent{Do: intent.Text, Text: " "}},
		{Watch, tea.KeyMsg{Type: tea.KeyCtrlZ}, true, intent.Intent{Do: intent.TakeBack}},
		{Watch, tea.KeyMsg{Type: tea.KeyBackspace}, true, intent.Intent{Do: intent.Erase}},
		{Watch, tea.KeyMsg{Type: tea.KeyF7}, false, intent.Intent{}},
		{Watch, alt, false, intent.Intent{}},
		{Watch, paste, false, intent.Intent{Do: intent.Text, Text: "n\nq?"}},
		{Grid, paste, false, intent.Intent{}},
		{Grid, key("7"), false, intent.Intent{Do: intent.Score, Text: "7"}},
		{Grid, key("+"), false, intent.Intent{Do: intent.TooMuch}},
		{Grid, key("z"), false, intent.Intent{}},
		{Grid, key("?"), false, intent.Intent{Do: intent.Help}},
		{Sure, key("y"), false, intent.Intent{Do: intent.Enter}},
		{Sure, tea.KeyMsg{Type: tea.KeyCtrlC}, false, intent.Intent{Do: intent.Quit}},
	} {
		if got := c.m.Intent(c.k, c.typed); got != c.want {
			t.Errorf("%s, %q: %+v, want %+v", c.m.Name, c.k, got, c.want)
		}
	}
}

func TestFootFits(t *testing.T) {
	for _, m := range maps {
		for w := range 200 {
			foot := m.Foot(false, func(s string) bool { return len([]rune(s)) < w })
			if n := len([]rune(foot)); n >= w && foot != "? keys" {
				t.Errorf("%s at %d: %q", m.Name, w, foot)
			}
		}
	}
}

// Where a window has 60 columns, the foot line has a key that leaves the screen or the
// mode.
func TestFootLeaves(t *testing.T) {
	for _, m := range maps {
		for _, typed := range []bool{false, true} {
			foot := m.Foot(typed, func(s string) bool { return len([]rune(s)) < 59 })
			leaves := false
			for _, b := range m.Bindings {
				leaves = leaves || (b.Do == intent.Back || b.Do == intent.Quit) && b.Says != "" && strings.Contains(foot, b.Show+" "+b.Says)
			}
			if !leaves {
				t.Errorf("%s, typed %t: %q", m.Name, typed, foot)
			}
		}
	}
}

// Everything that can be done is offered once, with its key, and the keys of a screen
// can do everything that is offered on it.
func TestOffers(t *testing.T) {
	for _, m := range maps {
		seen := map[string]bool{}
		for _, o := range m.Offers() {
			if o.Says == "" || o.Do == intent.Nothing || seen[o.Says] {
				t.Errorf("%s: %+v", m.Name, o)
			}
			seen[o.Says] = true
		}
		if !seen["leave ashbook, quit"] {
			t.Errorf("%s: no way out", m.Name)
		}
	}
	for _, w := range Ways {
		if got, ok := WayOf(w.Do); !ok || got.Place != w.Place || w.Place == intent.Shelf {
			t.Errorf("%+v", w)
		}
	}
}

// Every screen but the first two has a key or words that lead to it.
func TestEveryPlaceHasAWay(t *testing.T) {
	for p := range intent.Places {
		if p == intent.Shelf || p == intent.FirstRun {
			continue
		}
		if !slices.ContainsFunc(Ways, func(w Way) bool { return w.Place == p }) {
			t.Errorf("no way leads to place %d", p)
		}
	}
}

// The README has the keys of the screens, with the same words.
func TestKeysOfREADME(t *testing.T) {
	data, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, text, _ := strings.Cut(string(data), "\n## Keys\n")
	text, _, _ = strings.Cut(text, "\n## ")
	rows := 0
	for line := range strings.Lines(text) {
		cells := strings.Split(strings.Trim(strings.TrimSpace(line), "|"), "|")
		if len(cells) != 3 || !strings.Contains(cells[1], "`") {
			continue
		}
		rows++
		where, key, says := strings.TrimSpace(cells[0]), strings.Trim(cells[1], " `"), strings.TrimSpace(cells[2])
		m := Map{Bindings: everywhere}
		if i := slices.IndexFunc(maps, func(m Map) bool { return m.Name == where }); i >= 0 {
			m = maps[i]
		}
		if !slices.Contains(m.All(), [2]string{key, says}) {
			t.Errorf("README: no %s on %s that says %q; there are %q", key, where, says, m.All())
		}
	}
	if rows < 10 {
		t.Errorf("README: %d keys", rows)
	}
}
