package history

import (
	"bytes"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
)

// Git attributes can make git change a file's bytes when it commits or checks out the
// file: see gitattributes(5). This file only finds out whether that happens; the git
// program does the change.
//
// Note: go-git's own package for attributes was tried and dropped: there, a rule of
// lower precedence overrides one of higher.

// rule is one line of an attributes file.
type rule struct {
	match *regexp.Regexp // matches paths below the repository's top; nil matches none
	macro string         // name of the macro that the line defines; "" for a pattern line
	set   []attribute
}

// attribute is a name and its value: "true", "false" (written with a dash before the
// name), "" (unset, written with "!"), or another value.
type attribute struct{ name, value string }

// attributes reads attributes files. It reads each file once.
type attributes struct {
	repo  *Repo
	set   *settings
	files map[[2]string][]rule // rules read so far, by file name and folder
}

func (r *Repo) attributes(set *settings) *attributes {
	return &attributes{repo: r, set: set, files: map[[2]string][]rule{}}
}

// file returns the rules of the attributes file name, which applies to the folder dir.
// If it cannot be read, there are none.
func (as *attributes) file(name, dir string, macros bool) []rule {
	key := [2]string{name, dir}
	rules, known := as.files[key]
	if known {
		return rules
	}
	if data, err := readRegular(name); err == nil {
		rules = parseAttributes(data, dir, macros, as.set.isTrue("core.ignorecase"))
	}
	as.files[key] = rules
	return rules
}

// rulesFor returns the rules that may apply to path p. Later rules take precedence.
func (as *attributes) rulesFor(p string) []rule {
	r, s := as.repo, as.set
	rules := []rule{{macro: "binary", set: []attribute{{"diff", "false"}, {"merge", "false"}, {"text", "false"}}}}
	add := func(name, dir string, macros bool) {
		rules = append(rules, as.file(name, dir, macros)...)
	}
	add(systemAttributes, "", true)
	if name, ok := s.get("core.attributesfile"); ok {
		add(expand(name, r.root), "", true)
	} else if dir := gitHome(); dir != "" {
		add(filepath.Join(dir, "attributes"), "", true)
	}
	dirs := []string{""}
	for i, c := range p {
		if c == '/' {
			dirs = append(dirs, p[:i])
		}
	}
	for _, dir := range dirs {
		add(filepath.Join(r.root, filepath.FromSlash(dir), ".gitattributes"), dir, dir == "")
	}
	add(filepath.Join(r.common, "info", "attributes"), "", true)
	return rules
}

// systemAttributes is the attributes file of the whole machine.
const systemAttributes = "/etc/gitattributes"

// parseAttributes parses an attributes file of the folder dir, a path below the top.
func parseAttributes(data []byte, dir string, macros, fold bool) []rule {
	var rules []rule
	for line := range bytes.Lines(bytes.TrimPrefix(data, []byte("\ufeff"))) {
		text := strings.TrimSpace(string(line))
		if text == "" || strings.HasPrefix(text, "#") {
			continue
		}
		pattern, rest := "", ""
		if quoted, err := strconv.QuotedPrefix(text); err == nil && text[0] == '"' {
			pattern, _ = strconv.Unquote(quoted)
			rest = text[len(quoted):]
		} else {
			end := strings.IndexAny(text, " \t")
			if end < 0 {
				continue
			}
			pattern, rest = text[:end], text[end:]
		}
		ru := rule{}
		if name, ok := strings.CutPrefix(pattern, "[attr]"); ok {
			if !macros {
				continue
			}
			ru.macro = name
		} else {
			ru.match = pathPattern(pattern, dir, fold)
		}
		for _, word := range strings.Fields(rest) {
			name, value, valued := strings.Cut(word, "=")
			switch {
			case strings.HasPrefix(word, "-"):
				name, value = word[1:], "false"
			case strings.HasPrefix(word, "!"):
				name, value = word[1:], ""
			case !valued:
				value = "true"
			}
			ru.set = append(ru.set, attribute{name, value})
		}
		rules = append(rules, ru)
	}
	return rules
}

