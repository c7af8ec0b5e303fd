package measure

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// cutNumber splits the decimal number off the start of s, with its decimal comma
// replaced by a point.
func cutNumber(s string) (num, rest string) {
	i := 0
	if strings.HasPrefix(s, "−") {
		s = "-" + s[len("−"):]
	}
	if i < len(s) && (s[i] == '-' || s[i] == '+') {
		i++
	}
	start := i
	for i < len(s) && isDigit(s[i]) {
		i++
	}
	digits := i - start
	if i < len(s) && (s[i] == '.' || s[i] == ',') {
		j := i + 1
		for j < len(s) && isDigit(s[j]) {
			j++
		}
		after := j - i - 1
		grouped := s[i] == ',' && (after == 3 || after == 0)
		if after+digits > 0 && !grouped {
			digits += after
			i = j
		} else if grouped && after == 3 {
			return "", s
		}
	}
	if digits == 0 {
		return "", s
	}
	return strings.Replace(s[:i], ",", ".", 1), s[i:]
}

// cutUnit splits letters and the signs ° % / " off the start of s.
func cutUnit(s string) (unit, rest string) {
	i := 0
	for i < len(s) {
		r, n := utf8.DecodeRuneInString(s[i:])
		if !unicode.IsLetter(r) && !strings.ContainsRune(`°º%/"`, r) {
			break
		}
		i += n
		if (r == '°' || r == 'º') && i < len(s) && s[i] == ' ' {
			i++
		}
	}
	return s[:i], s[i:]
}

func findUnit(units []unitName, word string) (Unit, bool) {
	if word == "" {
		return Unit{}, false
	}
	for _, u := range units {
		if u.Symbol == word {
			return u.Unit, true
		}
	}
	lower := strings.ToLower(strings.ReplaceAll(word, " ", ""))
	for _, u := range units {
		if strings.ToLower(u.Symbol) == lower {
			return u.Unit, true
		}
		for _, a := range u.also {
			if a == lower {
				return u.Unit, true
			}
		}
	}
	return Unit{}, false
}

// smaller returns the next smaller unit of the same system: minutes for hours, ounces
// for pounds.
func smaller(units []unitName, than Unit) (Unit, bool) {
	var best Unit
	for _, u := range units {
		if u.System == than.System && u.Factor < than.Factor && u.Factor > best.Factor {
			best = u.Unit
		}
	}
	return best, best.Factor > 0
}

func unitList(units []unitName) string {
	names := make([]string, len(units))
	for i, u := range units {
		names[i] = u.Symbol
	}
	if len(names) == 1 {
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}

func firstWord(s string) string {
	if f := strings.Fields(s); len(f) > 0 {
		return f[0]
	}
	return s
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }
