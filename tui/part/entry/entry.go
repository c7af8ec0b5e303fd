// Package entry is the line on which things are noted of a cook: read as it is
// typed, noted on Enter, taken back on a key. Nothing typed is lost: what could
// not be noted comes back to the line.
package entry

import (
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui/box"
	"ashbook/tui/intent"
	"ashbook/tui/look"
	"ashbook/tui/part/line"
	"ashbook/tui/port"
)

// Entry is the line of one cook.
type Entry struct {
	client *port.Client
	id     string
	now    time.Time
	line   line.Line
	heard  port.Understood // of the line as it stands

	queue   []wish       // not yet answered, the first one asked for
	writing port.Request // 0: none under way
	head    string       // what came of the last wish, until the next key; empty: nothing
	text    string
	flags   []string
}

// wish is something to be written.
type wish struct {
	takeBack bool
	line     string
}

// New returns the line of the cook with that ID.
func New(c *port.Client, id string) Entry { return Entry{client: c, id: id} }

// Empty reports whether nothing is typed.
func (e *Entry) Empty() bool { return e.line.Empty() }

// Busy reports whether something is still being written: the screen is needed.
func (e *Entry) Busy() bool { return len(e.queue) > 0 }

// Unkept names what is typed or on its way but not noted.
func (e *Entry) Unkept() string {
	switch {
	case e.Busy():
		return "still writing"
	case strings.TrimSpace(e.line.Text()) != "":
		return "the line is not noted"
	}
	return ""
}

// Hear reads the line at a time: it is called when the clock moves on, and when
// the cook was read again.
func (e *Entry) Hear(now time.Time) {
	e.now = now
	e.heard = port.Understood{}
	if text := strings.TrimSpace(e.line.Text()); text != "" {
		e.heard = e.client.Understand(e.id, e.now, text)
	}
}

// Handle does what the intent asks of the line. Back empties it; the line that
// was on it is among the past ones.
func (e *Entry) Handle(in intent.Intent) tea.Cmd {
	if in.Do != intent.Nothing {
		e.head, e.text, e.flags = "", "", nil
	}
	var cmd tea.Cmd
	switch in.Do {
	case intent.Enter:
		cmd = e.enter()
	case intent.TakeBack:
		cmd = e.want(wish{takeBack: true})
	case intent.Back:
		e.line.Take()
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

// enter notes the line. A line that cannot be understood stays to be mended.
func (e *Entry) enter() tea.Cmd {
	switch {
	case strings.TrimSpace(e.line.Text()) == "":
		return nil
	case e.heard.Err != nil:
		e.head, e.text = notNoted, e.heard.Err.Error()
		return nil
	}
	return e.want(wish{line: e.line.Take()})
}

// want puts a wish in line; one is written at a time, in order.
func (e *Entry) want(w wish) tea.Cmd {
	e.queue = append(e.queue, w)
	return e.write()
}

func (e *Entry) write() (cmd tea.Cmd) {
	if e.writing != 0 || len(e.queue) == 0 {
		return nil
	}
	if w := e.queue[0]; w.takeBack {
		e.writing, cmd = e.client.Undo(e.id)
	} else {
		e.writing, cmd = e.client.Note(e.id, w.line)
	}
	return cmd
}

// What is said of a wish, large.
const (
	noted        = "NOTED"
	notNoted     = "NOT NOTED"
	takenBack    = "TAKEN BACK"
	notTakenBack = "NOT TAKEN BACK"
)

// Receive takes the answer to the first wish; changed says that the cook is not
// as it was.
func (e *Entry) Receive(msg tea.Msg) (cmd tea.Cmd, changed bool) {
	a, ok := msg.(port.Answer[port.Noted])
	if !ok || a.Request != e.writing {
		return nil, false
	}
	w := e.queue[0]
	e.queue, e.writing = e.queue[1:], 0
	back := w.takeBack || a.Value.TakenBack
	switch {
	case a.Err != nil:
		e.head, e.text = map[bool]string{true: notTakenBack, false: notNoted}[back], a.Err.Error()
		if w.line != "" && e.line.Empty() {
			e.line.Set(w.line)
			e.Hear(e.now)
		}
	default:
		e.head, e.text, e.flags = map[bool]string{true: takenBack, false: noted}[back], a.Value.Text, a.Value.Flags
	}
	return e.write(), a.Err == nil
}

// Draw draws the line in the first row of r.
func (e *Entry) Draw(sheet *box.Sheet, r box.Rect, hint string) {
	if e.Busy() && e.line.Empty() {
		hint = "writing " + e.queue[0].line + " …"
	}
	e.line.Draw(sheet, r, "› ", hint)
}

// doubt stands before what looks odd in an entry.
const doubt = "? "

// Said is what there is to say of the line, or of what came of it, in lines of
// a width; none where nothing is.
func (e *Entry) Said(width int) (look.Style, []string) {
	flags := func(lines, all []string) []string {
		for _, f := range all {
			lines = append(lines, box.Wrap(box.Tie(doubt)+f, width)...)
		}
		return lines
	}
	switch u := e.heard; {
	case e.head != "":
		lines := flags(box.Wrap(box.Tie(e.head+"  ")+e.text, width), e.flags)
		if len(e.flags) > 0 {
			lines = append(lines, "ctrl+z takes it back")
		}
		return look.Banner, lines
	case u.Err != nil:
		return look.Quiet, box.Wrap("not yet: "+u.Err.Error(), width)
	case u.Text != "":
		return look.Strong, flags(box.Wrap(u.Text, width), u.Flags)
	}
	return look.Plain, nil
}

// DrawSaid draws what is said upwards from the end of r, over what stands there,
// and returns how many rows that took.
func (e *Entry) DrawSaid(sheet *box.Sheet, r box.Rect) int {
	style, lines := e.Said(max(1, r.W-4))
	lines = lines[:min(len(lines), r.H)]
	_, r = r.Bottom(len(lines))
	for i, l := range lines {
		st := style
		if style != look.Banner && strings.HasPrefix(l, box.Tie(doubt)) {
			st = look.Mind
		}
		sheet.Write(r, 0, i, box.Span{Style: style, Text: strings.Repeat(" ", r.W)})
		sheet.Write(r, 2, i, box.Span{Style: st, Text: l})
	}
	return len(lines)
}
