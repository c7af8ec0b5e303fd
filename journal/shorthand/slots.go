package shorthand

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// fill is one way to fill a slot: its text, and the index of the token after it.
type fill struct {
	text string
	end  int
	from token
}

// slot returns the ways to fill slot s of act at token i.
func (p *parser) slot(s byte, act journal.Act, i int) []fill {
	if i >= len(p.toks) {
		return nil
	}
	t := p.toks[i]
	one := func(text string, end int) []fill { return []fill{{text: text, end: end, from: t}} }
	switch s {
	case 'T':
		if text, end, ok := p.temperature(i); ok {
			t.text = text
			return one(text, end)
		}
	case 'X':
		if t.low != "at" || i+1 >= len(p.toks) {
			return nil
		}
		text, end, ok := p.temperature(i + 1)
		if num, unit, _ := p.toks[i+1].number(); !ok || unit == "" && end == i+2 && len(num) > 0 && len(num) < 3 && hourLike(num) {
			return nil
		}
		return []fill{{text: text, end: end, from: token{text: text}}}
	case 'P':
		if t.low == "both" && len(p.grammar.Pieces) > 1 {
			return one(bothPieces, i+1)
		}
		for _, name := range p.grammar.Pieces {
			fields := strings.Fields(strings.ToLower(name))
			if i+len(fields) > len(p.toks) {
				continue
			}
			whole := true
			for k, f := range fields {
				low := p.called(p.toks[i+k].low)
				whole = whole && (low == f || k == len(fields)-1 && low == f+"'s")
			}
			if end := i + len(fields); whole && manyPieces.has(act.Word()) && end+1 < len(p.toks) && p.toks[end].low == "and" && !p.toks[end-1].comma {
				for _, other := range p.grammar.Pieces { // "small and middle off"
					if other != name && strings.EqualFold(p.called(p.toks[end+1].low), other) {
						return []fill{{text: severalPieces + name + severalPieces + other, end: end + 2}, {text: name, end: end}}
					}
				}
			}
			if end := i + len(fields); whole && sized.has(fields[len(fields)-1]) && end < len(p.toks) && (p.toks[end].low == "one" || p.toks[end].low == "one's" || meats.has(p.toks[end].low)) {
				return []fill{{text: name, end: end + 1}}
			}
			if whole && !(isDigit(name[0]) && (i == 0 || !numbered.has(p.toks[i-1].low))) {
				return []fill{{text: name, end: i + len(fields)}}
			}
		}
	case 'D':
		if words, end := p.said(act, i); end > i {
			return one(words, end)
		}
	case 'W':
		for _, w := range wraps {
			fields := strings.Fields(w.words)
			if i+len(fields) <= len(p.toks) {
				whole := true
				for k, f := range fields {
					whole = whole && p.toks[i+k].low == f
				}
				if whole {
					return one(string(w.kind), i+len(fields))
				}
			}
		}
	case 'G':
		if t.low == "too" && i+1 < len(p.toks) && p.toks[i+1].low == "dark" {
			return one("4", i+2)
		}
		if g, ok := barkWords[t.low]; ok {
			return one(string(rune('0'+g)), i+1)
		}
	case 'N':
		if len(t.text) == 1 && isDigit(t.text[0]) {
			return one(t.text, i+1)
		}
	case 'S':
		return p.duration(i)
	case 'R':
		if a, b, ok := strings.Cut(strings.ReplaceAll(t.text, "–", "-"), "-"); ok && hourMinute(a) && hourMinute(b) {
			return one(t.text, i+1)
		}
		if i+2 < len(p.toks) && hourMinute(t.text) && (p.toks[i+1].low == "and" && i > 0 && p.toks[i-1].low == "between" || p.toks[i+1].low == "to" || p.toks[i+1].low == "till" || p.toks[i+1].low == "until") && hourMinute(p.toks[i+2].text) {
			return one(t.text+" to "+p.toks[i+2].text, i+3)
		}
	case 'C':
		return p.hourToCome(i)
	case 'K':
		if isName(t.text) && !passing.has(t.low) && !inside.has(t.low) && t.text != "I" && (t.text != "IT") {
			return one(t.text, i+1)
		}
	case 'F':
		if dot := strings.LastIndexByte(t.text, '.'); dot > 0 && dot+3 <= len(t.text) && !isDigit(t.text[0]) {
			return one(t.text, i+1)
		}
	case 'M':
		if num, unit, ok := t.number(); ok && unit == "" && i+1 < len(p.toks) && speeds.has(p.toks[i+1].low) {
			return one(num+" "+p.toks[i+1].text, i+2)
		}
	}
	return nil
}

