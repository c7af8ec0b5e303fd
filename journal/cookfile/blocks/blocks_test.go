package blocks

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// example is one of the CommonMark Spec: a text and the HTML it gives.
type example struct {
	Example        int
	Section        string
	Markdown, HTML string
}

func examples(t testing.TB) []example {
	t.Helper()
	data, err := os.ReadFile("testdata/commonmark-0.31.2.json")
	if err != nil {
		t.Fatal(err)
	}
	var all struct{ Examples []example }
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	return all.Examples
}

// neverClosed are the examples with a fence that is never closed. Its lines are code
// there and text here.
var neverClosed = []int{126, 127, 137, 139, 237}

var (
	nests   = regexp.MustCompile(`</?(?:ul|ol|blockquote)\b[^>]*>|<h[1-6]>|<pre><code`)
	endless = regexp.MustCompile(`(?s)<pre><code.*?</code></pre>`)
)

// The examples of the CommonMark Spec 0.31.2: compared are the headings outside lists
// and quotes with their levels, and the number of code blocks, with its expected HTML.
func TestCommonMark(t *testing.T) {
	headings, codes, compared := 0, 0, 0
	for _, x := range examples(t) {
		if x.Section == "HTML blocks" || strings.Contains(x.Markdown, "]: ") {
			continue // the HTML is in the text itself; link reference definitions are not read
		}
		s := Read(x.Markdown, 0)
		if never := slices.Contains(neverClosed, x.Example); never || len(s.Open) > 0 {
			if !never || len(s.Open) == 0 {
				t.Errorf("example %d: %q is not closed at %v", x.Example, x.Markdown, s.Open)
			}
			continue
		}
		compared++
		html := endless.ReplaceAllString(x.HTML, "<pre><code")
		var want, got []string
		depth, code := 0, 0
		for _, tag := range nests.FindAllString(html, -1) {
			switch {
			case tag == "<pre><code":
				code++
			case tag[1] == 'h' && depth == 0:
				want = append(want, tag[1:3])
			case tag[1] == '/':
				depth--
			case tag[1] != 'h':
				depth++
			}
		}
		for _, h := range s.Headings {
			got = append(got, fmt.Sprint("h", h.Level))
		}
		if !slices.Equal(got, want) {
			t.Errorf("example %d: %q has headings %v, want %v", x.Example, x.Markdown, got, want)
		}
		hidden := 0
		for _, h := range s.hidden {
			if h.kind == Code {
				hidden++
			}
		}
		if hidden != code {
			t.Errorf("example %d: %q has %d blocks of code, want %d", x.Example, x.Markdown, hidden, code)
		}
		headings, codes = headings+len(want), codes+code
	}
	if headings < 40 || codes < 60 {
		t.Errorf("only %d headings and %d blocks of code were compared in %d examples", headings, codes, compared)
	}
	t.Logf("%d examples, %d headings, %d blocks of code", compared, headings, codes)
}

// kinds returns the kind of each line as a letter.
func kinds(s *Structure) string {
	var b strings.Builder
	for l := range s.Lines() {
		b.WriteByte("THCXMm"[l.Kind])
	}
	return b.String()
}

