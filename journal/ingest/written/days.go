// Package written reads dates, times, durations, weights, temperatures and cuts as
// people write them on paper and in spreadsheets. A value that could mean two things is
// marked so.
package written

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/pattern"
)

var months = map[string]time.Month{"jan": 1, "feb": 2, "mar": 3, "apr": 4, "may": 5, "jun": 6, "jul": 7, "aug": 8, "sep": 9, "oct": 10, "nov": 11, "dec": 12}

// otherMonths are names of months in German, French and Spanish that differ from the
// English ones.
var otherMonths = func() map[string]time.Month {
	all := map[string]time.Month{"okt": 10, "dez": 12, "mär": 3}
	for _, list := range []string{
		"januar februar märz april mai juni juli august september oktober november dezember",
		"janvier février mars avril mai juin juillet août septembre octobre novembre décembre",
		"enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre",
	} {
		for i, name := range strings.Fields(list) {
			all[name] = time.Month(i + 1)
		}
	}
	return all
}()

// monthOf finds a month by its first three letters.
func monthOf(word string) time.Month {
	word = strings.ToLower(strings.TrimSuffix(word, "."))
	if len(word) < 3 || len(word) > 10 {
		return 0
	}
	if m := otherMonths[word]; m != 0 {
		return m
	}
	m := months[word[:3]]
	if m != 0 && !strings.HasPrefix(strings.ToLower(m.String()), word) && word != "sept" {
		return 0
	}
	return m
}

// Date is a date as it was written.
type Date struct {
	Year, Month, Day int
	Either           bool // day and month could be swapped
	Inferred         bool // no year was written; Year is 0
}

func (d Date) Of(zone *time.Location, now time.Time) (time.Time, bool) {
	y := d.Year
	if d.Inferred { // the last such day before now
		y = now.In(zone).Year()
		if time.Date(y, time.Month(d.Month), d.Day, 0, 0, 0, 0, zone).After(now) {
			y--
		}
	}
	t := time.Date(y, time.Month(d.Month), d.Day, 0, 0, 0, 0, zone)
	return t, t.Day() == d.Day && int(t.Month()) == d.Month && y >= 1950 && y <= 2100
}

// Swapped returns the date with day and month swapped.
func (d Date) Swapped() Date {
	d.Month, d.Day = d.Day, d.Month
	return d
}

var (
	isoDate   = pattern.New(`^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:T|$|[\s,;:.])`)
	runDate   = pattern.New(`^((?:19|20)\d{2})([01]\d)([0-3]\d)(?:$|[\s,;:.T])`) // "20250704"
	threeDate = pattern.New(`^(\d{1,2})([-/.])(\d{1,2})[-/.](\d{4}|\d{2})(?:$|[\s,;:.])`)
	twoDate   = pattern.New(`^(\d{1,2})[/](\d{1,2})(?:$|[\s,;:])`)
	dayMonth  = pattern.New(`^(\d{1,2})(?:st|nd|rd|th)?[-\s.]+(?:of )?(\pL{3,10})\.?(?:[-\s,]+(\d{4}|'?\d{2}))?(?:$|[\s,;:.-])`)
	monthDay  = pattern.New(`^(\pL{3,10})\.?[-\s]+(\d{1,2})(?:st|nd|rd|th)?(?:(?:,\s*|\s+|-)(\d{4}|'\d{2}))?(?:$|[\s,;:.-])`)
	fraction  = pattern.New(`(?i)^1/[2348]\s*(?:lbs?|pounds?|kgs?|kilos?|oz|ounces?|h|hrs?|hours?|in|inch|inches|cups?|tsp|tbsp|racks?|gal|bag)\b`) // of "3 1/2 lb"
	weekday   = pattern.New(`(?i)^(?:on )?(?:mon|tue|tues|wed|thu|thur|thurs|fri|sat|sun)(?:day|sday|nesday|rsday|urday)?\.?,?\s+`)
)