// sized are names of pieces that "one" or a word for meat may follow: "the big one".
var sized = newWords("big|small|large|little|left|right|front|back|top|bottom|fat|thin|thick|first|second")

var meats = newWords(lists["$meat"])

// called returns this cook's own word for a size: "large" for "big" if a piece is named
// large. Other words come back unchanged.
func (p *parser) called(low string) string {
	for _, same := range [][]string{{"big", "large", "bigger", "larger"}, {"small", "little", "smaller"}} {
		if !slices.Contains(same, low) || p.ctx.named(low) {
			continue
		}
		for _, w := range same {
			if p.ctx.named(w) {
				return w
			}
		}
	}
	return low
}

// numbered are words after which a number may be the name of a piece.
var numbered = newWords("core|internal|feel|off|on|piece|number|no|nr|probe|boxed|unboxed|pulled|sliced|turn|turned|took|wrapped|rest|resting")

var speeds = newWords("m/s|mph|km/h|kmh|kph|knots")

// bothPieces in a piece slot means every piece.
const bothPieces = "\x00both"

// severalPieces in a piece slot stands before each of two names.
const severalPieces = "\x01"

// manyPieces are the acts that may be done to two pieces named together.
var manyPieces = newWords("on|off|rest|boxed|unboxed|pulled|sliced|served|chilled|feel|turn")

// isName reports whether s looks like a person's initials or name.
func isName(s string) bool {
	for i, r := range s {
		if i == 0 && !unicode.IsUpper(r) || !unicode.IsLetter(r) {
			return false
		}
	}
	return len(s) <= 12
}

// hourLike reports whether a bare number is at most 24, which is more likely an hour
// than a core temperature.
func hourLike(num string) bool {
	n := 0
	for _, r := range num {
		if r < '0' || r > '9' {
			return false
		}
		n = n*10 + int(r-'0')
	}
	return n <= 24
}

func hourMinute(s string) bool {
	if _, _, ok := journal.ParseClock(s); ok {
		return true
	}
	s = strings.TrimSuffix(strings.TrimSuffix(strings.ToLower(s), "am"), "pm")
	return s != "" && len(s) <= 2 && hourLike(s)
}

// temperature reads a number that may be a temperature, with its unit. end is the index
// of the token after it.
func (p *parser) temperature(i int) (text string, end int, ok bool) {
	if i >= len(p.toks) {
		return "", 0, false
	}
	t, minus := p.toks[i], ""
	if t.low == "minus" && i+1 < len(p.toks) {
		i++
		t, minus = p.toks[i], "-"
	}
	num, unit, isNum := t.number()
	if h, m, ok := strings.Cut(num, "."); ok && unit == "" && len(m) == 2 && m < "60" && hourLike(h) {
		return "", 0, false // "23.40" may be a clock
	}
	if !isNum || strings.HasPrefix(num, "+") || strings.HasPrefix(num, ".") || len(num) > 1 && num[0] == '0' && isDigit(num[1]) {
		return "", 0, false
	}
	end = i + 1
	gap := ""
	switch unit {
	case "°", "º", "ish":
		unit = ""
	case "":
		if end < len(p.toks) {
			switch next := p.toks[end]; {
			case next.low == "degrees":
				end++
				if end < len(p.toks) && (temperatureUnit(p.toks[end].text) || p.toks[end].low == "c" || p.toks[end].low == "f") {
					unit, gap = p.toks[end].text, " "
					end++
				}
			case temperatureUnit(next.text) && !(p.isPiece(end) && end+1 < len(p.toks) && isDigit(p.toks[end+1].text[0])): // "B 67 C 80" of pieces B and C
				unit, gap = next.text, " "
				end++
			case p.countsSomething(end) && !p.tooMany(i):
				return "", 0, false
			}
		}
	}
	text = minus + num + gap + unit
	if _, err := measure.ParseTemperature(text, p.grammar.Units); err != nil {
		return "", 0, false
	}
	return text, end, true
}

