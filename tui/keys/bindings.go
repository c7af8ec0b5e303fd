package keys

import "ashbook/tui/intent"

// everywhere holds on every screen.
var everywhere = []Binding{
	{Do: intent.Night, Keys: []string{"ctrl+n"}, Show: "ctrl+n", More: "night: dark red on black, and back"},
	{Do: intent.Help, Keys: []string{"f1"}, Show: "F1", More: "all keys, also while typing"},
	{Do: intent.Help, Keys: []string{"?"}, Show: "?", More: "all keys", Bare: true},
	{Do: intent.Quit, Keys: []string{"ctrl+c"}, Show: "ctrl+c", More: "leave ashbook"},
}

// editing holds wherever a line is typed.
var editing = []Binding{
	{Do: intent.Left, Keys: []string{"left"}, Show: "← →", More: "move in the line"},
	{Do: intent.Right, Keys: []string{"right"}, Show: "", More: ""},
	{Do: intent.LineStart, Keys: []string{"home", "ctrl+a"}, Show: "Home End", More: "to the ends of the line"},
	{Do: intent.LineEnd, Keys: []string{"end", "ctrl+e"}},
	{Do: intent.Erase, Keys: []string{"backspace", "ctrl+h"}, Show: "Backspace", More: "rub out"},
	{Do: intent.EraseNext, Keys: []string{"delete"}},
	{Do: intent.EraseWord, Keys: []string{"ctrl+w", "alt+backspace"}, Show: "ctrl+w", More: "rub out a word"},
	{Do: intent.EraseLine, Keys: []string{"ctrl+u"}, Show: "ctrl+u", More: "rub out the line"},
}

// Shelf is for the list of cooks.
var Shelf = Map{Name: "Shelf", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "open"},
	{Do: intent.Up, Keys: []string{"up"}, Show: "↑ ↓", Says: "choose"},
	{Do: intent.Down, Keys: []string{"down"}},
	{Do: intent.ToTasting, Keys: []string{"ctrl+t"}, Show: "ctrl+t", Says: "tasting", More: "scores of the chosen cook"},
	{Do: intent.ToWhy, Keys: []string{"ctrl+y"}, Show: "ctrl+y", Says: "why", More: "why the chosen cook was early or late"},
	{Do: intent.ToMatters, Keys: []string{"ctrl+g"}, Show: "ctrl+g", Says: "matters", More: "what matters, over all cooks"},
	{Do: intent.ToHindsight, Keys: []string{"ctrl+r"}, Show: "ctrl+r", More: "hindsight: how far to trust the forecasts"},
	{Do: intent.Quit, Keys: []string{"ctrl+c"}, Show: "ctrl+c", Says: "leave", More: "leave ashbook"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", More: "all cooks again"},
	{Do: intent.PageUp, Keys: []string{"pgup"}, Show: "PgUp PgDn", More: "a screenful"},
	{Do: intent.PageDown, Keys: []string{"pgdown"}},
	{Do: intent.First, Keys: []string{"ctrl+home"}, Show: "ctrl+Home", More: "to the first cook"},
	{Do: intent.Last, Keys: []string{"ctrl+end"}, Show: "ctrl+End", More: "to the last cook"},
}}

// Page is for reading the page of a cook.
var Page = Map{Name: "Page", Bindings: append([]Binding{
	{Do: intent.Back, Keys: []string{"esc", "q", "left", "backspace"}, Show: "Esc", Says: "shelf", More: "back to the shelf"},
	{Do: intent.ToTasting, Keys: []string{"ctrl+t", "t"}, Show: "t", Says: "tasting", More: "scores of this cook"},
	{Do: intent.ToWhy, Keys: []string{"ctrl+y", "y"}, Show: "y", Says: "why", More: "why it was early or late"},
}, reading...)}

// Reader is for reading any other page.
var Reader = Map{Name: "Page", Bindings: append([]Binding{
	{Do: intent.Back, Keys: []string{"esc", "q", "left", "backspace"}, Show: "Esc", Says: "back"},
}, reading...)}

// Matters is for what matters.
var Matters = Map{Name: "What matters", Bindings: append([]Binding{
	{Do: intent.Back, Keys: []string{"esc", "q", "backspace"}, Show: "Esc", Says: "back"},
	{Do: intent.Right, Keys: []string{"right", "tab", "l"}, Show: "← →", Says: "time, bark, …", More: "ask about time, bark, tenderness …"},
	{Do: intent.Left, Keys: []string{"left", "shift+tab", "h"}},
}, reading...)}

var reading = []Binding{
	{Do: intent.Up, Keys: []string{"up", "k"}, Show: "↑ ↓", Says: "line"},
	{Do: intent.Down, Keys: []string{"down", "j", "enter"}},
	{Do: intent.PageDown, Keys: []string{"pgdown", " "}, Show: "Space", Says: "on", More: "a screenful on"},
	{Do: intent.PageUp, Keys: []string{"pgup", "b"}, Show: "b", Says: "up", More: "a screenful up"},
	{Do: intent.First, Keys: []string{"home", "g"}, Show: "Home", More: "to the top"},
	{Do: intent.Last, Keys: []string{"end", "G"}, Show: "End", More: "to the end"},
}

