package advice

import (
	"testing"

	"ashbook/cmd/ashbook/internal/typed"
)

// Every mistake has words on what to type next, except those whose text is enough.
func TestEveryMistakeIsAnswered(t *testing.T) {
	for k := range typed.Kinds {
		m := typed.Mistake{Kind: k, About: "harvest", Cooks: []string{"2026-09-18-supper"}, Names: []string{"brick"}}
		if enough := k == typed.Invalid || k == typed.NothingUndone; (afterMistake(m) == "") != enough {
			t.Errorf("mistake %d: next: %q", k, afterMistake(m))
		}
	}
}
