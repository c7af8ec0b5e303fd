package shorthand

import (
	"slices"
	"strconv"
	"strings"
)

// Number words as voice dictation writes them.
var (
	units = map[string]int{"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9}
	teens = map[string]int{"ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19}
	tens  = map[string]int{"twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90}
)

// leastSpoken is the lowest spoken number that is a reading (chosen). A smaller one
// counts something.
const leastSpoken = 30

// readOf are words that name what was read. readJoins are the words that may come
// between such a word and its number.
var (
	readOf    = newWords(lists["$pit"] + "|" + lists["$core"] + "|" + lists["$meat"] + "|temp|degrees")
	readJoins = newWords(lists["$reads"])
)

// longestSpoken is the largest number of words in one number: "two hundred and thirty
// five".
const longestSpoken = 5

// readSpoken replaces number words by digits, "two forty" by 240, if the words around
// them show that they are a reading. "at two forty" alone is a time.
func readSpoken(toks []token, pieces []string) []token {
	for i := 0; i < len(toks); i++ {
		n, end := spokenNumber(toks, i)
		minus := i > 0 && toks[i-1].low == "minus"
		if low := toks[i].low; minus && n == 0 && units[low]+teens[low] > 0 {
			n, end = units[low]+teens[low], i+1
		}
		if n < leastSpoken && !(minus && n > 0) || end < len(toks) && (toks[end].low == "past" || toks[end].low == "to") || !minus && !namesReading(toks, i, end, pieces) {
			continue
		}
		t := toks[i]
		t.text = strconv.Itoa(n)
		t.low, t.to, t.comma, t.asks = t.text, toks[end-1].to, toks[end-1].comma, toks[end-1].asks
		toks = append(append(toks[:i:i], t), toks[end:]...)
	}
	return toks
}

// namesReading reports whether a word that names a reading comes just after the number,
// or before it with only joining words between.
func namesReading(toks []token, i, end int, pieces []string) bool {
	reads := func(low string) bool {
		low = strings.TrimSuffix(low, "'s")
		return readOf.has(low) || slices.ContainsFunc(pieces, func(name string) bool { return strings.EqualFold(name, low) })
	}
	if end < len(toks) && !toks[end-1].comma && reads(toks[end].low) {
		return true
	}
	for k := i - 1; k >= 0 && !toks[k].comma; k-- {
		if reads(toks[k].low) {
			return true
		}
		if !readJoins.has(toks[k].low) && !inside.has(toks[k].low) {
			return false
		}
	}
	return false
}

// spokenNumber reads "forty eight", "two forty", "one fifty-two", "one oh five" or "two
// hundred and five" at token i. n is 0 if there is none; end is the index of the token
// after it.
func spokenNumber(toks []token, i int) (n, end int) {
	first, _, _ := strings.Cut(toks[i].low, "-")
	if units[first] == 0 && teens[first] == 0 && tens[first] == 0 && first != "a" {
		return 0, i
	}
	var words []string
	var ends []int
	for k := i; k < min(len(toks), i+longestSpoken); k++ {
		for w := range strings.SplitSeq(toks[k].low, "-") {
			words, ends = append(words, w), append(ends, k+1)
		}
		if toks[k].comma {
			break
		}
	}
	at := 0
	next := func() string {
		if at < len(words) {
			return words[at]
		}
		return ""
	}
	below := func() int { // 1 to 99
		if v := teens[next()]; v > 0 {
			at++
			return v
		}
		v := tens[next()]
		if v > 0 {
			at++
		}
		if u := units[next()]; u > 0 {
			v += u
			at++
		}
		return v
	}
	hundreds := units[next()]
	if hundreds == 0 && next() == "a" && len(words) > 1 && words[1] == "hundred" {
		hundreds = 1
	}
	if hundreds > 0 {
		at++
		switch w := next(); {
		case w == "hundred":
			if at++; next() == "and" {
				at++
			}
			n = 100*hundreds + below()
		case (w == "oh" || w == "o") && at+1 < len(words) && units[words[at+1]] > 0:
			n, at = 100*hundreds+units[words[at+1]], at+2
		case tens[w] > 0 || teens[w] > 0:
			n = 100*hundreds + below()
		case units[w] > 0: // figure by figure: "one one three"
			n = 10*hundreds + units[w]
			if at++; units[next()] > 0 || next() == "oh" || next() == "zero" {
				n = 10*n + units[next()]
				at++
			}
		default:
			return 0, i
		}
	} else {
		n = below()
	}
	// the number ends inside a hyphenated word
	if at == 0 || at < len(words) && at > 0 && ends[at-1] == ends[min(at, len(words)-1)] {
		return 0, i
	}
	return n, ends[at-1]
}