// CutDate reads a date at the start of s, after a weekday if there is one, and returns
// it with the rest of s.
func CutDate(s string) (d Date, rest string, ok bool) {
	s = strings.TrimSpace(s)
	head := weekday.ReplaceAllString(s, "")
	atoi := func(s string) int { n, _ := strconv.Atoi(strings.TrimPrefix(s, "'")); return n }
	year := func(s string) int {
		switch n := atoi(s); {
		case s == "":
			return 0
		case n < 70:
			return 2000 + n
		case n < 100:
			return 1900 + n
		default:
			return n
		}
	}
	take := func(m []string) string {
		return strings.TrimLeft(head[len(strings.TrimRight(m[0], " ,;:.-T")):], " ,;:-T")
	}
	switch {
	case isoDate.MatchString(head):
		m := isoDate.FindStringSubmatch(head)
		d, rest = Date{Year: atoi(m[1]), Month: atoi(m[2]), Day: atoi(m[3])}, take(m)
	case runDate.MatchString(head):
		m := runDate.FindStringSubmatch(head)
		d, rest = Date{Year: atoi(m[1]), Month: atoi(m[2]), Day: atoi(m[3])}, take(m)
	case threeDate.MatchString(head):
		m := threeDate.FindStringSubmatch(head)
		d, rest = Date{Year: year(m[4]), Month: atoi(m[3]), Day: atoi(m[1])}, take(m)
		d.Either = m[2] != "." && d.Month <= 12 && d.Day <= 12 && d.Month != d.Day
		if d.Month > 12 {
			d = d.Swapped()
		}
	case dayMonth.MatchString(head) && monthOf(dayMonth.FindStringSubmatch(head)[2]) > 0:
		m := dayMonth.FindStringSubmatch(head)
		d, rest = Date{Year: year(m[3]), Month: int(monthOf(m[2])), Day: atoi(m[1]), Inferred: m[3] == ""}, take(m)
	case monthDay.MatchString(head) && monthOf(monthDay.FindStringSubmatch(head)[1]) > 0:
		m := monthDay.FindStringSubmatch(head)
		d, rest = Date{Year: year(m[3]), Month: int(monthOf(m[1])), Day: atoi(m[2]), Inferred: m[3] == ""}, take(m)
	case twoDate.MatchString(head) && !fraction.MatchString(head):
		m := twoDate.FindStringSubmatch(head)
		d, rest = Date{Month: atoi(m[2]), Day: atoi(m[1]), Inferred: true}, take(m)
		d.Either = d.Month <= 12 && d.Day <= 12 && d.Month != d.Day
		if d.Month > 12 {
			d = d.Swapped()
		}
	default:
		return Date{}, s, false
	}
	return d, rest, d.Month >= 1 && d.Month <= 12 && d.Day >= 1 && d.Day <= 31
}

// countedFrom is day 0 of dates in spreadsheets: 30 December 1899 (ECMA-376,
// 18.17.4.1).
var countedFrom = time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)

// CountedDay reads a date that a spreadsheet stored as a number of days. It accepts
// 1968 to 2049.
func CountedDay(s string) (Date, bool) {
	n, err := strconv.Atoi(s)
	if err != nil || n < 25000 || n > 54800 {
		return Date{}, false
	}
	t := countedFrom.AddDate(0, 0, n)
	return Date{Year: t.Year(), Month: int(t.Month()), Day: t.Day()}, true
}

// Clock is a time of day as it was written.
type Clock struct {
	Hour, Minute int
	Sure         bool // on a 24-hour clock, or with am or pm
}

var clockText = pattern.New(`(?i)^(\d{1,2})(?:[:.h](\d{2})(?::\d{2})?|(\d{2}))?\s*(h|am|pm|a\.m\.|p\.m\.|a|p|o'clock|hrs|uhr)?$`)

// ParseClock reads a time of day: "14h30", "11:15 pm", "2315", "10pm", "noon". A lone
// number such as "10" is accepted only if bare is set.
func ParseClock(s string, bare bool) (Clock, bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	switch s {
	case "midnight":
		return Clock{0, 0, true}, true
	case "noon", "midday":
		return Clock{12, 0, true}, true
	}
	m := clockText.FindStringSubmatch(s)
	if m == nil {
		return Clock{}, false
	}
	h, _ := strconv.Atoi(m[1])
	minute, _ := strconv.Atoi(m[2] + m[3])
	half := ""
	if strings.HasPrefix(m[4], "a") || strings.HasPrefix(m[4], "p") {
		half = m[4][:1]
	}
	switch {
	case h > 24 || minute > 59 || h == 24 && minute > 0:
		return Clock{}, false
	case m[3] != "" && len(m[1]) == 1 && half == "": // "830" may be a weight
		return Clock{}, false
	case half != "" && (h == 0 || h > 12):
		return Clock{}, false
	case m[2] == "" && m[4] == "" && m[3] == "" && !bare:
		return Clock{}, false
	}
	switch half {
	case "a":
		h %= 12
	case "p":
		h = h%12 + 12
	}
	return Clock{h % 24, minute, half != "" || h > 12 || h == 0 || m[1][0] == '0'}, true
}

