package shorthand

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// token is one word or number of the line before the dash.
type token struct {
	text  string // as typed, without the punctuation around it
	low   string // in lower case, spelled as in the tables
	col   int    // column of its first rune, from 1
	from  int    // byte range in the line, punctuation included
	to    int
	comma bool // the clause ends after this token
	asks  bool // a question mark follows
}

func (t token) errorf(format string, args ...any) error {
	return &Error{Word: t.text, Col: t.col, Text: fmt.Sprintf(format, args...)}
}

// scan splits the line into tokens and the words after the first dash. dash is the
// dash's byte offset; dashed is false if there is none.
func scan(line string) (toks []token, words string, dash int, dashed bool) {
	col, start, startCol := 0, -1, 0
	cut := func(end int) {
		if start >= 0 {
			toks = appendTokens(toks, line[start:end], start, startCol)
			start = -1
		}
	}
	for i, r := range line {
		col++
		switch {
		case unicode.IsSpace(r):
			cut(i)
		case start < 0:
			for _, dash := range []string{"--", "—"} {
				if after, ok := strings.CutPrefix(line[i:], dash); ok {
					return toks, strings.TrimSpace(after), i, true
				}
			}
			start, startCol = i, col
		}
	}
	cut(len(line))
	return toks, "", 0, false
}

// joinedUp removes dictated marks, such as "period" and "full stop", and ends a clause
// at a slash before a time: "0330 112 66 / 0400 111 67".
func joinedUp(toks []token, line string) []token {
	for i := 1; i < len(toks); i++ {
		t, last := toks[i], &toks[i-1]
		if strings.Contains(line[min(last.to, t.from):t.from], "/") {
			_, _, clock := journal.ParseClock(t.text)
			last.comma = last.comma || clock || len(t.text) == 4 && t.text[0] == '0' && t.bare()
		}
		n := 0
		if _, unit, ok := t.number(); ok && t.text[0] == '+' && (massUnit(unit) || unit == "" && i+1 < len(toks) && (massUnit(toks[i+1].text) || added(toks[i+1].low))) { // "+500 g", "+6 briqs"
			toks[i].text, toks[i].low = t.text[1:], t.low[1:]
		}
		switch {
		case t.low == "full-stop":
			n = 1
		case t.low == "full" && i+1 < len(toks) && toks[i+1].low == "stop":
			n = 2
		default:
			continue
		}
		last.comma, last.to = true, toks[i+n-1].to
		toks = append(toks[:i:i], toks[i+n:]...)
		i--
	}
	return toks
}

// added reports whether "+2" before the word can only add that much wood, fuel or water.
func added(low string) bool {
	return namesWood.has(low) || namesFuel.has(low) || trees.has(low) || low == "fist" || low == "fists" || low == "lit" || low == "litre" || low == "quart" || low == "qt" || low == "pint" || low == "cup" || low == "cups"
}

// appendTokens splits the text between two spaces into tokens: "112/71", "pit:",
// "@5:15", "71,".
func appendTokens(toks []token, word string, from, col int) []token {
	end := func() {
		if n := len(toks); n > 0 {
			toks[n-1].comma = true
		}
	}
	add := func(lo, hi int, comma, asks bool) {
		text := word[lo:hi]
		if text == "" {
			if comma {
				end()
			}
			return
		}
		toks = append(toks, token{text: text, low: plainWord(text), from: from + lo, to: from + hi, col: col + utf8.RuneCountInString(word[:lo]), comma: comma, asks: asks})
	}
	if word == "/" || word == "=" {
		return toks
	}
	if word == "-" || word == "–" {
		end()
		return toks
	}
	if strings.EqualFold(word, "w/") {
		add(0, len(word), false, false)
		return toks
	}
	lo, hi := 0, len(word)
	comma, asks := false, false
	for lo < hi && strings.IndexByte("(\"'[,;", word[lo]) >= 0 {
		if strings.IndexByte("(,;", word[lo]) >= 0 {
			end()
		}
		lo++
	}
	for lo < hi && strings.IndexByte(",;.!?:)]\"'", word[hi-1]) >= 0 {
		hi--
		asks = asks || word[hi] == '?'
		comma = comma || strings.IndexByte(",;.!?)", word[hi]) >= 0
	}
	if lo < hi && word[lo] == '@' {
		toks = append(toks, token{text: "@", low: "at", from: from + lo, to: from + lo + 1, col: col})
		lo++
	}
	for i := lo + 1; i+1 < hi; i++ {
		switch c := word[i]; {
		case c == ';' || c == '=' || c == ',' && !decimalComma(word[:hi], i) ||
			c == ':' && !isDigit(word[i-1]) && isDigit(word[i+1]) ||
			c == '/' && isDigit(word[i+1]) && !fraction(word[lo:hi]) && strings.ContainsAny(word[lo:i], "0123456789"):
			n := len(toks)
			add(lo, i, c == ';' || c == ',' && !(isDigit(word[i-1]) && isDigit(word[i+1])), false)
			if len(toks) > n {
				toks[len(toks)-1].to++
			}
			lo = i + 1
		}
	}
	if a, b, ok := strings.Cut(word[lo:hi], "-"); ok && len(toks) == 0 && len(a) > 1 && len(b) > 1 && (token{text: a}).bare() && (token{text: b}).bare() && (len(a) > len(b) || len(a) == len(b) && a > b) && a[0] != '0' && b[0] != '0' {
		// a falling pair such as "112-64" is pit and core; a rising pair is a range
		add(lo, lo+len(a), false, false)
		lo += len(a) + 1
	}
	add(lo, hi, comma, asks)
	if n := len(toks); n > 0 {
		toks[n-1].to = from + len(word)
		toks[n-1].comma, toks[n-1].asks = toks[n-1].comma || comma, toks[n-1].asks || asks
	}
	return toks
}

