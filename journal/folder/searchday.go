package folder

import (
	"slices"
	"strconv"
	"strings"
	"time"
)

// dated is a word of a search that may be the month or the year of a cook's day.
type dated struct {
	month time.Month // 0 for a year
	year  int        // 0 for a month
	rest  query      // the words but this one
	all   query      // the words but all that may be of a day
}

// leastMonth is how many letters of a month name it.
const leastMonth = 3

// datedWords returns those of the words that name a month or a year.
func datedWords(words []string) (all []dated) {
	var at []int
	for i, w := range words {
		d, low := dated{}, strings.ToLower(w)
		if n, err := strconv.Atoi(w); err == nil && len(w) == 4 && n >= 1950 && n <= 2100 {
			d.year = n
		}
		for m := time.January; len(low) >= leastMonth && m <= time.December; m++ {
			if strings.HasPrefix(strings.ToLower(m.String()), low) {
				d.month = m
			}
		}
		if d.year > 0 || d.month > 0 {
			all, at = append(all, d), append(at, i)
		}
	}
	var others []string
	for i, w := range words {
		if !slices.Contains(at, i) {
			others = append(others, w)
		}
	}
	for k, i := range at {
		all[k].rest, all[k].all = newQuery(slices.Delete(slices.Clone(words), i, i+1)), newQuery(others)
	}
	return all
}

func (d dated) fits(day time.Time) bool {
	return !day.IsZero() && (d.month == 0 || day.Month() == d.month) && (d.year == 0 || day.Year() == d.year)
}

// besides returns the words that the text of a cook must contain besides those that
// name its day; nil if no word names its day.
func (s *search) besides(c *Summary) *query {
	var fits []int
	for i, d := range s.dated {
		if d.fits(c.Date) {
			fits = append(fits, i)
		}
	}
	switch {
	case len(fits) == 0:
		return nil
	case len(fits) == len(s.dated):
		return &s.dated[0].all
	}
	return &s.dated[fits[0]].rest
}
