package heard

import (
	"fmt"
	"slices"
	"strings"
	"sync"
)

// frame is a pattern for one way in which something goes wrong: a list of terms, all of
// which a sentence must contain. A term is the name of a family, a class or a fact, or
// a single word written 'word; | separates alternatives. "a>b" means b within seven
// words after a, "-a" means a negated a ("no heat"), "~a" means a negated or not, and
// "!a" means that a occurs nowhere. A word after "not" does not count as present. Each
// word of the sentence can match one term only.
type frame struct {
	means Meaning
	when  stage
	terms string
}

// stage says at which stage of the cook a frame applies. Prose counts as written before
// the meat went on.
type stage uint8

const (
	before stage = 1 << iota
	during
	after
	always = before | during | after
)

// term is one parsed term of a frame.
type term struct {
	is     class
	in     family
	words  []string
	facts  []string
	denied bool // the word must be negated
	either bool // the word may be negated
	absent bool
	then   *term
}

// fireLow is the pit temperature below which nothing cooks, °C (chosen).
const fireLow = 75.0

// reach is the largest distance, in words, between the two words of "a>b".
const reach = 7

// readFrames returns the frames with their terms parsed.
var readFrames = sync.OnceValue(func() [][]term {
	out := make([][]term, len(frames))
	for i, f := range frames {
		for t := range strings.FieldsSeq(f.terms) {
			out[i] = append(out[i], readTerm(t))
		}
	}
	return out
})

func readTerm(text string) (t term) {
	text, t.absent = strings.CutPrefix(text, "!")
	first, rest, chained := strings.Cut(text, ">")
	first, t.denied = strings.CutPrefix(first, "-")
	first, t.either = strings.CutPrefix(first, "~")
	for name := range strings.SplitSeq(first, "|") {
		c, isClass := named[name]
		f, isFamily := familyOf[name]
		switch {
		case name[0] == '\'':
			t.words = append(t.words, name[1:])
		case isClass:
			t.is |= c
		case isFamily:
			t.in = t.in.with(f)
		case facts[name] != nil:
			t.facts = append(t.facts, name)
		default:
			panic(fmt.Sprintf("heard: no family %q", name))
		}
	}
	if chained {
		then := readTerm(rest)
		t.then = &then
	}
	return t
}

// inFrame returns the meaning of the first frame that the sentence meets.
func (s *sentence) inFrame() (Meaning, string) {
	if i, used := s.framed(); i >= 0 {
		return frames[i].means, s.quote(used...)
	}
	return "", ""
}

// framed returns the index of the first frame that the sentence meets, and the words
// that match it; −1 if it meets none. It searches only once.
func (s *sentence) framed() (frame int, used []int) {
	if !s.met.tried {
		s.met.frame, s.met.used = s.tryFrames()
		s.met.tried = true
	}
	return s.met.frame, s.met.used
}

func (s *sentence) tryFrames() (frame int, used []int) {
	now := before
	switch {
	case s.off:
		now = after
	case s.on:
		now = during
	}
	settled := now == before && s.advice() || s.settled()
	for i, terms := range readFrames() {
		if frames[i].when&now == 0 || settled && frames[i].means != "" || slices.ContainsFunc(terms, func(t term) bool { return !s.couldMeet(t) }) {
			continue
		}
		used := make([]int, 0, 8)
		if !slices.ContainsFunc(terms, func(t term) bool { return !s.meets(t, &used) }) {
			return i, append(used, 0)[:max(1, len(used))]
		}
	}
	return -1, nil
}

// settled reports whether the sentence says that no harm was done. Something that
// lasted for hours is not made good by what was done right after it.
func (s *sentence) settled() bool {
	h, _ := s.hours()
	return max(h, s.apart()) <= outFor && slices.ContainsFunc(s.words, func(w word) bool { return w.in.has(familyOf["resolved"]) })
}

// couldMeet reports quickly whether the sentence may contain the word that a term
// needs.
func (s *sentence) couldMeet(t term) bool {
	if t.absent || len(t.facts)+len(t.words) > 0 {
		return true
	}
	return (s.of&t.is != 0 || s.in.has(t.in)) && (t.then == nil || s.couldMeet(*t.then))
}

