package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/pattern"
	"ashbook/report/attribution"
	"ashbook/report/baseline"
	"ashbook/report/drivers"
	"ashbook/report/frame"
	"ashbook/report/page"
)

// Why builds the page that explains why a cook was early or late: the minutes by cause,
// the differences from other cooks and the person's own guess. over has the effects
// over all cooks, to compare the guess with.
func Why(cmpn baseline.Comparison, acc attribution.Account, over drivers.Report, s journal.Settings) page.Page {
	c := cmpn.Cook
	p := page.Page{Title: named(c), Aside: verdict(acc)}
	p.Lead = lead(cmpn, acc, s.Units)
	if acc.Verdict != "" {
		p.Lead = append([]string{acc.Verdict}, p.Lead...)
	}
	p.Add(page.Section{Table: minutes(acc, "this cook", cmpn, s)})
	p.Add(page.Section{Lines: acc.Says})
	p.Add(guessed(c, over, s.Units))
	p.Add(page.Section{Heading: "Based on", Lines: resting(acc)})
	// A page that compares a cook with its plan does not compare it with other cooks
	// too.
	if len(cmpn.With) > 0 && !acc.Planned {
		p.Add(page.Section{Heading: "What was done differently", Table: differences(&p, cmpn, cmpn.Differs, s)})
		p.Add(page.Section{Heading: "Results that differ", Table: differences(&p, cmpn, cmpn.Outcomes, s)})
		p.Add(page.Section{Heading: "As usual", Lines: joined(done(cmpn.Same))})
		p.Add(page.Section{Heading: "Noted for other cooks, not for this one", Lines: joined(cmpn.Missing)})
		p.Add(page.Section{Heading: "Never noted, so not compared", Lines: joined(unrecordedCauses(cmpn))})
	}
	return p
}

// minutes is the table that leads from the other cook's time to this one's, one row a
// cause with a bar. The rounded minutes add up exactly.
func minutes(a attribution.Account, this string, cmpn baseline.Comparison, s journal.Settings) page.Table {
	t := page.Table{Columns: []page.Column{{}, {Draws: page.Falls, Ends: [2]string{"early", "late"}}, {Right: true}, {}}}
	if !a.Known {
		return t
	}
	whole := func(name string, h float64) {
		t.Rows = append(t.Rows, page.Row{Cells: []string{name, "", measure.FormatHours(h), ""}, Rests: resting(a)})
	}
	line := func(l attribution.Line, minutes float64) {
		row := page.Row{Cells: []string{l.Says, "", measure.FormatSigned(minutes / 60), ""}, Span: &page.Span{Low: minutes - l.Doubt, At: minutes, High: minutes + l.Doubt}}
		row.Rests = restsOfCause(l.Cause, cmpn, s.Units)
		if d := a.Round(l.Doubt); d > 0 {
			row.Cells[3] = "± " + measure.FormatHours(d/60)
			row.Rests = append([]string{fmt.Sprintf("In 8 of 10 cases it is between %s and %s.", measure.FormatSigned((minutes-d)/60), measure.FormatSigned((minutes+d)/60))}, row.Rests...)
		}
		t.Rows = append(t.Rows, row)
	}
	whole(a.Against, math.Round(60*a.From)/60)
	for _, l := range a.Lines {
		line(l, a.Round(l.Minutes))
	}
	line(a.Unexplained, a.Left())
	t.Rows = append(t.Rows, page.Row{Rule: true})
	whole(this, math.Round(60*a.Took)/60)
	return t
}

// resting returns what the account is based on, and which values were not recorded.
func resting(a attribution.Account) []string {
	var out []string
	if a.RestsOn != "" {
		out = append(out, upperFirst(a.RestsOn)+".")
	}
	if len(a.Missing) > 0 {
		out = append(out, "Not noted for one of the two cooks, so taken as equal: "+strings.Join(a.Missing, "; ")+".")
	}
	return out
}

