package typed

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"ashbook/journal"
)

// Tastes splits arguments into the words that name a cook and the eaters' scores. An
// eater is the word before the first score. Without an eater, all words name the cook.
func Tastes(args []string) (ref []string, tastes []journal.Taste, err error) {
	first := slices.IndexFunc(args, isScores)
	switch first {
	case -1:
		return args, nil, nil
	case 0:
		return nil, nil, fmt.Errorf("no eater before the scores in %q: expected initials, then six scores", strings.Join(args, " "))
	}
	ref = args[:first-1]
	for i := first - 1; i < len(args); {
		t := journal.Taste{Eater: args[i]}
		i++
		n := 0
		for ; i < len(args) && isScores(args[i]); i++ {
			for _, s := range splitScores(args[i]) {
				if n == len(t.Scores) {
					return nil, nil, fmt.Errorf("%s has more than six scores", t.Eater)
				}
				if s != "." {
					if t.Scores[n], err = journal.ParseScore(s); err != nil {
						return nil, nil, fmt.Errorf("%s, %s: %v", t.Eater, journal.Traits[n], err)
					}
				}
				n++
			}
		}
		if n != len(t.Scores) {
			return nil, nil, fmt.Errorf("%s has %d of six scores; type a lone . to skip one", t.Eater, n)
		}
		if slices.ContainsFunc(tastes, func(o journal.Taste) bool { return strings.EqualFold(o.Eater, t.Eater) }) {
			return nil, nil, fmt.Errorf("%s is there twice", t.Eater)
		}
		tastes = append(tastes, t)
	}
	return ref, tastes, nil
}

// isScores reports whether an argument is one score, or about six scores written
// together. A year or a day, which names a cook, is not.
func isScores(s string) bool {
	if s == "" || strings.Trim(s, "0123456789+-.") != "" || !unicode.IsDigit(rune(s[0])) && s[0] != '.' {
		return false
	}
	_, day := journal.DateOfID(s)
	n := len(splitScores(s))
	return !day && (n == 1 || n >= 5)
}

// splitScores splits joined scores: "8776+58".
func splitScores(s string) []string {
	var out []string
	for _, r := range s {
		if (r == '+' || r == '-') && len(out) > 0 {
			out[len(out)-1] += string(r)
			continue
		}
		out = append(out, fmt.Sprintf("%c", r))
	}
	return out
}