var (
	clock24 = pattern.New(`(?i)\b(?:1[3-9]|2[0-3])[:.h][0-5]\d\b|\b0\d:[0-5]\d\b`)
	halfDay = pattern.New(`(?i)\d\s*(?:am|pm|a\.m\.|p\.m\.)\b`)
)

// Counts24 reports whether the times in a text are on a 24-hour clock: one is over
// 12:59 or begins with 0, or, in metric units, none says am or pm.
func Counts24(text string, sys measure.System) bool {
	return clock24.MatchString(text) || sys == measure.Metric && !halfDay.MatchString(text)
}

// Count24 marks the time as sure if the text is on a 24-hour clock (all) and the time
// has minutes.
func (c Clock) Count24(all, minutes bool) Clock {
	c.Sure = c.Sure || all && minutes
	return c
}

// After returns the first such time at or after t. If the time is not sure, it may be
// in either half of the day.
func (c Clock) After(t time.Time) time.Time {
	at := journal.ClockAfter(t, c.Hour, c.Minute, t.Location())
	if at.Before(t) { // ClockAfter chose the time before t, since the next is over 18 h away
		at = journal.ClockAfter(t.Add(8*time.Hour), c.Hour, c.Minute, t.Location())
	}
	if !c.Sure {
		if other := (Clock{(c.Hour + 12) % 24, c.Minute, true}).After(t); other.Before(at) {
			at = other
		}
	}
	return at
}

// On returns the time on the date of day.
func (c Clock) On(day time.Time) time.Time {
	return time.Date(day.Year(), day.Month(), day.Day(), c.Hour, c.Minute, 0, 0, day.Location())
}

var spanText = pattern.New(`(?i)^(?:about |around |~|≈)?(\d{1,3})(?:\s*[:h]\s*(\d{1,2})\s*(?:m|min|mins)?|[.,](\d{1,2}))?\s*(h|hr|hrs|hour|hours|min|mins|minutes)?\s*(½|1/2|and a half)?\s*(?:h|hr|hrs|hour|hours)?$`)

// ParseSpan reads a duration: "14h30", "14:30", "14.5", "14 hrs". A bare number is in
// hours. It accepts at most 72 h.
func ParseSpan(s string) (time.Duration, bool) {
	s = strings.TrimSpace(s)
	if q, err := measure.ParseSpan(s); err == nil && !q.Assumed && q.Base > 0 {
		return measure.Duration(q), true
	}
	m := spanText.FindStringSubmatch(s)
	if m == nil {
		return 0, false
	}
	n, _ := strconv.ParseFloat(m[1], 64)
	d := time.Duration(n * float64(time.Hour))
	switch {
	case strings.HasPrefix(strings.ToLower(m[4]), "m"):
		return time.Duration(n * float64(time.Minute)), n > 0
	case m[2] != "":
		minutes, _ := strconv.Atoi(m[2])
		if minutes > 59 {
			return 0, false
		}
		d += time.Duration(minutes) * time.Minute
	case m[3] != "":
		part, _ := strconv.ParseFloat("0."+m[3], 64)
		d += time.Duration(part * float64(time.Hour))
	}
	if m[5] != "" {
		d += 30 * time.Minute
	}
	return d.Round(time.Minute), d > 0 && d <= 72*time.Hour
}

// ParseMass reads a weight: "8 lb 4 oz", "8#", "3,6 kg". "2 x 8 lb" gives two weights.
func ParseMass(s string, sys measure.System) (list []measure.Mass, ok bool) {
	s = strings.TrimSpace(s)
	s = strings.TrimLeft(strings.ReplaceAll(strings.NewReplacer("#", " lb", "lbs.", "lb", "kgs", "kg", "½", ".5").Replace(s), "ea", ""), "~≈ ")
	for _, sep := range []string{" + ", "+", " and ", "&"} {
		if strings.Contains(s, sep) {
			for part := range strings.SplitSeq(s, sep) {
				one, ok := ParseMass(part, sys)
				if !ok {
					return nil, false
				}
				list = append(list, one...)
			}
			for i := range list { // "8 + 9 lb"
				if last := list[len(list)-1]; list[i].Assumed && !last.Assumed {
					list[i], _ = measure.ParseMass(strings.Fields(list[i].Text)[0]+" "+last.Unit.Symbol, sys)
				}
			}
			return list, true
		}
	}
	n := 1
	if m := timesText.FindStringSubmatch(s); m != nil {
		n, _ = strconv.Atoi(m[1])
		s = m[2]
	}
	q, err := measure.ParseMass(s, sys)
	if err != nil || q.Base <= 0 || n < 1 || n > 20 {
		return nil, false
	}
	return slices.Repeat([]measure.Mass{q}, n), true
}

