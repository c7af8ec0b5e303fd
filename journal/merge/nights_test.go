package merge

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
)

// writer edits a night as one person would, by text alone, and keeps account of
// what must be in the file afterwards: the judge shares nothing with the merge.
type writer struct {
	rng  *rand.Rand
	name string
	text string
	n    int

	added []string          // lines put in
	gone  map[string]bool   // lines of the base taken out or corrected
	set   map[string]string // keys set, by key
}

func (w *writer) token() string {
	w.n++
	return fmt.Sprintf("%s%d", strings.ToLower(w.name), w.n)
}

func (w *writer) lines() (entries []string) {
	for l := range strings.Lines(w.text) {
		if strings.HasPrefix(l, "- 20") {
			entries = append(entries, l)
		}
	}
	return entries
}

func (w *writer) put(line string) {
	entries := w.lines()
	at := slices.IndexFunc(entries, func(e string) bool { return e[:18] > line[:18] })
	if at < 0 {
		last := entries[len(entries)-1]
		w.text = strings.Replace(w.text, last, last+line, 1)
	} else {
		w.text = strings.Replace(w.text, entries[at], line+entries[at], 1)
	}
	w.added = append(w.added, line)
}

// act makes one change.
func (w *writer) act(base []string) {
	minute := time.Date(2024, 6, 7, 19, 30, 0, 0, time.UTC).Add(time.Duration(w.rng.IntN(900)) * time.Minute).Format("2006-01-02T15:04")
	pick := func() (string, bool) { // an entry of the base not yet touched by this person
		l := base[w.rng.IntN(len(base))]
		if w.gone[l] || !strings.Contains(w.text, l) {
			return l, false
		}
		return l, true
	}
	switch w.rng.IntN(10) {
	case 0, 1, 2, 3:
		what := []string{"pit %d °C", "core large %d °C", "core small %d °C, lid"}[w.rng.IntN(3)]
		w.put("- " + minute + "+01:00 " + fmt.Sprintf(what, 60+w.rng.IntN(40)) + " — " + w.token() + "\n")
	case 4:
		if l, ok := pick(); ok {
			w.text = strings.Replace(w.text, l, "", 1)
			w.gone[l] = true
		}
	case 5:
		if l, ok := pick(); ok {
			is := strings.TrimSuffix(l, "\n")
			is = is[:strings.LastIndex(is, "—")] + "— " + w.token() + "\n"
			w.text = strings.Replace(w.text, l, is, 1)
			w.gone[l] = true
			w.added = append(w.added, is)
		}
	case 6, 7:
		key := []string{"title", "pit", "supplier", "change", "keep"}[w.rng.IntN(5)]
		is := w.token()
		for l := range strings.Lines(w.text) {
			if strings.HasPrefix(l, key+": ") {
				w.text = strings.Replace(w.text, l, key+": "+is+"\n", 1)
				w.set[key] = is
			}
		}
	case 8:
		row := "  - {eater: " + strings.ToUpper(w.token()) + ", overall: 7}\n"
		w.text = strings.Replace(w.text, "tasting:\n", "tasting:\n"+row, 1)
		w.added = append(w.added, row)
	case 9:
		p := "Said " + w.token() + ".\n"
		at := []string{"First one for the hall.\n", "# Shearing supper\n", "- [ ] wash the drum\n"}[w.rng.IntN(3)]
		w.text = strings.Replace(w.text, at, at+"\n"+p, 1)
		w.added = append(w.added, p)
	}
}

