package plain

import (
	"fmt"
	"strings"

	"ashbook/journal"
)

// taste asks each eater for each trait, and again after a mistyped score. It saves an
// eater once all traits were asked. At the end it asks what to keep and what to change.
func (t *Talk) taste() {
	t.say("Each from 1 to 9. A + after it means too much, a - too little. An empty answer skips one; stop ends without saving this eater.")
	for {
		who, ok := t.ask("Whose scores? Initials, or an empty line to end: ")
		if who = strings.TrimSpace(who); who == "" || stops[strings.ToLower(who)] {
			if ok {
				t.after(journal.ToKeep, journal.ToChange)
			}
			return
		}
		if err := tasteOf(who); err != nil {
			t.say("%v", err)
			continue
		}
		taste := journal.Taste{Eater: who}
		for _, trait := range journal.Traits {
			if !t.score(&taste, trait) {
				t.say("%s is not saved.", who)
				return
			}
		}
		if taste.Words, ok = t.ask("What did " + who + " say? Or an empty line: "); !ok {
			t.say("%s is not saved.", who)
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

// after asks for the texts written after a cook, and prints those that are there.
func (t *Talk) after(what ...journal.After) {
	for _, w := range what {
		c, err := t.port.Load(t.id)
		if err != nil {
			t.failed("this cook cannot be read", err)
			return
		}
		question := questions[w] + " Or nothing: "
		if now := w.Of(c.Cook); now != "" {
			t.say("Now: %s.", strings.TrimRight(now, "."))
			question = questions[w] + " An empty line leaves it, a lone . deletes it: "
		}
		answer, ok := t.ask(question)
		if answer = strings.TrimSpace(answer); !ok {
			return
		}
		switch strings.ToLower(answer) {
		case "", "nothing", "none", "no", "-":
			continue
		case ".":
			answer = ""
		}
		got, err := t.port.Write(t.id, w, answer)
		switch {
		case err != nil:
			t.failed("Not kept", err)
		case got.Is == "":
			t.say("Deleted: %s, %s.", w, got.Was)
		default:
			t.say("Kept: %s, %s.", w, strings.TrimRight(got.Is, "."))
		}
		for _, f := range got.Flags {
			t.say("Look: %s", f)
		}
	}
}

// questions are the questions for the texts written after a cook.
var questions = [len(journal.Afters)]string{
	journal.ToKeep: "What to keep next time?", journal.ToChange: "What to change next time?",
	journal.CameOff: "Weight as it came off?", journal.Discarded: "Bone and fat?", journal.LeftOver: "Meat left over?",
}

// stops are words that end the questions.
var stops = map[string]bool{"stop": true, "q": true, "no": true, "none": true, "nothing": true, "cancel": true}

func (t *Talk) score(taste *journal.Taste, trait journal.Trait) bool {
	for {
		answer, ok := t.ask(capital(trait.String()) + ": ")
		if !ok {
			return false
		}
		switch answer = strings.TrimSpace(answer); {
		case answer == "":
			return true
		case stops[strings.ToLower(answer)]:
			return false
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

// longestName is the largest number of letters in initials (chosen, as on the screen).
const longestName = 8

func tasteOf(who string) error {
	if strings.ContainsAny(who, " \t,:{}[]") || len([]rune(who)) > longestName {
		return fmt.Errorf("initials %q: expected one to %d letters", who, longestName)
	}
	return nil
}
