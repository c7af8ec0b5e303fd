package main

import (
	"context"
	"errors"
	"fmt"
	"os/exec"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/report/fire"
	"ashbook/report/forecast"
	"ashbook/report/page"
	"ashbook/report/pitbook"
	"ashbook/tui/backend"
)

// alertEnv names a command of the person's own that is run for every alert,
// with the text as its last argument. It is taken from the environment alone:
// a journal is shared, and a shared file must not run code.
const alertEnv = "ASHBOOK_ALERT"

// How long the person's command may take, and how long a text it is given.
const (
	alertTime = 10 * time.Second
	alertLong = 300
)

// Alert rings the bell, has the terminal tell the person where it can, and runs
// the person's own command if there is one.
func (o *outside) Alert(text string) error {
	text = oneLine(text)
	// One write: the frame is written by another goroutine, and a file takes
	// one write at a time.
	fmt.Fprint(o.program.out, "\a"+notification(o.program.getenv, text))
	return runAlert(strings.Fields(o.program.getenv(alertEnv)), text, alertTime)
}

// oneLine makes a text harmless to a terminal and short enough to be read.
func oneLine(text string) string {
	text = strings.Join(strings.Fields(page.Clean(text)), " ")
	if r := []rune(text); len(r) > alertLong {
		text = string(r[:alertLong-1]) + "…"
	}
	return text
}

// runAlert runs the person's command: its words were parted at spaces, no shell
// reads them, and the text is one argument whatever it holds.
func runAlert(words []string, text string, limit time.Duration) error {
	if len(words) == 0 {
		return nil
	}
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	cmd := exec.CommandContext(ctx, words[0], append(slices.Clip(words[1:]), text)...)
	cmd.WaitDelay = limit / 10
	err := cmd.Run()
	switch {
	case errors.Is(ctx.Err(), context.DeadlineExceeded):
		return fmt.Errorf("$%s: %q took more than %v and was stopped", alertEnv, words[0], limit)
	case err != nil:
		return fmt.Errorf("$%s: %q: %w", alertEnv, words[0], err)
	}
	return nil
}

// The ways in which terminals tell a person something; each is the text between
// ESC ] and BEL. OSC 9 is iTerm2's, OSC 777 rxvt-unicode's; no standard has
// either.
const (
	osc9   = "9;"
	osc777 = "777;notify;ashbook;"
)

// notification is what makes the terminal tell the text; empty where it is not
// known to, for an unknown sequence may be printed. It goes by the environment
// alone: asking the terminal would print junk over slow lines.
func notification(getenv func(string) string, text string) string {
	form := notifies(getenv)
	if form == "" || text == "" {
		return ""
	}
	if form == osc9 && text[0] >= '0' && text[0] <= '9' {
		text = "ashbook: " + text // a leading number would be another command
	}
	seq := "\x1b]" + form + text + "\a"
	if getenv("TMUX") != "" {
		// Handed through to the terminal outside where its allow-passthrough is
		// on; swallowed where it is not (tmux(1)).
		seq = "\x1bPtmux;" + strings.ReplaceAll(seq, "\x1b", "\x1b\x1b") + "\x1b\\"
	}
	return seq
}

// notifies picks the way by names terminals leave in the environment. Inside
// tmux TERM and TERM_PROGRAM are its own, and only the others tell. Which reads
// what: their own documentation, from memory.
func notifies(getenv func(string) string) string {
	term, program := getenv("TERM"), strings.ToLower(getenv("TERM_PROGRAM"))
	inside := getenv("TMUX") != ""
	has := func(names ...string) bool {
		for _, n := range names {
			if getenv(n) != "" {
				return true
			}
		}
		return false
	}
	switch {
	case term == "dumb", term == "linux", !inside && strings.HasPrefix(term, "screen"):
		return ""
	case program == "iterm.app", getenv("LC_TERMINAL") == "iTerm2", strings.Contains(term, "kitty"), has("ITERM_SESSION_ID", "KITTY_WINDOW_ID"):
		return osc9
	case program == "wezterm", program == "ghostty", strings.HasPrefix(term, "foot"), strings.HasPrefix(term, "rxvt"), strings.Contains(term, "ghostty"),
		has("VTE_VERSION", "KONSOLE_VERSION", "WEZTERM_PANE", "GHOSTTY_RESOURCES_DIR"):
		return osc777
	}
	return ""
}

// Mark looks at the cook's files without reading them.
func (o *outside) Mark(id string) (backend.Mark, error) {
	m, err := o.use.Folder().Mark(id)
	return backend.Mark(m + o.use.Folder().Waiting()), err
}

// usualFire learns once a run what the person's fires in a pit are like.
func (o *outside) usualFire(x *forecast.Experience, p journal.Pit) fire.Usual {
	o.mu.Lock()
	u, ok := o.fires[p.Name]
	o.mu.Unlock()
	if ok {
		return u
	}
	past := x.Cooks()
	u = fire.UsualOf(past, p)
	if back := pitbook.Of(past, map[string]journal.Pit{p.Name: p}, p.Name).Recovery; back.Own() {
		u.Back = time.Duration(back.High * float64(time.Minute))
	}
	o.mu.Lock()
	o.fires[p.Name] = u
	o.mu.Unlock()
	return u
}

// pit is the pit of a cook, or one of that name about which nothing is known.
func (o *outside) pit(c *journal.Cook) journal.Pit {
	if p, ok := o.use.Pits()[c.Pit]; ok {
		return p
	}
	return journal.Pit{Name: c.Pit}
}