// pathPattern returns a regular expression for a pattern of an attributes file in dir.
// A pattern without a slash matches a file name anywhere below dir. It returns nil for
// a pattern that matches no file.
func pathPattern(pattern, dir string, fold bool) *regexp.Regexp {
	if pattern == "" || pattern[0] == '!' || strings.HasSuffix(pattern, "/") {
		return nil // git matches none of these against a file
	}
	if !strings.Contains(pattern, "/") {
		pattern = "**/" + pattern
	}
	pattern = strings.TrimPrefix(pattern, "/")
	if dir != "" {
		pattern = globLiteral(dir) + "/" + pattern
	}
	return glob(pattern, fold)
}

// globLiteral returns a glob pattern that matches only s.
func globLiteral(s string) string {
	return strings.NewReplacer(`\`, `\\`, `*`, `\*`, `?`, `\?`, `[`, `\[`).Replace(s)
}

// attributesOf returns the attributes that the rules give to path p.
func attributesOf(rules []rule, p string) map[string]string {
	got := map[string]string{}
	var fill func(set []attribute)
	fill = func(set []attribute) {
		for i := len(set) - 1; i >= 0; i-- {
			a := set[i]
			if _, known := got[a.name]; known {
				continue
			}
			got[a.name] = a.value
			if a.value != "true" {
				continue
			}
			for k := len(rules) - 1; k >= 0; k-- {
				if rules[k].macro == a.name {
					fill(rules[k].set)
					break
				}
			}
		}
	}
	for i := len(rules) - 1; i >= 0; i-- {
		if ru := rules[i]; ru.macro == "" && ru.match != nil && ru.match.MatchString(p) {
			fill(ru.set)
		}
	}
	return got
}

// conversion is what git does to a file's bytes when it commits the file.
type conversion struct {
	filter   string // name of the filter from the user's settings; "" for none
	encoding string // encoding of the file on disk; "" for UTF-8
	ident    bool   // "$Id$" is replaced by the blob's hash
	text     bool   // CR LF becomes LF
	crlf     bool   // LF becomes CR LF on checkout
}

// conversion returns what git does to the file at path p below the top.
func (as *attributes) conversion(p string) conversion {
	s := as.set
	a := attributesOf(as.rulesFor(p), p)
	var c conversion
	if f := a["filter"]; f != "true" && f != "false" {
		c.filter = f
	}
	switch e := a["working-tree-encoding"]; strings.ToUpper(e) {
	case "TRUE", "FALSE", "UTF-8", "UTF8":
	default:
		c.encoding = e
	}
	c.ident = a["ident"] == "true"
	auto, _ := s.get("core.autocrlf")
	text := a["text"]
	if text == "" {
		switch a["crlf"] { // the old name of the text attribute
		case "true", "false":
			text = a["crlf"]
		case "input":
			text = "true"
		}
	}
	eol := a["eol"]
	if text == "" && (eol == "lf" || eol == "crlf") {
		text = "true"
	}
	usual, _ := s.get("core.eol")
	switch {
	case text == "false":
	case text != "":
		c.text = true
		c.crlf = eol == "crlf" || eol != "lf" && (isYes(auto) || !strings.EqualFold(auto, "input") && usual == "crlf")
	default:
		c.text = isYes(auto) || strings.EqualFold(auto, "input")
		c.crlf = isYes(auto)
	}
	return c
}

// in names the attributes that would change data when it is committed, as words for a
// message; "" if none would.
func (c conversion) in(data []byte) string {
	switch {
	case c.filter != "":
		return "the filter " + strconv.Quote(c.filter)
	case c.encoding != "":
		return "the encoding " + strconv.Quote(c.encoding)
	case c.ident && bytes.Contains(data, []byte("$Id")):
		return "the attribute ident"
	case c.text && bytes.Contains(data, []byte("\r\n")):
		return "line ends"
	}
	return ""
}

// out reports whether git may change the file's bytes on checkout.
func (c conversion) out() bool { return c.filter != "" || c.encoding != "" || c.ident || c.crlf }
