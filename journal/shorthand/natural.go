package shorthand

import (
	"slices"
	"strconv"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// step is one thing found in a clause: a phrase, a time, a bare number, or a word
// without meaning.
type step struct {
	end    int
	pat    *pattern
	b      bound
	when   moment
	figure string
	weight string // of the wood or fuel named before: "oak, 90 g"
	joins  bool   // a word without meaning, which may be between two numbers
	from   token
}

// natural reads a clause of everyday words. It succeeds only if phrases, times, figures
// and words without meaning use up all its tokens. A time may be inside a phrase:
// "wrapped at 4am in paper".
func (p *parser) natural(lo, hi int) bool {
	kept := p.begin(lo, hi)
	if p.inWords(kept) {
		return true
	}
	all := p.toks
	for i := 1; i+1 < len(all); i++ {
		p.state, p.own, p.toks = kept, moment{}, all
		m, ok := p.moment(i)
		if !ok || m.end >= len(all) || m.twice && all[i].bare() {
			continue
		}
		p.own, p.toks = m, slices.Delete(slices.Clone(all), i, m.end)
		if p.inWords(kept) {
			return true
		}
	}
	p.state = kept
	return false
}

// inWords divides the clause's tokens into steps and carries them out. If that fails,
// it restores kept and returns false.
func (p *parser) inWords(kept state) bool {
	stuck := make([]bool, len(p.toks)+1)
	var walk func(i int) ([]step, bool)
	walk = func(i int) ([]step, bool) {
		if i == len(p.toks) {
			return nil, true
		}
		if stuck[i] {
			return nil, false
		}
		for _, s := range p.steps(i) {
			if rest, ok := walk(s.end); ok {
				return append(rest, s), true
			}
		}
		stuck[i] = true
		return nil, false
	}
	steps, ok := walk(0)
	if ok {
		slices.Reverse(steps)
		ok = p.carryOut(steps) && !p.twice(len(kept.items)) && p.done(kept, false) && (p.barred[p.clauses[p.clause].group] == anything || p.onlyReads(kept))
	}
	if !ok {
		p.state = kept
	}
	return ok
}

// twice reports whether the items from index n on give one thing two values, as two
// clauses in one do: "it was 165 at six and it is 172 now".
func (p *parser) twice(n int) bool {
	for i := n; i < len(p.items); i++ {
		for _, o := range p.items[n:i] {
			if it := p.items[i]; it.repeats(o) && it.Temp.Known && it.Temp.Base != o.Temp.Base {
				return true
			}
		}
	}
	return false
}

// onlyReads reports whether the clause added only readings that name what was read.
func (p *parser) onlyReads(kept state) bool {
	return p.bare() == kept.bare() && !slices.ContainsFunc(p.items[len(kept.items):], func(it typed) bool {
		return it.Act != journal.ReadPit && it.Act != journal.ReadCore && it.Act != journal.ReadAir && it.Act != journal.ReadBox
	})
}

// steps returns what may begin at token i, the likeliest first.
func (p *parser) steps(i int) []step {
	var all []step
	if m, ok := p.moment(i); ok {
		all = append(all, step{end: m.end, when: m})
	}
	first := len(all)
	tried := map[*pattern]bool{}
	try := func(list []*pattern) {
		for _, pat := range list {
			if tried[pat] {
				continue
			}
			tried[pat] = true
			if end, b := p.match(pat, i); end > i && p.usable(pat, b) && p.placed(pat, b, i, end) {
				all = append(all, step{end: end, pat: pat, b: b, from: p.toks[i]})
			}
		}
	}
	t := p.toks[i]
	try(patterns()[t.low])
	if isDigit(t.text[0]) || t.low == "minus" || signOf(t.text) > 0 {
		try(patterns()["T"])
	}
	for _, slot := range []string{"P", "D", "W", "K", "G"} {
		if p.mayFill(slot, t) {
			try(patterns()[slot])
		}
	}
	slices.SortStableFunc(all[first:], func(a, b step) int { return b.end - a.end })
	if text, end, ok := p.temperature(i); ok && signOf(t.text) == 0 && t.low != "minus" {
		all = append(all, step{end: end, figure: text, from: t})
	}
	for _, words := range asides {
		if end := i + len(words); i > 0 && end <= len(p.toks) && slices.EqualFunc(words, p.toks[i:end], func(w string, t token) bool { return w == t.low }) {
			all = append(all, step{end: end})
		}
	}
	if i > 0 && i+1 == len(p.toks) && (t.low == "once" || t.low == "twice") {
		all = append(all, step{end: i + 1})
	}
	for _, words := range leadIns {
		if end := i + len(words); end < len(p.toks) && slices.EqualFunc(words, p.toks[i:end], func(w string, t token) bool { return w == t.low }) {
			all = append(all, step{end: end})
		}
	}
	if end := p.lasting(i); end > i {
		all = append(all, step{end: end})
	}
	if text, ok := p.moreOfLast(i); ok {
		all = append(all, step{end: len(p.toks), weight: text})
	}
	if i == 0 && p.clause > 0 && (sentenceJoints.has(t.low) || t.low == "when") {
		all = append(all, step{end: 1})
	}
	if checks.has(t.low) && i > 0 && (i+1 == len(p.toks) || isDigit(p.toks[i+1].text[0])) { // "3am check: 109 64"
		all = append(all, step{end: i + 1})
	}
	if (passing.has(t.low) || adverbs.has(t.low) || t.low == "last" && i > 0 && p.toks[i-1].low == "at") && t.text != "@" && !p.isPiece(i) || strings.HasPrefix(t.low, "'") {
		all = append(all, step{end: i + 1, joins: t.low != "of" && t.low != "at"})
	}
	return all
}

// asides are words without meaning after other words.
var asides = [][]string{{"to", "start"}, {"to", "start", "with"}, {"to", "begin", "with"}, {"to", "finish"}, {"for", "now"}, {"so", "far"}, {"right", "now"}, {"at", "the", "moment"}, {"as", "well"}, {"as", "hell"}, {"as", "heck"}, {"as", "anything"}, {"once", "more"}, {"by", "now"}, {"in", "the", "end"}, {"one", "more", "time"}, {"as", "planned"}, {"in", "the", "meantime"}, {"all", "night"}, {"as", "before"}, {"the", "whole", "time"}}

// leadIns are words before a verb that say no more than that it was done.
var leadIns = [][]string{{"had", "to"}, {"decided", "to"}, {"went", "ahead", "and"}, {"managed", "to"}, {"ended", "up"}, {"got", "up", "and"}, {"got", "round", "to"}, {"got", "around", "to"}, {"let", "me"}, {"woke", "up", "to", "find"}, {"woke", "up", "and"}, {"came", "back", "to", "find"}, {"found"}, {"saw"}, {"noticed"}, {"went", "and"}, {"went", "out", "and"}}

// lasting returns the end of how long a reading has lasted, which it need not keep: "for
// the last hour" behind a number or "steady". It returns i if there is no such thing.
func (p *parser) lasting(i int) int {
	k := i
	if i == 0 || p.toks[i].low != "for" && p.toks[i].low != "last" && p.toks[i].low != "past" {
		return i
	}
	before := p.toks[i-1]
	if _, _, ok := before.number(); !ok && before.low != "degrees" && before.low != "steady" && before.low != "stalled" && before.low != "stuck" {
		return i
	}
	for k < len(p.toks) && (p.toks[k].low == "for" || p.toks[k].low == "last" || p.toks[k].low == "past" || p.toks[k].low == "the" || p.toks[k].low == "about") {
		k++
	}
	if k < len(p.toks) && p.toks[k].low == "h" { // "for the last hour"
		return k + 1
	}
	fills := p.duration(k)
	if len(fills) == 0 {
		return i
	}
	end := fills[0].end
	if end+3 <= len(p.toks) && p.toks[end].low == "and" && p.toks[end+1].low == "a" && p.toks[end+2].low == "half" {
		return end + 3
	}
	return end
}

// moreOfLast takes a clause that only adds to the detail just before it: "a log of ash,
// 700 g", "topped the water, 1.5 l hot", "mopped, beer and butter".
func (p *parser) moreOfLast(i int) (text string, ok bool) {
	n := len(p.items)
	if i > 0 || n == 0 || p.bare() > 0 && p.before == n || p.items[n-1].clause != p.clause-1 {
		return "", false
	}
	it := p.items[n-1]
	names := moreOf[it.Act]
	if names == nil || it.Amount.Known || it.Act == journal.Turn && p.pieceCount() > 1 {
		return "", false
	}
	text = p.toks[0].text
	if len(p.toks) == 2 {
		text += " " + p.toks[1].text
	}
	if q, err := measure.ParseMass(text, p.grammar.Units); it.Act != journal.Water && it.Act != journal.Spritz && len(p.toks) < 3 && err == nil && !q.Assumed && q.Base > 0 && isDigit(text[0]) {
		return text, true
	}
	words, end := p.said(it.Act, 0)
	return words, end == len(p.toks) && (it.Act == journal.Water && isDigit(words[0]) || slices.ContainsFunc(p.toks, func(t token) bool { return names.has(t.low) }))
}

// moreOf maps the acts whose detail may go on after a comma to the words of which one must
// be there.
var moreOf = map[journal.Act]*wordSet{
	journal.AddFuel: newWords("lit|unlit"),
	journal.Turn:    newWords("fat|skin|bone"),
	journal.AddWood: newWords("soaked|dry|dried|seasoned"),
	journal.Spritz:  newWords("cider|vinegar|apple|juice|acv|water|beer|stock|broth|cola|coffee|bourbon|whiskey|wine|worcestershire"),
	journal.Water:   newWords("boiling"),
}

// checks are words for looking at the cook, which add no meaning after a time.
var checks = newWords("check|reading|readings|update")

// mayFill reports whether the token may begin the text of the slot.
func (p *parser) mayFill(slot string, t token) bool {
	switch slot {
	case "P":
		return t.low == "both" || slices.ContainsFunc(p.grammar.Pieces, func(name string) bool { return begins(name, strings.TrimSuffix(p.called(t.low), "'s")) })
	case "D":
		return isDigit(t.text[0]) || said[journal.AddWood].has(t.low) || said[journal.AddFuel].has(t.low) || said[journal.Water].has(t.low) || t.low == "a" || t.low == "the"
	case "W":
		return slices.ContainsFunc(wraps, func(w wrapWords) bool { return strings.HasPrefix(w.words, t.low) })
	case "K":
		return isName(t.text)
	}
	_, bark := barkWords[t.low]
	return bark || t.low == "too"
}

// mostCounted is the largest number of chunks or briquettes taken as a count after
// another number (chosen). A larger number is the second of two readings.
const mostCounted = 30

// placed reports whether the phrase may match at tokens i to end. A lone on, off or
// rest after another word is no act ("lid off"). A number before a name belongs to that
// name only if no number follows it: in "70 pit 112" it does not.
func (p *parser) placed(pat *pattern, b bound, i, end int) bool {
	number := func(k int) bool {
		if k < 0 || k >= len(p.toks) {
			return false
		}
		_, _, ok := p.toks[k].number()
		return ok
	}
	if pat.parts[0].slot == 'T' && !p.namesBehind(i) && end < len(p.toks) && (number(end) || p.toks[end].low == "is" || p.toks[end].low == "at") && pat.parts[len(pat.parts)-1].slot == 0 {
		return false
	}
	if pat.template == "alone T" && (number(end) || end < len(p.toks) && p.toks[end].low == "and" && number(end+1)) { // "temps 112 and 71"
		return false
	}
	if p.toks[i].text != "IT" && p.toks[i].low == "it" && pat.act != journal.ReadPit { // "rotated it at 4", "it went to 260"
		t, err := measure.ParseTemperature(b.slots['T'], p.grammar.Units)
		if b.slots['T'] != "" && (err != nil || t.Base > coreMost || !number(i-1) && !p.emptyUpTo(i)) {
			return false
		}
	}
	if (pat.act == journal.AddWood || pat.act == journal.AddFuel) && p.toks[i].bare() { // "112 68 oak 90 g"
		words := strings.Fields(strings.ToLower(b.slots['D']))
		n, err := strconv.ParseFloat(p.toks[i].text, 64)
		if len(words) > 1 && words[0] == p.toks[i].text && (err != nil || n > mostCounted) && p.weighs(words[1:]) || i > 0 && number(i-1) && err == nil && n > mostCounted && !p.weighs(words) {
			return false
		}
	}
	// in "shoulder to 95" it is a wish, not a reading
	if pat.act == journal.ReadPit || pat.act == journal.ReadCore {
		for k := i + 1; k < end; k++ {
			if p.toks[k].low == "to" && !rises.has(p.toks[k-1].low) {
				return false
			}
		}
	}
	// in "the oven is 112" it may be the pit
	if pat.act == journal.Oven && slices.ContainsFunc(p.toks[i:end], func(t token) bool { return t.low == "is" || t.low == "was" }) {
		return false
	}
	switch {
	case i > 0 && pat.act == journal.Turn && (p.toks[i-1].low == "my" || p.toks[i-1].low == "our"): // "my turn"
		return false
	case i > 0 && pat.act == journal.Fire && end == i+1 && p.toks[i-1].low == "a": // "had a smoke"
		return false
	case i > 0 && pat.act == journal.Rest && (p.toks[i-1].low == "the" || p.toks[i-1].low == "a"): // "the rest of us"
		return false
	case len(b.words) != 1 || pat.act != journal.On && pat.act != journal.Off && pat.act != journal.Rest:
		return true
	}
	for k := i - 1; k >= 0 && p.toks[k].low != "and" && p.toks[k].low != "then"; k-- { // "turned it off"
		if !passing.has(p.toks[k].low) && !number(k) && !clockWords.has(p.toks[k].low) {
			return false
		}
	}
	return true
}

// emptyUpTo reports whether only joints and words without meaning come before token i, back
// to the last "and".
func (p *parser) emptyUpTo(i int) bool {
	for i--; i >= 0 && p.toks[i].low != "and"; i-- {
		if low := p.toks[i].low; low != "now" && low != "still" && low != "when" && !sentenceJoints.has(low) {
			return false
		}
	}
	return true
}

// namesBehind reports whether each reading from token i on is followed by its name:
// "112 pit 46 core".
func (p *parser) namesBehind(i int) bool {
	figures, names := 0, 0
	for _, t := range p.toks[i:] {
		_, _, isNum := t.number()
		switch {
		case isNum && figures == names:
			figures++
		case readOf.has(t.low) && names+1 == figures:
			names++
		case isNum || readOf.has(t.low):
			return false
		case !passing.has(t.low) && !readJoins.has(t.low):
			return figures > 1 && figures == names
		}
	}
	return figures > 1 && figures == names
}

// usable reports whether a phrase may mean its act here: what it names must be wood or
// fuel, and the cook must have come far enough for the act.
func (p *parser) usable(pat *pattern, b bound) bool {
	head, _, _ := strings.Cut(pat.template, " ")
	if strings.HasSuffix(head, "+") || strings.HasSuffix(head, "!") {
		words := strings.Fields(strings.ToLower(b.slots['D']))
		for i, w := range words {
			words[i] = plainWord(w)
		}
		alone := strings.HasSuffix(head, "!")
		has := func(set *wordSet) bool {
			return slices.ContainsFunc(words, func(w string) bool { return set.has(w) })
		}
		counted := slices.ContainsFunc(words, func(w string) bool {
			return isDigit(w[0]) || numberWords[w] != "" || w == "half" || w == "full" || w == "lit" || w == "handful" || w == "more" || w == "another" || w == "last" || w == "few" || w == "couple"
		})
		weighed := p.weighs(words)
		if alone && len(words) > 1 && words[0] == "lit" && words[1] == "chimney" {
			return false
		}
		alone = alone && !slices.Contains(b.words[1:], "on")
		if pat.act == journal.AddWood {
			fists := counted && slices.ContainsFunc(words, func(w string) bool { return w == "fist" || w == "fists" })
			return !has(namesFuel) && (fists && has(trees) || has(namesWood) && (!alone || len(words) > 1) || has(trees) && (!alone || weighed)) || pat.act == journal.AddWood && has(trees) && weighed
		}
		lit := len(words) == 2 && isDigit(words[0][0]) && (words[1] == "lit" || words[1] == "unlit") // "20 lit"
		return (has(namesFuel) || lit) && !has(namesWood) && (!alone || counted || weighed)
	}
	if strings.HasSuffix(head, "&") { // the thing was named before, or is among the words of the phrase
		if pat.act == journal.Save {
			return slices.ContainsFunc(strings.Fields(b.slots['D']), func(w string) bool { return juices.has(strings.ToLower(w)) })
		}
		if pat.act == journal.Vent && ventShare(b) {
			return true
		}
		if pat.act == journal.Fire { // "fire low, stoked"
			return len(p.items) > 0 && p.items[len(p.items)-1].Act == journal.Fire
		}
		if pat.act == journal.Water {
			return strings.Contains(b.slots['D'], "water")
		}
		return b.slots['D'] != "" && len(p.items) > 0 && p.items[len(p.items)-1].Act == pat.act
	}
	if pat.act == journal.OpenLid && strings.TrimPrefix(b.slots['D'], "off")+b.slots['S'] == "" && slices.ContainsFunc(b.words, func(w string) bool { return strings.EqualFold(w, "off") }) {
		return false // "lid off" does not say that it was open for a while
	}
	if pat.act == journal.Turn && vagueTurn.has(strings.ToLower(b.slots['D'])) {
		return false
	}
	if pat.template == "wrap W" && pat.parts[0].slot == 'W' && b.slots['W'] == string(journal.InPan) {
		return false // this is a pan for water, or one under the meat
	}
	if pat.act.TakesDetail() && strings.HasSuffix(pat.template, "*") && pat.act == journal.Vent {
		return p.ventMeant(pat, b)
	}
	if pat.act == journal.ReadCore && b.slots['P'] != "" && len(b.words) == 2 && len(b.slots['T']) == 1 && b.slots['T'] <= "3" {
		return false // the number is a grade of feel
	}
	return p.mayBegin(pat.act, b.slots['P'])
}

var juices = newWords(lists["$juice"])

// ventShare reports whether a vent that is only named by bottom or top, as "bottom 1/4 top
// full", says how far it is open.
func ventShare(b bound) bool {
	words := strings.Fields(b.slots['D'])
	return len(words) > 0 && (fraction(words[0]) || len(words) > 1 && words[1] == "%")
}

// mayBegin reports whether the act may still come: a cook is lit, and a piece put on,
// taken off or boxed, only if that has not happened before.
func (p *parser) mayBegin(act journal.Act, piece string) bool {
	c := p.ctx.Cook
	if c == nil {
		return true
	}
	stage := c.Status(p.now).Stage
	if piece != "" && piece != bothPieces && !strings.HasPrefix(piece, severalPieces) {
		stage = c.PieceStage(p.pieceIndex(piece), p.now)
	}
	switch act {
	case journal.Lit:
		return stage < journal.Cooking
	case journal.On:
		return stage < journal.Cooking || piece != "" && stage < journal.TakenOff
	case journal.Boxed:
		return stage != journal.Holding
	}
	return true
}

// weighs reports whether the words end in a weight.
func (p *parser) weighs(words []string) bool {
	for k := max(0, len(words)-2); k < len(words); k++ {
		if q, err := measure.ParseMass(strings.Join(words[k:], " "), p.grammar.Units); err == nil && !q.Assumed {
			return true
		}
	}
	return false
}

// ventMeant reports whether a phrase about the bottom or the top is about a vent.
func (p *parser) ventMeant(pat *pattern, b bound) bool {
	for _, w := range b.words {
		switch plainWord(w) {
		case "vent", "vents", "intake", "exhaust", "damper", "dampers", "inlet", "outlet", "air", "choked":
			return true
		}
	}
	return b.slots['D'] != "" || len(b.words) == 4 // "bottom half top full"
}

// isPiece reports whether a word that may mean nothing, such as "a", is the name of a
// piece: written as the name is, or with a number behind it.
func (p *parser) isPiece(i int) bool {
	t := p.toks[i]
	return slices.ContainsFunc(p.grammar.Pieces, func(name string) bool {
		if t.text == name {
			return true
		}
		if !strings.EqualFold(t.text, name) || i+1 >= len(p.toks) {
			return false
		}
		_, _, isNum := p.toks[i+1].number()
		return isNum
	})
}