// Each row is a text and the kinds of its lines: T text, H heading, C code, X
// comment, M other HTML, m a marker.
func TestLines(t *testing.T) {
	for _, test := range []struct {
		name string
		text []string
		want string
	}{
		{"headings", []string{"# a", "b", "===", "", "c", "d", "---", "####### e", "#f", " ## g ##", "    # code", "##"}, "HHHTHHHTTHCH"},
		{"not of the text", []string{"- # a", "", "> ## b", "", "# c"}, "TTTTH"},
		{"fences", []string{"a", "```", "# b", "~~~", "```", "# c", "~~~ x", "```", "~~~~", "d"}, "TCCCCHCCCT"},
		{"fence in an item", []string{"- a", "  ```", "  # b", "  ```", "- c", "  ~~~", "  d", "# e"}, "TCCCTCCH"},
		{"fence in a quote", []string{"> ```", "> a", "> ```", "> b"}, "CCCT"},
		{"two backticks", []string{"``` a`b", "# c"}, "TH"},
		{"never closed", []string{"```", "## Timeline", "~~~", "x", "~~~", "````y", "z"}, "THCCCTT"},
		{"closed too short", []string{"````", "## a", "```", "## b"}, "THTH"},
		{"comment", []string{"<!-- a", "## b", "", "-->", "## c", "<!-- d --> e", "f"}, "XXXXHXT"},
		{"comment never closed", []string{"<!-- a", "## b", "<!-- c"}, "THT"},
		{"comment within a line", []string{"a <!-- b", "## c", "-->"}, "THT"},
		{"tags", []string{"<details>", "- a", "", "- b", "", "<pre>", "", "## c", "</pre>", "## d"}, "MMTTTMMMMH"},
		{"tag never closed", []string{"<pre>", "## a", "<script>", "## b"}, "THTH"},
		{"other HTML never closed", []string{"<?a", "## b", "<![CDATA[", "## c", "<!D", "## e"}, "THTHTH"},
		{"indented", []string{"a", "    b", "", "    c", "", "    d", "e"}, "TTTCCCT"},
		{"conflict", []string{"a", "<<<<<<< HEAD", "- b", "=======", "- c", ">>>>>>> x", "d"}, "TmTmTmT"},
		{"conflict with what was before", []string{"<<<<<<<", "b", "||||||| y", "# old", "=======", "# c", ">>>>>>>", "d"}, "mTmmmHmT"},
		{"conflict in code", []string{"```", "<<<<<<< a", "b", "=======", "c", ">>>>>>> d", "```", "e"}, "CmCmCmCT"},
		{"equals signs underline", []string{"a", "=======", "|||||||", "======="}, "HHHH"},
		{"left over", []string{"a", ">>>>>>> x", "b", "======="}, "TmHH"},
		{"eight signs", []string{"<<<<<<<< a", "b", "======="}, "HHH"},
	} {
		for _, nl := range []string{"\n", "\r\n"} {
			text := strings.Join(test.text, nl)
			if got := kinds(Read(text, 0)); got != test.want {
				t.Errorf("%s: %s, want %s", test.name, got, test.want)
			}
			if got := kinds(Read("#x\n"+text+nl, 3)); got != test.want {
				t.Errorf("%s, below a line: %s, want %s", test.name, got, test.want)
			}
		}
	}
}

func TestHeadings(t *testing.T) {
	const text = "x\n\n# A *b*  c ##\n\ntwo\n  lines\n---\nend\n## \n"
	var got []string
	s := Read(text, 2)
	for _, h := range s.Headings {
		got = append(got, fmt.Sprintf("%d %q %q", h.Level, h.Title, text[h.From:h.To]))
	}
	want := []string{`1 "A *b* c" "# A *b*  c ##\n"`, `2 "two lines" "two\n  lines\n---\n"`, `2 "" "## \n"`}
	if !slices.Equal(got, want) {
		t.Errorf("got %q", got)
	}
	for off, want := range map[int]string{0: "", 2: "", 3: "", 4: "A *b* c", strings.Index(text, "end"): "two lines", len(text): ""} {
		if got := s.Section(off); got != want {
			t.Errorf("byte %d stands under %q, want %q", off, got, want)
		}
	}
}

