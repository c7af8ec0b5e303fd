package journal

import (
	"fmt"
	"strings"
	"time"

	"ashbook/journal/measure"
)

// Other is a pair of values that two people set for the same thing: the one that the file
// keeps, and the other. The other is kept under "also" until somebody settles which is
// right.
type Other struct {
	Key    []string // the keys of the value: "serve"; "tasting", "RT", "moisture". EntryKey: an entry
	Stands string   // as the file has it; empty: it says nothing of this any more
	Value  string   // the other, as it was written
	By     string   // who said it; may be empty
	Row    int      // its place under also, from 0
	Line   int      // in the file, from 1

	Entries [2]int // of an entry: where in Cook.Entries the kept one and the other are
}

// EntryKey is the key of an entry that both corrected: both lines are in the timeline.
const EntryKey = "entry"

// OfEntry reports whether it is about an entry.
func (o Other) OfEntry() bool { return len(o.Key) == 1 && o.Key[0] == EntryKey }

// Name names the value in words: "tasting RT moisture".
func (o Other) Name() string { return strings.Join(o.Key, " ") }

// String says it in one breath: "serve 14:00; Ann said 12:30".
func (o Other) String() string {
	stands, other := o.Both()
	if !o.OfEntry() {
		stands = o.Name() + " " + stands
	}
	return stands + "; " + o.Who() + " said " + other
}

// Who said the other.
func (o Other) Who() string {
	if o.By == "" {
		return "someone"
	}
	return o.By
}

// Both are the two in the fewest words that tell them apart: of two times on one day
// the clock alone.
func (o Other) Both() (stands, other string) {
	if o.Stands == "" {
		return "not set", o.Value
	}
	a, aRest, okA := cutTime(o.Stands)
	b, bRest, okB := cutTime(o.Value)
	if !okA || !okB {
		return o.Stands, o.Value
	}
	layout := measure.Clock
	if a.Format(time.DateOnly) != b.Format(time.DateOnly) {
		layout = measure.DayDateClock
	}
	return a.Format(layout) + aRest, b.Format(layout) + bRest
}

// cutTime parts a time from what follows it.
func cutTime(s string) (t time.Time, rest string, ok bool) {
	at := len(s)
	if i := strings.IndexByte(s, ' '); i >= 0 {
		at = i
	}
	t, err := ParseTime(s[:at])
	return t, s[at:], err == nil
}

// Choose finds what words such as "serve 12:30" settle: which of others, and whether
// it is the other value that is right. The value may be typed as far as it takes to
// tell the two apart.
func Choose(others []Other, words string) (at int, take bool, err error) {
	fold := func(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }
	words = fold(words)
	var open []string
	for i, o := range others {
		stands, other := o.Both()
		open = append(open, o.Name()+" "+stands+", or "+other)
		typed, named := strings.CutPrefix(words+" ", fold(o.Name())+" ")
		if typed = strings.TrimSpace(typed); !named || typed == "" {
			continue
		}
		is := func(texts ...string) (begins, whole bool) {
			for _, t := range texts {
				begins, whole = begins || strings.HasPrefix(fold(t), typed), whole || fold(t) == typed
			}
			return begins, whole
		}
		one, oneWhole := is(stands, o.Stands)
		two, twoWhole := is(other, o.Value)
		switch {
		case oneWhole || one && !two:
			return i, false, nil
		case twoWhole || two && !one:
			return i, true, nil
		}
	}
	if len(open) == 0 {
		return 0, false, fmt.Errorf("%q: nothing is to be settled: no two people set one thing", words)
	}
	return 0, false, fmt.Errorf("%q: expected %s", words, strings.Join(open, "; "))
}
