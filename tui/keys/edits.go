package keys

import "ashbook/tui/intent"

// Keys from a cook to the screens that edit it. They work while a line is typed.
var (
	toTimeline = Binding{Do: intent.ToTimeline, Keys: []string{"ctrl+f"}, Show: "ctrl+f", More: "its timeline: correct or delete entries"}
	toVersions = Binding{Do: intent.ToVersions, Keys: []string{"ctrl+v"}, Show: "ctrl+v", More: "past versions: see a change, bring a version back"}
	toHold     = Binding{Do: intent.ToHold, Keys: []string{"ctrl+d"}, Show: "ctrl+d", More: "the box: how long it stays hot, and the leftovers"}
	toReady    = Binding{Do: intent.ToReady, Keys: []string{"ctrl+q"}, Show: "ctrl+q", More: "make ready: what to prepare and buy for it"}
	toWorkback = Binding{Do: intent.ToWorkback, Keys: []string{"ctrl+o"}, Show: "ctrl+o", More: "work back: plan a cook from its meal"}
	toEditor   = Binding{Do: intent.Editor, Keys: []string{"ctrl+x"}, Show: "ctrl+x", More: "open its file in your own editor"}
)

// Timeline has the keys for the entries of a cook.
var Timeline = Map{Name: "Timeline", Ways: true, Bindings: append([]Binding{
	{Do: intent.Enter, Keys: []string{"enter", "e"}, Show: "Enter", Says: "correct", More: "correct the entry"},
	{Do: intent.JustTime, Keys: []string{"t"}, Show: "t", Says: "its time", More: "change only its time"},
	{Do: intent.Drop, Keys: []string{"d", "delete", "x"}, Show: "d", Says: "delete", More: "delete the entry; u puts it back"},
	{Do: intent.TakeBack, Keys: []string{"u", "ctrl+z"}, Show: "u", Says: "undo", More: "undo the last change made here"},
	{Do: intent.Back, Keys: []string{"esc", "q", "left", "backspace"}, Show: "Esc", Says: "back"},
	{Do: intent.Aside, Keys: []string{"a"}, Show: "a", More: "leave the whole cook out of reports; again: include it"},
	bare(toVersions, "r", "ctrl+v"),
	bare(toEditor, "v", "ctrl+x"),
}, choosing...)}

// Versions has the keys for the versions of a cook.
var Versions = Map{Name: "Past versions", Ways: true, Bindings: []Binding{
	{Do: intent.Bring, Keys: []string{"b"}, Show: "b", Says: "bring it back", More: "bring the version back as a new one; nothing is lost"},
	{Do: intent.TakeBack, Keys: []string{"u", "ctrl+z"}, Show: "u", Says: "undo", More: "undo: bring back the version from before"},
	{Do: intent.Up, Keys: []string{"up", "k"}, Show: "↑ ↓", Says: "choose"},
	{Do: intent.Down, Keys: []string{"down", "j"}},
	{Do: intent.PageDown, Keys: []string{"pgdown", " ", "enter"}, Show: "Space", Says: "read on", More: "the next lines of what it changed"},
	{Do: intent.PageUp, Keys: []string{"pgup"}, Show: "PgUp", More: "up again"},
	{Do: intent.Back, Keys: []string{"esc", "q", "left", "backspace"}, Show: "Esc", Says: "back"},
	{Do: intent.First, Keys: []string{"home", "g"}, Show: "Home End", More: "to the newest, to the oldest"},
	{Do: intent.Last, Keys: []string{"end", "G"}},
}}

// Mending has the keys while an entry is corrected.
var Mending = Map{Name: "Timeline", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "save", More: "save the entry as it is on the line"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "cancel", More: "leave the entry as it was; ↑ on the next line brings this line back"},
	{Do: intent.Up, Keys: []string{"up"}, Show: "↑ ↓", More: "earlier lines"},
	{Do: intent.Down, Keys: []string{"down"}},
}}

// choosing has the keys that move among rows.
var choosing = []Binding{
	{Do: intent.Up, Keys: []string{"up", "k"}, Show: "↑ ↓", More: "choose"},
	{Do: intent.Down, Keys: []string{"down", "j"}},
	{Do: intent.PageUp, Keys: []string{"pgup", "b"}, Show: "PgUp PgDn", More: "a screenful"},
	{Do: intent.PageDown, Keys: []string{"pgdown", " "}},
	{Do: intent.First, Keys: []string{"home", "g"}, Show: "Home End", More: "to the first, to the last"},
	{Do: intent.Last, Keys: []string{"end", "G"}},
}

