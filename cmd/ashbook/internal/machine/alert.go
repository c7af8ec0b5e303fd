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

// alertEnv is the environment variable with the user's alert command. The command runs
// for every alert, with the text as its last argument. It is read only from the
// environment: a journal is shared, and a shared file must not run code.
const alertEnv = "ASHBOOK_ALERT"

// Time limit of the alert command, and length of the text it gets.
const (
	alertTime = 10 * time.Second
	alertLong = 300
)

// Alert rings the bell, makes the terminal show a notification if it can, and runs the
// user's alert command if there is one.
func Alert(out io.Writer, getenv func(string) string, text string) error {
	text = oneLine(text)
	// Everything is sent in one write, since another goroutine writes the screen.
	fmt.Fprint(out, "\a"+notification(getenv, text))
	return runAlert(strings.Fields(getenv(alertEnv)), text, alertTime)
}

// oneLine returns text without control characters, on one line, and short.
func oneLine(text string) string {
	text = strings.Join(strings.Fields(page.Clean(text)), " ")
	if r := []rune(text); len(r) > alertLong {
		text = string(r[:alertLong-1]) + "…"
	}
	return text
}

// runAlert runs the user's alert command. The command is split at spaces, no shell
// reads it, and the text is one argument whatever is in it.
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

// Sequences with which terminals show a notification, between ESC ] and BEL. OSC 9 is
// from iTerm2, OSC 777 from rxvt-unicode; neither is in a standard.
const (
	osc9   = "9;"
	osc777 = "777;notify;ashbook;"
)

// notification returns the sequence with which the terminal shows text as a
// notification; "" for a terminal not known to have one, since it might print the
// sequence. It uses only the environment, since asking the terminal could print rubbish
// over a slow connection.
func notification(getenv func(string) string, text string) string {
	form := notifies(getenv)
	if form == "" || text == "" {
		return ""
	}
	if form == osc9 && text[0] >= '0' && text[0] <= '9' {
		text = "ashbook: " + text // text that begins with a number would be read as another command
	}
	seq := "\x1b]" + form + text + "\a"
	if getenv("TMUX") != "" {
		// tmux passes this to the terminal outside if its allow-passthrough is on, and
		// drops it if not (tmux(1)).
		seq = "\x1bPtmux;" + strings.ReplaceAll(seq, "\x1b", "\x1b\x1b") + "\x1b\\"
	}
	return seq
}

// notifies chooses the sequence by names that terminals put into the environment.
// Inside tmux, TERM and TERM_PROGRAM are tmux's own, so only the others count. Which
// terminal reads which sequence is from their own documentation (from memory).
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
