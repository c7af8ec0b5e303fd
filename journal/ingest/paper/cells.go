package paper

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/ingest/written"
	"ashbook/journal/measure"
	"ashbook/journal/pattern"
)

// late are the fields read first, in this order, since the others need them.
var late = []string{"date", "pieces", "cut", "title", "on", "off", "took", "wrap"}

// cook reads one row of the table.
func (s *Sheet) cook(r row, opt Options) Cook {
	d := newDraft(r.line, opt)
	var source []string
	rank := func(i int) int {
		if k := slices.Index(late, s.Columns[i].As); k >= 0 {
			return k
		}
		return len(late)
	}
	order := make([]int, len(r.cells))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return rank(a) - rank(b) })
	for i, c := range r.cells {
		if c != "" {
			source = append(source, s.Columns[i].Name+": "+c)
		}
	}
	for _, i := range order {
		cell, col := r.cells[i], s.Columns[i]
		if cell == "" || slices.Contains([]string{"-", "–", "?", "n/a", "na"}, strings.ToLower(cell)) && col.As != "wrap" {
			continue
		}
		d.unit = col.Unit
		if f := byHead(col.As); f == nil || !f.take(cell, d) {
			d.leave(col.Name + ": " + cell)
			if f != nil {
				d.ask("%s %q is kept as words", f.name, cell)
			}
		}
	}
	d.settleHalves()
	if cut := written.CutIn(d.Title); d.Cut == "" && cut != "" {
		if d.Cut = cut; strings.EqualFold(d.Title, cut) {
			d.Title = ""
		}
	}
	return d.finish(strings.Join(source, "; "))
}

// settleHalves decides the times typed without am or pm. It keeps them if the duration
// of the cook fits only one half of the day. Otherwise it drops them, keeps the cells
// as words and asks.
func (d *draft) settleHalves() {
	if len(d.vague) == 0 {
		return
	}
	if len(d.vague) == 1 && d.took > 0 && !d.on.IsZero() && !d.off.IsZero() {
		for _, half := range []time.Duration{0, 12 * time.Hour, -12 * time.Hour} {
			off, on := d.off, d.on
			if strings.HasPrefix(d.vague[0], "off ") {
				off = off.Add(half)
			} else {
				on = on.Add(half)
			}
			if miss := off.Sub(on) - d.took; miss.Abs() <= time.Hour {
				d.on, d.off = on, off
				return
			}
		}
	}
	for _, v := range d.vague {
		d.ask("%s: morning or evening? write it with am or pm", v)
		if what, hour, _ := strings.Cut(v, " "); what == "on" {
			d.on = time.Time{}
			d.leave("on: " + hour)
		} else {
			d.off = time.Time{}
			d.leave("off: " + hour)
		}
	}
	if d.on.IsZero() && !slices.ContainsFunc(d.vague, func(v string) bool { return strings.HasPrefix(v, "off") }) {
		d.off = time.Time{} // the day of off was derived from on
	}
}

// isClock reports whether a cell is a time of day and not a bare number.
func isClock(s string, _ *draft) bool {
	_, ok := written.ParseClock(s, false)
	return ok
}

func takeDay(s string, d *draft) bool {
	got, rest, ok := written.CutDate(s)
	if !ok {
		got, ok = written.CountedDay(s)
		rest = ""
	}
	day, ok2 := d.dayOf(got)
	if !ok || !ok2 {
		return false
	}
	d.Day = day
	if c, ok := written.ParseClock(rest, false); ok {
		d.on = c.On(day)
	} else if rest != "" {
		return false
	}
	return true
}

// dayOf returns a date as midnight of that day, with day and month in the order of the
// table.
func (d *draft) dayOf(got written.Date) (time.Time, bool) {
	if got.Either && d.opt.monthFirst {
		got = got.Swapped()
	}
	return got.Of(d.opt.Zone, d.opt.Now)
}

// moment reads a cell with a time of day, which a date may precede.
func (d *draft) moment(s string) (c written.Clock, day time.Time, ok bool) {
	if at, err := journal.ParseTime(s); err == nil { // a stamp with its zone
		at = at.In(d.opt.Zone)
		return written.Clock{Hour: at.Hour(), Minute: at.Minute(), Sure: true}, dayOf(at, d.opt.Zone), true
	}
	if got, rest, ok := written.CutDate(s); ok {
		day, ok := d.dayOf(got)
		if !ok {
			return written.Clock{}, time.Time{}, false
		}
		c, ok := written.ParseClock(rest, true)
		return c.Count24(true, true), day, ok
	}
	c, ok = written.ParseClock(s, true)
	return c.Count24(d.opt.hours24, len(s) > 2), time.Time{}, ok
}

