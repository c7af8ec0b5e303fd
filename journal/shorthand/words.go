package shorthand

import (
	"strings"

	"ashbook/journal"
)

// aim is the first word of the two settings "aim pit" and "aim core".
const aim = "aim"

// actWord is a word that names an act.
type actWord struct {
	word string
	act  journal.Act // SetPit for "aim"
}

var actWords = func() []actWord {
	var all []actWord
	for _, a := range journal.Acts() {
		switch a {
		case journal.SetPit:
			all = append(all, actWord{aim, a})
		case journal.SetCore:
		default:
			all = append(all, actWord{a.Word(), a})
		}
	}
	return all
}()

// letters maps each single letter to the act it stands for. A letter wins over the
// beginning of a word: w is wood, not wrap.
var letters = func() map[byte]journal.Act {
	all := map[byte]journal.Act{}
	for _, a := range journal.Acts() {
		if a.Key() != 0 {
			all[a.Key()] = a
		}
	}
	return all
}()

// glues are the acts whose letter may be joined to its number: r30, but not l8r.
var glues = map[journal.Act]bool{journal.ReadCore: true, journal.Bark: true, journal.Feel: true, journal.Recheck: true, journal.AddWood: true, journal.AddFuel: true, journal.Vent: true}

// found is what a token may name: one act, several, or none.
type found struct {
	act    journal.Act
	rest   string   // what is joined to a letter: the 30 of r30
	exact  bool     // the whole word was typed
	shared []string // all words with this beginning, if there are several
}

// tooCommon are everyday words that are also beginnings of acts; they do not name an
// act.
var tooCommon = newWords("of|so|we|be|se|set|her|he|no|as|a|i|in|water|was|for|are|ov|our|out|the|up")

// lookup returns the acts that the token may name.
func lookup(text string) found {
	s := strings.ToLower(text)
	for _, w := range actWords {
		if w.word == s {
			return found{act: w.act, exact: true}
		}
	}
	if act, ok := letters[s[0]]; ok && (len(s) == 1 || isDigit(s[1]) && glues[act]) {
		return found{act: act, rest: text[1:]}
	}
	var f found
	if tooCommon.has(s) {
		return f
	}
	for _, w := range actWords {
		if strings.HasPrefix(w.word, s) {
			f.act = w.act
			f.shared = append(f.shared, w.word)
		}
	}
	if len(f.shared) == 1 {
		f.shared = nil
	} else {
		f.act = journal.NoAct
	}
	return f
}

// matches returns the names that begin with s, ignoring case. If one equals s, it
// returns only that one.
func matches(s string, names []string) []string {
	var all []string
	for _, n := range names {
		if strings.EqualFold(n, s) {
			return []string{n}
		}
		if begins(n, s) {
			all = append(all, n)
		}
	}
	return all
}

// begins reports whether name begins with s, ignoring case.
func begins(name, s string) bool {
	_, ok := ending(name, s)
	return ok
}

// ending returns the part of name after s, ignoring case. ok is false if name does not
// begin with s.
func ending(name, s string) (string, bool) {
	rest := []rune(name)
	n := len([]rune(s))
	if n > len(rest) || !strings.EqualFold(string(rest[:n]), s) {
		return "", false
	}
	return string(rest[n:]), true
}

// Limits on the similar words shown for an unknown one.
const (
	nearestShown = 3
	nearestEdits = 2
)

// nearest returns the act words and piece names most similar to word.
func nearest(word string, pieces []string) []string {
	var names []string
	for _, w := range actWords {
		names = append(names, w.word)
	}
	return Nearest(word, append(names, pieces...))
}

// Nearest returns up to three names similar to word: those few letters away, or if
// there are none those with the same first letter.
func Nearest(word string, names []string) []string {
	word = strings.ToLower(word)
	fewest := nearestEdits
	var nearby, alike []string
	for _, name := range names {
		lower := strings.ToLower(name)
		n := edits(word, lower)
		if n < fewest {
			fewest, nearby = n, nil
		}
		if n == fewest && n < min(len(word), len(name)) {
			nearby = append(nearby, name)
		}
		if word != "" && lower != "" && lower[0] == word[0] {
			alike = append(alike, name)
		}
	}
	if len(nearby) == 0 {
		nearby = alike
	}
	return nearby[:min(nearestShown, len(nearby))]
}

// edits returns the number of letters added, removed or changed between two words
// (Levenshtein 1966).
func edits(a, b string) int {
	ra, rb := []rune(a), []rune(b)
	if d := len(ra) - len(rb); d > nearestEdits || -d > nearestEdits {
		return nearestEdits + 1
	}
	row := make([]int, len(rb)+1)
	for j := range row {
		row[j] = j
	}
	for i, x := range ra {
		diagonal := row[0]
		row[0] = i + 1
		for j, y := range rb {
			changed := diagonal
			if x != y {
				changed++
			}
			diagonal = row[j+1]
			row[j+1] = min(changed, diagonal+1, row[j]+1)
		}
	}
	return row[len(rb)]
}
