package series

import (
	"time"

	"ashbook/journal"
)

// zones has the zones seen so far, so that a hundred thousand rows share one.
type zones map[int]*time.Location

// parse parses a time as journal.ParseTime does. It parses the usual format itself,
// since a series is mostly times and the standard library took most of the time.
func (z *zones) parse(b []byte) (time.Time, bool) {
	if t, ok := z.usual(b); ok {
		return t, true
	}
	t, err := journal.ParseTime(string(b))
	return t, err == nil
}

// usual parses "2026-09-19T01:04+01:00" with or without seconds, or with Z.
func (z *zones) usual(b []byte) (time.Time, bool) {
	const minute, second = len("2006-01-02T15:04"), len("2006-01-02T15:04:05")
	if len(b) <= minute || b[4] != '-' || b[7] != '-' || b[10] != 'T' || b[13] != ':' {
		return time.Time{}, false
	}
	ok := true
	field := func(at, n int) (v int) {
		for _, c := range b[at : at+n] {
			ok = ok && '0' <= c && c <= '9'
			v = v*10 + int(c-'0')
		}
		return v
	}
	year, month, day, hour, minutes, seconds := field(0, 4), field(5, 2), field(8, 2), field(11, 2), field(14, 2), 0
	rest := b[minute:]
	if rest[0] == ':' && len(b) > second {
		seconds, rest = field(minute+1, 2), b[second:]
	}
	if !ok || year < 1 || month < 1 || month > 12 || day < 1 || hour > 23 || minutes > 59 || seconds > 59 {
		return time.Time{}, false
	}
	offset := 0
	switch {
	case len(rest) == 1 && rest[0] == 'Z':
	case len(rest) == 6 && (rest[0] == '+' || rest[0] == '-') && rest[3] == ':':
		h, m := field(len(b)-5, 2), field(len(b)-2, 2)
		if offset = h*3600 + m*60; !ok || h > 23 || m > 59 {
			return time.Time{}, false
		}
		if rest[0] == '-' {
			offset = -offset
		}
	default:
		return time.Time{}, false
	}
	t := time.Date(year, time.Month(month), day, hour, minutes, seconds, 0, z.at(offset))
	return t, t.Day() == day
}

func (z *zones) at(offset int) *time.Location {
	if offset == 0 {
		return time.UTC
	}
	if *z == nil {
		*z = zones{}
	}
	l, ok := (*z)[offset]
	if !ok {
		l = time.FixedZone("", offset)
		(*z)[offset] = l
	}
	return l
}
