package cookfile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile/front"
)

// New returns a new file for a cook: its recorded fields, its prose, or its title as a
// heading if there is no prose, and its timeline in order. It fails if the file, read
// again, would not give the same cook.
func New(c journal.Cook) ([]byte, error) {
	text := render(c)
	f, err := Parse(c.ID+".md", []byte(text), Options{})
	if err != nil {
		return nil, err
	}
	if wrote, read := firstDifference(text, render(f.Cook)); wrote != read {
		return nil, fmt.Errorf("cook %q: line %q would be read back as %q", c.Name(), wrote, read)
	}
	return []byte(text), nil
}

// firstDifference returns the first line that differs between two texts.
func firstDifference(a, b string) (string, string) {
	for a != b {
		lineA, restA, _ := strings.Cut(a, "\n")
		lineB, restB, _ := strings.Cut(b, "\n")
		if lineA != lineB || restA == a || restB == b {
			return lineA, lineB
		}
		a, b = restA, restB
	}
	return "", ""
}

func render(c journal.Cook) string {
	var b strings.Builder
	fmt.Fprintf(&b, "---\n%s: %d\n", front.VersionKey, front.Version)
	for _, m := range keysOf(&c) {
		switch to := m.To.(type) {
		case *[]journal.Piece:
			if len(*to) != 1 || (*to)[0] != (journal.Piece{}) {
				writeRows(&b, m.Name, *to)
			}
		case *[]journal.Taste:
			writeRows(&b, m.Name, *to)
		case *[]journal.Wood:
			if len(*to) > 0 {
				fmt.Fprintf(&b, "%s: [%s]\n", m.Name, strings.Join(rows(*to), ", "))
			}
		default:
			if s := written(m.To, false); s != "" {
				fmt.Fprintf(&b, "%s: %s\n", m.Name, s)
			}
		}
	}
	b.WriteString("---\n\n")
	switch {
	case c.Prose != "":
		b.WriteString(c.Prose + "\n\n")
	case c.Title != "":
		b.WriteString("# " + oneLine(c.Title) + "\n\n")
	}
	b.WriteString(timelineHeading + "\n")
	entries := slices.Clone(c.Entries)
	journal.SortEntries(entries)
	for i, e := range entries {
		if i == 0 {
			b.WriteString("\n")
		}
		b.WriteString(tidy(e).String() + "\n")
	}
	return b.String()
}

const timelineHeading = "## Timeline"

// tidy returns the entry as a line can have it: words without line ends, a time of
// whole seconds, an offset of whole minutes, and no line number.
func tidy(e journal.Entry) journal.Entry {
	e.Line = 0
	e.Words = oneLine(e.Words)
	e.Time = e.Time.Truncate(time.Second)
	if _, offset := e.Time.Zone(); offset%60 != 0 {
		e.Time = e.Time.UTC()
	}
	return e
}

// oneLine replaces line ends by spaces.
func oneLine(s string) string {
	return strings.TrimSpace(strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ").Replace(s))
}

func writeRows[T any](b *strings.Builder, key string, list []T) {
	for i, row := range rows(list) {
		if i == 0 {
			b.WriteString(key + ":\n")
		}
		b.WriteString("  - " + row + "\n")
	}
}

// rows formats each item of a list in braces.
func rows[T any](list []T) []string {
	out := make([]string, len(list))
	for i := range list {
		if out[i] = written(&list[i], true); out[i] == "" {
			out[i] = "{}"
		}
	}
	return out
}

// textOf formats a single value as a user writes it; "" if it is not recorded or has
// keys.
func textOf(p any) string {
	switch v := p.(type) {
	case *string:
		return *v
	case *int:
		if *v != 0 {
			return strconv.Itoa(*v)
		}
	case *time.Time:
		if !v.IsZero() {
			return journal.FormatTime(*v)
		}
	case fmt.Stringer:
		return v.String()
	}
	return ""
}

// written formats the value of a field for the front matter; "" if it is not recorded.
func written(p any, flow bool) string {
	if s := textOf(p); s != "" {
		return front.Quote(s, flow)
	}
	var parts []string
	for _, m := range keysOf(p) {
		if s := written(m.To, true); s != "" {
			parts = append(parts, m.Name+": "+s)
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "{" + strings.Join(parts, ", ") + "}"
}
