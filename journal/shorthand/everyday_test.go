package shorthand

import (
	"flag"
	"os"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite everyday.txt from the word list that ASHBOOK_WORDS names")

// TestEverydayWords checks the list of real words that are never taken for a slip.
//
// Source: SCOWL 2020.12.07, size 60, as the package wamerican of Debian 12 has it in
// /usr/share/dict/american-english. With ASHBOOK_WORDS naming that file, the test finds
// the words again.
func TestEverydayWords(t *testing.T) {
	for _, w := range []string{"board", "there", "smell", "moped", "fool"} {
		if !everyday()[w] && !lexicon()[w] {
			t.Errorf("%q is missing: it is a word of English", w)
		}
	}
	for _, w := range []string{"sprtzed", "btm", "whent", "aplle"} {
		if everyday()[w] {
			t.Errorf("%q is no word of English", w)
		}
	}
	name := os.Getenv("ASHBOOK_WORDS")
	if name == "" {
		return
	}
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	var p parser
	var want []string
	for w := range strings.FieldsSeq(string(data)) {
		if plainLetters(w) && !lexicon()[w] && len(p.meantBy(w)) > 0 {
			want = append(want, w)
		}
	}
	slices.Sort(want)
	text := strings.Join(slices.Compact(want), "\n") + "\n"
	if *update {
		if err := os.WriteFile("everyday.txt", []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	} else if text != everydayWords {
		t.Error("everyday.txt is not what the word list says; run go test -run EverydayWords -update")
	}
}
