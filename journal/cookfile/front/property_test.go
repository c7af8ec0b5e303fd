package front

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"
)

var awkward = []string{
	"null", "~", "yes", "0079", "0x1F", "2026-09-19", "12:30", "-", "- a", "-a", "--- ", "---", "...", "<<", "=", "? x", ": x", "x:", "x: y", "x #y", "#x",
	"'", "\"", "it's", "a\\b", "a\nb", "a\r\nb", "\ta", "a\t", " a ", "é°C — ½", "\u2028", "a\u0085b", "\ufeffa", "\x00\x1f\x7f", "\U0001F525", "{a}", "[a", "a]", "a,b", "|", ">", "&a", "*a", "!a", "%a", "@a", "`a", "## Timeline",
}

// Quoted words are read back unchanged, in braces and outside.
func TestQuote(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.SampledFrom(awkward), rapid.StringMatching(`[a-z '":#,{}\[\]&*!|>%@0-9~=?-]{1,12}`)).Draw(t, "words")
		for text, path := range map[string][]int{
			"k: " + Quote(s, false) + " # c\nl: x\n":           {0, 1},
			"k: {l: " + Quote(s, true) + ", m: n}\n":           {0, 1, 1},
			"- [" + Quote(s, true) + "]\n":                     {0, 0, 0},
			Quote(s, false) + ": x\n":                          {0, 0},
			"k: {" + Quote(s, true) + ": [x, {y: z}], m: n}\n": {0, 1, 0},
		} {
			if path[len(path)-1] == 0 && len(s) > 100 && len(path) != 3 {
				continue // YAML limits the length of a key
			}
			var n yaml.Node
			if err := yaml.Load([]byte(text), &n); err != nil {
				t.Fatalf("%v in %q", err, text)
			}
			got := &n
			for _, i := range path {
				got = got.Content[i]
			}
			if got.Value != s || IsNull(got) {
				t.Fatalf("%q is read from %q", got.Value, text)
			}
		}
	})
}

// marked are texts with each value between ‹ and ›, after its path and a slash. An edit
// of that path may change only that value.
var marked = []string{
	"title: ‹title|Old›\nheads: ‹heads|24›  # all\n",
	"# top\ntitle:  ‹title|Old›   # why\n\nunknown:   [ a,b ,  c ]   \nheads: ‹heads|\"2\\\"4\"› # all\n",
	"title: ‹title|'it''s # old'›\nkeep: ‹keep|one\n  two   three\n\n  four› # c\nlast: ‹last|~›\n",
	"title:‹title|› # fill in\nkeep:‹keep|›\nchange: ‹change|null›\n",
	"title:\n  ‹title|Old›\nkeep: ‹keep||\n  one\n    two\n\n  three›\nchange: ‹change|>-\n  a\n  b›\n\n# end\n",
	"äöü: {é: 'ü', °: ‹äöü/°|94 °C›, 中: \"中\", x: ‹äöü/x|1›} # é\naim: ‹aim|› # °\n",
	"aim: {pit: ‹aim/pit|115 °C›, core:‹aim/core|›, wrap: ‹aim/wrap|paper at 72 °C›} # c\n",
	"aim: {\n  pit: ‹aim/pit|115 °C›, # c, {\n  core: ‹aim/core|\"9\n    4\"›\n  }\ntitle: ‹title|x›\n",
	"pieces:\n  - {name: ‹pieces/0/name|large›, raw: ‹pieces/0/raw|5.2 kg›, own: {x: [ 1, 2 ]}}   # c\n  - {name: ‹pieces/1/name|small›}\nheads: ‹heads|0024›\n",
	"pieces:\n- name: ‹pieces/0/name|large› # c\n  raw:‹pieces/0/raw|›\n\n- raw: ‹pieces/1/raw|4 kg›\n  own:\n  - - a\n    - ‹pieces/1/own/0/1|b›\nheads: ‹heads|4›\n",
	"wood: [‹wood/0|oak›, {kind: ‹wood/1/kind|cherry›}, [‹wood/2/0|a›, b], ‹wood/3|'x'› ]\n\"a key\" : ‹a key|v›\n'k2': ‹k2|w›\n",
	"{title: ‹title|Old›, aim: {pit: ‹aim/pit|1›}, heads:‹heads|›, }\n",
	"  title: ‹title|Old›\n  tasting:\n      - eater: ‹tasting/0/eater|RT›\n        salt: ‹tasting/0/salt|6+›\n",
	"keep: ‹keep|\"\\u00e9\\x20\n\n  b\"›\nurl: ‹url|http://hall.example/#x›\ntime: ‹time|2026-09-19T13:00+01:00›\nn: ‹n|-5 °C›\n",
}

