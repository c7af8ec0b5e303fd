// Package typed parses what a user types, in a command or on a screen, into the values
// of a request: times, days, pieces, people, scores, rows of a paper sheet. Its errors
// name no flag.
package typed

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/pattern"
	"ashbook/journal/probefile"
	"ashbook/report/mix"
	"ashbook/report/provision/quantity"
)

var weekdays = []string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}

// When parses a future time: RFC 3339, "2026-09-19 13:00", "sat 13:00", or "13:00", the
// next such time after now.
func When(s string, now time.Time) (time.Time, error) {
	text := strings.TrimSpace(s)
	if t, err := journal.ParseTime(text); err == nil {
		return t, nil
	}
	for _, layout := range []string{"2006-01-02 15:04", "2006-01-02T15:04"} {
		if t, err := time.ParseInLocation(layout, text, now.Location()); err == nil {
			return t, nil
		}
	}
	fail := fmt.Errorf("time %q: expected one such as 13:00, 1pm, sat 13:00, 2026-09-19 13:00 or 2026-09-19T13:00+01:00", text)
	day, clock := "", text
	if d, rest, two := strings.Cut(text, " "); two && len(d) > 0 && !unicode.IsDigit(rune(d[0])) {
		day, clock = d, rest
	} else if on, err := time.ParseInLocation(time.DateOnly, d, now.Location()); err == nil { // "2026-09-19 1:00pm"
		if hour, minute, ok := journal.ReadClock(rest); ok {
			return time.Date(on.Year(), on.Month(), on.Day(), hour, minute, 0, 0, now.Location()), nil
		}
	}
	hour, minute, ok := journal.ReadClock(strings.TrimSpace(clock))
	if !ok {
		return time.Time{}, fail
	}
	for ahead := range 8 {
		t := time.Date(now.Year(), now.Month(), now.Day()+ahead, hour, minute, 0, 0, now.Location())
		if t.Before(now) {
			continue
		}
		if day == "" {
			return t, nil
		}
		if d := strings.ToLower(day); len(d) >= 3 && d[:3] == weekdays[t.Weekday()] {
			return t, nil
		}
	}
	return time.Time{}, fail
}

// Past parses when something was done: "" for now, "20 min" for a duration before now,
// or a clock time for its last occurrence.
func Past(s string, now time.Time) (time.Time, error) {
	text := strings.TrimPrefix(strings.TrimSpace(s), "-")
	if text == "" {
		return now.Truncate(time.Minute), nil
	}
	if h, m, ok := journal.ReadClock(text); ok {
		return journal.ClockBefore(now, h, m, now.Location()), nil
	}
	if t, err := journal.ParseTime(text); err == nil {
		return t, nil
	}
	ago, err := measure.ParseSpan(text)
	if err != nil || ago.Base < 0 {
		return time.Time{}, fmt.Errorf("%q: expected a time such as 20 min or 19:05", s)
	}
	return now.Add(-time.Duration(ago.Base) * time.Second).Truncate(time.Minute), nil
}

// Begun parses when counted times begin: a day and a time, or a clock time for its last
// occurrence up to last.
func Begun(s string, now, last time.Time) (time.Time, error) {
	if t, err := journal.ParseTime(s); err == nil {
		return t, nil
	}
	for _, l := range []string{"2006-01-02 15:04:05", "2006-01-02 15:04", "2006-01-02T15:04"} {
		if t, err := time.ParseInLocation(l, s, now.Location()); err == nil {
			return t, nil
		}
	}
	if h, m, ok := journal.ReadClock(s); ok {
		return journal.ClockBefore(last, h, m, now.Location()), nil
	}
	return time.Time{}, fmt.Errorf("time %q: expected one such as 20:10 or 2026-09-18 20:10", s)
}

// Day parses a day, a month or a year: "2026-09-19", "2026-09", "2026". It returns its
// first moment and the first moment after it.
func Day(s string, zone *time.Location) (from, to time.Time, err error) {
	for _, l := range []struct {
		layout             string
		years, months, day int
	}{{"2006-01-02", 0, 0, 1}, {"2006-01", 0, 1, 0}, {"2006", 1, 0, 0}} {
		if t, err := time.ParseInLocation(l.layout, s, zone); err == nil {
			return t, t.AddDate(l.years, l.months, l.day), nil
		}
	}
	return from, to, fmt.Errorf("day %q: expected one such as 2026-09-19, 2026-09 or 2026", s)
}

