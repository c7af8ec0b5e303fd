package keys

import (
	"slices"

	"ashbook/tui/intent"
)

// everywhere has the keys of every screen.
var everywhere = []Binding{
	{Do: intent.Night, Keys: []string{"ctrl+n"}, Show: "ctrl+n", More: "night: dark red on black, and back"},
	{Do: intent.Find, Keys: []string{"ctrl+k"}, Show: "ctrl+k", More: "find what to do by typing its words"},
	{Do: intent.Find, Keys: []string{":"}, Show: ":", More: "find what to do", Bare: true},
	{Do: intent.Help, Keys: []string{"f1"}, Show: "F1", More: "help: all keys, also while typing"},
	{Do: intent.Help, Keys: []string{"?"}, Show: "?", More: "all keys", Bare: true},
	{Do: intent.Quit, Keys: []string{"ctrl+c"}, Show: "ctrl+c", More: "leave ashbook, quit"},
	{Do: intent.Print, Keys: []string{"f4"}, Show: "F4", More: "print, export: how to put a cook on paper, or send it"},
}

// editing has the keys of a line being typed.
var editing = []Binding{
	{Do: intent.Left, Keys: []string{"left"}, Show: "← →", More: "move in the line"},
	{Do: intent.Right, Keys: []string{"right"}, Show: "", More: ""},
	{Do: intent.LineStart, Keys: []string{"home"}, Show: "Home End", More: "to the ends of the line"},
	{Do: intent.LineEnd, Keys: []string{"end", "ctrl+e"}},
	{Do: intent.Erase, Keys: []string{"backspace", "ctrl+h"}, Show: "Backspace", More: "delete"},
	{Do: intent.EraseNext, Keys: []string{"delete"}},
	{Do: intent.EraseWord, Keys: []string{"ctrl+w", "alt+backspace"}, Show: "ctrl+w", More: "delete a word"},
	{Do: intent.EraseLine, Keys: []string{"ctrl+u"}, Show: "ctrl+u", More: "delete the line"},
}

// Shelf has the keys of the list of cooks.
var Shelf = Map{Name: "Shelf", Typing: true, Ways: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "open"},
	{Do: intent.Begin, Keys: []string{"ctrl+l"}, Show: "ctrl+l", Says: "light a cook", More: "light a new cook now, without a plan: start, begin or log a fire"},
	{Do: intent.Up, Keys: []string{"up"}, Show: "↑ ↓", Says: "choose"},
	{Do: intent.Down, Keys: []string{"down"}},
	{Do: intent.MarkCook, Keys: []string{" "}, Show: "Space", Says: "mark", More: "mark the cook, to show it beside others", Bare: true},
	{Do: intent.MarkCook, Keys: []string{"tab"}, Show: "Tab", More: "mark the cook, also while typing"},
	{Do: intent.ToBeside, Keys: []string{"f2"}, Show: "F2", Says: "beside", More: "beside: the chosen cook and the most similar ones"},
	{Do: intent.ToWhy, Keys: []string{"ctrl+y"}, Show: "ctrl+y", Says: "why", More: "why the chosen cook was early or late"},
	{Do: intent.ToMatters, Keys: []string{"ctrl+g"}, Show: "ctrl+g", Says: "matters", More: "what matters, over all cooks"},
	{Do: intent.ToTasting, Keys: []string{"ctrl+t"}, Show: "ctrl+t", Says: "tasting", More: "tasting: the scores of the chosen cook"},
	toWorkback,
	toEditor,
	{Do: intent.Quit, Keys: []string{"ctrl+c"}, Show: "ctrl+c", Says: "leave", More: "leave ashbook, quit"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", More: "all cooks again, none marked"},
	{Do: intent.PageUp, Keys: []string{"pgup"}, Show: "PgUp PgDn", More: "a screenful"},
	{Do: intent.PageDown, Keys: []string{"pgdown"}},
	{Do: intent.First, Keys: []string{"ctrl+home"}, Show: "ctrl+Home", More: "to the first cook"},
	{Do: intent.Last, Keys: []string{"ctrl+end"}, Show: "ctrl+End", More: "to the last cook"},
}}

