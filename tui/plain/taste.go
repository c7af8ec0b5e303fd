package plain

import (
	"fmt"
	"strings"

	"ashbook/journal"
	"ashbook/report/page"
)

// taste asks eater by eater, trait by trait. A mistyped score is asked again; an eater
// is kept when all were asked.
func (t *Talk) taste() {
	t.say("Each from 1 to 9. A + behind it says too much, a - too little; nothing leaves it out.")
	for {
		who, ok := t.ask("Whose scores? Initials, or nothing to end: ")
		if who = strings.TrimSpace(who); !ok || who == "" {
			return
		}
		if err := tasteOf(who); err != nil {
			t.say("%v", err)
			continue
		}
		taste := journal.Taste{Eater: who}
		for _, trait := range journal.Traits {
			if !t.score(&taste, trait) {
				t.say("%s is not kept.", who)
				return
			}
		}
		if taste.Words, ok = t.ask("What did " + page.Clean(who) + " say? Or nothing: "); !ok {
			t.say("%s is not kept.", who)
			return
		}
		taste.Words = strings.TrimSpace(taste.Words)
		if err := t.port.Taste(t.id, taste); err != nil {
			t.failed("Not kept", err)
			continue
		}
		var said []string
		for _, trait := range journal.Traits {
			if s := taste.Scores[trait].String(); s != "" {
				said = append(said, trait.String()+" "+s)
			}
		}
		t.say("Kept: %s, %s.", who, strings.Join(said, ", "))
	}
}

func (t *Talk) score(taste *journal.Taste, trait journal.Trait) bool {
	for {
		answer, ok := t.ask(capital(trait.String()) + ": ")
		if !ok {
			return false
		}
		if strings.TrimSpace(answer) == "" {
			return true
		}
		s, err := journal.ParseScore(answer)
		if err == nil {
			taste.Scores[trait] = s
			return true
		}
		t.say("%v.", err)
	}
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// longestName is how many letters initials may have (chosen, as on the screen).
const longestName = 8

func tasteOf(who string) error {
	if strings.ContainsAny(who, " \t,:{}[]") || len([]rune(who)) > longestName {
		return fmt.Errorf("initials %q: expected one to %d letters", who, longestName)
	}
	return nil
}