// meets reports whether the sentence matches a term, and adds the words that match.
func (s *sentence) meets(t term, used *[]int) bool {
	for _, name := range t.facts {
		if facts[name](s) {
			return !t.absent
		}
	}
	for i := range s.words {
		var path []int
		if s.follows(t, i, &path) && (t.absent || !slices.ContainsFunc(path, func(k int) bool { return slices.Contains(*used, k) })) {
			if !t.absent {
				*used = append(*used, path...)
			}
			return !t.absent
		}
	}
	return t.absent
}

// follows reports whether a term matches the word at i, and the rest of the term the
// words after it.
func (s *sentence) follows(t term, i int, path *[]int) bool {
	w := s.words[i]
	if w.is&t.is == 0 && !w.in.has(t.in) && !slices.Contains(t.words, w.text) || !t.absent && !t.either && s.denied(i) != t.denied {
		return false
	}
	*path = append(*path, i)
	if t.then == nil {
		return true
	}
	for k := i + 1; k < len(s.words) && k <= i+reach && s.words[k].text != ","; k++ {
		if then := *path; s.follows(*t.then, k, &then) {
			*path = then
			return true
		}
	}
	*path = (*path)[:len(*path)-1]
	return false
}

// facts are terms that depend on the whole sentence, not on a single word.
var facts = map[string]func(*sentence) bool{
	"lasting":  func(s *sentence) bool { return s.lasting() || s.apart() > outFor },
	"hours":    func(s *sentence) bool { h, ok := s.hours(); return ok && h > outFor },
	"unwarmed": func(s *sentence) bool { h, ok := s.hours(); return ok && h > lidBack },
	"brief":    func(s *sentence) bool { h, ok := s.hours(); return ok && h <= lidBack },
	"apart":    func(s *sentence) bool { return s.apart() > outFor },
	"entered":  func(s *sentence) bool { return s.clock > 0 },
	"hothold":  func(s *sentence) bool { return s.temps(func(_ int, c float64) bool { return c >= hotHeld }) },
	"sometime": func(s *sentence) bool {
		for i := range s.words {
			if _, _, ok := s.timeOfDay(i); ok {
				return true
			}
		}
		return false
	},
	"bytime": func(s *sentence) bool {
		for i := 1; i < len(s.words); i++ {
			if _, _, ok := s.timeOfDay(i); ok && s.words[i-1].text == "by" {
				return true
			}
		}
		return false
	},
	"days": func(s *sentence) bool { return s.namedDays() > 1 },
	"tepid": func(s *sentence) bool {
		return s.temps(func(_ int, c float64) bool { return c > coldOver && c < roomMost })
	},
	"coolpit": func(s *sentence) bool {
		return s.temps(func(k int, c float64) bool {
			i := s.before(k, fire, reach)
			return c < fireLow && i >= 0 && s.words[i].is&meat == 0 && s.anyOf(i+1, k, "down", "only", "at", "to", "was", "barely") && s.before(k, meat|middle, k-i) < 0
		})
	},
	"halfcore": func(s *sentence) bool { return s.temps(func(_ int, c float64) bool { return c > 35 && c < 62 }) },
	"kepthot":  func(s *sentence) bool { return s.keptHot() },
	"keptcold": func(s *sentence) bool { return s.stillCold() },
	"pit":      func(s *sentence) bool { return s.hasFire() },
}

// apart returns the longest time between two times of day that a sentence names, h.
func (s *sentence) apart() (most float64) {
	first, at, half := false, 0.0, false
	for i := range s.words {
		if t, h12, ok := s.timeOfDay(i); ok {
			if first {
				most = max(most, between(at, half, t, h12))
			}
			first, at, half = true, t, h12
		}
	}
	return most
}

// namedDays returns the number of different days that a sentence names.
func (s *sentence) namedDays() int {
	var days []string
	s.each(weekday|later, func(i int) bool {
		if t := s.words[i].text; t != "weekend" && t != "later" && t != "overnight" && !slices.Contains(days, t) {
			days = append(days, t)
		}
		return false
	})
	if s.wordsIn("today", "tonight") {
		days = append(days, "today")
	}
	return len(days)
}