// decimalComma reports whether the comma at i is the decimal point of a number with one
// decimal: "71,5". If two or more digits follow, it separates two readings: "112,71".
func decimalComma(s string, i int) bool {
	return isDigit(s[i-1]) && isDigit(s[i+1]) && (i+2 == len(s) || !isDigit(s[i+2]))
}

// fraction reports whether s is a fraction, as of a vent or a chimney starter: "1/2",
// "3/4".
func fraction(s string) bool {
	s = s[signOf(s):]
	above, below, ok := strings.Cut(s, "/")
	return ok && len(above) == 1 && len(below) == 1 && isDigit(above[0]) && isDigit(below[0]) && above[0] < below[0]
}

// plainWord returns a word in the spelling of the tables: "colour" for "color".
func plainWord(s string) string {
	if s == "N" { // north
		return "n"
	}
	s = strings.ToLower(strings.ReplaceAll(s, "’", "'"))
	if same, ok := spellings[s]; ok {
		return same
	}
	if tree, ok := strings.CutSuffix(s, "wood"); ok && trees.has(tree) { // "applewood"
		return tree
	}
	return s
}

// spellings maps other spellings to those of the tables.
var spellings = map[string]string{
	"@": "at", "&": "and", "+": "and", "n": "and", "'n'": "and", "w/": "with", "oclock": "o'clock", "period": "full-stop", "p.m": "pm", "a.m": "am",
	"wraped": "wrapped", "dropt": "dropped", "wrapt": "wrapped", "btm": "bottom", "brickets": "briquettes", "brickettes": "briquettes", "brikets": "briquettes", "brikettes": "briquettes", "briks": "briqs", "spritzd": "spritzed", "spirtz": "spritz", "spritsed": "spritzed", "sprtized": "spritzed",
	"color": "colour", "til": "till", "'til": "till", "thru": "through", "half-past": "half", "mins": "min", "minit": "min", "minits": "min", "minute": "min", "minutes": "min", "hrs": "h", "hr": "h",
	"hour": "h", "hours": "h", "deg": "degrees", "degree": "degrees", "temperature": "temp",
}

// number splits a token into its leading number and the rest: "112" and "", "112" and
// "°C", or "1" and "h30".
func (t token) number() (num, unit string, ok bool) {
	s, i := t.text, 0
	if sign := signOf(s); sign > 0 {
		i = sign
	}
	start := i
	for i < len(s) && isDigit(s[i]) {
		i++
	}
	if i+1 < len(s) && (s[i] == '.' || s[i] == ',' && i > start) && isDigit(s[i+1]) {
		for i++; i < len(s) && isDigit(s[i]); i++ {
		}
	}
	if i == start {
		return "", "", false
	}
	if i < len(s) {
		if r, _ := utf8.DecodeRuneInString(s[i:]); !unicode.IsLetter(r) && !strings.ContainsRune(`°º%"`, r) {
			return "", "", false
		}
	}
	return s[:i], s[i:], true
}

// bare reports whether the token is a number without sign or unit.
func (t token) bare() bool {
	num, unit, ok := t.number()
	return ok && unit == "" && signOf(num) == 0
}

// signOf returns the length in bytes of a leading sign, 0 for none.
func signOf(s string) int {
	for _, sign := range []string{"-", "−", "+"} {
		if strings.HasPrefix(s, sign) {
			return len(sign)
		}
	}
	return 0
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

// Units that may follow a number after a space. A lone lower-case c, f or s is the
// letter of an act; C or F is a unit.

func temperatureUnit(s string) bool {
	if s == "c" || s == "f" || s == "" {
		return false
	}
	_, err := measure.ParseTemperature("1 "+s, measure.Metric)
	return err == nil && !isDigit(s[0])
}

func massUnit(s string) bool {
	if s == "" {
		return false
	}
	q, err := measure.ParseMass("1 "+s, measure.Metric)
	return err == nil && !q.Assumed && !isDigit(s[0])
}

func spanUnit(s string) bool {
	if strings.EqualFold(s, "s") || s == "" {
		return false
	}
	q, err := measure.ParseSpan("1 " + s)
	return err == nil && !q.Assumed && !isDigit(s[0])
}
