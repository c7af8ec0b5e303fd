package main

import (
	"testing"

	"ashbook/cmd/ashbook/internal/app"
)

// Every mistake says what to type next, but for those whose text says enough.
func TestEveryMistakeIsAnswered(t *testing.T) {
	for k := range app.Kinds {
		m := app.Mistake{Kind: k, About: "harvest", Cooks: []string{"2026-09-18-supper"}, Names: []string{"brick"}}
		if enough := k == app.Invalid || k == app.NothingUndone; (instead(m) == "") != enough {
			t.Errorf("mistake %d: next: %q", k, instead(m))
		}
	}
}
