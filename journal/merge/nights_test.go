package merge

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal/cookfile"
)

// version is what one person has, and when they set each part.
type version struct {
	cook, table []byte
	at          time.Time
	set         map[string]time.Time
}

func (v version) of(text []byte, name string) Version {
	return Version{Text: text, By: name, At: v.at, Set: func(path []string) (string, time.Time) {
		key := strings.Join(path, "/")
		for k, at := range v.set {
			if strings.EqualFold(k, key) || len(path) == 2 && len(path[0]) > 16 && k == path[0][11:16]+"/"+path[1] {
				return name, at
			}
		}
		return name, v.at
	}}
}

// join merges two versions in both orders and requires the same bytes.
func (j *judge) join(base, a, b version) version {
	out := version{at: a.at, set: maps.Clone(a.set)}
	if b.at.After(out.at) {
		out.at = b.at
	}
	for k, t := range b.set {
		if t.After(out.set[k]) {
			out.set[k] = t
		}
	}
	cook, _ := Cook("cook.md", base.cook, a.of(a.cook, "A"), b.of(b.cook, "B"), cookfile.Options{})
	other, _ := Cook("cook.md", base.cook, b.of(b.cook, "B"), a.of(a.cook, "A"), cookfile.Options{})
	table, _ := Series(base.table, a.of(a.table, "A"), b.of(b.table, "B"))
	turned, _ := Series(base.table, b.of(b.table, "B"), a.of(a.table, "A"))
	if !bytes.Equal(cook, other) || !bytes.Equal(table, turned) {
		j.fault("the other way round: %s%s", differ(other, cook), differ(turned, table))
	}
	out.cook, out.table = cook, table
	for _, v := range []version{a, b} { // merging again changes nothing
		again, _ := Cook("cook.md", base.cook, out.of(out.cook, "M"), v.of(v.cook, "V"), cookfile.Options{})
		rows, _ := Series(base.table, out.of(out.table, "M"), v.of(v.table, "V"))
		if !bytes.Equal(again, out.cook) || !bytes.Equal(rows, out.table) {
			j.fault("merged once more: %s%s", differ(again, out.cook), differ(rows, out.table))
		}
	}
	return out
}

// differ returns the first line that differs between two texts and the lines that only
// one has; "" if they are equal.
func differ(a, b []byte) string {
	x, y := linesOf(a), linesOf(b)
	only := func(x, y []string) (out []string) {
		left := slices.Clone(y)
		for _, l := range x {
			if i := slices.Index(left, l); i >= 0 {
				left = slices.Delete(left, i, i+1)
			} else {
				out = append(out, l)
			}
		}
		return out
	}
	if bytes.Equal(a, b) {
		return ""
	}
	return fmt.Sprintf("has %q, lacks %q; ", only(x, y), only(y, x))
}

// linesOf returns the lines of a text sorted as bytes, without who and when in the also
// list, and with the content of braces sorted.
func linesOf(text []byte) []string {
	lines := strings.Split(byAt.ReplaceAllString(string(text), "}"), "\n")
	for i, l := range lines {
		if from := strings.IndexByte(l, '{'); from >= 0 && strings.HasSuffix(l, "}") && !strings.HasPrefix(l[from:], "{entry") {
			pairs := strings.Split(l[from+1:len(l)-1], ", ")
			slices.Sort(pairs)
			lines[i] = l[:from] + strings.Join(pairs, ", ")
		}
	}
	slices.Sort(lines)
	return slices.DeleteFunc(lines, func(l string) bool { return l == "" })
}

var byAt = regexp.MustCompile(`, by: [A-Z]+, at: [^}]*\}`)

// Random nights of two and of three people, cook and table: nothing is lost, comes back
// or appears twice, the later value wins, and the order of merging does not matter.
// With ASHBOOK_LONG it tries 2,000 of each.
func TestNights(t *testing.T) {
	nights := 60
	if os.Getenv("ASHBOOK_LONG") != "" {
		nights = 2000
	}
	for _, names := range [][]string{{"Ann", "Ben"}, {"Ann", "Ben", "Cem"}} {
		var checked, clashes, sameBytes, bad int
		for seed := range nights {
			rng := rand.New(rand.NewPCG(uint64(seed), uint64(len(names))))
			j := &judge{base: evenBefore(rng)}
			base := version{cook: []byte(j.base.text()), table: []byte(j.base.table())}
			var vs []version
			for i, name := range names {
				p := &person{evening: j.base.clone(), name: name, rng: rng, now: early.Add(time.Duration(i) * 7 * time.Millisecond)}
				for range 1 + rng.IntN(12) {
					p.act(j.base)
				}
				j.people = append(j.people, p)
				vs = append(vs, version{[]byte(p.text()), []byte(p.table()), p.now, p.at})
			}
			if len(names) == 2 {
				j.all(j.join(base, vs[0], vs[1]))
			} else {
				ways := []version{
					j.join(base, j.join(base, vs[0], vs[1]), vs[2]),
					j.join(base, j.join(base, vs[1], vs[2]), vs[0]),
					j.join(base, vs[1], j.join(base, vs[0], vs[2])),
				}
				same := true
				for i, w := range ways {
					j.all(w)
					same = same && bytes.Equal(w.cook, ways[0].cook) && bytes.Equal(w.table, ways[0].table)
					if !slices.Equal(linesOf(w.cook), linesOf(ways[0].cook)) || !slices.Equal(linesOf(w.table), linesOf(ways[0].table)) {
						j.fault("in order %d: %s%s", i, differ(w.cook, ways[0].cook), differ(w.table, ways[0].table))
					}
				}
				if same {
					sameBytes++
				}
			}
			checked, clashes = checked+j.checked, clashes+j.clashes
			if len(j.faults) > 0 {
				if bad++; bad <= 3 {
					t.Errorf("%d people, night %d: %s", len(names), seed, strings.Join(j.faults[:min(3, len(j.faults))], "\n"))
				}
			}
		}
		t.Logf("%d people, %d nights: %d bad; %d values and lines, %d clashes; same bytes in three orders %d", len(names), nights, bad, checked, clashes, sameBytes)
		if clashes == 0 {
			t.Error("no clash: the check of clashes checks nothing")
		}
	}
}
