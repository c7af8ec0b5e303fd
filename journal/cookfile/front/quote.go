package front

import (
	"fmt"
	"strings"
	"unicode"
)

// Quote formats words as a YAML scalar: without quotes if YAML reads them back so.
// Inside braces and brackets (flow) more words need quotes.
func Quote(s string, flow bool) string {
	if plainScalar(s, flow) {
		return s
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case r == ' ' || unicode.IsPrint(r):
			b.WriteRune(r)
		case r > 0xffff:
			fmt.Fprintf(&b, `\U%08x`, r)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// plainScalar reports whether YAML reads the words back without quotes (YAML 1.2,
// section 7.3.3). It returns false for some rare ones that YAML would.
func plainScalar(s string, flow bool) bool {
	switch strings.ToLower(s) {
	case "", "~", "null", "-", "<<":
		return false
	}
	if strings.ContainsRune("?:,[]{}#&*!|>'\"%@`=", rune(s[0])) || s[0] == '-' && strings.ContainsAny(s[1:2], " -,[]{}") {
		return false
	}
	if strings.HasPrefix(s, " ") || strings.HasSuffix(s, " ") || strings.HasSuffix(s, ":") ||
		strings.HasPrefix(s, "...") || strings.Contains(s, ": ") || strings.Contains(s, " #") {
		return false
	}
	if flow && strings.ContainsAny(s, ",[]{}") {
		return false
	}
	return !strings.ContainsFunc(s, func(r rune) bool { return r != ' ' && !unicode.IsPrint(r) })
}