// Lighting has the keys while the cut of a new cook is typed.
var Lighting = Map{Name: "Light a cook", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "light it now"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "back to all cooks"},
}}

// Marked has the keys of the list while cooks are marked.
var Marked = Map{Name: Shelf.Name, Typing: true, Ways: true, Bindings: append([]Binding{
	{Do: intent.MarkCook, Keys: []string{" "}, Show: "Space", Says: "mark", More: "mark the cook, or not", Bare: true},
	{Do: intent.ToBeside, Keys: []string{"f2"}, Show: "F2", Says: "beside", More: "beside: the marked cooks"},
	{Do: intent.ToWhy, Keys: []string{"ctrl+y"}, Show: "ctrl+y", Says: "why", More: "why: the chosen cook compared with the marked one"},
}, Shelf.Bindings...)}

// Page has the keys of a cook's page.
var Page = Map{Name: "Page", Ways: true, Bindings: append([]Binding{
	{Do: intent.Back, Keys: []string{"esc", "q", "backspace"}, Show: "Esc", Says: "back", More: "back to where you came from"},
	{Do: intent.ToWhy, Keys: []string{"ctrl+y", "y"}, Show: "y", Says: "why", More: "why it was early or late"},
	{Do: intent.ToTasting, Keys: []string{"ctrl+t", "t"}, Show: "t", Says: "tasting", More: "tasting: the scores of this cook"},
	bare(toTimeline, "e", "ctrl+f"),
	bare(toHold, "h", "ctrl+d"),
	bare(toVersions, "r", "ctrl+v"),
	bare(toEditor, "v", "ctrl+x"),
	stands,
	other,
}, reading...)}

// Reader has the keys of any other page.
var Reader = Map{Name: "Page", Ways: true, Bindings: append([]Binding{
	{Do: intent.Back, Keys: []string{"esc", "q", "backspace"}, Show: "Esc", Says: "back", More: "back to where you came from"},
}, reading...)}

// alter is the key of pages with values that can be changed.
var alter = Binding{Do: intent.Alter, Keys: []string{"e"}, Show: "e", Says: "change", More: "change a value"}

// Altering has the keys while a value is typed.
var Altering = Map{Name: "Page", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "save"},
	{Do: intent.Up, Keys: []string{"up", "shift+tab"}, Show: "↑ ↓", Says: "another value"},
	{Do: intent.Down, Keys: []string{"down", "tab"}},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "cancel"},
}}

// Alterable and TurningAlterable are Reader and Turning for pages with values that can
// be changed.
var (
	Alterable        = withAlter(Reader)
	TurningAlterable = withAlter(Turning)
)

func withAlter(m Map) Map {
	m.Bindings = append([]Binding{m.Bindings[0], alter}, m.Bindings[1:]...)
	return m
}

// Turning has the keys of a page with several turns, which are variants of the page.
var Turning = Map{Name: "Page", Ways: true, Bindings: append([]Binding{
	{Do: intent.Back, Keys: []string{"esc", "q", "backspace"}, Show: "Esc", Says: "back", More: "back to where you came from"},
	{Do: intent.Right, Keys: []string{"right", "l"}, Show: "← →", Says: "along the top", More: "to the next of the pages named at the top"},
	{Do: intent.Left, Keys: []string{"left", "h"}},
}, reading...)}

var reading = []Binding{
	{Do: intent.Up, Keys: []string{"up", "k"}, Show: "↑ ↓", Says: "row"},
	{Do: intent.Down, Keys: []string{"down", "j"}},
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "look into", More: "what the row is based on; again hides it"},
	{Do: intent.Next, Keys: []string{"tab", "n"}, Show: "Tab", Says: "section", More: "to the next section"},
	{Do: intent.Previous, Keys: []string{"shift+tab", "N"}, Show: "N", More: "to the section before"},
	{Do: intent.Narrow, Keys: []string{"/"}, Show: "/", Says: "find", More: "show only the rows with the words you type"},
	{Do: intent.PageDown, Keys: []string{"pgdown", " "}, Show: "Space", Says: "on", More: "a screenful down"},
	{Do: intent.PageUp, Keys: []string{"pgup", "b"}, Show: "b", More: "a screenful up"},
	{Do: intent.First, Keys: []string{"home", "g"}, Show: "Home", More: "to the top"},
	{Do: intent.Last, Keys: []string{"end", "G"}, Show: "End", More: "to the end"},
}

