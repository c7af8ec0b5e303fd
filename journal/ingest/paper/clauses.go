package paper

import (
	"strconv"
	"strings"

	"ashbook/journal/ingest/written"
	"ashbook/journal/measure"
	"ashbook/journal/pattern"
)

func namesMeat(line string) bool {
	list, _ := written.CutMass(line, measure.Metric)
	return len(list) > 0 || written.CutIn(line) != ""
}

// isHeading reports whether the lines above a day are only a short heading, "Brisket
// number six".
func isHeading(lines []string) bool {
	lines = trimBlank(lines)
	return len(lines) == 1 && len(strings.Fields(lines[0])) <= headingWords && !strings.ContainsAny(lines[0], "0123456789,;:")
}

// headingWords is how many words a heading has at most (chosen).
const headingWords = 6

// beginsWithClock reports whether a line goes on with the cook above, "2:00a IT 122".
func beginsWithClock(line string) bool {
	first, _, _ := strings.Cut(line, " ")
	_, ok := written.ParseClock(first, false)
	return ok
}

// orderIn returns the order of day and month that a date with a number over 12 shows.
func orderIn(lines []string) string {
	for _, l := range lines {
		if m := slashDate.FindStringSubmatch(l); m != nil && !startsWithYear.MatchString(l) {
			a, _ := strconv.Atoi(m[2])
			b, _ := strconv.Atoi(m[3])
			switch {
			case a > 12 && a <= 31 && b <= 12:
				return "dmy"
			case b > 12 && b <= 31 && a <= 12:
				return "mdy"
			}
		}
	}
	return ""
}

var startsWithYear = pattern.New(`^\d{4}[-/]`)

func trimBlank(lines []string) []string {
	for len(lines) > 0 && lines[0] == "" {
		lines = lines[1:]
	}
	for len(lines) > 0 && lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	return lines
}

func beginsWithDay(line string) bool {
	_, _, ok := written.CutDate(line)
	return ok
}

var clauseEnd = pattern.New(`[,;\n]+\s*|\s+/\s+|\.\s+|\.$|\s+[-–—]+\s+|\s+then\s+|[()]`)

// clausesOf splits a note at commas, full stops, dashes and line ends, but not inside a
// number.
func clausesOf(s string) []string {
	var out []string
	s = aside.ReplaceAllString(roundly.ReplaceAllString(s, "$1"), " at $1$2")
	s = spacedRange.ReplaceAllString(decimalComma.ReplaceAllString(s, "$1.$2"), "$1 to $2")
	for _, c := range clauseEnd.Split(s, -1) {
		for c = oneLine(c); c != ""; {
			next := twoTimes.FindStringSubmatchIndex(c)
			if next == nil {
				out = append(out, c)
				break
			}
			out, c = append(out, c[:next[3]]), strings.TrimPrefix(c[next[6]:], "and ")
		}
	}
	return out
}

// Two things with a time each in one clause, "on at 9:30pm and came off at 9:45am", and a
// span between two times, "20:00 - 08:30".
var (
	twoTimes    = pattern.New(`(?i)^(.*?` + clockWords + `)\s+((?:and\s+)?(?:it )?(?:came |taken |took it |was |pulled )?(?:off|out|pulled|done)\b.*` + clockWords + `.*)$`)
	spacedRange = pattern.New(`(?i)` + clockWords + `\s+[-–—]+\s+` + clockWords)
	fromTo      = pattern.New(`(?i)(?:^|\s)(?:from |between )?` + clockWords + `\s*(?:[-–—]|to|till|until|bis)\s*` + clockWords + `(?:$|[\s,;])`)
)

// roundly is a figure that is not exact, "260ish".
var roundly = pattern.New(`(\d)-?ish\b`)

// theNightBefore says that the meat went on the day before the one named.
var theNightBefore = pattern.New(`(?i)(^|[\s,;.])on (?:the )?(?:night|evening) before\b`)

// aside is a time or a temperature in brackets: it belongs to the words before it.
var aside = pattern.New(`(?i)\s*\((?:at )?(?:` + clockWords + `|(\d{2,3} ?(?:°? ?[cf])?))\)`)

// bareHour is an act with nothing but an hour: "off 8".
var bareHour = pattern.New(`(?i)^(on|off) (\d{1,2})$`)

var decimalComma = pattern.New(`(\d),(\d)`)
