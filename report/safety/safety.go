// Package safety checks a cook for what can hurt the people who eat it or tend it.
// Everything it returns is a caution with its source. It never calls food fit to eat:
// it sees a few readings of one spot, and only local food codes and the people licensed
// to apply them can decide that.
package safety

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/frame"
	"ashbook/report/page"
	"ashbook/report/safety/heard"
)

// Closing is printed below every list of findings.
const Closing = "These are cautions, not a verdict: nothing here clears food to be eaten. Local food codes, and the people licensed to apply them, decide. When in doubt, throw it out."

// Weight is how urgent a finding is.
type Weight uint8

// The weights, lightest first.
const (
	Standing Weight = iota // applies to every fire
	Note                   // good to know
	Ask                    // nobody can show that it is safe: ask the local food authority, or somebody who knows
	DoNow                  // something can still be done, and one action is enough
)

func (w Weight) String() string {
	return [...]string{"standing", "note", "ask the code", "do now"}[w]
}

// Kind is the subject of a finding. The words never change.
type Kind string

// The kinds.
const (
	NoCore       Kind = "no core reading"
	FewReadings  Kind = "one core reading"
	Doubtful     Kind = "doubtful readings"
	Gap          Kind = "gap in the readings"
	Unread       Kind = "not read for long"
	Order        Kind = "order of the times"
	DeadFire     Kind = "fire down or out"
	NoPit        Kind = "no pit reading"
	Poultry      Kind = "bird"
	Opened       Kind = "opened muscle"
	EarlyProbe   Kind = "probe in early"
	LowAim       Kind = "aim"
	FarAim       Kind = "aim out of reach"
	Warmed       Kind = "warm before it went on"
	PartCooked   Kind = "part-cooked"
	RawJuice     Kind = "raw juice"
	Spoiled      Kind = "spoiled"
	Game         Kind = "game"
	ColdSmoke    Kind = "cold smoking"
	Frozen       Kind = "part-frozen"
	Fallen       Kind = "fell down"
	Illness      Kind = "somebody is ill"
	Eaters       Kind = "who eats"
	EndCore      Kind = "core when it came off"
	LogReduction Kind = "log reduction"
	LongWarm     Kind = "four-hour line"
	SlowRise     Kind = "slow rise"
	Hold         Kind = "hot hold"
	Unfollowed   Kind = "not followed to the table"
	SlowCooling  Kind = "cooling"
	Regrowth     Kind = "growth while cooling"
	Reheated     Kind = "reheating"
	Leftovers    Kind = "leftovers"
	Monoxide     Kind = "carbon monoxide"
	Ash          Kind = "hot ash"
	Flare        Kind = "lid flare"
)

// Finding is one caution.
type Finding struct {
	Kind   Kind
	Weight Weight
	Piece  string // name of the piece; "" if there is only one, or for the whole cook
	Text   string // what is wrong or unknown
	Rests  string // the notes it is based on
	Do     string // what to do
	Source string // document and section
}

// Said returns the finding in one line: first what to do, then what is wrong.
func (f Finding) Said() string {
	piece := ""
	if f.Piece != "" {
		piece = f.Piece + ": "
	}
	return piece + f.Do + " " + f.Text
}

// Figures are the numbers worked out for one piece. None is a verdict: each is based on
// one spot of the meat and on guesses between readings.
type Figures struct {
	Piece       string
	Readings    int           // of the core that were used
	WidestGap   time.Duration // the longest time between two of them while it cooked
	AtCore      bool          // judged at its core, not its surface
	CoreLogs    Range         // log10 reduction of Salmonella: least, and along straight lines
	SurfaceLogs Range         // the same for the surface, which is estimated
	CoreWarm    Range         // h between 5 and 57 °C until it came off: along straight lines, and the most
	SurfaceWarm Range
	Growth      Range // log10 of C. perfringens while cooling, no lag: along straight lines, and the most
}

// Review is the result of checking one cook.
type Review struct {
	Findings []Finding // never empty; most urgent first
	Figures  []Figures // one a piece with a core reading
	Closing  string
}

// Look reviews a cook with the notes made until now. Injected, boned, rolled, brined,
// needled, stuffed and frozen meat is recognized by these words anywhere in the file,
// even after a "not"; boned meat also by "bone: out"; birds, minced meat and game by
// the name of the cut or the piece; events by the notes. Missing readings add cautions.
// At most one finding is DoNow.
func Look(c *journal.Cook, s journal.Settings, now time.Time) Review {
	return LookKnowing(c, nil, s, now)
}

// LookKnowing does what Look does, but also uses the person's other cooks, which show
// where their notes usually end.
func LookKnowing(c *journal.Cook, past []*frame.Cook, s journal.Settings, now time.Time) Review {
	l := &look{s: s, now: now, boils: journal.BoilingPoint(s.Altitude), silent: endsAtOff(c, past)}
	l.until(c)
	l.listen()
	l.fire()
	l.words()
	for i := range max(1, len(l.c.Pieces)) {
		l.piece(i)
	}
	l.standing()
	l.weigh()
	return Review{Findings: l.out, Figures: l.figures, Closing: Closing}
}

