package paper

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/ingest/written"
	"ashbook/journal/measure"
	"ashbook/journal/pattern"
)

// readNotes reads notes in free text. A cook begins at each line that begins with a
// date, and at each paragraph that names meat. In a text with neither, each line is a
// cook.
func readNotes(text string, opt Options) Sheet {
	var s Sheet
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		lines[i] = strings.TrimSpace(strings.TrimLeft(strings.TrimSpace(l), "#*•-–= "))
	}
	dated := slices.ContainsFunc(lines, beginsWithDay)
	apart := slices.Contains(trimBlank(lines), "")
	opt.DayOrder = cmp.Or(opt.DayOrder, orderIn(lines))
	from := 0
	end := func(to int) {
		if body := strings.TrimSpace(strings.Join(lines[from:to], "\n")); body != "" {
			at := from
			for lines[at] == "" {
				at++
			}
			s.Cooks = append(s.Cooks, readNote(body, at+1, opt))
		}
		from = to
	}
	for i, l := range lines {
		switch {
		case i == 0:
		case beginsWithDay(l) && isHeading(lines[from:i]):
		case beginsWithDay(l), apart && l != "" && lines[i-1] == "" && (!dated || namesMeat(l)), !dated && !apart && namesMeat(l) && !beginsWithClock(l):
			end(i)
		}
	}
	end(len(lines))
	for _, c := range s.Cooks {
		for _, a := range c.Asks {
			if strings.Contains(a, "--dates") && len(s.Asks) == 0 {
				s.Asks = append(s.Asks, a)
			}
		}
	}
	for i := range s.Cooks {
		s.Cooks[i].Asks = slices.DeleteFunc(s.Cooks[i].Asks, func(a string) bool { return strings.Contains(a, "--dates") })
	}
	return s
}

// reader reads the clauses of one note in order.
type reader struct {
	*draft
	now      time.Time // time of the last clause that had one
	named    bool      // now was written in the note, not only taken from its day
	tender   time.Time // when a probe slid in
	justRead bool      // the last clause was a core with a time
	justOff  bool      // the last clause said that the meat came off
}

func readNote(body string, line int, opt Options) Cook {
	d := newDraft(line, opt)
	rest := body
	nightBefore := theNightBefore.MatchString(body)
	if got, after, ok := written.FindDate(body); ok {
		if got.Either && opt.DayOrder == "" {
			got.Either = opt.Units == measure.US
			d.ask("%s", readEitherWay(fmt.Sprintf("%d/%d", got.Day, got.Month), got.Either))
			d.opt.monthFirst = got.Either
		} else {
			d.opt.monthFirst = opt.DayOrder == "mdy"
		}
		if day, ok := d.dayOf(got); ok {
			d.Day, rest = day, after
			if nightBefore {
				d.Day, rest = day.AddDate(0, 0, -1), theNightBefore.ReplaceAllString(after, "$1 on ")
			}
		}
	}
	r := &reader{draft: d}
	if d.Day.IsZero() { // no clause gave a day: the times still follow each other
		r.now = dayOf(opt.Now, opt.Zone).AddDate(0, 0, -2)
	} else {
		r.now = d.Day
	}
	for _, c := range clausesOf(written.SpokenTimes(rest)) {
		r.clause(c)
	}
	r.inferOff()
	if d.Day.IsZero() {
		d.Entries, d.extra = nil, nil
		d.on, d.off, d.restTo, d.served = time.Time{}, time.Time{}, time.Time{}, time.Time{}
	}
	return d.finish(body)
}

