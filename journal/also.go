package journal

import (
	"fmt"
	"strings"
	"time"

	"ashbook/journal/measure"
)

// Other is a pair of values that two people set for the same thing: the one in its
// place in the file, and the other. The other is in the also list until somebody
// decides which is right.
type Other struct {
	// path of the value, such as "serve" or "tasting", "RT", "moisture"; EntryKey for
	// an entry
	Key    []string
	Stands string // value in its place in the file; "" if there is none now
	Value  string // the other value, as written
	By     string // who set the other value; "" if not known
	Row    int    // its index in the also list
	Line   int    // line in the file, from 1

	Entries [2]int // for an entry: indexes in Cook.Entries of the kept one and the other
}

// EntryKey is the Key of an entry that both corrected. Both lines are in the timeline.
const EntryKey = "entry"

// OfEntry reports whether the pair is about an entry.
func (o Other) OfEntry() bool { return len(o.Key) == 1 && o.Key[0] == EntryKey }

// Name returns the keys as words: "tasting RT moisture".
func (o Other) Name() string { return strings.Join(o.Key, " ") }

// String describes the pair: "serve 14:00; Ann said 12:30".
func (o Other) String() string {
	stands, other := o.Both()
	if !o.OfEntry() {
		stands = o.Name() + " " + stands
	}
	return stands + "; " + o.Who() + " said " + other
}

// Who returns who set the other value, or words for an unknown person.
func (o Other) Who() string {
	if o.By == "" {
		return "someone"
	}
	return o.By
}

// Both returns the two values as short as they differ: of two times on one day only the
// clock times.
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

// cutTime splits s into the time at its start and the rest.
func cutTime(s string) (t time.Time, rest string, ok bool) {
	at := len(s)
	if i := strings.IndexByte(s, ' '); i >= 0 {
		at = i
	}
	t, err := ParseTime(s[:at])
	return t, s[at:], err == nil
}

// Choose finds out what words such as "serve 12:30" decide: the index in others, and
// whether the other value is the right one. The value may be shortened as long as it
// fits only one of the two.
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
		return 0, false, fmt.Errorf("%q: there is nothing to settle: no two people set different values", words)
	}
	return 0, false, fmt.Errorf("%q: expected %s", words, strings.Join(open, "; "))
}