// longOver is the age of the last line after which nothing can be done any more:
// leftovers last three to four days in the cold (USDA-FSIS, from memory).
const longOver = 4 * 24 * time.Hour

// firstTo orders urgent findings: first what can kill, then what makes the meat unfit,
// then what can still be put right.
var firstTo = []Kind{Monoxide, Ash, Warmed, PartCooked, Hold, Unfollowed, SlowCooling, Regrowth, DeadFire, EndCore, NoCore, Unread, Reheated, LongWarm, LowAim, Leftovers}

// weigh sorts the findings, most urgent first, and leaves at most one DoNow.
func (l *look) weigh() {
	last, ok := l.c.LastEntry()
	for i := range l.out {
		if f := &l.out[i]; ok && l.now.Sub(last) > longOver {
			f.Weight = min(f.Weight, Note)
		}
	}
	order := func(f Finding) int {
		if f.Weight < DoNow {
			return 0
		}
		return slices.Index(firstTo, f.Kind)
	}
	slices.SortStableFunc(l.out, func(a, b Finding) int {
		return cmp.Or(int(b.Weight)-int(a.Weight), order(a)-order(b))
	})
	for i := 1; i < len(l.out); i++ {
		l.out[i].Weight = min(l.out[i].Weight, Ask)
	}
}

// pressing returns DoNow while something can still be done before the meal, and Ask
// once the cook is over or served.
func (l *look) pressing(served bool) Weight {
	if last, ok := l.c.LastEntry(); served || ok && l.now.Sub(last) > mealOver {
		return Ask
	}
	return DoNow
}

// look is one review in progress.
type look struct {
	c       *journal.Cook
	s       journal.Settings
	now     time.Time
	boils   float64           // °C, at the journal's altitude
	pit     []journal.Reading // sorted, without the doubtful ones
	doubts  []journal.Doubt   // all doubtful readings
	heard   map[heard.Meaning][]Mention
	dead    *Finding // the fire went down while something was on
	cold    bool     // smoke without heat
	silent  bool     // this person's notes usually end when the meat comes off
	out     []Finding
	figures []Figures
}

func (l *look) add(f Finding) { l.out = append(l.out, f) }

func (l *look) clock(t time.Time) string { return measure.FormatTime(t, measure.DayClock, l.s.Units) }

func (l *look) temp(celsius float64) string { return measure.FormatTemperature(celsius, l.s.Units) }

// until copies the cook without what is after now, sorted by time.
func (l *look) until(c *journal.Cook) {
	cut := *c
	cut.Entries = slices.DeleteFunc(slices.Clone(c.Entries), func(e journal.Entry) bool { return e.Time.After(l.now) })
	later := len(c.Entries) - len(cut.Entries)
	sorted := slices.IsSortedFunc(cut.Entries, func(a, b journal.Entry) int { return a.Time.Compare(b.Time) })
	journal.SortEntries(cut.Entries)
	ascending := slices.IsSortedFunc(c.Series.Times, time.Time.Compare)
	if !ascending {
		cut.Series = journal.Series{}
	}
	n, _ := slices.BinarySearchFunc(cut.Series.Times, l.now, func(t, now time.Time) int {
		if t.After(now) {
			return 1
		}
		return -1
	})
	cut.Series.Times = cut.Series.Times[:n]
	cut.Altitude = l.s.Altitude
	l.c = &cut
	l.doubts = cut.Doubts()
	if !sorted || !ascending {
		l.add(Finding{Kind: Order, Weight: Note, Text: "The lines are not in the order of their times, so what came first is not known, and hours in these cautions may be wrong.",
			Rests: "lines or probe rows out of order", Do: "Correct the times; until then use a new reading.", Source: sourcePractice})
	}
	if later > 0 {
		l.add(Finding{Kind: Order, Weight: Note, Text: "Some lines have times after now and were not counted.",
			Rests: "the last one is at " + l.clock(c.Entries[len(c.Entries)-1].Time), Do: "Check the clock and the dates of the lines.", Source: sourcePractice})
	}
}

// doubted returns why readings of one kind are left out.
func (l *look) doubted(of func(journal.Item) bool) (why []string) {
	for _, d := range l.doubts {
		if e := l.c.Entries[d.Entry]; of(e.Items[d.Item]) {
			why = append(why, l.clock(e.Time)+" "+d.Why)
		}
	}
	return why
}

// Section returns the findings for a page, each with its source as a footnote, and the
// closing line. keep selects findings; nil selects all.
func (r Review) Section(p *page.Page, keep func(Finding) bool) page.Section {
	s := page.Section{Heading: "Cautions"}
	for _, f := range r.Findings {
		if keep != nil && !keep(f) {
			continue
		}
		name := string(f.Kind)
		if f.Piece != "" {
			name = f.Piece + ", " + name
		}
		text := []string{f.Text}
		if f.Rests != "" {
			text = append(text, "From "+f.Rests+".")
		}
		if text = append(text, f.Do); f.Weight == DoNow {
			text = append([]string{"Do now: " + f.Do}, text[:len(text)-1]...)
		}
		s.Facts = append(s.Facts, page.Fact{Name: name, Value: strings.Join(text, " ") + p.Note(f.Source)})
	}
	s.Lines = []string{r.Closing}
	return s
}
