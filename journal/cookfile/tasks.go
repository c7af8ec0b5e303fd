package cookfile

import (
	"fmt"

	"ashbook/journal/cookfile/front"
)

// Task is one item of a task list: "- [ ] text" (GitHub Flavored Markdown
// 0.29, section 5.3, task list items).
type Task struct {
	Line    int    // line in the file, from 1
	Section string // title of the heading above it; "" for none
	Text    string
	Done    bool

	mark int // offset of the character between the brackets
}

// Tasks returns the task list items of the file in order, at any depth. It ignores code
// blocks and the timeline.
func (f File) Tasks() []Task {
	if f.doc == nil {
		return nil
	}
	var out []Task
	for _, t := range f.blocks.Tasks {
		if f.inEntry(t.Line.From) {
			continue
		}
		number, _ := f.doc.Place(t.Line.From)
		out = append(out, Task{
			Line: number, Section: f.blocks.Section(t.Line.From), Text: t.Text,
			Done: f.doc.Text()[t.Mark] != ' ', mark: t.Mark,
		})
	}
	return out
}

func (f File) inEntry(off int) bool {
	for _, r := range f.lines.at {
		if off >= r.from && off < r.to {
			return true
		}
	}
	return false
}

// SetTask ticks or unticks a task by changing one byte of the file. It finds the task
// by its line and text, or, if lines have moved, by its section and text. It fails if
// the task is not there or not unique.
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
		return File{}, f.doc.Fail(f.doc.Body(), "task %q: the file has %d of that name", t.Text, len(found))
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