// Narrowing has the keys while words are typed that narrow a page.
var Narrowing = Map{Name: "Page", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "keep these rows"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "all rows again"},
	{Do: intent.Up, Keys: []string{"up"}, Show: "↑ ↓", Says: "row"},
	{Do: intent.Down, Keys: []string{"down"}},
}}

// Finding has the keys while words are typed in the finder.
var Finding = Map{Name: "What to do", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "do it"},
	{Do: intent.Up, Keys: []string{"up"}, Show: "↑ ↓", Says: "choose"},
	{Do: intent.Down, Keys: []string{"down"}},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "back"},
}}

// Keys that decide between two people's values.
var (
	stands = Binding{Do: intent.Stands, Keys: []string{"f5"}, Show: "F5", More: "two people's values: the first one is right"}
	other  = Binding{Do: intent.Other, Keys: []string{"f6"}, Show: "F6", More: "two people's values: the second one is right"}
)

var redo = Binding{Do: intent.Redo, Keys: []string{"f3"}, Show: "F3", More: "redo: put back what undo removed (or type redo)"}

// Watch has the keys of the running cook.
var Watch = Map{Name: "Watch", Typing: true, Ways: true, Acts: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "note", More: "note the line"},
	{Do: intent.TakeBack, Keys: []string{"ctrl+z"}, Show: "ctrl+z", Says: "undo", More: "undo the last entry (or type undo)"},
	{Do: intent.Choices, Keys: []string{"ctrl+o"}, Show: "ctrl+o", Says: "what if", More: "what paper, foil or a hotter pit would do"},
	{Do: intent.Sleep, Keys: []string{"ctrl+s"}, Show: "ctrl+s", Says: "sleep", More: "sleep: be woken at a time, or when needed"},
	{Do: intent.Night, Keys: []string{"ctrl+n"}, Show: "ctrl+n", Says: "night", More: "night: dark red on black, and back"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "shelf", More: "empty the line; if it is empty, back to the shelf"},
	{Do: intent.Up, Keys: []string{"up"}, Show: "↑ ↓", Says: "earlier lines", More: "earlier lines"},
	{Do: intent.Down, Keys: []string{"down"}},
	{Do: intent.Complete, Keys: []string{"tab"}, Show: "Tab", More: "finish the word"},
	toEditor,
	redo,
	stands,
	other,
}}

// WatchPlanned has the keys of a cook that is not lit yet.
var WatchPlanned = Map{Name: "Watch, planned", Typing: true, Ways: true, Acts: true, Bindings: append([]Binding{
	{Do: intent.Light, Keys: []string{"ctrl+l"}, Show: "ctrl+l", Says: "light the fire", More: "note that the fire is lit; asks once more"},
}, Watch.Bindings...)}

// Bed has the keys while the time to wake is typed.
var Bed = Map{Name: "Sleep", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "sleep", More: "sleep until then"},
	{Do: intent.Back, Keys: []string{"esc", "ctrl+s"}, Show: "Esc", Says: "stay up"},
}}

// Asleep has the keys of the Watch while the user sleeps.
var Asleep = Map{Name: "Watch, asleep", Typing: true, Ways: true, Acts: true, Bindings: append([]Binding{
	{Do: intent.Sleep, Keys: []string{"ctrl+s"}, Show: "ctrl+s", Says: "up again", More: "awake again: ring for checks as before"},
}, slices.DeleteFunc(slices.Clone(Watch.Bindings), func(b Binding) bool { return b.Do == intent.Sleep })...)}

