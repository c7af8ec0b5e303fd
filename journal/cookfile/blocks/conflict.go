package blocks

import "strings"

// Conflict is lines of which a merge left two versions in the text, between
// markers of seven signs (git-merge(1), "How conflicts are presented"):
//
//	<<<<<<< one side
//	||||||| before both, where git is set so
//	=======
//	>>>>>>> the other side
//
// A marker that is left over alone is a Conflict of its own line.
type Conflict struct {
	Span          // the lines of the markers included; to the end of the text where the last is missing
	Second Span   // lines of the second version
	Marks  []Span // lines that are in neither version: the markers, and the common version
	Open   bool   // the last marker is missing
}

// Touches reports whether a change of the bytes from up to to would reach into
// the conflict. A line put right above or below it does not.
func (c Conflict) Touches(from, to int) bool {
	return to > c.From && (c.Open || from < c.To)
}

// FirstVersion returns the text with all conflicts decided for their first version. All
// other bytes of a conflict except line ends become spaces, so that places stay the same.
func FirstVersion(text string, conflicts []Conflict) string {
	if len(conflicts) == 0 {
		return text
	}
	b := []byte(BothVersions(text, conflicts))
	for _, c := range conflicts {
		blank(b[c.Second.From:c.Second.To])
	}
	return string(b)
}

// BothVersions is FirstVersion with the second versions left in place.
func BothVersions(text string, conflicts []Conflict) string {
	b := []byte(text)
	for _, c := range conflicts {
		for _, m := range c.Marks {
			blank(b[m.From:m.To])
		}
	}
	return string(b)
}

// blank turns all but line ends into spaces.
func blank(b []byte) {
	for i, c := range b {
		if c != '\n' && c != '\r' {
			b[i] = ' '
		}
	}
}

// FindConflicts returns the conflicts of a text in order. A single line of seven equals
// signs is not a conflict: it may underline a heading.
func FindConflicts(text string) []Conflict {
	if !strings.Contains(text, ours) && !strings.Contains(text, theirs) {
		return nil
	}
	var out []Conflict
	open := "" // the last marker of the conflict that is open
	for off := 0; off < len(text); {
		line, next := LineAt(text, off)
		mark := marker(line)
		switch {
		case mark == ours, mark == theirs && open == "":
			if open != "" {
				endAt(&out[len(out)-1], off, open)
				out[len(out)-1].Open = true
			}
			out = append(out, Conflict{Span: Span{off, next}})
			open = mark
			if mark == theirs {
				open = ""
			}
		case open == "" || mark == "":
			mark = ""
		case mark == theirs:
			endAt(&out[len(out)-1], off, open)
			out[len(out)-1].To = next
			open = ""
		case mark == base && open != ours, mark == between && open == between:
			mark = ""
		default:
			if c := &out[len(out)-1]; mark == between {
				c.Second.From = next
			}
			open = mark
		}
		switch c := len(out) - 1; {
		case mark != "":
			out[c].Marks = append(out[c].Marks, Span{off, next})
		case open == base:
			out[c].Marks[len(out[c].Marks)-1].To = next
		}
		off = next
	}
	if open != "" {
		endAt(&out[len(out)-1], len(text), open)
		out[len(out)-1].Open = true
	}
	return out
}

// endAt ends a conflict before a byte.
func endAt(c *Conflict, off int, open string) {
	c.To = off
	if open == between {
		c.Second.To = off
	}
}

// The markers.
const (
	ours    = "<<<<<<<"
	base    = "|||||||"
	between = "======="
	theirs  = ">>>>>>>"
)

// marker returns the marker a line is; "" for another line.
func marker(line string) string {
	if len(line) < len(ours) || len(line) > len(ours) && line[len(ours)] != ' ' {
		return ""
	}
	switch m := line[:len(ours)]; m {
	case ours, base, between, theirs:
		return m
	}
	return ""
}
