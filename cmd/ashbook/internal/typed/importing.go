package typed

import (
	"fmt"
	"strings"
	"time"

	"ashbook/journal/ingest/paper"
	"ashbook/journal/measure"
)

// DayOrders are the possible orders in a date such as 4/7/2023.
var DayOrders = []string{"dmy", "mdy"}

// ImportOptions parses how past cooks are to be read: the day of cooks that have none,
// what each column holds ("weight=3"), and one of DayOrders or "". It fails with Wrong.
func ImportOptions(day string, columns []string, order string, sys measure.System, now time.Time) (paper.Options, error) {
	opt := paper.Options{Units: sys, Zone: now.Location(), Now: now, DayOrder: order, Columns: map[string]string{}}
	if day != "" {
		first, _, err := Day(day, now.Location())
		if err != nil {
			return opt, Wrong{Field: "day", Text: err.Error()}
		}
		opt.Day = first
	}
	for _, c := range columns {
		as, column, ok := strings.Cut(c, "=")
		if !ok || strings.TrimSpace(column) == "" {
			return opt, Wrong{Field: "column", Value: c, Text: fmt.Sprintf("expected a text such as weight=3; the fields are %s", strings.Join(paper.Fields(), ", "))}
		}
		opt.Columns[strings.ToLower(strings.TrimSpace(as))] = strings.TrimSpace(column)
	}
	return opt, nil
}