// bare returns a binding with other keys, for a screen without a line.
func bare(b Binding, keys ...string) Binding {
	b.Keys, b.Show = keys, keys[0]
	return b
}

// Hold has the keys of the screen of the box.
var Hold = Map{Name: "The box", Typing: true, Ways: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "note", More: "note the line: boxed, core 82, unboxed, served …"},
	{Do: intent.TakeBack, Keys: []string{"ctrl+z"}, Show: "ctrl+z", Says: "undo", More: "undo the last entry (or type undo)"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "back", More: "empty the line; if it is empty, back"},
	{Do: intent.PageDown, Keys: []string{"pgdown"}, Show: "PgDn PgUp", Says: "more", More: "the rest of the page, and up again"},
	{Do: intent.PageUp, Keys: []string{"pgup"}},
	{Do: intent.Up, Keys: []string{"up"}, Show: "↑ ↓", More: "earlier lines"},
	{Do: intent.Down, Keys: []string{"down"}},
	{Do: intent.Complete, Keys: []string{"tab"}, Show: "Tab", More: "finish the word"},
	toEditor,
	redo,
}}

// Ready has the keys for the lists of what to prepare and buy.
var Ready = Map{Name: "Make ready", Ways: true, Bindings: []Binding{
	{Do: intent.Tick, Keys: []string{" ", "enter"}, Show: "Space", Says: "done", More: "done; again: not done"},
	{Do: intent.Back, Keys: []string{"esc", "q", "left", "backspace"}, Show: "Esc", Says: "back"},
	bare(toEditor, "v", "ctrl+x"),
	{Do: intent.PageDown, Keys: []string{"pgdown"}, Show: "PgUp PgDn", More: "a screenful"},
	{Do: intent.PageUp, Keys: []string{"pgup"}},
	{Do: intent.Up, Keys: []string{"up", "k"}, Show: "↑ ↓", Says: "choose"},
	{Do: intent.Down, Keys: []string{"down", "j"}},
	{Do: intent.First, Keys: []string{"home", "g"}, Show: "Home End", More: "to the first, to the last"},
	{Do: intent.Last, Keys: []string{"end", "G"}},
}}

// Workback has the keys of a meal being planned.
var Workback = Map{Name: "Work back", Typing: true, Ways: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "save the cook", More: "save it as a planned cook, with its lists"},
	{Do: intent.Up, Keys: []string{"up"}, Show: "↑ ↓", Says: "field"},
	{Do: intent.Down, Keys: []string{"down", "tab"}},
	{Do: intent.Right, Keys: []string{"right"}, Show: "← →", Says: "change", More: "less, more, or the next one; or type it"},
	{Do: intent.Left, Keys: []string{"left"}},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "back"},
	{Do: intent.PageDown, Keys: []string{"pgdown"}, Show: "PgDn", Says: "the whole plan", More: "the whole plan, and up again"},
	{Do: intent.PageUp, Keys: []string{"pgup"}},
	{Do: intent.DayBack, Keys: []string{"shift+left"}, Show: "shift+← →", More: "the meal a day earlier, a day later"},
	{Do: intent.DayOn, Keys: []string{"shift+right"}},
}}

// Rewording has the keys while a field is typed.
var Rewording = Map{Name: "Work back", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "take it"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "cancel"},
	{Do: intent.Up, Keys: []string{"up"}, Show: "↑ ↓", More: "take it, and go to the next field"},
	{Do: intent.Down, Keys: []string{"down", "tab"}},
}}

// FirstRun has the keys of the first run's questions.
var FirstRun = Map{Name: "First run", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "begin", More: "begin so"},
	{Do: intent.Up, Keys: []string{"up"}, Show: "↑ ↓", Says: "question"},
	{Do: intent.Down, Keys: []string{"down", "tab"}},
	{Do: intent.Right, Keys: []string{"right"}, Show: "← →", Says: "change"},
	{Do: intent.Left, Keys: []string{"left"}},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "leave", More: "leave; nothing is made"},
}}

// FirstRunLine has the keys while the folder is typed.
var FirstRunLine = Map{Name: "First run", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "take it"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "cancel"},
	{Do: intent.Up, Keys: []string{"up"}, Show: "↑ ↓", More: "take it, and go to the next question"},
	{Do: intent.Down, Keys: []string{"down", "tab"}},
}}
