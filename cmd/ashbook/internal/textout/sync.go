package textout

import (
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal/history"
	"ashbook/journal/measure"
)

// Synced says what a sync did, with times in a zone; if dry is set, what it would do.
// If it did nothing, it says so only if all is set. It leaves out conflicts.
func Synced(s app.Synced, dry, all bool, zone *time.Location) []string {
	received, sent := "received", "sent"
	if dry {
		received, sent = "would receive", "would send"
	}
	var out lines
	if s.Made {
		out.add("made a repository in %s", s.Remote)
	}
	if s.Begun {
		out.add("this journal was empty and is now a copy of the others'")
	}
	out.commits(received, s.Received, zone)
	out.commits(sent, s.Sent, zone)
	if s.Remembered {
		out.add("remembered: %s; from now on type ashbook sync", s.Remote)
	}
	if all && len(s.Received)+len(s.Sent) == 0 {
		out.add("nothing new here or at %s", s.Remote)
	}
	if all && s.Litter != "" {
		out.add("%s", s.Litter)
	}
	return out
}

// mostCommits is the largest number of commits listed (chosen: a night's notes in
// batches).
const mostCommits = 12

// commits lists commits without merges, under a word for what became of them.
func (l *lines) commits(word string, made []history.Made, zone *time.Location) {
	var own lines
	for _, m := range made {
		if !m.Merge {
			what, _, _ := strings.Cut(m.Message, "\n")
			own.add("  %s %s: %s", m.When.In(zone).Format(measure.Stamp), m.Who, what)
		}
	}
	if len(own) == 0 {
		return
	}
	l.add("%s %s", word, measure.Count(len(own), "change"))
	*l = append(*l, own[:min(len(own), mostCommits)]...)
	if more := len(own) - mostCommits; more > 0 {
		l.add("  … and %d more", more)
	}
}
