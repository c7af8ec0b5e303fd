// Package plain is ashbook line by line, for screen readers and for terminals that can
// only print. It moves no cursor and draws nothing. Each answer is a sentence with what
// the screens show.
package plain

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page"
	"ashbook/report/page/text"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/layout"
)

// Options are what a Talk needs besides the backend.
type Options struct {
	In    <-chan string // lines without their line ends; closed at the end of the input
	Out   io.Writer
	Done  <-chan struct{}  // closed to end the conversation
	Width int              // width at which lines are broken, in cells; 0 for not at all
	Tick  <-chan time.Time // when to look for a due check; nil for never
	Echo  bool             // repeat each input line, since no terminal shows it
	// Light makes a new cook of a cut and returns its ID.
	Light func(cut string) (id string, err error)
}

// Lines returns a channel of the lines of r.
func Lines(r io.Reader) <-chan string {
	out := make(chan string)
	go func() {
		defer close(out)
		for in := bufio.NewReader(r); ; {
			line, err := in.ReadString('\n')
			if line != "" {
				out <- strings.TrimRight(line, "\r\n")
			}
			if err != nil {
				return
			}
		}
	}()
	return out
}

// Talk is one conversation.
type Talk struct {
	Options
	port  backend.Port
	rows  []backend.Row // the last printed list of cooks, by number
	id    string        // ID of the open cook; "" for none
	asked string        // the line whose doubts were printed; "yes" notes it
	doubt bool          // the reading noted last is doubted; "yes" confirms it
	rung  time.Time     // due time of the last check announced
	care  string        // the last urgent caution printed
	ended bool          // the input has ended
	left  bool          // the user wants to leave
}

// New returns a conversation that uses p.
func New(p backend.Port, o Options) *Talk { return &Talk{Options: o, port: p} }

// Run talks until the user leaves or the input ends.
func (t *Talk) Run() {
	t.greet()
	for !t.left {
		line, ok := t.ask(t.prompt())
		if !ok {
			return
		}
		t.hear(strings.TrimSpace(line))
	}
}

func (t *Talk) prompt() string {
	if t.id == "" {
		return "cooks> "
	}
	return "note> "
}

// say prints a line.
func (t *Talk) say(format string, args ...any) {
	line := text.Spoken(fmt.Sprintf(format, args...))
	if t.Width == 0 {
		fmt.Fprintln(t.Out, line)
		return
	}
	for _, l := range layout.Wrap(line, t.Width-1) {
		fmt.Fprintln(t.Out, l)
	}
}

// ask prints a question and waits for a line. Meanwhile it announces checks that become
// due.
func (t *Talk) ask(question string) (string, bool) {
	question = page.Clean(question)
	fmt.Fprint(t.Out, question)
	for !t.ended {
		select {
		case line, ok := <-t.In:
			if !ok {
				t.ended = true
				fmt.Fprintln(t.Out)
				return "", false
			}
			if t.Echo {
				fmt.Fprintln(t.Out, page.Clean(line))
			}
			return line, true
		case <-t.Done:
			t.ended = true
			fmt.Fprintln(t.Out)
		case <-t.Tick:
			for _, call := range []string{t.due(), t.pressing()} {
				if call != "" {
					fmt.Fprintln(t.Out)
					t.say("%s", call)
					t.port.Alert(call)
					fmt.Fprint(t.Out, question)
				}
			}
		}
	}
	return "", false
}

// due returns the announcement of a due check that was not announced yet; "" for none.
func (t *Talk) due() string {
	if t.id == "" {
		return ""
	}
	c, err := t.port.Load(t.id)
	if err != nil {
		return ""
	}
	check, owed := c.Cook.NextCheck(t.port.Now(), c.Settings)
	if !owed || check.Due.After(t.port.Now()) || check.Due.Equal(t.rung) {
		return ""
	}
	t.rung = check.Due
	due := check.Due
	if c.Zone != nil {
		due = due.In(c.Zone)
	}
	return fmt.Sprintf("Check now: %s, due %s.", check.For, measure.FormatTime(due, measure.Clock, c.Settings.Units))
}