func TestNights(t *testing.T) {
	base := `---
ashbook: 1
title: Shearing supper
cut: pork shoulder
pieces: [{name: large, raw: 4.6 kg}, {name: small, raw: 3.1 kg}]
pit: drum
supplier: market
change: salt
keep: wood
tasting:
  - {eater: RT, moisture: 7}
---

# Shearing supper

First one for the hall.

## Timeline

- 2024-06-07T19:15+01:00 lit — z0
- 2024-06-07T20:30+01:00 on, pit 115 °C — z1
- 2024-06-07T22:20+01:00 pit 107 °C, core large 35 °C — z2
- 2024-06-08T00:52+01:00 core large 63 °C, vent, bark 0 — z3
- 2024-06-08T03:10+01:00 core small 66 °C — z4
- 2024-06-08T10:00+01:00 core large 94 °C, feel 3, off — z5

## Afterwards

- [ ] wash the drum
`
	const nights = 200
	clashes := 0
	for seed := range nights {
		rng := rand.New(rand.NewPCG(uint64(seed), 77))
		write := func(name string) *writer {
			w := &writer{rng: rng, name: name, text: base, gone: map[string]bool{}, set: map[string]string{}}
			lines := w.lines()
			for range 1 + rng.IntN(8) {
				w.act(lines)
			}
			return w
		}
		ann, ben := write("Ann"), write("Ben")
		a, b := Version{Text: []byte(ann.text), By: "Ann", At: early}, Version{Text: []byte(ben.text), By: "Ben", At: late}
		got, told := Cook("cook.md", []byte(base), a, b, cookfile.Options{})
		clashes += len(told)
		fail := func(format string, args ...any) {
			t.Fatalf("night %d: %s\nAnn:\n%s\nBen:\n%s\nmerged:\n%s", seed, fmt.Sprintf(format, args...), ann.text, ben.text, got)
		}
		if other, _ := Cook("cook.md", []byte(base), b, a, cookfile.Options{}); !bytes.Equal(got, other) {
			fail("the other way round it is\n%s", other)
		}
		f, err := cookfile.Parse("cook.md", got, cookfile.Options{})
		if beside := strings.Count(string(got), "by: Ann, at:"); err != nil || len(f.Problems) != beside {
			fail("it reads with %v %v", err, f.Problems)
		}
		if !slices.IsSortedFunc(f.Cook.Entries, func(x, y journal.Entry) int { return x.Line - y.Line }) {
			fail("entries are out of order in the file")
		}
		for _, w := range []*writer{ann, ben} {
			for _, l := range w.added {
				token := l[strings.LastIndex(l, " ")+1:]
				if strings.Contains(w.text, l) && strings.Count(strings.ToLower(string(got)), strings.ToLower(strings.Trim(token, " .\n}"))) < 1 && !strings.Contains(l, "eater") {
					fail("%q is lost", l)
				}
				if strings.Contains(w.text, l) && strings.Count(string(got), strings.TrimSpace(l)) != 1 {
					fail("%q stands %d times", l, strings.Count(string(got), strings.TrimSpace(l)))
				}
			}
			for l := range w.gone {
				if strings.Contains(string(got), l) {
					fail("%q came back", l)
				}
			}
			for key, is := range w.set {
				if strings.Contains(w.text, is) && !strings.Contains(string(got), is) {
					fail("%s: %s is lost", key, is)
				}
			}
		}
		for key, is := range ben.set {
			if strings.Contains(ben.text, key+": "+is+"\n") && !strings.Contains(string(got), "\n"+key+": "+is+"\n") {
				fail("%s: the later value %s does not stand", key, is)
			}
		}
		for key, is := range ann.set {
			if ben.set[key] == "" && !strings.Contains(string(got), "\n"+key+": "+is+"\n") {
				fail("%s: the only new value %s does not stand", key, is)
			}
		}
		for _, l := range (&writer{text: base}).lines() {
			if !ann.gone[l] && !ben.gone[l] && strings.Count(string(got), l) != 1 {
				fail("%q of the base stands %d times", l, strings.Count(string(got), l))
			}
		}
		for _, w := range []Version{a, b} { // once more changes nothing
			if again, _ := Cook("cook.md", []byte(base), Version{Text: got, At: late.Add(time.Hour)}, w, cookfile.Options{}); !bytes.Equal(again, got) {
				fail("merged once more it is\n%s", again)
			}
		}
	}
	if clashes == 0 {
		t.Error("no night had a clash: the check of clashes checks nothing")
	}
	t.Logf("%d nights, %d clashes told", nights, clashes)
}
