package cookfile

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

const listed = `---
title: Harvest supper
---

# Harvest supper

Words, and a [ ] that is none.

## Make ready ##

- [ ] ash out
- [x] grease out
* [X] vents free
  + [ ] the lower one
1. [ ] probes in ice
2) [ ] and in boiling water

- [] no box
- [ ]no blank
-[ ] no bullet
- [y] another sign
    - [ ] below a list item, so it counts
- (nothing)

` + "```" + `
- [ ] code
` + "```" + `

## Shopping

- [ ] 9.6 kg of shoulder
- [ ] wood: 30 % cherry, [x] marks the spot

not a list

    - [ ] code by its indent

## Timeline

- 2026-09-18T19:05+01:00 lit
- [ ] 20:10 a task among the lines
- 2026-09-18T20:10+01:00 on
  - [ ] words of the line above
`

// Task list items according to GitHub Flavored Markdown 0.29, section 5.3; list items
// and fences according to CommonMark 0.31, sections 5.2 and 4.5.
func TestTasks(t *testing.T) {
	want := []Task{
		{Section: "Make ready", Text: "ash out"},
		{Section: "Make ready", Text: "grease out", Done: true},
		{Section: "Make ready", Text: "vents free", Done: true},
		{Section: "Make ready", Text: "the lower one"},
		{Section: "Make ready", Text: "probes in ice"},
		{Section: "Make ready", Text: "and in boiling water"},
		{Section: "Make ready", Text: "below a list item, so it counts"},
		{Section: "Shopping", Text: "9.6 kg of shoulder"},
		{Section: "Shopping", Text: "wood: 30 % cherry, [x] marks the spot"},
		{Section: "Timeline", Text: "20:10 a task among the lines"},
	}
	for _, text := range []string{listed, strings.ReplaceAll(listed, "\n", "\r\n"), "\ufeff" + listed} {
		f := parse(t, text)
		got := f.Tasks()
		for i := range got {
			line := strings.Split(strings.ReplaceAll(text, "\r", ""), "\n")[got[i].Line-1]
			if !strings.Contains(line, got[i].Text) {
				t.Errorf("line %d is %q, not %q", got[i].Line, line, got[i].Text)
			}
			got[i].Line, got[i].mark = 0, 0
		}
		if len(got) != len(want) {
			t.Fatalf("%d tasks, want %d: %+v", len(got), len(want), got)
		}
		for i := range want {
			if got[i] != want[i] {
				t.Errorf("task %d: %+v, want %+v", i+1, got[i], want[i])
			}
		}
	}
	if (File{}).Tasks() != nil {
		t.Error("the zero File has tasks")
	}
}

// A tick changes one byte, and unticking restores the file.
func TestSetTaskChangesOneByte(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := listed
		if rapid.Bool().Draw(t, "crlf") {
			text = strings.ReplaceAll(text, "\n", "\r\n")
		}
		f, err := Parse("2026-09-18-harvest-supper.md", []byte(text), Options{})
		if err != nil {
			t.Fatal(err)
		}
		tasks := f.Tasks()
		task := tasks[rapid.IntRange(0, len(tasks)-1).Draw(t, "task")]
		ticked, err := f.SetTask(task, !task.Done)
		if err != nil {
			t.Fatal(err)
		}
		before, after := string(f.Bytes()), string(ticked.Bytes())
		differ := 0
		for i := range before {
			if len(after) != len(before) || after[i] != before[i] {
				differ++
			}
		}
		if differ != 1 {
			t.Fatalf("%d bytes differ", differ)
		}
		for i, o := range ticked.Tasks() {
			if o.Done != (tasks[i].Done != (o.Line == task.Line)) {
				t.Fatalf("task %d is %v", i+1, o.Done)
			}
		}
		same, err := ticked.SetTask(task, !task.Done)
		if err != nil || string(same.Bytes()) != after {
			t.Fatalf("ticked twice: %v", err)
		}
		back, err := ticked.SetTask(task, task.Done)
		if err != nil {
			t.Fatal(err)
		}
		if got := string(back.Bytes()); got != strings.ReplaceAll(before, "[X]", "[x]") && got != before {
			t.Fatalf("unticked: %q", got)
		}
	})
}

// A task whose line has moved is found by its words. If it is gone or there twice,
// SetTask fails and nothing changes.
func TestSetTaskFollowsItsWords(t *testing.T) {
	task := parse(t, listed).Tasks()[0]
	moved := parse(t, strings.Replace(listed, "Words,", "More words,\nand a line,", 1))
	f, err := moved.SetTask(task, true)
	if err != nil || !f.Tasks()[0].Done {
		t.Errorf("moved: %v", err)
	}
	for name, text := range map[string]string{
		"gone":  strings.Replace(listed, "- [ ] ash out\n", "", 1),
		"twice": strings.Replace(listed, "- [ ] ash out\n", "\n- [ ] ash out\n- [ ] ash out\n", 1),
	} {
		if _, err := parse(t, text).SetTask(Task{Line: 3, Section: task.Section, Text: task.Text}, true); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := (File{}).SetTask(task, true); err == nil {
		t.Error("the zero File takes a tick")
	}
}

// FuzzTasks: in any text, a tick changes only that byte.
func FuzzTasks(f *testing.F) {
	f.Add(listed)
	seed(f, func(text string) { f.Add(text + "\n- [ ] a\n\t- [x] b\n~~~\n- [ ] c") })
	f.Fuzz(func(t *testing.T, text string) {
		file, err := Parse("2026-09-18-x.md", []byte(text), Options{})
		if err != nil {
			return
		}
		for _, task := range file.Tasks() {
			edited, err := file.SetTask(task, !task.Done)
			if err != nil {
				t.Fatalf("%+v: %v", task, err)
			}
			got := edited.Bytes()
			if len(got) != len(text) || string(got[:task.mark]) != text[:task.mark] || string(got[task.mark+1:]) != text[task.mark+1:] {
				t.Fatalf("%+v: more than a byte changed", task)
			}
		}
	})
}