// clause takes the facts out of one clause of a note. What is left, except joining
// words, is kept as words.
func (r *reader) clause(text string) {
	if doubtful.MatchString(nextDay.ReplaceAllString(text, " ")) || pitMoved.MatchString(text) && pitWords.MatchString(text) {
		r.leave(text)
		return
	}
	left := bareHour.ReplaceAllString(nextDay.ReplaceAllString(text, " "), "$1 at $2")
	found := false
	take := func(re *pattern.Pattern) (m []string) {
		if m = re.FindStringSubmatch(left); m != nil {
			i := re.FindStringIndex(left)
			left, found = oneLine(left[:i[0]]+" "+left[i[1]:]), true
		}
		return m
	}
	if list, rest := written.CutMass(left, r.opt.Units); len(list) > 0 && !r.Pieces[0].Raw.Known && !woodText.MatchString(left) && !strings.Contains(strings.ToLower(left), "coal") {
		if len(list) == 1 && strings.Contains(strings.ToLower(left), " each") {
			list = slices.Repeat(list, len(r.Pieces))
		}
		if r.setPieces(list, func(p *journal.Piece, m measure.Mass) { p.Raw = m }) {
			left, found = rest, true
		}
	}
	if m := take(trimText); m != nil {
		m[1], m[2] = m[1]+m[3]+m[5], m[2]+m[4]+m[6]
		unit := m[2]
		if unit == "" && r.Pieces[0].Raw.Known {
			unit = r.Pieces[0].Raw.Unit.Symbol
		}
		q, err := measure.ParseMass(m[1]+" "+unit, r.opt.Units)
		if err != nil || !r.setPieces([]measure.Mass{q}, func(p *journal.Piece, m measure.Mass) { p.Trimmed = m }) {
			r.leave(m[0])
		}
	}
	if m := countText.FindStringSubmatch(left); m != nil && len(r.Pieces) == 1 && !r.Pieces[0].Raw.Known && !strings.EqualFold(m[2], "racks") {
		n := map[string]int{"two": 2, "three": 3, "four": 4}[strings.ToLower(m[1])]
		if n == 0 {
			n, _ = strconv.Atoi(m[1])
		}
		if n > 1 {
			r.makePieces(n)
			left = oneLine(strings.Replace(left, m[0], m[2], 1))
		}
	}
	if cut := written.CutIn(left); cut != "" {
		if r.Cut == "" {
			r.Cut = cut
		}
		if r.Cut == cut || strings.Contains(r.Cut, cut) || strings.Contains(cut, r.Cut) {
			take(pattern.New(`(?i)\b` + regexp.QuoteMeta(cut) + `\b`))
		}
	}
	for _, re := range []*pattern.Pattern{pitText, pitAlone} {
		if m := take(re); m != nil {
			r.Pit = strings.ToLower(m[1])
		}
	}
	if m := take(airText); m != nil {
		if q, ok := written.ParseTemp(m[1]+m[2], r.opt.Units); ok && q.Base > -50 && q.Base < 60 {
			q.Assumed, r.Weather.Air = false, q
		} else {
			r.leave(m[0])
		}
	}
	span := r.spanIn(&left)
	if m := take(peopleText); m != nil {
		r.Heads, _ = strconv.Atoi(m[1] + m[2])
	}
	if span > 0 && totalText.MatchString(text) {
		take(totalText)
		r.took, span, found = span, 0, true
	}
	if r.on.IsZero() && r.off.IsZero() && !restWords.MatchString(left) && !ateWords.MatchString(left) {
		if m := fromTo.FindStringSubmatch(left); m != nil && r.between(m[1], m[2]) {
			take(fromTo)
		}
	}
	at, prep := r.timeIn(&left)
	if !at.IsZero() || span > 0 {
		found = true
	}
	if r.act(left, at, prep, span, take) {
		found = true
	}
	if woodText.MatchString(left) {
		for m := take(woodText); m != nil; m = take(woodText) {
			r.Wood = append(r.Wood, journal.Wood{Kind: strings.ToLower(m[1])})
		}
	}
	switch words := content(left); {
	case !found:
		r.leave(text)
	case words != "":
		r.leave(words)
	}
}

// timeIn removes the time from the clause and returns it. A clock time is taken as the
// first one after the last time in the note.
func (r *reader) timeIn(left *string) (at time.Time, prep string) {
	for _, re := range []*pattern.Pattern{timedText, bareTimed} {
		i := re.FindStringSubmatchIndex(*left)
		if i == nil {
			continue
		}
		m := re.FindStringSubmatch(*left)
		c, ok := written.ParseClock(strings.Replace(m[2], ".", ":", 1), true)
		c = c.Count24(r.opt.hours24, re == timedText)
		if !ok || re == bareTimed && (c.Hour > 12 || tempWords.FindString((*left)[:i[0]]) == "" && !onWords.MatchString(*left) && !offWords.MatchString(*left) && !wrapWords.MatchString(*left) && !restWords.MatchString(*left) && !ateWords.MatchString(*left)) {
			continue
		}
		*left = oneLine((*left)[:i[0]] + " " + (*left)[i[1]:])
		if !r.named && !c.Sure && !r.Day.IsZero() {
			r.ask("%s: morning or evening? taken as %s", m[2], c.On(r.Day).Format(measure.Clock))
			at = c.On(r.Day)
		} else {
			from := r.now
			if offWords.MatchString(*left) && from.Equal(r.on) {
				from = from.Add(shortest)
			}
			at = c.After(from)
		}
		r.now, r.named = at, true
		return at, strings.ToLower(m[1])
	}
	return time.Time{}, ""
}

