package blocks

import "strings"

// plain reads a text of headings with #, list items that begin with a letter or a
// digit, lines of words and blank lines, as most cooks are. None of these can hide a
// line or depend on another. ok is false for any other text, which needs the parser.
//
// Note: the parser takes a third of the time of reading a cook.
func plain(whole string, from int) (heads []Heading, ok bool) {
	for off := from; off < len(whole); {
		line, next := LineAt(whole, off)
		words := strings.TrimLeft(line, " ")
		indent := len(line) - len(words)
		switch {
		case indent > 3:
			return nil, false
		case words == "":
		case words[0] == '#':
			rest := strings.TrimLeft(words, "#")
			level := len(words) - len(rest)
			title := strings.Join(strings.Fields(rest), " ")
			if indent > 0 || level > 6 || title == "" || rest[0] != ' ' || strings.HasSuffix(title, "#") {
				return nil, false
			}
			heads = append(heads, Heading{Span{off, next}, level, title})
		case strings.HasPrefix(words, "- "):
			if !beginsWord(words[2:]) {
				return nil, false
			}
		case !beginsWord(words):
			return nil, false
		}
		off = next
	}
	return heads, true
}

// beginsWord reports whether a text begins with a letter, or with a digit that is not
// the number of a list item.
func beginsWord(s string) bool {
	n := 0
	for n < len(s) && '0' <= s[n] && s[n] <= '9' {
		n++
	}
	switch {
	case n == len(s):
		return n > 0
	case n > 0:
		return s[n] != '.' && s[n] != ')'
	}
	return s[0] >= 0x80 || 'a' <= s[0]|0x20 && s[0]|0x20 <= 'z'
}