func takeOn(s string, d *draft) bool {
	c, day, ok := d.moment(s)
	if !ok {
		return false
	}
	if day.IsZero() {
		day = d.Day
	}
	if day.IsZero() {
		return false
	}
	if d.Day.IsZero() {
		d.Day = day
	}
	if len(s) == 4 && c.Sure { // "2130": off is written so too
		d.opt.hours24 = true
	}
	if d.on = c.On(day); !c.Sure {
		d.vague = append(d.vague, "on "+s)
	}
	return true
}

func takeOff(s string, d *draft) bool {
	c, day, ok := d.moment(s)
	switch {
	case !ok:
		return false
	case !day.IsZero():
		d.off = c.On(day)
	case !d.on.IsZero():
		d.off = c.After(d.on.Add(shortest))
	case !d.Day.IsZero():
		d.off = c.On(d.Day)
	default:
		return false
	}
	if d.Day.IsZero() {
		d.Day = dayOf(d.off, d.opt.Zone)
	}
	if !c.Sure && day.IsZero() {
		d.vague = append(d.vague, "off "+s)
	}
	return d.off.After(d.on)
}

func takeTook(s string, d *draft) bool {
	if d.unit == "min" {
		s += " min"
	}
	took, ok := written.ParseSpan(s)
	if !ok {
		return false
	}
	d.took = took
	return true
}

// mass reads weights, in the column's unit where the cell has none.
func (d *draft) mass(s string) ([]measure.Mass, bool) {
	list, ok := written.ParseMass(s, d.opt.Units)
	if !ok || !list[0].Assumed || d.unit == "" {
		return list, ok
	}
	return written.ParseMass(s+" "+d.unit, d.opt.Units)
}

func takeWeight(s string, d *draft) bool {
	list, ok := d.mass(s)
	if !ok {
		if q, rest := written.CutMass(s, d.opt.Units); len(q) > 0 { // "8 lb butt", "6.5 lb, 3 racks"
			list, ok = q, true
			if d.Cut == "" && written.CutIn(rest) != "" {
				d.Cut = written.CutIn(rest)
			} else {
				d.leave(strings.Trim(rest, " ,"))
			}
		}
	}
	if !ok {
		return false
	}
	return d.setPieces(list, func(p *journal.Piece, m measure.Mass) { p.Raw = m })
}

func takeTrimmed(s string, d *draft) bool {
	list, ok := d.mass(s)
	return ok && d.setPieces(list, func(p *journal.Piece, m measure.Mass) { p.Trimmed = m })
}

// setPieces gives each piece its weight. If there is one weight and several pieces, it
// is the weight of all pieces together.
func (d *draft) setPieces(list []measure.Mass, set func(*journal.Piece, measure.Mass)) bool {
	if len(list) == 1 && len(d.Pieces) > 1 {
		each, err := measure.ParseMass(strconv.FormatFloat(list[0].Unit.From(list[0].Base/float64(len(d.Pieces))), 'f', 2, 64)+" "+list[0].Unit.Symbol, d.opt.Units)
		if err != nil {
			return false
		}
		d.ask("%s is taken for all %d pieces together", list[0], len(d.Pieces))
		list = slices.Repeat([]measure.Mass{each}, len(d.Pieces))
	}
	if len(list) > 1 && len(d.Pieces) == 1 {
		d.makePieces(len(list))
	}
	if len(list) != len(d.Pieces) {
		return false
	}
	for i := range list {
		list[i].Assumed = false
		set(&d.Pieces[i], list[i])
	}
	return true
}

// makePieces divides the meat into n pieces, named by number.
func (d *draft) makePieces(n int) {
	d.Pieces = make([]journal.Piece, n)
	for i := range d.Pieces {
		d.Pieces[i].Name = string(rune('A' + i))
	}
}

func takePieces(s string, d *draft) bool {
	n, err := strconv.Atoi(s)
	if err != nil || n < 1 || n > 20 {
		return false
	}
	if n > 1 {
		d.makePieces(n)
	}
	return true
}

func takeCut(s string, d *draft) bool {
	if list, rest := written.CutMass(s, d.opt.Units); len(list) > 0 && !d.Pieces[0].Raw.Known && rest != "" {
		if !d.setPieces(list, func(p *journal.Piece, m measure.Mass) { p.Raw = m }) {
			return false
		}
		s = rest
	}
	d.Cut = strings.ToLower(cookNumber.ReplaceAllString(s, ""))
	return d.Cut != ""
}

// temp reads a temperature, in the column's unit where the cell has none.
func (d *draft) temp(s string) (measure.Temperature, bool) {
	q, ok := written.ParseTemp(s, d.opt.Units)
	if ok && q.Assumed && d.unit != "" {
		q, ok = written.ParseTemp(s+" "+d.unit, d.opt.Units)
	}
	q.Assumed = false
	return q, ok
}

// takePit reads the name of a pit or its temperature: people write both under "pit".
func takePit(s string, d *draft) bool {
	if takePitTemp(s, d) {
		return true
	}
	if startsWithDigit.MatchString(s) { // a range of temperatures
		return false
	}
	d.Pit = strings.ToLower(s)
	return true
}

