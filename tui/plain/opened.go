package plain

import (
	"fmt"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page/text"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/screen/watch"
)

// close closes the open cook.
func (t *Talk) close() { t.id = "" }

func (t *Talk) open(number string) {
	n := 0
	if _, err := fmt.Sscan(number, &n); err != nil || n < 1 || n > len(t.rows) {
		t.say("%q: expected the number of a cook in the list, 1 to %d.", number, len(t.rows))
		return
	}
	t.opened(t.rows[n-1].ID)
}

// opened opens a cook. It prints the page of a cook that is over, and the five figures
// of any other.
func (t *Talk) opened(id string) {
	c, err := t.port.Load(id)
	if err != nil {
		t.failed("this cook cannot be read", err)
		return
	}
	t.id, t.rung = id, time.Time{}
	if check, owed := c.Cook.NextCheck(t.port.Now(), c.Settings); owed && !check.Due.After(t.port.Now()) {
		t.rung = check.Due
	}
	last, _ := c.Cook.LastEntry()
	if backend.GroupOf(c.Cook.Status(t.port.Now()), last, t.port.Now()) == backend.Past {
		t.page(intent.Cook, id)
		return
	}
	t.now()
}

// now prints the five figures.
func (t *Talk) now() {
	c, f, ok := t.expect()
	if !ok {
		return
	}
	for _, l := range watch.Say(backend.Loaded{Cook: c, Now: t.port.Now()}, f) {
		t.say("%s.", strings.TrimRight(l, "."))
	}
	for _, l := range watch.SayCompany(c, t.port.Now()) {
		t.say("%s.", l)
	}
	for _, o := range c.Cook.Others {
		right, _ := o.Both()
		t.say("%s. Type settle and the right one, such as settle %s %s.", o, o.Name(), right)
	}
}

func (t *Talk) expect() (backend.Cook, backend.Forecast, bool) {
	c, err := t.port.Load(t.id)
	if err != nil {
		t.failed("this cook cannot be read", err)
		return c, backend.Forecast{}, false
	}
	return c, t.port.Expect(c.Cook, t.port.Now()), true
}

// note notes a line and says how it was understood. If a part would be saved as words,
// or there is a question, it says so first. The same line again, or yes, then notes it.
func (t *Talk) note(line string) {
	low := strings.ToLower(line)
	yes := low == "yes" || low == "y"
	switch {
	case t.asked != "" && (yes || low == "sure"):
		line = t.asked
	case t.asked != "" && line != t.asked:
		t.say("Left out: %s.", t.asked)
		t.asked = ""
	case t.doubt && yes:
		line = "sure"
	}
	if u := t.port.Understand(t.id, t.port.Now(), line); u.Err == nil && u.Confirm() && t.asked != line {
		t.asked = line
		if text := strings.TrimPrefix(u.Text, "— "); text == u.Text {
			t.say("Not noted yet. It would be: %s.", text)
		} else {
			t.say("Not noted yet. It would be kept as words: %s.", text)
		}
		for _, d := range u.Doubts() {
			t.say("Look: %s", d)
		}
		t.say("Type yes to note this, or another line.")
		return
	}
	t.asked = ""
	t.wish(func(id string) (backend.Noted, error) { return t.port.Note(id, line) })
	if low == "sure" && line != low {
		t.wish(func(id string) (backend.Noted, error) { return t.port.Note(id, low) })
	} else if t.doubt {
		t.say("It counts once you type yes, or once the next reading agrees with it. undo deletes it.")
	}
}

// wish saves a change and says what was changed.
func (t *Talk) wish(do func(id string) (backend.Noted, error)) {
	n, err := do(t.id)
	if t.doubt = false; err != nil {
		t.failed("Not noted", err)
		return
	}
	t.doubt = !n.TakenBack && strings.Contains(n.Text, journal.Questioned)
	verb := "Noted"
	switch {
	case n.TakenBack:
		verb = "Undone"
	case n.PutBack:
		verb = "Put back"
	}
	t.say("%s: %s.", verb, strings.TrimPrefix(n.Text, "— "))
	for _, f := range n.Flags {
		t.say("Look: %s", f)
	}
}

// settle decides which of two people's values is right.
func (t *Talk) settle(words string) {
	c, err := t.port.Load(t.id)
	if err != nil {
		t.failed("this cook cannot be read", err)
		return
	}
	at, take, err := journal.Choose(c.Cook.Others, words)
	if err != nil {
		t.failed("Not settled", err)
		return
	}
	t.wish(func(id string) (backend.Noted, error) { return t.port.Settle(id, c.Cook.Others[at], take) })
}

// choices prints what could be done now.
func (t *Talk) choices() {
	cook, f, ok := t.expect()
	if !ok {
		return
	}
	if len(f.Choices) == 0 {
		t.say("Nothing to choose: no meat is on.")
		return
	}
	for _, c := range f.Choices {
		late := "and " + measure.FormatTime(c.Late, measure.Clock, cook.Settings.Units)
		if c.Open {
			late = "and an unknown time; it may never get there"
		}
		line := fmt.Sprintf("%s: off between %s %s, likely %s", c.Name, measure.FormatTime(c.Early, measure.Clock, cook.Settings.Units), late, measure.FormatTime(c.Likely, measure.Clock, cook.Settings.Units))
		if c.Saves > 0 {
			line += ", " + measure.FormatDuration(c.Saves) + " sooner"
		} else if c.Saves < 0 {
			line += ", " + measure.FormatDuration(-c.Saves) + " later"
		}
		if c.Note != "" {
			line += "; " + c.Note
		}
		t.say("%s.", line)
	}
}

// page prints a page; of may be the open cook's ID.
func (t *Talk) page(kind intent.Place, of ...string) { t.read(backend.Wanted{Kind: kind, Of: of}) }

// read prints a page. If the page has no such turn, it says so.
func (t *Talk) read(w backend.Wanted) {
	opened, err := t.port.Page(w)
	switch {
	case err != nil:
		t.failed("this page cannot be made", err)
		return
	case w.Turn != "" && w.Turn != opened.Turn:
		t.say("%q: expected one of %s.", w.Turn, strings.Join(opened.Turns, ", "))
		return
	}
	for _, l := range text.Linear(opened.Page) {
		t.say("%s", l)
	}
}

// light lights the open cook, or a new one of that cut.
func (t *Talk) light(cut string) {
	if cut == "" {
		if t.id == "" {
			t.say("light what? light CUT, such as light pork shoulder")
			return
		}
		c, err := t.port.Load(t.id)
		if err == nil && c.Cook.Status(t.port.Now()).Stage != journal.Planned {
			t.say("It was lit already. light CUT begins another cook.")
			return
		}
		t.wish(t.port.Light)
		return
	}
	id, err := t.Light(cut)
	if err != nil {
		t.failed("Not lit", err)
		return
	}
	t.say("Lit: %s.", id)
	t.say("Light the fire outdoors only: carbon monoxide kills indoors and in tents (CPSC).")
	t.opened(id)
}
