package tasting

import (
	"fmt"
	"strings"
	"unicode"

	"ashbook/journal"
)

// longestEater is the largest number of letters in initials (chosen).
const longestEater = 8

func checkEater(text string) error {
	n := 0
	for _, r := range text {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '.' && r != '-' {
			return fmt.Errorf("initials %q: expected letters, no spaces", text)
		}
		n++
	}
	if n == 0 || n > longestEater {
		return fmt.Errorf("initials %q: expected one to %d letters", text, longestEater)
	}
	return nil
}

// parseRound parses one eater's round typed at once: initials, then one digit for each
// trait in order, then what the eater said: "RT 8766+78 lovely". 0 means not given; +
// or - after a digit means too much or too little. given is how many traits were read,
// also on an error.
func parseRound(text string) (t journal.Taste, given int, err error) {
	name, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	if err := checkEater(name); err != nil {
		return t, 0, err
	}
	t.Eater = name
	for given < len(t.Scores) {
		rest = strings.TrimLeft(rest, " ,")
		if rest == "" || rest[0] < '0' || rest[0] > '9' {
			break
		}
		end := 1
		for _, lean := range []string{"+", "-", "−"} {
			if strings.HasPrefix(rest[1:], lean) {
				end += len(lean)
			}
		}
		if rest[0] != '0' {
			sc, err := journal.ParseScore(rest[:end])
			if err != nil {
				return t, given, err
			}
			t.Scores[given] = sc
		}
		rest = rest[end:]
		given++
	}
	if given < len(t.Scores) {
		return t, given, fmt.Errorf("scores of %s: %d given, expected %d; %s comes next", name, given, len(t.Scores), journal.Traits[given])
	}
	if rest != "" && rest[0] >= '0' && rest[0] <= '9' {
		return t, given, fmt.Errorf("scores of %s: more than %d given", name, len(t.Scores))
	}
	t.Words = strings.TrimSpace(rest)
	return t, given, nil
}