func upperFirst(s string) string {
	if s == "" {
		return ""
	}
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// verdict says how much longer or shorter this cook took than the other.
func verdict(a attribution.Account) string {
	switch by := a.Took - a.From; {
	case !a.Known:
		return ""
	case by >= worthTelling:
		return measure.FormatHours(by) + " longer"
	case -by >= worthTelling:
		return measure.FormatHours(-by) + " shorter"
	}
	return "about as long"
}

// worthTelling is the difference in hours below which two cooks count as equally long
// (chosen).
const worthTelling = .25

func lead(cmpn baseline.Comparison, acc attribution.Account, sys measure.System) []string {
	c, t := cmpn.Cook, cmpn.Took
	if !t.This.Known {
		return nil // the account says so
	}
	out := []string{measure.FormatHours(t.This.Number) + " on the pit"}
	switch {
	case acc.Known && acc.Planned:
		out[0] += fmt.Sprintf("; by its plan, and judging by your other cooks, it would have taken %s.", measure.FormatHours(acc.From))
	case acc.Known && acc.Usual:
		out[0] += fmt.Sprintf("; %s, would have taken %s.", acc.Against, measure.FormatHours(acc.From))
	case acc.Known:
		out[0] += fmt.Sprintf(", against %s (%s).", measure.FormatHours(acc.From), acc.Against)
	case cmpn.Chosen:
		out[0] += "."
	case c.Cut == "":
		out[0] += ". The cut was not noted, so it cannot be compared with other cooks."
	default:
		out[0] += fmt.Sprintf(". This journal has no other finished %s to compare it with.", c.Cut)
	}
	off, done := c.Finish()
	if done && !c.Serve.IsZero() {
		margin := c.Serve.Sub(off).Hours()
		word := "before"
		if margin < 0 {
			word = "after"
		}
		out = append(out, fmt.Sprintf("Off at %s, %s %s the meal at %s.", measure.FormatTime(off, measure.DayClock, sys), measure.FormatHours(math.Abs(margin)), word, measure.FormatTime(c.Serve, measure.DayClock, sys)))
	}
	return out
}

func differences(p *page.Page, cmpn baseline.Comparison, list []baseline.Difference, s journal.Settings) page.Table {
	t := page.Table{Columns: []page.Column{{}, {Title: "this cook", Right: true}, {Title: "your usual", Right: true}, {Title: "difference", Right: true, Gives: 1}, {Title: "cooks", Right: true, Gives: 2}}}
	if cmpn.Chosen {
		t.Columns = t.Columns[:4]
		t.Columns[2].Title = cmpn.With[0].Date.Format("2 Jan 2006")
	}
	for _, d := range list {
		this, usuals, by := d.Column.Format(d.This, s.Units), "", ""
		if d.Column.Kind == frame.Word {
			usuals = d.Word
			if d.Share < 1 {
				usuals = fmt.Sprintf("%s, %.0f of %d", d.Word, d.Share*float64(d.N), d.N)
			}
		} else {
			usuals = d.Column.Format(frame.Value{Number: d.Median, Known: true}, s.Units)
			by = d.Column.FormatDifference(d.By, s.Units)
		}
		if d.Column.Name == frame.PitMean && frame.PitIsSetting(cmpn.Cook) {
			this += p.Note("the setting; no pit reading was noted")
		}
		cells := []string{d.Column.Name, this, usuals, by, fmt.Sprint(d.N)}[:len(t.Columns)]
		from := restsOn(cmpn.Cook, d.Column, s.Units)
		if from != "" {
			from = "This cook: " + from + "."
		}
		t.Rows = append(t.Rows, page.Row{Cells: cells, Rests: listIf(from, upperFirst(usually(d.Usual, s.Units))+".")})
	}
	return t
}

// done returns the names of columns that the cook chose, without results.
func done(names []string) []string {
	return slices.DeleteFunc(slices.Clone(names), func(name string) bool {
		return frame.Named(name).Outcome
	})
}

// couldTell lists columns that would explain some of the time if they were recorded.
var couldTell = []string{frame.ThickestPiece, frame.CoreOn, frame.WaterPan, frame.Air, frame.Wind, frame.Supplier, frame.LidOpened, frame.Spritzed}

func unrecordedCauses(cmpn baseline.Comparison) []string {
	return slices.DeleteFunc(slices.Clone(couldTell), func(name string) bool { return !slices.Contains(cmpn.Unrecorded, name) })
}

func joined(names []string) []string {
	if len(names) == 0 {
		return nil
	}
	return []string{strings.Join(names, "; ") + "."}
}

// guessWords match words with which people introduce an explanation of their own.
var guessWords = pattern.New(`(?i)\b(must (be|have been)|because of|reckon|i think|probably|may be the|i blame|guess|no idea why|wonder)\b`)

// sentenceEnd matches the end of a sentence.
var sentenceEnd = pattern.New(`[.!?]+(\s+|$)`)

// Guesses returns the sentences of the notes in which the person explains something.
func Guesses(c *journal.Cook, sys measure.System) []page.Fact {
	var out []page.Fact
	add := func(where, text string) {
		from := 0
		for _, end := range append(sentenceEnd.FindAllStringIndex(text, -1), []int{len(text), len(text)}) {
			if s := strings.TrimSpace(text[from:end[1]]); guessWords.MatchString(s) {
				out = append(out, page.Fact{Name: where, Value: s})
			}
			from = end[1]
		}
	}
	for _, e := range c.Entries {
		add(measure.FormatTime(e.Time, measure.DayClock, sys), e.Words)
	}
	for _, para := range prose(c) {
		add("in the notes", para)
	}
	return out
}

// guessed quotes the person's guesses, each with the effect that all cooks show for
// what it names.
func guessed(c *journal.Cook, over drivers.Report, sys measure.System) page.Section {
	out := page.Section{Heading: "You wrote", Facts: Guesses(c, sys)}
	words := map[string]bool{}
	for i, f := range out.Facts {
		out.Facts[i].Value = "“" + f.Value + "”"
		for _, w := range strings.FieldsFunc(strings.ToLower(f.Value), func(r rune) bool { return !unicode.IsLetter(r) }) {
			words[w] = true
		}
	}
	for _, cand := range over.Candidates {
		about := slices.ContainsFunc(naming[cand.Column.Name], func(w string) bool { return words[w] })
		// A guess that names only the column is compared with its largest effect.
		lines := slices.SortedStableFunc(slices.Values(cand.Lines), func(a, b drivers.Line) int {
			return cmp.Compare(math.Abs(b.Effect), math.Abs(a.Effect))
		})
		for _, l := range lines {
			this, base, _ := strings.Cut(l.Change, " instead of ")
			this, _, _ = strings.Cut(this, " against the others")
			if !about && !words[this] && !words[base] {
				continue
			}
			out.Lines = append(out.Lines, fmt.Sprintf("Over your %s, %s, %s: %s, 8 in 10 within %s; %s.", measure.Count(over.Cooks, "cook"), cand.Column.Name,
				l.Change, inWords(over.Target, l.Effect), between(over.Target, l.Lo, l.Hi), l.Reads))
			break
		}
	}
	return out
}

// naming lists words that refer to a column. Values such as kinds of wood are matched
// by their own names.
var naming = map[string][]string{
	frame.Wind: {"wind", "windy", "gusts"}, frame.Air: {"cold", "frost", "weather", "heat"}, frame.WaterPan: {"pan"},
	frame.LidOpened: {"lid", "looking", "peeking", "lids"}, frame.Spritzed: {"spritz", "spritzing"}, frame.Pieces: {"crowded", "crowd"},
	frame.HeaviestPiece: {"heavy", "big", "size", "weight"}, frame.CoreOn: {"fridge", "frozen"},
}