func TestOpen(t *testing.T) {
	for text, want := range map[string]string{
		"a\n````x\nb":              "[{2 ````}]",
		"- ~~~\n  b\n":             "[{2 ~~~}]",
		"<!-- a\n\n<!-- b\n":       "[{0 -->}]",
		"  <PRE>\n\nb":             "[{2 </pre>}]",
		"<?a\n~~~\n<![CDATA[\n```": "[{0 ?>} {4 ~~~} {8 ]]>} {18 ```}]",
		"> ```\na":                 "[]",
		"```\n```":                 "[]",
		"<!-- a -->":               "[]",
	} {
		if got := fmt.Sprint(Read(text, 0).Open); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}

func TestConflicts(t *testing.T) {
	for name, test := range map[string]struct{ text, want string }{
		"none":          {"a\n=======\nb\n", "[]"},
		"two versions":  {"a\n<<<<<<< x\nb\n=======\nc\n>>>>>>> y\nd\n", "[{{2 34} {22 24} [{2 12} {14 22} {24 34}] false}]"},
		"three":         {"<<<<<<<\nb\n|||||||\no\n=======\nc\n>>>>>>>\n", "[{{0 38} {28 30} [{0 8} {10 20} {20 28} {30 38}] false}]"},
		"no last":       {"<<<<<<<\nb\n=======\nc\n", "[{{0 20} {18 20} [{0 8} {10 18}] true}]"},
		"no middle":     {"<<<<<<<\nb\n>>>>>>>\nc\n", "[{{0 18} {0 0} [{0 8} {10 18}] false}]"},
		"left over":     {"a\n>>>>>>> y\nb\n", "[{{2 12} {0 0} [{2 12}] false}]"},
		"one in one":    {"<<<<<<<\na\n<<<<<<<\nb\n=======\n>>>>>>>", "[{{0 10} {0 0} [{0 8}] true} {{10 35} {28 28} [{10 18} {20 28} {28 35}] false}]"},
		"carriage ends": {"<<<<<<< x\r\n=======\r\n>>>>>>> y\r\n", "[{{0 31} {20 20} [{0 11} {11 20} {20 31}] false}]"},
	} {
		if got := fmt.Sprint(FindConflicts(test.text)); got != test.want {
			t.Errorf("%s: %s, want %s", name, got, test.want)
		}
	}
	c := FindConflicts("a\n<<<<<<<\nb\n=======\n>>>>>>>\nc\n")[0]
	for _, x := range []struct {
		from, to int
		want     bool
	}{{1, 1, false}, {2, 2, false}, {0, 2, false}, {0, 3, true}, {3, 3, true}, {27, 27, true}, {28, 28, false}, {28, 29, false}, {27, 29, true}, {0, 30, true}} {
		if got := c.Touches(x.from, x.to); got != x.want {
			t.Errorf("a change of %d to %d touches: %v", x.from, x.to, got)
		}
	}
	if c.Open = true; !c.Touches(29, 29) || c.Touches(2, 2) {
		t.Error("an open conflict ends with the text")
	}
	const both = "é\n<<<<<<<\nb\n=======\nü\n>>>>>>>\nc\n"
	if got, want := FirstVersion(both, FindConflicts(both)), "é\n       \nb\n       \n  \n       \nc\n"; got != want {
		t.Errorf("first version %q", got)
	}
}

// Very deep nesting is read in limited time; below some depth it is text.
func TestDeep(t *testing.T) {
	for name, text := range map[string]string{
		"quotes":  strings.Repeat(">", 200_000),
		"bullets": strings.Repeat("- ", 100_000) + "[ ] a",
		"indents": strings.Repeat(" ", 100_000) + "- a",
		"breaks":  strings.Repeat("- ", 100_000),
		"fences":  strings.Repeat("```a\n", 40_000) + "# end",
		"widths": func() (s string) {
			for i := range 500 {
				s += strings.Repeat("~", 600-i) + "\n"
			}
			return s
		}(),
	} {
		s := Read(text+"\n# last\n", 0)
		if len(s.Headings) == 0 && name != "widths" || len(s.Tasks) > 0 {
			t.Errorf("%s: %d headings, %d tasks", name, len(s.Headings), len(s.Tasks))
		}
	}
}

// agrees reports whether plain accepts the text, and whether the parser then reads the
// same.
func agrees(text string, from int) (plainly, same bool) {
	got := Read(text, from)
	want := &Structure{text: text, from: from}
	want.parse(FindConflicts(text))
	_, plainly = plain(text, from)
	return plainly, reflect.DeepEqual(got, want)
}

// What plain reads is what the parser reads: for the examples of the CommonMark Spec,
// and for lines of cooks, lines of special characters, and both, in any order.
func TestPlainIsWhatTheParserReads(t *testing.T) {
	plains := 0
	check := func(text string) {
		plainly, same := agrees(text, 0)
		if !same {
			t.Fatalf("%q is read in two ways", text)
		}
		if plainly {
			plains++
		}
	}
	for _, x := range examples(t) {
		check(x.Markdown)
	}
	lines := []string{
		"", " ", "words", "  more words", "   and more", "- 2026-09-18T20:10+01:00 on, core 5 °C — cold", "- lit", "-", "- ", "## Timeline", "# A night #", "### ", "#word", "####### seven", " ## moved",
		"2026 was cold", "12. twelfth", "3) third", "12.     code", "1. [ ] box", "  - deeper", "words\r", "## Timeline\r", "\r", "a\rb", "\x00", "- a\x00", "## a\x00", "- 7. a", "    code", "- \tx", "\ttab", "---", "===", "- - a", "* star", "+ plus", "> quote", "```", "<!-- a", "-->", "<b>", "[ ] box", "- [x] box", "\\# no", "é", "\u00a0", "- é", "- # a", "_ _ _", "| a | b |", "## a\r", "a\vb", "\f", "***", "`a`",
	}
	r := rand.New(rand.NewPCG(1, 2))
	for range 40_000 {
		var b strings.Builder
		some := lines[:11] // mostly lines that plain accepts
		if r.IntN(3) == 0 {
			some = lines
		}
		for range 1 + r.IntN(6) {
			b.WriteString(some[r.IntN(len(some))])
			if r.IntN(12) > 0 {
				b.WriteByte('\n')
			}
		}
		check(b.String())
	}
	if plains < 5_000 {
		t.Errorf("only %d texts were plain", plains)
	}
}

// FuzzRead: every position is inside the text and in order, a task's mark is between
// brackets, lines in two versions are both there, and what plain reads is what the
// parser reads.
func FuzzRead(f *testing.F) {
	for _, x := range examples(f) {
		f.Add(x.Markdown)
	}
	f.Add("- [ ] a\n\t- [x] b\n1) [X] c\n> - [ ] d\n<<<<<<< x\n- [ ] e\n=======\n~~~\n>>>>>>> y\n")
	f.Fuzz(func(t *testing.T, text string) {
		from := len(text) / 7
		s := Read(text, from)
		if _, same := agrees(text, from); !same {
			t.Fatal("read in two ways")
		}
		var all strings.Builder
		heads, last := 0, from
		for l := range s.Lines() {
			if l.From != last || !strings.HasPrefix(text[l.From:l.To], l.Text) {
				t.Fatalf("line %+v after %d", l, last)
			}
			if last = l.To; l.Head != nil {
				heads++
			}
			all.WriteString(text[l.From:l.To])
		}
		if all.String() != text[from:] {
			t.Fatalf("lines are %q", all.String())
		}
		if heads != len(s.Headings) {
			t.Fatalf("%d of %d headings are lines", heads, len(s.Headings))
		}
		at := from
		for _, h := range s.Headings {
			if h.From < at || h.To <= h.From || h.To > len(text) || h.Level < 1 || h.Level > 6 {
				t.Fatalf("heading %+v after %d", h, at)
			}
			at = h.To
		}
		at = from
		for _, h := range s.hidden {
			if h.From < at || h.To <= h.From || h.To > len(text) {
				t.Fatalf("hidden %+v after %d", h, at)
			}
			at = h.To
		}
		for _, k := range s.Tasks {
			if k.Line.From < from || k.Mark <= k.Line.From || text[k.Mark-1] != '[' || text[k.Mark+1] != ']' || !strings.Contains(" xX", text[k.Mark:k.Mark+1]) {
				t.Fatalf("task %+v", k)
			}
		}
		for _, o := range s.Open {
			if o.At < from || o.At >= len(text) || strings.IndexByte("`~<", text[o.At]) < 0 {
				t.Fatalf("open %+v", o)
			}
		}
		at = 0
		for _, c := range FindConflicts(text) {
			if c.From < at || c.To <= c.From || c.To > len(text) || len(c.Marks) == 0 || !c.Touches(c.From, c.To) {
				t.Fatalf("conflict %+v after %d", c, at)
			}
			at = c.To
		}
	})
}
