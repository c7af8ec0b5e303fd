// Package entry is the line on which entries of a cook are typed. It shows how the line
// is understood, notes it on Enter and can undo it. Nothing typed is lost: a line that
// could not be noted comes back.
package entry

import (
	"fmt"
	"slices"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/journal"
	"ashbook/tui/backend"
	"ashbook/tui/component/lineedit"
	"ashbook/tui/intent"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// Port is what the entry line asks for; backend.Client answers.
type Port interface {
	Understand(id string, now time.Time, line string) backend.Understood
	Complete(id, line string) string
	Note(id string, w backend.Wish) (backend.Request, tea.Cmd)
}

// Entry is the line for one cook.
type Entry struct {
	client Port
	id     string
	now    time.Time
	line   lineedit.Line
	heard  backend.Understood // how the current line is understood
	shown  string             // the line whose doubts the last Enter showed

	pasted  []string        // pasted lines not shown yet
	queue   []backend.Wish  // wishes not answered yet, the oldest first
	writing backend.Request // pending; 0 for none
	answer  Answer          // answer to the last wish; cleared by the next key
}

// Answer says what became of a change that the user wanted.
type Answer struct {
	Head  string // in large words; "" for no answer
	Text  string
	Flags []string // warnings

	asks bool // nothing is noted yet
}

// New returns the line for the cook with that ID.
func New(c Port, id string) Entry { return Entry{client: c, id: id} }

// Empty reports whether nothing is typed.
func (e *Entry) Empty() bool { return e.line.Empty() }

// Busy reports whether something is still being saved, so that the screen must stay.
func (e *Entry) Busy() bool { return len(e.queue) > 0 }

// Unkept names what is typed or being written but not noted yet; "" for nothing.
func (e *Entry) Unkept() string {
	switch {
	case e.Busy():
		return "still writing"
	case strings.TrimSpace(e.line.Text()) != "":
		return "the line is not noted"
	case len(e.pasted) > 0:
		return "pasted lines are not noted"
	}
	return ""
}

// Hear parses the line again. It must be called when the time changes and when the cook
// was loaded again.
func (e *Entry) Hear(now time.Time) {
	e.now = now
	e.heard = backend.Understood{}
	if text := strings.TrimSpace(e.line.Text()); text != "" {
		e.heard = e.client.Understand(e.id, e.now, text)
	}
}

// Tell shows an answer in place of the last one.
func (e *Entry) Tell(a Answer) { e.answer = a }

// Forget removes the last answer if the intent asks for another change.
func (e *Entry) Forget(in intent.Intent) {
	if in.Do != intent.Nothing {
		e.answer = Answer{}
	}
}

// Light notes that the fire is lit.
func (e *Entry) Light() tea.Cmd { return e.want(backend.Wish{Do: intent.Light}) }

// Confirm notes that the last reading is right, though it is doubted.
func (e *Entry) Confirm() tea.Cmd {
	return e.want(backend.Wish{Do: intent.Enter, Line: journal.Sure.Word()})
}

// Settle decides the first pair of values that two people set for the same thing. do is
// Stands or Other.
func (e *Entry) Settle(others []journal.Other, do intent.Do) tea.Cmd {
	if len(others) == 0 {
		e.Tell(Answer{Head: failed[do], Text: "there are no two values to choose from here"})
		return nil
	}
	return e.want(backend.Wish{Do: do, Other: others[0]})
}

// WhichIsRight says what two people set, and the keys to decide it.
func WhichIsRight(o journal.Other) string {
	stands, other := o.Both()
	return o.String() + ". " + layout.Tie("F5: "+stands) + ", " + layout.Tie("F6: "+other)
}

// IsItRight asks whether a doubted reading is right; why is the reason for the doubt.
func IsItRight(why string, width int) []string {
	return layout.Wrap(layout.Tie("IS IT RIGHT?  ")+why+" Enter: it is right. Esc: leave it out.", width)
}

// DoubtHint is shown on an empty line while a reading is doubted.
const DoubtHint = "Enter: the reading with a ? is right"

// Handle carries out an intent. Back empties the line; it and the pasted lines that wait
// can be found among earlier lines.
func (e *Entry) Handle(in intent.Intent) tea.Cmd {
	var cmd tea.Cmd
	if e.shown == undoLine && in.Do != intent.TakeBack && in.Do != intent.Enter && in.Do != intent.Nothing {
		e.shown = ""
	}
	switch in.Do {
	case intent.Enter:
		cmd = e.enter()
	case intent.TakeBack:
		cmd = e.takeBack()
	case intent.Redo:
		cmd = e.want(backend.Wish{Do: intent.Redo, Line: redoLine})
	case intent.Back:
		for _, waits := range slices.Backward(e.pasted) {
			first := e.line.Text()
			e.line.Set(waits)
			e.line.Take()
			e.line.Set(first)
		}
		e.line.Take()
		e.pasted = nil
	case intent.Text:
		if !e.put(in) {
			return nil
		}
	case intent.Up:
		e.line.Earlier(1)
	case intent.Down:
		e.line.Earlier(-1)
	case intent.Complete:
		e.line.Set(e.client.Complete(e.id, e.line.Text()))
	default:
		e.line.Edit(in)
	}
	e.Hear(e.now)
	return cmd
}

// notTaken heads the message for text that does not fit on the line.
const notTaken = "NOT TAKEN"

// Full reports whether the line is full and that was shown, so that more text changes
// nothing.
func (e *Entry) Full() bool { return e.answer.Head == notTaken && !e.line.Takes(" ") }

// put adds typed or pasted text. Of several lines it shows the first, and the others wait:
// each is noted only when Enter is pressed on it. Text that does not fit is not added.
func (e *Entry) put(in intent.Intent) (taken bool) {
	if !e.line.Takes(in.Text) {
		e.Tell(Answer{Head: notTaken, Text: fmt.Sprintf("no room: a line can have at most %d bytes", lineedit.Longest)})
		return false
	}
	lines := strings.FieldsFunc(in.Text, func(r rune) bool { return r == '\n' || r == '\r' })
	if len(lines) > 1 {
		in.Text, e.pasted = lines[0], append(e.pasted, lines[1:]...)
	}
	e.line.Edit(in)
	return true
}

// enter notes the line. If a part would be saved as words, or there is a question, that
// is shown first, and a second Enter notes it.
func (e *Entry) enter() tea.Cmd {
	switch {
	case strings.TrimSpace(e.line.Text()) == "":
		return nil
	case e.heard.Err != nil:
		e.Tell(Answer{Head: failed[intent.Enter], Text: e.heard.Err.Error()})
		return nil
	case e.heard.Confirm() && e.shown != e.line.Text():
		e.shown = e.line.Text()
		says := "to note " + e.heard.Text
		if e.shown == undoLine {
			says = e.heard.Text
		}
		e.Tell(Answer{Head: "ENTER AGAIN", Text: says, Flags: e.heard.Doubts(), asks: true})
		return nil
	}
	e.shown = ""
	w := backend.Wish{Do: intent.Enter, Line: e.line.Take()}
	if len(e.pasted) > 0 {
		e.line.Set(e.pasted[0])
		e.pasted = e.pasted[1:]
	}
	return e.want(w)
}

// undoLine and redoLine are the lines that undo the last note and restore it.
const (
	undoLine = "undo"
	redoLine = "redo"
)

// takeBack undoes the last entry. If that is from before this run, it must be asked for
// twice.
func (e *Entry) takeBack() tea.Cmd {
	u := e.client.Understand(e.id, e.now, undoLine)
	if u.Confirm() && e.shown != undoLine && len(e.queue) == 0 {
		e.shown = undoLine
		e.Tell(Answer{Head: "AGAIN TO UNDO", Text: u.Text, Flags: u.Doubts(), asks: true})
		return nil
	}
	e.shown = ""
	return e.want(backend.Wish{Do: intent.TakeBack})
}

// want queues a change that the user wants. Changes are saved one at a time, in order.
func (e *Entry) want(w backend.Wish) tea.Cmd {
	e.queue = append(e.queue, w)
	return e.write()
}

func (e *Entry) write() (cmd tea.Cmd) {
	if e.writing != 0 || len(e.queue) == 0 {
		return nil
	}
	e.writing, cmd = e.client.Note(e.id, e.queue[0])
	return cmd
}

// Large words that say what became of a change.
var (
	done   = map[intent.Do]string{intent.Enter: "NOTED", intent.TakeBack: "UNDONE", intent.Redo: "PUT BACK", intent.Light: "NOTED", intent.Stands: "SETTLED", intent.Other: "SETTLED"}
	failed = map[intent.Do]string{intent.Enter: "NOT NOTED", intent.TakeBack: "NOT UNDONE", intent.Redo: "NOT PUT BACK", intent.Light: "NOT NOTED", intent.Stands: "NOT SETTLED", intent.Other: "NOT SETTLED"}
)

// Receive takes the answer to the first wish; only then is the line shown as noted. A
// line that could not be saved comes back, unless another was begun. changed says that
// the cook has changed.
func (e *Entry) Receive(msg tea.Msg) (cmd tea.Cmd, changed bool) {
	a, ok := msg.(backend.Answer[backend.Noted])
	if !ok || a.Request != e.writing {
		return nil, false
	}
	w := e.queue[0]
	e.queue, e.writing = e.queue[1:], 0
	switch {
	case a.Value.TakenBack:
		w.Do = intent.TakeBack
	case a.Value.PutBack:
		w.Do = intent.Redo
	}
	e.answer = Answer{Head: done[w.Do], Text: a.Value.Text, Flags: a.Value.Flags}
	if a.Err != nil {
		e.answer = Answer{Head: failed[w.Do], Text: a.Err.Error()}
		if w.Line != "" && e.line.Empty() {
			e.line.Set(w.Line)
			e.Hear(e.now)
		}
	}
	return e.write(), a.Err == nil
}

// Draw draws the line in the first row of r.
func (e *Entry) Draw(sheet *layout.Sheet, r layout.Rect, hint string) {
	if e.Busy() && e.line.Empty() {
		hint = "writing " + e.queue[0].Line + " …"
	}
	e.line.Draw(sheet, r, "› ", hint)
}

// Said returns the message about the line or its outcome, wrapped at width; nothing if
// there is none.
func (e *Entry) Said(width int) (style.Style, []string) {
	a := e.answer
	if a.Head == "" {
		return Heard(e.heard, width)
	}
	lines := Doubts(layout.Wrap(layout.Tie(a.Head+"  ")+a.Text, width), a.Flags, width)
	if len(a.Flags) > 0 && !a.asks {
		lines = append(lines, "ctrl+z undoes it")
	}
	return style.Banner, lines
}

// Heard returns how the typed line is understood.
func Heard(u backend.Understood, width int) (style.Style, []string) {
	switch {
	case u.Err != nil:
		return style.Quiet, layout.Wrap("not yet: "+u.Err.Error(), width)
	case u.Text != "":
		return style.Strong, Doubts(layout.Wrap(u.Text, width), u.Doubts(), width)
	}
	return style.Plain, nil
}

// doubt is the sign before a warning.
const doubt = "? "

// Doubts returns lines with the warnings below them.
func Doubts(lines, flags []string, width int) []string {
	for _, f := range flags {
		lines = append(lines, layout.Wrap(layout.Tie(doubt)+f, width)...)
	}
	return lines
}

// DrawSaid draws the message at the bottom of r, over what is there.
func (e *Entry) DrawSaid(sheet *layout.Sheet, r layout.Rect) {
	face, lines := e.Said(max(1, r.W-4))
	lines = lines[:min(len(lines), r.H)]
	_, r = r.Bottom(len(lines))
	Bar(sheet, r, 0, face, lines)
}

// Bar fills r and writes lines in it from row top on. Warnings have their own style,
// except in a banner, which is bright as a whole.
func Bar(sheet *layout.Sheet, r layout.Rect, top int, face style.Style, lines []string) {
	for y := range r.H {
		sheet.Write(r, 0, y, layout.Span{Style: face, Text: strings.Repeat(" ", r.W)})
	}
	for i, l := range lines {
		st := face
		if face != style.Banner && strings.HasPrefix(l, layout.Tie(doubt)) {
			st = style.Mind
		}
		sheet.Write(r, 2, top+i, layout.Span{Style: st, Text: l})
	}
}