func takePitTemp(s string, d *draft) bool {
	q, ok := d.temp(s)
	if !ok || q.Base < 50 || q.Base > 400 {
		return false
	}
	d.Aim.Pit = q
	return true
}

func takeAir(s string, d *draft) bool {
	q, ok := d.temp(s)
	if ok && q.Base > -50 && q.Base < 60 {
		d.Weather.Air = q
	}
	return d.Weather.Air.Known
}

func takeCore(s string, d *draft) bool {
	q, ok := d.temp(s)
	if !ok || q.Base < 40 || q.Base > 105 {
		return false
	}
	d.core = q
	return true
}

func takeWrap(s string, d *draft) bool {
	kind, at, _ := strings.Cut(strings.ToLower(s), " at ")
	if strings.Contains(kind, "@") {
		kind, at, _ = strings.Cut(kind, "@")
	}
	w, bare, known := written.WrapOf(strings.TrimSpace(kind))
	if !known {
		return false
	}
	d.Aim.Wrap = journal.WrapPlan{Kind: w, Bare: bare}
	if at != "" {
		if q, ok := d.temp(at); ok && q.Base > 40 && q.Base < 100 && w != journal.NoWrap {
			d.Aim.Wrap.At = q
			return true
		}
		return d.wrapAt(at)
	}
	return true
}

// wrapAt notes a wrap at a time of day.
func (d *draft) wrapAt(s string) bool {
	c, ok := written.ParseClock(s, true)
	if !ok || d.on.IsZero() || d.Aim.Wrap.Kind == journal.NoWrap {
		return false
	}
	d.note(c.After(d.on), journal.Item{Act: journal.PutWrap, Wrap: d.Aim.Wrap.Kind})
	return true
}

// takeWrapped reads when the meat was wrapped: a core temperature, a time of day, or
// the time since it went on.
func takeWrapped(s string, d *draft) bool {
	if _, _, known := written.WrapOf(s); known && d.Aim.Wrap == (journal.WrapPlan{}) {
		return takeWrap(s, d)
	}
	if q, ok := d.temp(s); ok && q.Base > 40 && q.Base < 100 && d.Aim.Wrap.Kind != journal.NoWrap {
		d.Aim.Wrap.At = q
		return true
	}
	if took, ok := written.ParseSpan(s); ok && strings.ContainsAny(strings.ToLower(s), "h") && !d.on.IsZero() && d.Aim.Wrap.Kind != journal.NoWrap && d.unit == "h" {
		d.note(d.on.Add(took), journal.Item{Act: journal.PutWrap, Wrap: d.Aim.Wrap.Kind})
		return true
	}
	return d.wrapAt(s)
}

func takeRest(s string, d *draft) bool {
	if d.unit == "min" {
		s += " min"
	}
	if strings.ContainsAny(strings.ToLower(s), "apmu") && takeRestUntil(s, d) {
		return true
	}
	took, ok := written.ParseSpan(s)
	d.rest = took
	return ok
}

// takeRestUntil reads the time of day at which the rest ended.
func takeRestUntil(s string, d *draft) bool {
	c, ok := written.ParseClock(s, false)
	if !ok || d.off.IsZero() {
		return false
	}
	d.restTo = c.After(d.off)
	return true
}

func takeServed(s string, d *draft) bool {
	c, day, ok := d.moment(s)
	if !ok {
		return false
	}
	from := d.off
	if from.IsZero() {
		from = d.on
	}
	switch {
	case !day.IsZero():
		d.served = c.On(day)
	case !from.IsZero():
		d.served = c.After(from)
	default:
		return false
	}
	return true
}

func takeWood(s string, d *draft) bool {
	for kind := range strings.FieldsFuncSeq(strings.NewReplacer(" and ", ",", "&", ",", "+", ",", "/", ",").Replace(s), func(r rune) bool { return r == ',' }) {
		w := journal.Wood{Kind: oneLine(kind)}
		if m := woodMass.FindStringSubmatch(w.Kind); m != nil { // "beech 300 g"
			if q, err := measure.ParseMass(m[2], d.opt.Units); err == nil {
				w.Kind, w.Mass = m[1], q
			}
		}
		d.Wood = append(d.Wood, w)
	}
	return len(d.Wood) > 0
}

// cookNumber is the number of the cook behind its cut: "brisket #4".
var cookNumber = pattern.New(`\s*#\d+$`)

var woodMass = pattern.New(`^(.*\pL)\s+(\d+(?:[.,]\d+)?\s*(?:g|kg|oz|lb))$`)

func takeHeads(s string, d *draft) bool {
	n, err := strconv.Atoi(strings.Fields(s)[0])
	if err != nil || n < 1 || n > 5000 {
		return false
	}
	d.Heads = n
	return true
}
