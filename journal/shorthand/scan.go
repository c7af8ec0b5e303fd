package shorthand

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"ashbook/journal/measure"
)

// token is one word of the line before the dash.
type token struct {
	text  string
	col   int  // of its first rune, from 1
	comma bool // a comma follows
}

func (t token) errorf(format string, args ...any) error {
	return &Error{Word: t.text, Col: t.col, Text: fmt.Sprintf(format, args...)}
}

// scan splits the line into its tokens and the words after the first dash,
// which stands at byte dash; dashed is false where there is none. A comma parts tokens, except between
// two digits.
func scan(line string) (toks []token, words string, dash int, dashed bool) {
	col, start, startCol := 0, -1, 0
	cut := func(end int) {
		if start >= 0 {
			toks = append(toks, token{text: line[start:end], col: startCol})
			start = -1
		}
	}
	for i, r := range line {
		col++
		switch {
		case unicode.IsSpace(r):
			cut(i)
		case r == ',' && !(i > 0 && isDigit(line[i-1]) && i+1 < len(line) && isDigit(line[i+1])):
			cut(i)
			if n := len(toks); n > 0 {
				toks[n-1].comma = true
			}
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

// number splits a token into a leading number and what is glued to it:
// "112", "", or "112", "°C", or "1", "h30".
func (t token) number() (num, unit string, ok bool) {
	s, i := t.text, 0
	if sign := signOf(s); sign > 0 {
		i = sign
	}
	start := i
	for i < len(s) && isDigit(s[i]) {
		i++
	}
	if i+1 < len(s) && (s[i] == '.' || s[i] == ',') && isDigit(s[i+1]) {
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

// signOf returns the length of a leading sign.
func signOf(s string) int {
	for _, sign := range []string{"-", "−", "+"} {
		if strings.HasPrefix(s, sign) {
			return len(sign)
		}
	}
	return 0
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

// The units that may stand apart from their number. A lone small c, f or s is
// the letter of an act; a large C or F is the unit.

func temperatureUnit(s string) bool {
	if s == "c" || s == "f" {
		return false
	}
	_, err := measure.ParseTemperature("1 "+s, measure.Metric)
	return err == nil && !isDigit(s[0])
}

func massUnit(s string) bool {
	q, err := measure.ParseMass("1 "+s, measure.Metric)
	return err == nil && !q.Assumed && !isDigit(s[0])
}

func spanUnit(s string) bool {
	if strings.EqualFold(s, "s") {
		return false
	}
	q, err := measure.ParseSpan("1 " + s)
	return err == nil && !q.Assumed && !isDigit(s[0])
}