// Pieces parses one piece for each text. Several without names are named A, B and so
// on.
func Pieces(texts []string, sys measure.System) ([]journal.Piece, error) {
	var out []journal.Piece
	for i, text := range texts {
		p, err := parsePiece(text, sys)
		if err != nil {
			return nil, fmt.Errorf("%q: %w", text, err)
		}
		if p.Name == "" && len(texts) > 1 {
			p.Name = string(rune('A' + i%26))
		}
		for _, o := range out {
			if strings.EqualFold(o.Name, p.Name) {
				return nil, fmt.Errorf("%q: another piece has that name already", text)
			}
		}
		out = append(out, p)
	}
	return out, nil
}

var (
	pounds    = pattern.New(`(?i)^\d+ ?(?:lbs?|pounds?)$`)
	ounceText = pattern.New(`(?i)^(?:\d|1[0-5])(?:\.\d+)? ?(?:oz|ounces?)$`)
)

// ounces returns how many of the words are a weight of less than a pound in ounces.
func ounces(words []string) int {
	for n := 1; n <= min(2, len(words)); n++ {
		if ounceText.MatchString(strings.Join(words[:n], " ")) {
			return n
		}
	}
	return 0
}

// parsePiece parses "large 5.2 kg 4.7 kg 13 cm 5 °C": words are the name, and each
// quantity is assigned by its unit.
func parsePiece(text string, sys measure.System) (journal.Piece, error) {
	var p journal.Piece
	var name []string
	words := strings.Fields(text)
	for i := 0; i < len(words); i++ {
		w := words[i]
		if r := rune(w[0]); !unicode.IsDigit(r) && r != '.' && r != '-' {
			name = append(name, w)
			continue
		}
		if i+1 < len(words) && isNumber(w) {
			i++
			w += " " + words[i]
		}
		if n := ounces(words[i+1:]); n > 0 && pounds.MatchString(w) { // "13 lb 4 oz" is one weight
			w += " " + strings.Join(words[i+1:i+1+n], " ")
			i += n
		}
		var m measure.Mass
		switch {
		case measure.Read(&m, w, sys) == nil && !m.Assumed:
			switch {
			case !p.Raw.Known:
				p.Raw = m
			case !p.Trimmed.Known && m.Base <= p.Raw.Base:
				p.Trimmed = m
			default:
				return p, fmt.Errorf("%q: the weight as bought comes first, then the weight trimmed", w)
			}
		case measure.Read(&p.Thick, w, sys) == nil && !p.Thick.Assumed:
		case measure.Read(&p.Core, w, sys) == nil && !p.Core.Assumed:
		default:
			return p, fmt.Errorf("%q: expected a weight, a thickness or a temperature with its unit", w)
		}
	}
	p.Name = strings.Join(name, " ")
	return p, nil
}

func isNumber(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool { return !unicode.IsDigit(r) && !strings.ContainsRune(".,-", r) }) < 0
}

// Wood parses "cherry 180 g".
func Wood(s string, sys measure.System) journal.Wood {
	it, _ := journal.ParseItem(journal.AddWood.Word()+" "+s, journal.Grammar{Units: sys})
	return journal.Wood{Kind: strings.TrimSpace(strings.TrimSuffix(it.Detail, it.Amount.Text)), Mass: it.Amount}
}

// Party parses "24", "24, children 6" or "24, no mustard 2". The first number includes
// the others.
func Party(s string) (p quantity.Party, err error) {
	for i, part := range strings.Split(s, ",") {
		words := strings.Fields(strings.ToLower(part))
		n, which := 0, ""
		for at, w := range words {
			if n, err = strconv.Atoi(w); err == nil {
				which = strings.Join(append(words[:at:at], words[at+1:]...), " ")
				break
			}
		}
		if len(words) == 0 || err != nil {
			return p, fmt.Errorf("%q: expected a whole number", strings.TrimSpace(part))
		}
		missing, without := strings.CutPrefix(which, "no ")
		switch {
		case i == 0 && which != "":
			return p, fmt.Errorf("%q: expected the number of people first, such as 24", strings.TrimSpace(part))
		case i == 0:
			p.Heads = n
		case without:
			names := slices.DeleteFunc(mix.AllergenNames(), func(name string) bool { return !strings.HasPrefix(name, missing) })
			if len(names) != 1 {
				return p, fmt.Errorf("%q: expected one of no %s", which, strings.Join(mix.AllergenNames(), ", no "))
			}
			p.Without = append(p.Without, quantity.Without{Allergen: names[0], Heads: n})
		case which != "" && strings.HasPrefix("children", which):
			p.Children = n
		case which != "" && strings.HasPrefix("hearty", which):
			p.Hearty = n
		case which != "" && strings.HasPrefix("vegetarians", which):
			p.Vegetarians = n
		default:
			return p, fmt.Errorf("%q: expected children, hearty, vegetarians, or no gluten", strings.TrimSpace(part))
		}
	}
	return p, nil
}

