package written

import (
	"fmt"
	"strconv"
	"strings"

	"ashbook/journal/pattern"
)

// hourNames are the hours in words; minuteNames are the minutes said before "past" and
// "to".
var (
	hourNames   = []string{"twelve", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven"}
	minuteNames = map[string]int{"five": 5, "ten": 10, "quarter": 15, "a quarter": 15, "twenty": 20, "twenty-five": 25, "half": 30}
)

var (
	hourWord   = `(` + strings.Join(hourNames, "|") + `|\d{1,2})`
	pastHour   = pattern.New(`(?i)\b(five|ten|a quarter|quarter|twenty-five|twenty|half) (past|to) ` + hourWord + `\b`)
	namedHour  = pattern.New(`(?i)\b(at|by|until|till|til) (` + strings.Join(hourNames, "|") + `)(?: o'clock)?(\s*[,;.)\n]|\s+in the |\s+the next |\s+that |$)`)
	partOfDay  = pattern.New(`(?i)\b(\d{1,2}(?::\d{2})?)(?: o'clock)? (?:in the|that|the next) (morning|afternoon|evening)\b`)
	fourDigits = pattern.New(`(?i)\b(on|off|lit|in|out|foil|foiled|wrap|wrapped|paper|at|until|till) ([01]\d|2[0-3])([0-5]\d)(\s*(?:[,;/.\n]|$)| \d{2,3} ?[cf]\b)`)
)

// SpokenTimes writes the times of a text as figures: "half past four" becomes "4:30",
// "six in the morning" 6 am, "on 0700" "on 07:00".
func SpokenTimes(s string) string {
	s = replace(pastHour, s, func(m []string) string {
		minutes, hour := minuteNames[strings.ToLower(m[1])], hourOf(m[3])
		if hour < 1 || hour > 12 {
			return m[0]
		}
		if strings.EqualFold(m[2], "to") {
			minutes, hour = 60-minutes, (hour+10)%12+1
		}
		return fmt.Sprintf("%d:%02d", hour, minutes)
	})
	s = replace(namedHour, s, func(m []string) string { return m[1] + " " + strconv.Itoa(hourOf(m[2])) + m[3] })
	s = replace(partOfDay, s, func(m []string) string {
		hour, _, _ := strings.Cut(m[1], ":")
		if h := hourOf(hour); h < 1 || h > 12 {
			return m[0]
		}
		if strings.EqualFold(m[2], "morning") {
			return m[1] + " am"
		}
		return m[1] + " pm"
	})
	return replace(fourDigits, s, func(m []string) string { return m[1] + " " + m[2] + ":" + m[3] + m[4] })
}

// hourOf returns an hour written in words or figures.
func hourOf(s string) int {
	for i, name := range hourNames {
		if strings.EqualFold(s, name) {
			return (i+11)%12 + 1
		}
	}
	n, _ := strconv.Atoi(s)
	return n
}

func replace(re *pattern.Pattern, s string, with func(m []string) string) string {
	return re.ReplaceAllStringFunc(s, func(all string) string { return with(re.FindStringSubmatch(all)) })
}
