package advice

import (
	"testing"

	"ashbook/cmd/ashbook/internal/typed"
)

// Every mistake says what to type next, but for those whose text says enough.
func TestEveryMistakeIsAnswered(t *testing.T) {
	for k := range typed.Kinds {
		m := typed.Mistake{Kind: k, About: "harvest", Cooks: []string{"2026-09-18-supper"}, Names: []string{"brick"}}
		if enough := k == typed.Invalid || k == typed.NothingUndone; (afterMistake(m) == "") != enough {
			t.Errorf("mistake %d: next: %q", k, afterMistake(m))
		}
	}
}