var timesText = pattern.New(`^(\d{1,2})\s*[x×]\s*(.+)$`)

// ParseTemp reads a temperature: "225F", "107 °C", "225°", "225 deg". sys is the scale
// of a bare number.
func ParseTemp(s string, sys measure.System) (measure.Temperature, bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	for _, tail := range []string{" degrees", " deg", "degrees", "deg"} {
		s = strings.Replace(s, tail, "", 1)
	}
	s = strings.TrimRight(s, "°º ")
	s = strings.NewReplacer("f", "F", "c", "C").Replace(s)
	q, err := measure.ParseTemperature(s, sys)
	if err != nil {
		return q, false
	}
	// a bare number in the other scale: no slow pit is at 225 °C, and no meat is done
	// at 95 °F
	if q.Assumed {
		other := measure.US
		if sys == measure.US {
			other = measure.Metric
		}
		if o, err := measure.ParseTemperature(s, other); err == nil && (q.Base > hottest && o.Base <= hottest || sys == measure.US && q.Base < 50 && q.Base > 20 && o.Base <= hottest) {
			return o, true
		}
	}
	return q, true
}

// hottest is the highest temperature of a slow pit, °C (chosen). A higher bare number
// is in °F.
const hottest = 170.0

// WrapOf reads a kind of wrap. bare is true for unwrapped; known is false if the words
// name neither.
func WrapOf(s string) (kind journal.Wrap, bare, known bool) {
	s = strings.ToLower(s)
	switch {
	case strings.Contains(s, "boat"):
		return journal.Boat, false, true
	case strings.Contains(s, "foil") || strings.Contains(s, "folie") || strings.Contains(s, "crutch"):
		return journal.Foil, false, true
	case strings.Contains(s, "paper") || strings.Contains(s, "papier"):
		return journal.Paper, false, true
	case strings.Contains(s, "pan") || strings.Contains(s, "tray"):
		return journal.InPan, false, true
	case slices.Contains([]string{"no", "none", "naked", "bare", "unwrapped", "n", "-", "–", "not wrapped", "no wrap", "nein", "non"}, s):
		return journal.NoWrap, true, true
	}
	return journal.NoWrap, false, false
}

// FindDate looks for a date at the start of s or after up to three words ("Thanksgiving
// 11/24/22 turkey"). If there is none, it takes the first date with a year anywhere in
// s.
func FindDate(s string) (d Date, rest string, ok bool) {
	if d, rest, ok = findDate(s); !ok || d.Year != 0 {
		return d, rest, ok
	}
	line, _, _ := strings.Cut(s, "\n")
	if m := loneYear.FindStringSubmatch(line); m != nil { // "Memorial Day '24 (May 27)"
		d.Year, _ = strconv.Atoi(m[1] + m[2])
		if m[1] == "" {
			d.Year += 2000
		}
		d.Inferred = false
		rest = strings.Replace(rest, m[0], " ", 1)
	}
	return d, rest, ok
}

var loneYear = pattern.New(`(?:^|\s)(?:((?:19|20)\d\d)|'(\d\d))(?:$|[\s.,:;)])`)

func findDate(s string) (d Date, rest string, ok bool) {
	from := 0
	for range 4 {
		if d, rest, ok = CutDate(s[from:]); ok {
			return d, strings.TrimSpace(s[:from]) + ", " + rest, true
		}
		i := strings.IndexAny(s[from:], " \n")
		if i < 0 || s[from+i] == '\n' {
			break
		}
		from += i + 1
	}
	for from = 0; from < len(s); from++ {
		if from > 0 && !strings.ContainsRune(" \n(", rune(s[from-1])) {
			continue
		}
		tail := s[from:]
		if from > 0 && s[from-1] == '(' {
			tail = strings.Replace(tail, ")", ",", 1)
		}
		if d, rest, ok = CutDate(tail); ok && (d.Year != 0 || from > 0 && s[from-1] == '(') {
			return d, strings.TrimRight(s[:from], " \n(") + ", " + strings.TrimLeft(rest, ")"), true
		}
	}
	return Date{}, s, false
}
