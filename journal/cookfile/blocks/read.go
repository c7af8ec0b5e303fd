package blocks

import (
	"bytes"
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// markdown parses only blocks, since nothing inside a line has a structure here. It
// does not parse link reference definitions either, so that no line disappears.
var markdown = parser.NewParser(parser.WithBlockParsers(
	util.Prioritized(parser.NewSetextHeadingParser(), 100),
	util.Prioritized(parser.NewThematicBreakParser(), 200),
	util.Prioritized(parser.NewListParser(), 300),
	util.Prioritized(parser.NewListItemParser(), 400),
	util.Prioritized(parser.NewCodeBlockParser(), 500),
	util.Prioritized(parser.NewATXHeadingParser(), 600),
	util.Prioritized(parser.NewFencedCodeBlockParser(), 700),
	util.Prioritized(parser.NewBlockquoteParser(), 800),
	util.Prioritized(parser.NewHTMLBlockParser(), 900),
	util.Prioritized(parser.NewParagraphParser(), 1000),
))

// mostOpen is the largest number of unclosed blocks that are turned into text, since
// each needs another parse of the whole text. After that, an unclosed block hides
// everything below it (chosen: the five kinds of HTML, the two fences, and one more
// fence width).
const mostOpen = 8

// Read reads the blocks of a text from an offset on. Of a conflict that begins above
// it, only the first version is text.
func Read(whole string, from int) *Structure {
	s := &Structure{text: whole, from: from}
	conflicts := FindConflicts(whole)
	if heads, ok := plain(whole, from); ok && len(conflicts) == 0 {
		s.Headings = heads
		return s
	}
	s.parse(conflicts)
	return s
}

// parse reads the blocks with the parser.
func (s *Structure) parse(conflicts []Conflict) {
	from := s.from
	src := []byte(s.text[from:])
	for _, c := range conflicts {
		marks := c.Marks
		if c.From < from {
			marks = append(marks, c.Second)
		}
		for _, m := range marks {
			if m.From >= from {
				blank(src[m.From-from : m.To-from])
				s.marks = append(s.marks, m)
			}
		}
	}
	slices.SortFunc(s.marks, func(a, b Span) int { return a.From - b.From })
	flatten(src)
	for range mostOpen {
		s.Headings, s.Tasks, s.hidden = nil, nil, nil
		r := reader{Structure: s, src: src}
		r.walk(markdown.Parse(text.NewReader(src)), 0)
		if r.open == nil || len(s.Open) == mostOpen-1 {
			break
		}
		s.Open = append(s.Open, Open{from + r.open.at, r.open.close})
		r.open.reveal(src)
	}
	slices.SortStableFunc(s.Open, func(a, b Open) int { return a.At - b.At })
}

// deepest is how many lists and quotes may begin on one line, and widest how many
// columns a line may be indented. Deeper nesting is text. This limits the time that a
// hostile text costs (chosen: a cook nests one list in another).
const (
	deepest = 8
	widest  = 32
)

// flatten turns blocks that are nested too deep into text.
func flatten(src []byte) {
	for off := 0; off < len(src); {
		end := bytes.IndexByte(src[off:], '\n')
		if end < 0 {
			end = len(src) - off
		}
		flattenLine(src[off : off+end])
		off += end + 1
	}
}

func flattenLine(line []byte) {
	depth, indent := 0, 0
	for i, c := range line {
		switch {
		case c == ' ':
			indent++
		case c == '\t':
			indent += 4
		case c == '>':
			depth++
		case c >= '0' && c <= '9':
		case strings.IndexByte("-+*.)", c) >= 0:
			if i+1 < len(line) && line[i+1] != ' ' && line[i+1] != '\t' {
				return
			}
			depth++
		default:
			return
		}
		if depth > deepest && !broken(line) || indent > widest {
			line[i] = 'x'
			return
		}
	}
}

// broken reports whether a line is a thematic break, which may be of any length.
func broken(line []byte) bool {
	signs := bytes.Trim(line, " \t\r")
	return len(bytes.Trim(signs, "- \t")) == 0 || len(bytes.Trim(signs, "* \t")) == 0
}

// reader collects results while it walks the parsed nodes.
type reader struct {
	*Structure
	src  []byte
	open *unclosed // a block that is never closed
}

func (r *reader) walk(parent ast.Node, depth int) {
	for n := parent.FirstChild(); n != nil; n = n.NextSibling() {
		switch n := n.(type) {
		case *ast.Heading:
			if depth == 0 {
				r.heading(n)
			}
		case *ast.FencedCodeBlock:
			r.fenced(n)
		case *ast.CodeBlock:
			r.hide(n.Lines().At(0).Start, r.end(n.Lines()), Code)
		case *ast.HTMLBlock:
			r.html(n)
		case *ast.ListItem:
			r.task(n)
			r.walk(n, depth+1)
		case *ast.List, *ast.Blockquote:
			r.walk(n, depth+1)
		}
	}
}

// line returns the line that contains an offset, with its line end.
func (r *reader) line(off int) Span {
	from := bytes.LastIndexByte(r.src[:off], '\n') + 1
	return Span{from, r.after(off)}
}

// after returns the offset of the line after that of off.
func (r *reader) after(off int) int {
	if i := bytes.IndexByte(r.src[off:], '\n'); i >= 0 {
		return off + i + 1
	}
	return len(r.src)
}

// end returns the offset of the end of the last line.
func (r *reader) end(lines *text.Segments) int {
	at := lines.At(lines.Len() - 1)
	return r.after(max(at.Start, at.Stop-1))
}

// place converts offsets in the parsed part to offsets in the text.
func (r *reader) place(s Span) Span { return Span{r.from + s.From, r.from + s.To} }

func (r *reader) hide(at, to int, kind Kind) {
	r.hidden = append(r.hidden, hidden{r.place(Span{r.line(at).From, to}), kind})
}

func (r *reader) heading(n *ast.Heading) {
	lines := n.Lines()
	at := r.line(n.Pos())
	if lines.Len() == 0 {
		r.Headings = append(r.Headings, Heading{Span: r.place(at), Level: n.Level})
		return
	}
	at.To = r.end(lines)
	if !signed(r.src[n.Pos():at.To], n.Level) {
		at.To = r.after(at.To) // the line that underlines it
	}
	words := strings.Fields(string(lines.Value(r.src)))
	r.Headings = append(r.Headings, Heading{r.place(at), n.Level, strings.Join(words, " ")})
}

// signed reports whether a heading begins with #, and so is not underlined.
func signed(line []byte, level int) bool {
	rest := bytes.TrimLeft(line, "#")
	return len(line)-len(rest) == level && (len(rest) == 0 || strings.IndexByte(" \t\r\n", rest[0]) >= 0)
}

func (r *reader) fenced(n *ast.FencedCodeBlock) {
	at := n.Pos()
	to := r.after(at)
	if n.Lines().Len() > 0 {
		to = r.end(n.Lines())
	}
	sign := r.src[at]
	width := len(r.src[at:]) - len(bytes.TrimLeft(r.src[at:], string(sign)))
	if to >= len(r.src) {
		r.open = &unclosed{at: at, close: strings.Repeat(string(sign), width), again: func(line []byte) int {
			line = bytes.TrimRight(line, "\r\n")
			bare := bytes.TrimLeft(line, " ")
			if run := len(bare) - len(bytes.TrimLeft(bare, string(sign))); len(line)-len(bare) <= 3 && run >= width {
				return len(line) - len(bare)
			}
			return -1
		}}
	} else if next := r.line(to); closes(r.src[next.From:next.To], sign, width) {
		to = next.To
	}
	r.hide(at, to, Code)
}

// closes reports whether a line closes a fence, after any quote signs.
func closes(line []byte, sign byte, width int) bool {
	bare := bytes.TrimLeft(line, " \t>")
	rest := bytes.TrimLeft(bare, string(sign))
	return len(bare)-len(rest) >= width && len(bytes.TrimSpace(rest)) == 0
}

// ends has the text that ends each kind of HTML block that a blank line does not end
// (CommonMark 0.31, section 4.6).
var ends = map[ast.HTMLBlockType]struct{ begin, end string }{
	ast.HTMLBlockType2: {"<!--", "-->"},
	ast.HTMLBlockType3: {"<?", "?>"},
	ast.HTMLBlockType4: {"<!", ">"},
	ast.HTMLBlockType5: {"<![CDATA[", "]]>"},
}

// rawTags are the tags whose content runs to their closing tag (type 1).
var rawTags = []string{"script", "pre", "style", "textarea"}

func (r *reader) html(n *ast.HTMLBlock) {
	kind := Markup
	if n.HTMLBlockType == ast.HTMLBlockType2 {
		kind = Comment
	}
	at, to := n.Pos(), r.end(n.Lines())
	last := n.Lines().At(n.Lines().Len() - 1)
	switch end, found := ends[n.HTMLBlockType]; {
	case n.HasClosure():
		to = r.after(n.ClosureLine.Start)
	case to < len(r.src):
	case found && !bytes.Contains(last.Value(r.src), []byte(end.end)):
		r.open = &unclosed{at: at, close: end.end, again: func(line []byte) int { return indexAfterBlanks(line, end.begin) }}
	case n.HTMLBlockType == ast.HTMLBlockType1 && !closesTag(last.Value(r.src)):
		tag := string(bytes.ToLower(bytes.TrimLeft(r.src[at:r.after(at)], " <")))
		for _, t := range rawTags {
			if strings.HasPrefix(tag, t) {
				r.open = &unclosed{at: at, close: "</" + t + ">", again: func(line []byte) int {
					for _, t := range rawTags {
						if i := indexAfterBlanks(bytes.ToLower(line), "<"+t); i >= 0 {
							return i
						}
					}
					return -1
				}}
			}
		}
	}
	r.hide(at, to, kind)
}

func closesTag(line []byte) bool {
	line = bytes.ToLower(line)
	return slices.ContainsFunc(rawTags, func(t string) bool { return bytes.Contains(line, []byte("</"+t+">")) })
}

// indexAfterBlanks returns how many blanks come before word, −1 if something else does.
func indexAfterBlanks(line []byte, word string) int {
	bare := bytes.TrimLeft(line, " \t")
	if !bytes.HasPrefix(bare, []byte(word)) {
		return -1
	}
	return len(line) - len(bare)
}

// unclosed is a block that is never closed.
type unclosed struct {
	at    int
	close string
	// offset in the line where another such block begins that is not closed either, −1
	// for none
	again func(line []byte) int
}

// reveal turns the block, and similar ones below, into text.
func (u *unclosed) reveal(src []byte) {
	src[u.at] = 'x'
	for off := u.at; off < len(src); {
		end := bytes.IndexByte(src[off:], '\n') + 1
		if end == 0 {
			end = len(src) - off
		}
		if i := u.again(src[off : off+end]); i >= 0 {
			src[off+i] = 'x'
		}
		off += end
	}
}

// task reads a list item that begins with a box.
func (r *reader) task(n *ast.ListItem) {
	first := n.FirstChild()
	if first == nil || first.Kind() != ast.KindTextBlock && first.Kind() != ast.KindParagraph || first.Lines().Len() == 0 {
		return
	}
	at := first.Lines().At(0)
	s := string(at.Value(r.src)[at.Padding:])
	if len(s) < 4 || s[0] != '[' || s[2] != ']' || !strings.Contains(" \t", s[3:4]) || !strings.Contains(" xX", s[1:2]) {
		return
	}
	words, _ := LineAt(s, 0)
	line := r.line(at.Start)
	r.Tasks = append(r.Tasks, Task{Line: r.place(line), Mark: r.from + at.Start + 1, Text: strings.TrimSpace(words[4:])})
}