// Watch is for the running cook.
var Watch = Map{Name: "Watch", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "note", More: "note the line"},
	{Do: intent.TakeBack, Keys: []string{"ctrl+z"}, Show: "ctrl+z", Says: "take back", More: "take the last entry back (or type undo)"},
	{Do: intent.Choices, Keys: []string{"ctrl+o"}, Show: "ctrl+o", Says: "what if", More: "what leaving, paper, foil or a hotter pit would do"},
	{Do: intent.Night, Keys: []string{"ctrl+n"}, Show: "ctrl+n", Says: "night", More: "night: dark red on black, and back"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "shelf", More: "empty the line; when empty, back to the shelf"},
	{Do: intent.Up, Keys: []string{"up"}, Show: "↑ ↓", Says: "earlier lines", More: "lines typed before"},
	{Do: intent.Down, Keys: []string{"down"}},
	{Do: intent.Complete, Keys: []string{"tab"}, Show: "Tab", More: "finish the word"},
	{Do: intent.ToTasting, Keys: []string{"ctrl+t"}, Show: "ctrl+t", More: "scores of this cook"},
}}

// WatchPlanned is for a cook not lit yet.
var WatchPlanned = Map{Name: "Watch, planned", Typing: true, Bindings: append([]Binding{
	{Do: intent.Light, Keys: []string{"ctrl+l"}, Show: "ctrl+l", Says: "light the fire", More: "note that the fire is lit; asks once more"},
}, Watch.Bindings...)}

// Unread is for a cook that cannot be read.
var Unread = Map{Name: "Watch", Bindings: []Binding{
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "shelf", More: "back to the shelf"},
}}

// Sure is for a question that wants a second key.
var Sure = Map{Name: "Sure?", Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter", "y"}, Show: "Enter", Says: "yes"},
	{Do: intent.Back, Keys: []string{"esc", "n"}, Show: "Esc", Says: "no"},
}}

// Grid is for the scores.
var Grid = Map{Name: "Tasting", Bindings: []Binding{
	{Do: intent.Score, Keys: []string{"1", "2", "3", "4", "5", "6", "7", "8", "9"}, Show: "1–9", Says: "score", More: "how well it is liked: 1 not at all, 9 extremely"},
	{Do: intent.TooMuch, Keys: []string{"+"}, Show: "+ -", Says: "too much, too little"},
	{Do: intent.TooLittle, Keys: []string{"-"}},
	{Do: intent.Enter, Keys: []string{"enter", "ctrl+s"}, Show: "Enter", Says: "keep", More: "keep what is not kept yet"},
	{Do: intent.NewEater, Keys: []string{"n"}, Show: "n", Says: "new eater"},
	{Do: intent.Round, Keys: []string{"r"}, Show: "r", Says: "round", More: "a round: initials and six digits in one go"},
	{Do: intent.Words, Keys: []string{"w"}, Show: "w", Says: "words", More: "what the eater said"},
	{Do: intent.Back, Keys: []string{"esc", "q"}, Show: "Esc", Says: "leave"},
	{Do: intent.Up, Keys: []string{"up", "k"}, Show: "↑ ↓ ← →", More: "move"},
	{Do: intent.Down, Keys: []string{"down", "j"}},
	{Do: intent.Left, Keys: []string{"left", "h", "shift+tab"}},
	{Do: intent.Right, Keys: []string{"right", "l", "tab"}, Show: "Tab", More: "next score"},
	{Do: intent.Clear, Keys: []string{"backspace", "delete", "0", "x"}, Show: "Backspace", More: "no score"},
}}

// KeepFirst is for leaving scores that are not kept.
var KeepFirst = Map{Name: "Tasting", Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "keep them"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "leave all the same"},
}}

// GridLine is for initials, a round or words being typed.
var GridLine = Map{Name: "Tasting", Typing: true, Bindings: []Binding{
	{Do: intent.Enter, Keys: []string{"enter"}, Show: "Enter", Says: "take it"},
	{Do: intent.Back, Keys: []string{"esc"}, Show: "Esc", Says: "back to the scores"},
}}

// Overview is for the list of keys itself.
var Overview = Map{Name: "Keys", Bindings: []Binding{
	{Do: intent.Back, Keys: []string{"esc", "enter", "q", "?", "f1"}, Show: "Esc", Says: "back"},
	{Do: intent.Up, Keys: []string{"up", "k", "pgup"}, Show: "↑ ↓", Says: "more"},
	{Do: intent.Down, Keys: []string{"down", "j", "pgdown", " "}},
}}