// sizes are words that may come between a number and the thing it counts: "2 more
// chunks".
var sizes = newWords("more|big|small|large|fresh|lit|unlit|hot|dry|post|new|little|good")

// countsSomething reports whether token i is a unit or a thing that the number before
// it counts: "90 g", "2 chunks", "20 min".
func (p *parser) countsSomething(i int) bool {
	t := p.toks[i]
	return massUnit(t.text) || spanUnit(t.text) || t.low == "am" || t.low == "pm" || t.text == "%" || namesWood.has(t.low) || namesFuel.has(t.low) || trees.has(t.low) || sizes.has(t.low) && !p.ctx.named(t.low)
}

// tooMany reports whether the number at token i is too large to count the thing after
// it, and so is a reading: "68 oak 90 g", "112 fuel lump 1 kg".
func (p *parser) tooMany(i int) bool {
	n, err := strconv.ParseFloat(p.toks[i].text, 64)
	if err != nil || n <= mostCounted {
		return false
	}
	thing := p.toks[i+1].low
	if trees.has(thing) || thing == journal.AddFuel.Word() {
		return true
	}
	if !namesFuel.has(thing) && !namesWood.has(thing) {
		return false
	}
	for k := i + 2; k < len(p.toks) && !p.toks[k-1].comma; k++ { // "68 lump 1 kg"
		if _, unit, ok := p.toks[k].number(); ok {
			return massUnit(unit) || unit == "" && k+1 < len(p.toks) && massUnit(p.toks[k+1].text)
		}
	}
	return false
}

// duration takes "30", "45 min", "1 h 30", "an hour", "half an hour".
func (p *parser) duration(i int) []fill {
	t := p.toks[i]
	low := func(k int) string {
		if k < len(p.toks) {
			return p.toks[k].low
		}
		return ""
	}
	switch {
	case (t.low == "an" || t.low == "one" || t.low == "a") && low(i+1) == "h":
		return []fill{{text: "1 h", end: i + 2}}
	case (t.low == "a" || t.low == "one") && low(i+1) == "min":
		return []fill{{text: "1 min", end: i + 2}}
	case t.low == "half" && (low(i+1) == "an" || low(i+1) == "a") && low(i+2) == "h":
		return []fill{{text: "30 min", end: i + 3}}
	case t.low == "half" && low(i+1) == "h":
		return []fill{{text: "30 min", end: i + 2}}
	case t.low == "a" && low(i+1) == "half" && low(i+2) == "h":
		return []fill{{text: "30 min", end: i + 3}}
	case t.low == "a" && low(i+1) == "quarter" && low(i+2) == "of" && low(i+3) == "an" && low(i+4) == "h":
		return []fill{{text: "15 min", end: i + 5}}
	case t.low == "quarter" && low(i+1) == "of" && low(i+2) == "an" && low(i+3) == "h":
		return []fill{{text: "15 min", end: i + 4}}
	}
	text, end := t.text, i+1
	if n, ok := numberWords[t.low]; ok {
		text = n
	} else if _, _, isNum := t.number(); !isNum || signOf(t.text) > 0 {
		return nil
	}
	if spanUnit(low(end)) && low(end) != "" {
		text += " " + low(end)
		end++
	}
	if strings.HasSuffix(text, "h") && end < len(p.toks) && p.toks[end].bare() {
		more := text + " " + p.toks[end].text
		if _, err := measure.ParseSpan(more); err == nil {
			text, end = more, end+1
			if low(end) == "min" {
				text += " min"
				end++
			}
		}
	}
	if d, err := measure.ParseSpan(text); err != nil || d.Base <= 0 {
		return nil
	}
	return []fill{{text: text, end: end, from: t}}
}

var numberWords = map[string]string{"one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9", "ten": "10", "eleven": "11", "twelve": "12",
	"fifteen": "15", "twenty": "20", "thirty": "30", "forty": "40", "forty-five": "45", "fifty": "50"}