// pressing returns the urgent caution, or the trouble of the fire, if it was not
// printed yet; "" for none.
func (t *Talk) pressing() string {
	if t.id == "" {
		return ""
	}
	c, err := t.port.Load(t.id)
	if err != nil || c.Cook.Status(t.port.Now()).Stage == journal.Planned {
		return ""
	}
	f := t.port.Expect(c.Cook, t.port.Now())
	var calls []string
	if f.CareNow {
		calls = append(calls, "Do now: "+f.Care)
	}
	if f.Fire.Alert {
		calls = append(calls, "Fire: "+f.Fire.Says+".")
	}
	call := strings.Join(calls, " ")
	act := layout.Sentence(call)
	if act == t.care {
		return ""
	}
	t.care = act
	return call
}

// command is one command and its word.
type command struct {
	word string
	open bool // it needs an open cook
	help string
	do   func(*Talk, string)
}

// commands lists all commands, in the order in which help prints them.
var commands []command

func init() {
	commands = []command{
		{"now", true, "the five most important things; an empty line does the same", func(t *Talk, _ string) { t.now() }},
		{"undo", true, "undo the last entry", func(t *Talk, _ string) { t.note("undo") }},
		{"redo", true, "put back what undo removed", func(t *Talk, _ string) { t.note("redo") }},
		{"what if", true, "what you could do now, and when the meat would then come off", func(t *Talk, _ string) { t.choices() }},
		{"settle", true, "settle KEY VALUE: choose one of two values that people set for the same thing", (*Talk).settle},
		{"hold", true, "how long the box keeps it hot, and the leftovers", func(t *Talk, _ string) { t.page(intent.Hold, t.id) }},
		{"taste", true, "ask for the eaters' scores, one by one; then what to keep and to change", func(t *Talk, _ string) { t.taste() }},
		{"weights", true, "ask what came off, was thrown out and is left, one by one", func(t *Talk, _ string) { t.after(journal.CameOff, journal.Discarded, journal.LeftOver) }},
		{"why", true, "early or late, and why", func(t *Talk, _ string) { t.page(intent.Why, t.id) }},
		{"page", true, "the whole cook", func(t *Talk, _ string) { t.page(intent.Cook, t.id) }},
		{"light", false, "light the open cook, if it is planned; light CUT begins a new one", (*Talk).light},
		{"cooks", false, "all cooks, by number", func(t *Talk, _ string) { t.close(); t.list("") }},
		{"find", false, "find WORDS: the cooks that contain them", (*Talk).find},
		{"open", false, "open NUMBER: a cook of the last list", (*Talk).open},
		{"matters", false, "what changes the time; matters SCORE, such as matters bark: what changes that score", func(t *Talk, target string) { t.read(backend.Wanted{Kind: intent.Matters, Turn: target}) }},
		{"pit", false, "what the pits do; pit NAME: one of them", func(t *Talk, name string) { t.read(backend.Wanted{Kind: intent.Pits, Turn: name}) }},
		{"settings", false, "the settings, and where to change them", func(t *Talk, _ string) { t.page(intent.Settings) }},
		{"hindsight", false, "how wrong the forecasts would have been on past cooks", func(t *Talk, _ string) { t.page(intent.Hindsight) }},
		{"help", false, "this", func(t *Talk, _ string) { t.help() }},
		{"q", false, "leave", func(t *Talk, _ string) { t.left = true }},
	}
}

