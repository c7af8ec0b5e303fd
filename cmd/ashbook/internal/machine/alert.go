package machine

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"slices"
	"strings"
	"time"

	"ashbook/report/page"
)

// alertEnv names the variable with the person's own alert command. It runs for every
// alert, with the text as its last argument. It is read from the environment alone: a
// journal is shared, and a shared file must not run code.
const alertEnv = "ASHBOOK_ALERT"

// The time that the alert command may take, and the length of the text it gets.
const (
	alertTime = 10 * time.Second
	alertLong = 300
)

// Alert rings the bell, asks the terminal to show a notification where it can, and runs
// the person's own alert command if there is one.
func Alert(out io.Writer, getenv func(string) string, text string) error {
	text = oneLine(text)
	// One write: the frame is written by another goroutine, and a file takes
	// one write at a time.
	fmt.Fprint(out, "\a"+notification(getenv, text))
	return runAlert(strings.Fields(getenv(alertEnv)), text, alertTime)
}

// oneLine makes a text harmless to a terminal and short enough to be read.
func oneLine(text string) string {
	text = strings.Join(strings.Fields(page.Clean(text)), " ")
	if r := []rune(text); len(r) > alertLong {
		text = string(r[:alertLong-1]) + "…"
	}
	return text
}

// runAlert runs the person's alert command. The command is split at spaces, no shell reads
// it, and the text is one argument whatever it contains.
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

// notification returns the sequence with which the terminal shows the text as a
// notification; "" for a terminal that is not known to have one, since it might
// print the sequence. It looks at the environment only: a question to the terminal
// could print junk over a slow line.
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
