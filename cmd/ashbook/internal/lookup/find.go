package lookup

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
)

// Search says which cooks to look for. A zero field matches every cook.
type Search struct {
	Words           []string // each must be somewhere in the cook's file
	Cut, Pit        string   // or a part of the name
	Wrap            string   // one of Wraps
	State           State
	Season          string    // one of Seasons
	From, To        time.Time // bounds of the cook's day; To is just after the last
	OverKg, UnderKg float64   // its heaviest piece weighs at least OverKg, and less than UnderKg
	Score           float64   // its mean overall score is at least this, 1 to 9
	// it was ready at least earlyBy before, or after, the usual time of its cut
	Early, Late bool
	Aside       bool // only cooks that are left out of reports
}

// Typed has fields of a Search that are parsed with the journal's units and the clock's
// zone. "" means not typed.
type Typed struct {
	Since, Until string // a day, month or year
	Over, Under  string // a weight
}

// Read parses the typed texts into q and checks the score. It fails with typed.Wrong.
func (q *Search) Read(t Typed, now time.Time, sys measure.System) error {
	if q.Score < 0 || q.Score > 9 {
		return typed.Wrong{Field: fmt.Sprintf("score %v", q.Score), Text: "expected 1 to 9"}
	}
	weight := func(to *float64) func(string) error {
		return func(text string) error {
			m, err := measure.ParseMass(text, sys)
			*to = m.Base
			return err
		}
	}
	return typed.ReadAll(
		typed.In("since", t.Since, func(text string) (err error) { q.From, _, err = typed.Day(text, now.Location()); return err }),
		typed.In("until", t.Until, func(text string) (err error) { _, q.To, err = typed.Day(text, now.Location()); return err }),
		typed.In("over", t.Over, weight(&q.OverKg)),
		typed.In("under", t.Under, weight(&q.UnderKg)),
	)
}

// bare is the word for cooks that were not wrapped.
const bare = "none"

// Wraps are the values of Search.Wrap.
var Wraps = []string{"foil", "paper", "boat", "pan", bare}

// Seasons are the values of Search.Season: the meteorological seasons of the northern
// hemisphere.
var Seasons = []string{"spring", "summer", "autumn", "winter"}

// seasonOf returns the season of a month: spring begins in March.
func seasonOf(m time.Month) string { return Seasons[(int(m)+9)%12/3] }

// Found is a cook that matches, and the line with the words.
type Found struct {
	*folder.Summary
	State State
	Hit   folder.Hit // Line is 0 if no words were searched for, or no single line has any
}

// Find returns the cooks that match: running ones, then planned ones, then the rest,
// newest first. It also returns the problems in the journal's files.
func (f *Finder) Find(ctx context.Context, q Search, now time.Time) ([]Found, []journal.Problem, error) {
	all, problems, err := f.journal.List(ctx)
	if err == nil && q.Aside {
		all, err = f.journal.Aside(ctx)
	}
	if err != nil {
		return nil, nil, err
	}
	hits := map[string]folder.Hit{}
	if len(q.Words) > 0 {
		found, err := f.journal.Search(ctx, q.Words, all)
		if err != nil {
			return nil, nil, err
		}
		for _, h := range found {
			hits[h.ID] = h
		}
	}
	var usual map[string]time.Duration
	if q.Early || q.Late {
		usual = usualTimes(all)
	}
	out := make([]Found, 0, len(all))
	var running, planned []Found
	for i := range all {
		s := &all[i]
		hit, ok := hits[s.ID]
		f := Found{s, StateOf(s, now), hit}
		switch {
		case !ok && len(q.Words) > 0, !q.wants(f, usual):
		case f.State == Running:
			running = append(running, f)
		case f.State == Planned:
			planned = append(planned, f)
		default:
			out = append(out, f)
		}
	}
	return slices.Insert(out, 0, append(running, planned...)...), problems, nil
}

// earlyBy is how far from the usual time of its cut a cook counts as early or late,
// unless that is only a small part of the time (chosen).
const earlyBy = time.Hour

// wants reports whether a cook matches. usual has the median time of each cut.
func (q *Search) wants(s Found, usual map[string]time.Duration) bool {
	contains := func(text, part string) bool {
		return part == "" || strings.Contains(strings.ToLower(text), strings.ToLower(part))
	}
	const grain = 1e-9 // rounding of a sum of decimals
	switch {
	case !contains(s.Cut, q.Cut), !contains(s.Pit, q.Pit):
		return false
	case q.Wrap == bare && (len(s.Wraps) > 0 || s.Finish.IsZero()):
		return false
	case q.Wrap != "" && q.Wrap != bare && !slices.Contains(s.Wraps, journal.Wrap(q.Wrap)):
		return false
	case q.Season != "" && q.Season != seasonOf(s.Date.Month()):
		return false
	case !q.From.IsZero() && s.Date.Before(q.From), !q.To.IsZero() && !s.Date.Before(q.To):
		return false
	case q.OverKg > 0 && s.Heaviest < q.OverKg-grain, q.UnderKg > 0 && (s.Heaviest == 0 || s.Heaviest >= q.UnderKg-grain):
		return false
	case q.Score > 0 && s.Score < q.Score-grain:
		return false
	case q.State != "" && s.State != q.State:
		return false
	}
	if q.Early || q.Late {
		took, ok := Took(s.Summary)
		mid, known := usual[strings.ToLower(s.Cut)]
		early, late := took <= mid-earlyBy, took >= mid+earlyBy
		return ok && known && (q.Early && early || q.Late && late)
	}
	return true
}

// usualTimes returns the median time of each cut.
func usualTimes(all []folder.Summary) map[string]time.Duration {
	byCut := map[string][]time.Duration{}
	for _, s := range all {
		if d, ok := Took(&s); ok {
			cut := strings.ToLower(s.Cut)
			byCut[cut] = append(byCut[cut], d)
		}
	}
	mid := map[string]time.Duration{}
	for cut, ds := range byCut {
		slices.Sort(ds)
		mid[cut] = (ds[(len(ds)-1)/2] + ds[len(ds)/2]) / 2
	}
	return mid
}