// unmark returns a text without its marks, and the range of each path's value.
func unmark(text string) (string, map[string][2]int) {
	at := map[string][2]int{}
	var b strings.Builder
	for {
		before, rest, found := strings.Cut(text, "‹")
		b.WriteString(before)
		if !found {
			return b.String(), at
		}
		inner, after, _ := strings.Cut(rest, "›")
		path, value, _ := strings.Cut(inner, "|")
		from := b.Len()
		b.WriteString(value)
		at[path] = [2]int{from, b.Len()}
		text = after
	}
}

// An edit of one value changes no byte outside it.
func TestSpliceChangesOnlyTheValue(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	edits, outside := 0, 0
	for edits < 6000 {
		text := fenced(marked[random.IntN(len(marked))])
		switch random.IntN(4) {
		case 0:
			text = "\ufeff" + strings.ReplaceAll(text, "\n", "\r\n")
		case 1:
			text = strings.ReplaceAll(text, "\n", "\r\n")
		case 2:
			text = strings.Replace(text, "\n", "\r\n", random.IntN(20))
		}
		text, values := unmark(text)
		d := read(t, text)
		for path, at := range values {
			value := awkward[random.IntN(len(awkward))]
			if random.IntN(2) == 0 {
				value = string([]rune{rune(random.IntN(0x300)), rune(random.IntN(0x300)), rune('a' + random.IntN(26))})
			}
			key := strings.Split(path, "/")
			got, err := d.Set(value, key)
			if err != nil {
				t.Fatalf("%v\nsetting %s to %q in\n%s", err, path, value, text)
			}
			edits++
			if !got.Holds(key, value) {
				t.Errorf("%s is not %q in\n%s", path, value, got.Text())
			}
			outside += changedOutside(text, got.Text(), at[0], at[1])
		}
	}
	if outside != 0 {
		t.Errorf("%d bytes changed outside the values in %d edits", outside, edits)
	}
	t.Logf("%d edits", edits)
}

// changedOutside counts the bytes of before outside from … to that after does not have
// at the same distance from its start or end.
func changedOutside(before, after string, from, to int) int {
	head, tail := 0, 0
	for head < from && head < len(after) && before[head] == after[head] {
		head++
	}
	for tail < len(before)-to && tail < len(after)-head && before[len(before)-1-tail] == after[len(after)-1-tail] {
		tail++
	}
	return from - head + len(before) - to - tail
}

// Adding a missing value and removing it again changes no other byte.
func TestSpliceAddsAndRemoves(t *testing.T) {
	paths := [][]string{{"new"}, {"new", "deep"}, {"new", "0", "deep"}, {"title", "deep"}, {"aim", "new"}, {"pieces", "0", "new"}, {"pieces", "2", "new"}, {"wood", "4"}, {"tasting", "1", "eater"}}
	added := 0
	for _, text := range marked {
		text, _ = unmark(fenced(text))
		for _, nl := range []string{"\n", "\r\n"} {
			text := strings.ReplaceAll(text, "\n", nl)
			d := read(t, text)
			for _, path := range paths {
				got, err := d.Set("x: y", path)
				if err != nil {
					continue
				}
				added++
				after := got.Text()
				if n := common(text, after) + common(backwards(text), backwards(after)); n < len(text) {
					t.Errorf("adding %v changed %d bytes of\n%s\nto\n%s", path, len(text)-n, text, after)
				}
				back, err := got.Unset(path)
				if err != nil {
					t.Fatalf("%v in\n%s", err, after)
				}
				if back.Holds(path, "x: y") {
					t.Errorf("%v was not taken out of\n%s", path, after)
				}
			}
		}
	}
	if added < 100 {
		t.Errorf("only %d paths were added", added)
	}
}

func common(a, b string) int {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	return n
}

func backwards(s string) string {
	b := []byte(s)
	slices.Reverse(b)
	return string(b)
}