// between takes the two times of a span for on and off.
func (r *reader) between(on, off string) bool {
	from, ok := written.ParseClock(strings.Replace(on, ".", ":", 1), false)
	to, ok2 := written.ParseClock(strings.Replace(off, ".", ":", 1), false)
	from, to = from.Count24(r.opt.hours24, true), to.Count24(r.opt.hours24, true)
	if !ok || !ok2 || !from.Sure || !to.Sure || r.named {
		return false
	}
	r.on = from.On(r.now)
	r.off = to.After(r.on.Add(shortest))
	r.now, r.named = r.off, true
	return true
}

func (r *reader) spanIn(left *string) time.Duration {
	i := spanGlued.FindStringSubmatchIndex(*left)
	if i == nil {
		i = spanWords.FindStringSubmatchIndex(*left)
	}
	if i == nil {
		return 0
	}
	text := (*left)[i[2]:i[3]]
	var d time.Duration
	switch strings.ToLower(text) {
	case "an hour":
		d = time.Hour
	case "half an hour":
		d = 30 * time.Minute
	default:
		var ok bool
		if d, ok = written.ParseSpan(strings.Replace(text, " and ", " ", 1)); !ok {
			return 0
		}
	}
	*left = oneLine((*left)[:i[0]] + " " + (*left)[i[1]:])
	return d
}

// act removes what was done from the clause and adds it to the draft. It reports
// whether it found something.
func (r *reader) act(left string, at time.Time, prep string, span time.Duration, take func(*pattern.Pattern) []string) bool {
	moment := at
	if moment.IsZero() && r.named {
		moment = r.now
	}
	temp := r.tempIn(left, take)
	pit := temp.Known && temp.Base >= 101
	switch read := r.justRead; {
	case pit && read && pitOnly.MatchString(left): // "6:00 IT 159, pit 238"
		r.note(r.now, journal.Item{Act: journal.ReadPit, Temp: temp})
		return true
	case pit:
		r.Aim.Pit, temp = temp, measure.Temperature{}
	}
	wasOff := r.justOff
	r.justOff, r.justRead = false, temp.Known && !at.IsZero()
	until := prep == "till" || prep == "til" || prep == "until" || prep == "to"
	switch {
	case wrapWords.MatchString(left):
		kind, bare, known := written.WrapOf(left)
		if strings.Contains(strings.ToLower(left), "unwrapped") && r.Aim.Wrap.Kind != journal.NoWrap {
			take(wrapClause)
			if moment.IsZero() {
				return false
			}
			r.note(moment, journal.Item{Act: journal.Unwrap})
			return true
		}
		if !known && (strings.Contains(strings.ToLower(left), "unwrapped") || strings.Contains(strings.ToLower(left), "naked") || strings.Contains(strings.ToLower(left), "no wrap")) {
			bare, known = true, true
		}
		if !known { // the wrap is kept as words
			r.read(at, temp)
			return temp.Known && !at.IsZero()
		}
		take(wrapClause)
		r.Aim.Wrap = journal.WrapPlan{Kind: kind, Bare: bare}
		if temp.Known && temp.Base < 100 {
			r.Aim.Wrap.At = temp
		}
		if !moment.IsZero() && !bare && !(at.IsZero() && moment.Equal(r.off)) {
			r.note(moment, journal.Item{Act: journal.PutWrap, Wrap: kind})
			if at.IsZero() {
				r.ask("wrapped: no hour, taken as %s", moment.Format(measure.Clock))
			}
			r.read(at, temp)
		}
	case restWords.MatchString(left):
		r.boxed = r.boxed || boxWords.MatchString(left)
		take(restClause)
		switch {
		case until && !at.IsZero():
			r.restTo = at
		case span > 0:
			r.rest = span
		default:
			return false
		}
	case ateWords.MatchString(left) && !at.IsZero():
		take(ateWords)
		r.served = at
	case onWords.MatchString(left) && !at.IsZero() && r.on.IsZero():
		take(onWords)
		r.on = at
	case pulledText.MatchString(left) && !at.IsZero() && (!r.off.IsZero() || r.doneBefore(at)):
		take(pulledText)
		r.note(at, journal.Item{Act: journal.Pulled})
	case offWords.MatchString(left) && (!at.IsZero() || temp.Known || span > 0):
		take(offWords)
		r.justOff = true
		if !at.IsZero() {
			r.off = at
		}
		if temp.Known && temp.Base < 101 {
			r.core = temp
		}
		if span > 0 {
			r.took = span
		}
	case tenderText.MatchString(left) && !at.IsZero():
		take(tenderText)
		r.tender, r.justOff = at, true
		r.read(at, temp)
	case temp.Known && pitWords.MatchString(left):
		take(pitWords)
		r.Aim.Pit = temp
		r.took = max(r.took, span)
	case temp.Known && !at.IsZero():
		r.read(at, temp)
	case temp.Known && wasOff && !r.core.Known:
		r.core = temp
	case temp.Known && inMeatText.MatchString(left) && !r.core.Known && temp.Base >= leastEnd:
		take(inMeatText)
		r.core = temp
	case temp.Known:
		return false
	case span > 0:
		r.took = span
	default:
		return pit
	}
	return true
}