// Unread has the keys for a cook that cannot be read.
var Unread = Map{Name: "Watch", Bindings: []Binding{
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "shelf", More: "back to the shelf"},
}}

// Sure has the keys of a question that needs a second key.
var Sure = Map{Name: "Sure?", Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter", "y"}, Show: "Enter", Says: "yes"},
	{Do: intent.Back, Keys: []string{"esc", "n"}, Show: "Esc", Says: "no"},
}}

// Grid has the keys of the scores.
var Grid = Map{Name: "Tasting", Ways: true, Bindings: append([]Binding{
	{Do: intent.Score, Keys: []string{"1", "2", "3", "4", "5", "6", "7", "8", "9"}, Show: "1–9", Says: "score", More: "how well people like it: 1 not at all, 9 extremely"},
	{Do: intent.Enter, Keys: []string{"enter", "ctrl+s"}, Show: "Enter", Says: "save scores", More: "save the scores that are not saved yet"},
}, append(tasting,
	Binding{Do: intent.TooMuch, Keys: []string{"+"}, Show: "+ -", Says: "too much, too little"},
	Binding{Do: intent.TooLittle, Keys: []string{"-"}},
	Binding{Do: intent.Words, Keys: []string{"w"}, Show: "w", Says: "words", More: "type what the eater said"},
	Binding{Do: intent.Clear, Keys: []string{"backspace", "delete", "0", "x"}, Show: "Backspace", More: "no score"},
)...)}

// Afterwards has the keys of the texts below the scores.
var Afterwards = Map{Name: Grid.Name, Ways: true, Bindings: append([]Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "write", More: "put the text on a line, to change it"},
}, tasting...)}

// tasting has the keys of both.
var tasting = []Binding{
	{Do: intent.Keep, Keys: []string{"k"}, Show: "k c", Says: "keep, change", More: "what to keep next time, what to change"},
	{Do: intent.Change, Keys: []string{"c"}},
	{Do: intent.Weigh, Keys: []string{"y"}, Show: "y", Says: "weights", More: "weights: what came off, bone and fat, what is left"},
	{Do: intent.NewEater, Keys: []string{"n"}, Show: "n", Says: "new eater"},
	{Do: intent.Round, Keys: []string{"r"}, Show: "r", Says: "round", More: "a round: initials and six digits at once"},
	{Do: intent.Back, Keys: []string{"esc", "q"}, Show: "Esc", Says: "leave"},
	{Do: intent.Up, Keys: []string{"up"}, Show: "↑ ↓ ← →", More: "move"},
	{Do: intent.Down, Keys: []string{"down"}},
	{Do: intent.Left, Keys: []string{"left", "shift+tab"}},
	{Do: intent.Right, Keys: []string{"right", "tab"}, Show: "Tab", More: "next score"},
}

// KeepFirst has the keys of the question whether to leave without saving scores.
var KeepFirst = Map{Name: "Tasting", Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "save them"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "leave without saving"},
}}

// GridLine has the keys while initials, a round or words are typed.
var GridLine = Map{Name: "Tasting", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "take it"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "back to the scores"},
}}

// RoundLine has the keys of a round before its first letter is typed.
var RoundLine = Map{Name: "Tasting", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter", "esc"}, Show: "Enter", Says: "to the scores"},
	{Do: intent.Down, Keys: []string{"down"}, Show: "↓", Says: "keep, change", More: "what to keep next time, what to change"},
}}

// AfterLine has the keys while a text below the scores is typed.
var AfterLine = Map{Name: "Tasting", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "save", More: "save what is on the line; an empty line deletes the value"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "cancel"},
}}

// Overview has the keys of the list of keys.
var Overview = Map{Name: "Keys", Bindings: []Binding{
	{Do: intent.Back, Keys: []string{"esc", "enter", "q", "?", "f1"}, Show: "Esc", Says: "back"},
	{Do: intent.Up, Keys: []string{"up", "k", "pgup"}, Show: "↑ ↓", Says: "more"},
	{Do: intent.Down, Keys: []string{"down", "j", "pgdown", " "}},
}}