// Price parses "9.80", "£9.80" or "€ 9,80" into the currency sign and the amount.
func Price(s string) (money string, price float64, err error) {
	at := strings.IndexFunc(s, func(r rune) bool { return r >= '0' && r <= '9' })
	if at >= 0 {
		money = strings.TrimSpace(s[:at])
		price, err = strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(s[at:]), ",", "."), 64)
	}
	if at < 0 || err != nil || price <= 0 || utf8.RuneCountInString(money) > 3 || strings.ContainsAny(money, "-+") {
		return "", 0, fmt.Errorf("%q: expected a price such as 9.80 or £9.80", s)
	}
	return money, price, nil
}

// Serving parses "sliced, plates". A missing part is the usual one for the cut.
func Serving(s, cut string) (quantity.Serving, error) {
	sliced := quantity.Find(cut).Sliced
	out := quantity.Serving{Sliced: sliced, Plated: sliced}
	for _, w := range strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ' ' }) {
		switch strings.TrimSuffix(strings.ToLower(w), "s") {
		case "pulled":
			out.Sliced = false
		case "sliced":
			out.Sliced = true
		case "bun":
			out.Plated = false
		case "plate", "plated":
			out.Plated = true
		case "in", "on", "and":
		default:
			return out, fmt.Errorf("%q: expected pulled or sliced, buns or plates", w)
		}
	}
	return out, nil
}

// Cores parses which column has which core: "large=Meat 1", or only the column.
func Cores(texts []string) (out []probefile.Core) {
	for _, t := range texts {
		piece, column, named := strings.Cut(t, "=")
		if !named {
			piece, column = "", t
		}
		out = append(out, probefile.Core{Piece: strings.TrimSpace(piece), Column: column})
	}
	return out
}

// Numbers parses "all" or "1,3-5" as indexes below n.
func Numbers(s string, n int) ([]int, error) {
	if s == "all" {
		s = "1-" + strconv.Itoa(n)
	}
	var all []int
	for part := range strings.SplitSeq(s, ",") {
		from, to, ranged := strings.Cut(strings.TrimSpace(part), "-")
		lo, err := strconv.Atoi(from)
		hi := lo
		if ranged && err == nil {
			hi, err = strconv.Atoi(to)
		}
		if err != nil || lo < 1 || hi > n || lo > hi {
			return nil, fmt.Errorf("%q: expected all, or numbers from 1 to %d such as 1,3-%d", s, n, n)
		}
		for i := lo; i <= hi; i++ {
			all = append(all, i-1)
		}
	}
	return all, nil
}

// TrailingNumbers removes the numbers at the end. A number of more than three digits is
// a year and part of a name.
func TrailingNumbers(args []string) (words []string, numbers []int) {
	words = args
	for len(words) > 0 {
		last := words[len(words)-1]
		n, err := strconv.Atoi(last)
		if err != nil || n < 0 || len(last) > 3 {
			break
		}
		numbers = append(numbers, n)
		words = words[:len(words)-1]
	}
	slices.Reverse(numbers)
	return words, numbers
}

// Now parses a time to be taken as now. If this machine's zone has the typed offset at
// that time, it is used, so that its next change of clocks counts.
func Now(s string) (time.Time, error) {
	t, err := journal.ParseTime(s)
	if err != nil {
		return time.Time{}, err
	}
	_, typed := t.Zone()
	if _, own := t.Local().Zone(); own == typed {
		return t.Local(), nil
	}
	return t, nil
}
