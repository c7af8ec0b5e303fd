package cookfile

import (
	"fmt"
	"strings"

	"ashbook/journal/cookfile/front"
)

// Task is one item of a task list: "- [ ] text" (GitHub Flavored Markdown
// 0.29, section 5.3, task list items).
type Task struct {
	Line    int    // in the file, from 1
	Section string // the heading above it, without its signs; "" for none
	Text    string
	Done    bool

	mark int // byte of the sign between the brackets
}

// Tasks returns the task list items of the file in order, at any depth. What
// stands in a block of code or in the lines of the timeline is none.
func (f File) Tasks() []Task {
	if f.doc == nil {
		return nil
	}
	var out []Task
	text, section, fence := f.doc.Text(), "", ""
	list := false // the line above belongs to a list, so that this one may be indented
	for from := f.doc.Body(); from < len(text); {
		line, next := front.LineAt(text, from)
		indent := len(line) - len(strings.TrimLeft(line, " \t"))
		body := line[indent:]
		shallow := indent < 4 && !strings.Contains(line[:indent], "\t")
		switch run := fenceOf(body); {
		case fence != "":
			if shallow && strings.HasPrefix(run, fence) && strings.TrimSpace(body[len(run):]) == "" {
				fence = ""
			}
		case run != "" && (shallow || list):
			fence = run
		case strings.TrimSpace(body) == "":
		case shallow && strings.HasPrefix(body, "#"):
			if h := strings.TrimLeft(body, "#"); len(body)-len(h) <= 6 && strings.HasPrefix(h, " ") {
				section = strings.TrimSpace(strings.TrimRight(strings.TrimSpace(h), "#"))
			}
			list = false
		case shallow || list:
			sign, item := bullet(body)
			if sign == 0 {
				list = list && indent > 0
				break
			}
			list = true
			at := indent + sign
			if mark, rest, ok := box(item); ok && !f.inEntry(from) {
				number, _ := f.doc.Place(from)
				out = append(out, Task{Line: number, Section: section, Text: strings.TrimSpace(rest), Done: mark != ' ', mark: from + at + 1})
			}
		}
		if next <= from {
			break
		}
		from = next
	}
	return out
}

// fenceOf returns the run of signs that opens or closes a block of code.
func fenceOf(s string) string {
	for _, sign := range []string{"`", "~"} {
		if run := s[:len(s)-len(strings.TrimLeft(s, sign))]; len(run) >= 3 {
			return run
		}
	}
	return ""
}

// bullet returns how long the sign of a list item is with the blanks behind
// it, 0 for none, and what follows.
func bullet(s string) (length int, item string) {
	n := 0
	for n < len(s) && n < 9 && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	signs := "-*+"
	if n > 0 {
		signs = ".)"
	}
	if n >= len(s) || !strings.Contains(signs, s[n:n+1]) {
		return 0, ""
	}
	item = strings.TrimLeft(s[n+1:], " \t")
	length = len(s) - len(item)
	if length == n+1 {
		return 0, ""
	}
	return length, item
}

// box reads "[ ] text" or "[x] text".
func box(s string) (mark byte, rest string, ok bool) {
	if len(s) < 4 || s[0] != '[' || s[2] != ']' || !strings.Contains(" \t", s[3:4]) || !strings.Contains(" xX", s[1:2]) {
		return 0, "", false
	}
	return s[1], s[4:], true
}

func (f File) inEntry(off int) bool {
	for _, r := range f.lines.at {
		if off >= r.from && off < r.to {
			return true
		}
	}
	return false
}

// SetTask ticks a task of the file, or unticks it: one byte of the file
// changes. The task is found by its line and text; where lines have moved, by
// its section and text.
func (f File) SetTask(t Task, done bool) (File, error) {
	if f.doc == nil {
		return File{}, errZero
	}
	var found []Task
	for _, o := range f.Tasks() {
		if o.Text == t.Text && o.Section == t.Section {
			if o.Line == t.Line {
				found = []Task{o}
				break
			}
			found = append(found, o)
		}
	}
	if len(found) != 1 {
		return File{}, f.doc.Fail(f.doc.Body(), "task %q: the file holds %d of that name", t.Text, len(found))
	}
	if found[0].Done == done {
		return f, nil
	}
	sign := " "
	if done {
		sign = "x"
	}
	at := found[0].mark
	edited, err := f.edit(func(d *front.Document) (*front.Document, error) { return d.Splice(at, at+1, sign) })
	if err != nil {
		return File{}, fmt.Errorf("task %q: %w", t.Text, err)
	}
	return edited, nil
}