// said reads the words that the act may have, and puts a weight last: "2 chunks oak",
// or "cherry 90 g" from "90 g of cherry".
func (p *parser) said(act journal.Act, i int) (words string, end int) {
	var list []string
	mass, about := "", ""
	known := said[act]
	weighed := act == journal.AddWood || act == journal.AddFuel
	end = i
	for k := i; k < len(p.toks); {
		t := p.toks[k]
		num, unit, isNum := t.number()
		low := ""
		if k+1 < len(p.toks) {
			low = p.toks[k+1].low
		}
		switch {
		case weighed && isNum && signOf(num) == 0 && mass == "" && (massUnit(unit) || unit == "" && massUnit(low)):
			mass = t.text
			if k++; unit == "" {
				mass += " " + p.toks[k].text
				k++
			}
			if len(list) > 0 && list[len(list)-1] == "about" {
				about, list = "about ", list[:len(list)-1]
			}
			end = k
			continue
		case weighed && mass == "" && k+1 < len(p.toks) && len(low) > 1 && massUnit(low) && (t.low == "a" || t.low == "another"): // "a kilo of"
			mass = "1 " + low
			k += 2
			end = k
			continue
		case weighed && mass == "" && t.low == "couple" && (massUnit(low) && low != "" || low == "of" && k+2 < len(p.toks) && massUnit(p.toks[k+2].low)): // "couple of pounds"
			if k++; low == "of" {
				k++
			}
			mass = "2 " + p.toks[k].low
			k++
			end = k
			continue
		case weighed && mass == "" && t.low == "half" && k+2 < len(p.toks) && p.toks[k+1].low == "a" && massUnit(p.toks[k+2].low):
			mass = "0.5 " + p.toks[k+2].low
			k += 3
			end = k
			continue
		case isNum && unit == "%", isNum && unit == "" && low == "%":
			list = append(list, num+" %")
			if k++; unit == "" {
				k++
			}
			end = k
			continue
		case isNum && unit == "" && signOf(num) == 0 && known.has(low) && low != "to" && low != "degrees" && !weighed || isNum && unit == "" && weighed && known.has(low) && low != "to" && low != "up":
			list = append(list, t.text)
		case fraction(t.text):
			list = append(list, t.text)
		case weighed && len(list) > 0 && len(t.low) > 1 && t.low[0] == 'x' && (token{text: t.low[1:]}).bare(): // "splits x2"
			list = append(list, t.text)
		case known.has(t.text) && isNum: // 180, 90
			list = append(list, t.text)
		case !isNum && t.text != "n" && saidAll(known, t.low):
			if t.low != "of" && t.low != "by" || act == journal.Sky {
				list = append(list, t.text)
			}
			end = k + 1
			k++
			continue
		case (t.low == "just" || t.low == "a" || t.low == "the" || t.low == "degrees" || t.low == "an") && k+1 < len(p.toks) && (k > i || known.has(low)):
			k++
			continue
		default:
			k = len(p.toks)
			continue
		}
		k++
		end = k
	}
	for len(list) > 0 && joining.has(list[len(list)-1]) {
		list = list[:len(list)-1]
		end--
	}
	if mass != "" {
		list = append(list, about+mass)
	}
	return strings.Join(list, " "), end
}

// joining are words that are never the last of what is said.
var joining = newWords("and|with|to|on|the|a|of|in|now|at|getting")

// saidAll reports whether every part of a word such as "acv/water" may be said.
func saidAll(known *wordSet, low string) bool {
	for w := range strings.SplitSeq(low, "/") {
		if !known.has(w) {
			return false
		}
	}
	return true
}

// hourToCome reads a clock time and takes the next one after now.
func (p *parser) hourToCome(i int) []fill {
	t := p.toks[i]
	if h, m, ok := journal.ParseClock(t.text); ok && (h > 12 || t.text[0] == '0') {
		return []fill{{text: fmt.Sprintf("%02d:%02d", h, m), end: i + 1}}
	}
	if t.bare() && hourLike(t.text) && !(i+1 < len(p.toks) && (p.toks[i+1].low == "am" || p.toks[i+1].low == "pm")) {
		t.low = t.text + ":00"
		p.toks[i] = t
	}
	c, ok := p.clockOf(i)
	if !ok || c.dated {
		return nil
	}
	at := journal.ClockAfter(p.now, c.at.Hour(), c.at.Minute(), p.now.Location())
	if other := journal.ClockAfter(p.now, (c.at.Hour()+12)%24, c.at.Minute(), p.now.Location()); c.twice && other.Before(at) {
		at = other
	}
	return []fill{{text: at.Format(measure.Clock), end: c.end}}
}
