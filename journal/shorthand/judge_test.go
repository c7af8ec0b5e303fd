package shorthand

import (
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ashbook/journal"
)

// fillers are words of a detail that mean nothing, so they may be there or not.
var fillers = strings.Fields("a an the of to in on at and some with is was it till until from up for w")

// sameWords are the ways to write one word of a detail.
var sameWords = map[string]string{
	"lbs": "lb", "pound": "lb", "pounds": "lb", "ounce": "oz", "ounces": "oz", "gram": "g", "grams": "g",
	"min": "min", "mins": "min", "minute": "min", "minutes": "min", "sec": "s", "secs": "s", "seconds": "s",
	"litre": "l", "litres": "l", "half": "1/2", "quarter": "1/4",
}

var (
	numberWithUnit = regexp.MustCompile(`^(\d+(?:[.,/]\d+)?)(%|[a-z]+)$`)
)

// tally counts the words of a detail that say something.
func tally(text string) map[string]int {
	n := map[string]int{}
	text = strings.NewReplacer("(", " ", ")", " ", "+", " ", "&", " ", "–", "-").Replace(strings.ToLower(text))
	text = slashBetweenWords.ReplaceAllString(text, "$1 $2")
	for w := range strings.FieldsSeq(text) {
		parts := []string{strings.Trim(w, ".,;:!?'\"")}
		if m := numberWithUnit.FindStringSubmatch(parts[0]); m != nil {
			parts = m[1:]
		}
		for _, p := range parts {
			if to, ok := sameWords[p]; ok {
				p = to
			} else if v, ok := numberWord(p); ok {
				p = strconv.Itoa(v)
			}
			if p != "" && !slices.Contains(fillers, p) {
				n[p]++
			}
		}
	}
	return n
}

var slashBetweenWords = regexp.MustCompile(`([a-z])/([a-z])`)

func numberWord(w string) (int, bool) {
	i := slices.Index(strings.Fields("zero one two three four five six seven eight nine ten eleven twelve"), w)
	return i, i >= 0
}

var optionalWord = regexp.MustCompile(`\([^)]*\)`)

// detail compares a detail with the one wanted to the letter: words in brackets may be
// there or not, fillers too, no other word may be added, doubled or left out.
func detail(got, want string) (extra, missing []string) {
	may, must, have := tally(want), tally(optionalWord.ReplaceAllString(want, " ")), tally(got)
	for _, w := range slices.Sorted(maps.Keys(have)) {
		if have[w] > may[w] {
			extra = append(extra, w)
		}
	}
	for _, w := range slices.Sorted(maps.Keys(must)) {
		if have[w] < must[w] {
			missing = append(missing, w)
		}
	}
	return extra, missing
}

// sameItem reports whether two items agree in all but their detail.
func sameItem(got, want journal.Item) bool {
	if !got.Act.TakesDetail() {
		if got.Act == journal.By || got.Act == journal.Watch {
			return got.Act == want.Act && got.Detail == want.Detail
		}
	}
	return got.Act == want.Act && strings.EqualFold(got.Piece, want.Piece) && got.Wrap == want.Wrap && got.Loose == want.Loose && got.Grade == want.Grade &&
		math.Abs(got.After.Base-want.After.Base) < 1e-6 && got.Temp.Known == want.Temp.Known && math.Abs(got.Temp.Base-want.Temp.Base) <= .01 &&
		(!want.Amount.Known || got.Amount.Known && math.Abs(got.Amount.Base-want.Amount.Base) < 1e-6)
}

// judge compares a line with a meaning to the letter, and says what is wrong with it.
func (m meaning) judge(l Line) (verdict, string) {
	if m.ask {
		switch {
		case len(l.Asks) > 0:
			return understoodRight, ""
		case l.items() == 0:
			return keptWords, "not asked"
		}
		return misread, "taken unasked"
	}
	if len(l.Asks) > 0 {
		v, why := m.judge(l.Sure())
		return max(keptWords, v), "asked " + why
	}
	kept := ""
	for _, e := range l.Entries() {
		kept += " " + e.Words
	}
	keptN := tally(kept)
	wanted := map[int64][]journal.Item{}
	missing := 0
	for _, e := range m.entries {
		wanted[e.Time.Unix()] = append(wanted[e.Time.Unix()], e.Items...)
		missing += len(e.Items)
	}
	v, why := understoodRight, ""
	for _, e := range l.Entries() {
		at := e.Time.Truncate(60e9).Unix()
		for _, it := range e.Items {
			left := wanted[at]
			best, bestWhy, bestAt := misread, "nobody said "+it.String(), -1
			for i, w := range left {
				if !sameItem(it, w) {
					continue
				}
				extra, lost := detail(it.Detail, w.Detail)
				lost = slices.DeleteFunc(lost, func(s string) bool { return !it.Act.TakesDetail() })
				now, nowWhy := understoodRight, ""
				switch {
				case it.Act.TakesDetail() && len(extra) > 0:
					now, nowWhy = misread, it.String()+" has too much: "+strings.Join(extra, " ")
				case len(lost) > 0:
					now, nowWhy = keptWords, it.String()+" lacks "+strings.Join(lost, " ")
					if slices.ContainsFunc(lost, func(s string) bool { return keptN[s] == 0 }) {
						now, nowWhy = misread, it.String()+" lost "+strings.Join(lost, " ")
					}
				}
				if now < best || bestAt < 0 {
					best, bestWhy, bestAt = now, nowWhy, i
				}
			}
			if bestAt >= 0 {
				wanted[at] = slices.Delete(slices.Clone(left), bestAt, bestAt+1)
				missing--
			}
			if best > v {
				v, why = best, bestWhy
			}
		}
	}
	if v < misread && missing > 0 {
		v, why = keptWords, "not all of it"
		if kept == "" {
			v, why = misread, "lost without a word"
		}
	}
	return v, why
}
