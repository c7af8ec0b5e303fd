package entry

import (
	"strings"
	"testing"

	"ashbook/tui/component/lineedit"
	"ashbook/tui/intent"
)

// Of several pasted lines the first is shown and the others wait. One that is far too
// long is refused with a message.
func TestPaste(t *testing.T) {
	var e Entry
	e.put(intent.Intent{Do: intent.Text, Text: "112 71\r\nvent\n\n113 72\n"})
	if e.line.Text() != "112 71" || strings.Join(e.pasted, "|") != "vent|113 72" {
		t.Errorf("line %q, waiting %q", e.line.Text(), e.pasted)
	}
	var long Entry
	long.put(intent.Intent{Do: intent.Text, Text: strings.Repeat("a", lineedit.Longest+1)})
	if !long.Empty() || long.answer.Head != "NOT TAKEN" {
		t.Errorf("%d bytes taken, said %q", len(long.line.Text()), long.answer.Head)
	}
	// Without the marks of a paste the text arrives letter by letter.
	var typed Entry
	for range lineedit.Longest + 100 {
		typed.put(intent.Intent{Do: intent.Text, Text: "a"})
	}
	if n := len(typed.line.Text()); n != lineedit.Longest || typed.answer.Head != "NOT TAKEN" {
		t.Errorf("%d bytes taken, said %q", n, typed.answer.Head)
	}
}