// hear carries out a line. In an open cook, any line that is not a command is an entry.
// Otherwise a number opens a cook, and words are searched for.
func (t *Talk) hear(line string) {
	if c, rest, ok := commandOf(line); ok {
		if c.open && t.id == "" {
			t.say("%s needs an open cook: type its number.", c.word)
			return
		}
		c.do(t, rest)
		return
	}
	switch {
	case t.id != "" && line == "":
		t.now()
	case t.id != "":
		t.note(line)
	case line == "":
		t.list("")
	case strings.Trim(line, "0123456789") == "":
		t.open(line)
	default:
		t.find(line)
	}
}

// taking are the commands that take words.
var taking = map[string]bool{"light": true, "find": true, "open": true, "matters": true, "settle": true}

func commandOf(line string) (command, string, bool) {
	low := strings.ToLower(line)
	if low == "?" {
		low = "help"
	}
	for _, c := range commands {
		if low == c.word {
			return c, "", true
		}
		if rest, ok := strings.CutPrefix(low, c.word+" "); ok && taking[c.word] {
			return c, strings.TrimSpace(rest), true
		}
	}
	return command{}, "", false
}

// failed prints an error.
func (t *Talk) failed(what string, err error) { t.say("%s: %v", what, err) }

func (t *Talk) help() {
	for _, c := range commands {
		t.say("%s: %s", c.word, c.help)
	}
	t.say("In an open cook, any other line is noted: pit and core first, then what you did, such as 112 71 w cherry 90 v -20 -- pale on the left.")
	t.say("Letters: v vent, f fuel, w wood, l lid, s spritz, t turn, b1 bark, p2 feel, r30 look again in 30 min. For anything else type its word, such as on, wrap paper, off, boxed.")
}

// greet lists running and planned cooks. Past ones are listed on request.
func (t *Talk) greet() {
	rows, ok := t.search("")
	if !ok {
		return
	}
	past := slices.IndexFunc(rows, func(r backend.Row) bool { return r.Group == backend.Past })
	if past < 0 {
		past = len(rows)
	}
	if len(rows) == 0 {
		t.say("No cook yet. To begin one, type light and the cut, such as light pork shoulder. Or type help.")
		return
	}
	t.say("%s, %d of them not finished.", measure.Count(len(rows), "cook"), past)
	t.tell(rows[:past])
	t.say("Type a number to open a cook, cooks for all of them, or help.")
}

// search finds cooks and prints the shelf's messages.
func (t *Talk) search(words string) ([]backend.Row, bool) {
	shelf, err := t.port.Search(words)
	if err != nil {
		t.failed("cooks", err)
		return nil, false
	}
	t.rows = shelf.Rows
	for _, n := range shelf.Notices {
		t.say("%s", n)
	}
	return shelf.Rows, true
}

// list prints the cooks that contain the words.
func (t *Talk) list(words string) {
	rows, ok := t.search(words)
	if !ok {
		return
	}
	t.say("%s.", measure.Count(len(rows), "cook"))
	t.tell(rows)
}

func (t *Talk) tell(rows []backend.Row) {
	for i, r := range rows {
		if i == longest {
			t.say("And %d more: find WORDS shows fewer.", len(rows)-i)
			return
		}
		t.say("%d: %s", i+1, row(r))
	}
}

// longest is the largest number of cooks printed at once (chosen for a list that is
// heard).
const longest = 20

func row(r backend.Row) string {
	parts := []string{r.Title, r.Date.Format("2 Jan 2006"), r.Cut, r.Pit}
	if r.Took > 0 {
		parts = append(parts, measure.FormatDuration(r.Took))
	}
	if r.Eaters > 0 {
		parts = append(parts, fmt.Sprintf("%.1f by %d", r.Score, r.Eaters))
	}
	if r.Group != backend.Past {
		parts = append(parts, r.State)
	}
	var kept []string
	for _, p := range parts {
		if p != "" {
			kept = append(kept, p)
		}
	}
	return strings.Join(kept, ", ")
}

func (t *Talk) find(words string) {
	if words == "" {
		t.say("find what? find WORDS")
		return
	}
	t.close()
	t.list(words)
}