var pulledText = pattern.New(`(?i)\b(?:pulled|shredded)\b`)

// doneBefore reports whether a core of at least doneAt was read before at.
func (r *reader) doneBefore(at time.Time) bool {
	return slices.ContainsFunc(r.extra, func(e journal.Entry) bool {
		return e.Time.Before(at) && slices.ContainsFunc(e.Items, func(it journal.Item) bool {
			return it.Act == journal.ReadCore && it.Temp.Base >= doneAt
		})
	})
}

var (
	wrapClause = pattern.New(`(?i)\b(?:(?:double )?(?:wrapped|wrap)(?: (?:it|up|them))?(?: (?:in|with))?(?: (?:pink |butcher |heavy )*(?:foil|paper|butcher paper))?|foiled|papered|foil boat|in (?:butcher )?(?:foil|paper)|foil(?: wrap)?|(?:butcher )?paper|boated|boat|no wrap|unwrapped|naked|not wrapped|no foil)\b`)
	restClause = pattern.New(`(?i)\b(?:rested|rest|resting|held|hold|boxed)(?: (?:in|it))?(?: (?:a|the) (?:dry )?(?:cooler|box))?\b|\b(?:in|into) (?:a|the) (?:dry )?(?:cooler|box)\b|\bcooler\b|\b(?:let|left) (?:it|them) (?:sit|stand)\b`)
)

// tempIn removes a temperature from a clause about a pit or a core.
func (r *reader) tempIn(left string, take func(*pattern.Pattern) []string) measure.Temperature {
	m := tempWords.FindStringSubmatch(left)
	if m == nil {
		return measure.Temperature{}
	}
	q, ok := written.ParseTemp(m[1]+m[2], r.opt.Units)
	if !ok || q.Base < 35 || q.Base > 200 {
		return measure.Temperature{}
	}
	take(tempWords)
	q.Assumed = false
	return q
}

// read adds a reading of the core, made at the given time.
func (r *reader) read(at time.Time, q measure.Temperature) {
	if at.IsZero() || !q.Known || q.Base >= 101 {
		return
	}
	name := ""
	if len(r.Pieces) > 1 {
		name = r.Pieces[0].Name
		r.ask("core %s: taken for piece %s", q, name)
	}
	r.note(at, journal.Item{Act: journal.ReadCore, Piece: name, Temp: q})
}

var pitOnly = pattern.New(`(?i)^(?:pit|grate|smoker)(?: at)? \d{2,3} *°?[fc]?$`)

// leastEnd is the lowest core, °C, that counts as the end where a note names it without
// a time (chosen: poultry is done at it).
const leastEnd = 70.0

// doneAt is the core temperature from which the last reading may be the end of the
// cook, °C (chosen).
const doneAt = 85.0

// inferOff takes the last core reading of at least doneAt as the end of the cook if the
// note names no other end.
func (r *reader) inferOff() {
	if !r.off.IsZero() || r.took > 0 {
		return
	}
	for _, e := range r.extra {
		for _, it := range e.Items {
			if it.Act == journal.ReadCore && it.Temp.Base >= doneAt {
				r.off = e.Time
			}
		}
	}
	if r.off.IsZero() {
		r.off = r.tender
	}
	if !r.off.IsZero() {
		r.ask("off: taken as %s, when it was done", r.off.Format(measure.Clock))
	}
}

var joining = pattern.New(`(?i)^(?:at|the|a|an|it|its|was|were|is|and|in|on|by|of|with|to|till|until|then|for|hit|reached|got|up|internal|temp|core|it's|went|over|around|about|all|way|whole|time|from|some|put|meat|used|had|total|cook|took|came|degrees|smoked|cooked|grad|kern|held|ran|running|pit|after|start|started|pulled|each|@|&|/)$`)

// content returns the clause as written, without joining words.
func content(s string) string {
	for w := range strings.FieldsSeq(s) {
		if !joining.MatchString(strings.Trim(w, ".:!\"'")) && strings.Trim(w, ".:!-\"'") != "" {
			return strings.Trim(s, " :-")
		}
	}
	return ""
}
