package probefile

import (
	"errors"
	"strconv"
	"strings"
	"time"

	"ashbook/journal"
)

// layouts are formats of a date and a time without a zone. 3/4/2026 is not among them,
// since day and month are swapped on the other side of the Atlantic.
var layouts = []string{
	"2006-01-02 15:04:05", "2006-01-02T15:04:05", "2006-01-02 15:04", "2006-01-02T15:04",
	"2006/01/02 15:04:05", "2006/01/02 15:04", "02.01.2006 15:04:05", "02.01.2006 15:04",
}

var errTime = errors.New("expected one such as 2026-09-19T01:04:30+01:00, 2026-09-19 01:04:30, seconds since 1970, or h:mm:ss from a start")

// The size of a number shows whether it counts seconds since 1970, milliseconds since
// then, or seconds since a start: 1e9 seconds is September 2001, 1e11 is the year 5138.
const (
	epoch  = 1e9
	millis = 1e11
	most   = 1e14
)

// when parses a time.
func (r *Reader) when(cell []byte) (time.Time, error) {
	s := string(cell)
	if t, err := time.ParseInLocation(layouts[r.layout], s, r.opt.Zone); err == nil {
		return r.unfold(t), nil
	}
	if t, err := journal.ParseTime(s); err == nil {
		return t.In(r.opt.Zone), nil
	}
	for i, l := range layouts {
		if t, err := time.ParseInLocation(l, s, r.opt.Zone); err == nil {
			r.layout = i
			return r.unfold(t), nil
		}
	}
	seconds, ok := elapsed(s)
	switch {
	case !ok || seconds >= most:
		return time.Time{}, errTime
	case seconds >= millis:
		return time.UnixMilli(int64(seconds)).In(r.opt.Zone), nil
	case seconds >= epoch:
		return time.UnixMicro(int64(seconds * 1e6)).In(r.opt.Zone), nil
	case r.opt.From.IsZero():
		return time.Time{}, ErrElapsed
	}
	return r.opt.From.Add(time.Duration(seconds * float64(time.Second))).In(r.opt.Zone), nil
}

// unfold chooses between the two passes of an hour in the night when clocks go back:
// the first one, unless that is before the last time.
func (r *Reader) unfold(t time.Time) time.Time {
	if first := t.Add(-time.Hour); first.Hour() == t.Hour() && !first.Before(r.last) {
		t = first
	}
	r.last = t
	return t
}

// elapsed parses "4530", "4530.5" or "1:15:30" as seconds.
func elapsed(s string) (seconds float64, ok bool) {
	parts := strings.Split(s, ":")
	if len(parts) != 1 && len(parts) != 3 {
		return 0, false
	}
	for i, p := range parts {
		if p == "" || strings.Trim(p, "0123456789.") != "" || i > 0 && (len(p) < 2 || p[0] > '5') || i < len(parts)-1 && strings.Contains(p, ".") {
			return 0, false
		}
		v, err := strconv.ParseFloat(p, 64)
		if err != nil {
			return 0, false
		}
		seconds = seconds*60 + v
	}
	return seconds, true
}
