package blocks

import "strings"

// Conflict is a place where a merge left two versions of some lines, between markers of
// seven characters (git-merge(1), "How conflicts are presented"):
//
//	<<<<<<< one side
//	||||||| the common version, if git is set so
//	=======
//	>>>>>>> the other side
//
// A marker that is left alone is a Conflict of one line.
type Conflict struct {
	// with the lines of its markers; up to the end of the text if the last marker is
	// missing
	Span
	Second Span   // the lines of the second version
	Marks  []Span // lines of neither version: the markers and the common version
	Open   bool   // the last marker is missing
}

// Touches reports whether replacing the bytes from … to changes the conflict. A line
// added just above or below does not.
func (c Conflict) Touches(from, to int) bool {
	return to > c.From && (c.Open || from < c.To)
}

// FirstVersion returns the text with the first version of every conflict. All other
// bytes of a conflict except line ends become spaces, so that offsets stay the same.
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

// BothVersions does what FirstVersion does, but keeps the second versions too.
func BothVersions(text string, conflicts []Conflict) string {
	b := []byte(text)
	for _, c := range conflicts {
		for _, m := range c.Marks {
			blank(b[m.From:m.To])
		}
	}
	return string(b)
}

// blank replaces everything but line ends by spaces.
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
	open := "" // last marker of the current conflict
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

// endAt ends a conflict at an offset.
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

// marker returns the marker that begins the line; "" for none.
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
