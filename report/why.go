package report

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/report/account"
	"ashbook/report/frame"
	"ashbook/report/page"
	"ashbook/report/usual"
)

// Why is the page of why a cook was early or late: the account of minutes, the
// differences it rests on, each in its own unit, and the person's own guess.
func Why(c *journal.Cook, all []journal.Cook, acc account.Account, s journal.Settings) page.Page {
	cmpn := usual.Compare(c, all)
	p := page.Page{Title: c.Name() + ", " + c.Date().Format("2 Jan 2006"), Aside: verdict(cmpn, acc)}
	p.Lead = lead(cmpn)
	p.Add(page.Section{Table: minutes(acc)})
	p.Add(page.Section{Lines: acc.Says})
	p.Add(page.Section{Heading: "You wrote", Facts: guesses(c)})
	p.Add(page.Section{Heading: "Resting on", Lines: resting(acc)})
	if cmpn.Others > 0 {
		p.Add(page.Section{Heading: "What was done differently", Table: differences(&p, cmpn, cmpn.Differs, s)})
		p.Add(page.Section{Heading: "What came of it", Table: differences(&p, cmpn, cmpn.Outcomes, s)})
		p.Add(page.Section{Heading: "As usual", Lines: joined(cmpn.Same)})
		p.Add(page.Section{Heading: "Noted for others, not for this one", Lines: joined(cmpn.Missing)})
		p.Add(page.Section{Heading: "Never noted, so nothing can be said of it", Lines: joined(unrecordedCauses(cmpn))})
	}
	return p
}

// minutes is the account as a sum: from the other cook, line by line, to this one.
func minutes(a account.Account) page.Table {
	t := page.Table{Columns: []page.Column{{}, {Right: true}, {}}}
	if !a.Known {
		return t
	}
	add := func(cells ...string) { t.Rows = append(t.Rows, page.Row{Cells: cells}) }
	add(a.Against, frame.FormatHours(a.From), "")
	for _, l := range append(slices.Clone(a.Lines), a.Unexplained) {
		doubt := ""
		if l.Doubt >= .5 {
			doubt = fmt.Sprintf("± %s", frame.FormatHours(l.Doubt/60))
		}
		add(l.Says, signedHours(l.Minutes/60), doubt)
	}
	add("", "───────", "")
	add("this cook", frame.FormatHours(a.Took), "")
	return t
}

func signedHours(h float64) string {
	text := frame.FormatHours(math.Abs(h))
	switch {
	case text == "0 min":
		return text
	case h < 0:
		return "−" + text
	}
	return "+" + text
}

// resting says what the account rests on and what was missing.
func resting(a account.Account) []string {
	var out []string
	if a.RestsOn != "" {
		out = append(out, a.RestsOn)
	}
	return append(out, a.Missing...)
}

// verdict is the aside: how much longer or shorter than the other cook it took.
func verdict(cmpn usual.Comparison, acc account.Account) string {
	by, known := cmpn.Took.By, cmpn.Took.This.Known && cmpn.Took.N > 0
	if acc.Known {
		by, known = acc.Took-acc.From, true
	}
	switch worth := cmpn.Took.Column.Matters; {
	case !known:
		return ""
	case by >= worth:
		return frame.FormatHours(by) + " longer"
	case -by >= worth:
		return frame.FormatHours(-by) + " shorter"
	}
	return "about the usual time"
}

func lead(cmpn usual.Comparison) []string {
	c, t := cmpn.Cook, cmpn.Took
	var out []string
	switch {
	case t.This.Known && t.N > 0:
		of := fmt.Sprintf("%s in the middle of %d others, %s to %s", frame.FormatHours(t.Median), t.N, frame.FormatHours(t.Low), frame.FormatHours(t.High))
		if t.N == 1 {
			of = frame.FormatHours(t.Median) + ", the only other one"
		}
		out = append(out, fmt.Sprintf("%s on the pit. Your usual %s: %s.", frame.FormatHours(t.This.Number), c.Cut, of))
	case t.This.Known && c.Cut == "":
		out = append(out, fmt.Sprintf("%s on the pit. The cut was not noted, so there is nothing to set it against.", frame.FormatHours(t.This.Number)))
	case t.This.Known:
		out = append(out, fmt.Sprintf("%s on the pit. No other finished %s in this journal to set it against.", frame.FormatHours(t.This.Number), c.Cut))
	default:
		out = append(out, "Not off yet, or the times it went on and came off were not noted.")
	}
	off, done := c.Finish()
	if done && !c.Serve.IsZero() {
		margin := c.Serve.Sub(off).Hours()
		word := "before"
		if margin < 0 {
			word = "after"
		}
		out = append(out, fmt.Sprintf("Off at %s, %s %s the meal at %s.", off.Format(both), frame.FormatHours(math.Abs(margin)), word, c.Serve.Format(both)))
	}
	return out
}

func differences(p *page.Page, cmpn usual.Comparison, list []usual.Difference, s journal.Settings) page.Table {
	t := page.Table{Columns: []page.Column{{}, {Title: "this cook", Right: true}, {Title: "your usual", Right: true}, {Title: "difference", Right: true}, {Title: "cooks", Right: true}}}
	for _, d := range list {
		this, usually, by := d.Column.Format(d.This, s.Units), "", ""
		if d.Column.Kind == frame.Word {
			usually = d.Word
			if d.Share < 1 {
				usually = fmt.Sprintf("%s, %.0f of %d", d.Word, d.Share*float64(d.N), d.N)
			}
		} else {
			usually = d.Column.Format(frame.Value{Number: d.Median, Known: true}, s.Units)
			by = d.Column.FormatDifference(d.By, s.Units)
		}
		if d.Column.Name == "pit, mean" && frame.PitIsSetting(cmpn.Cook) {
			this += p.Note("the setting; no pit reading was noted")
		}
		t.Rows = append(t.Rows, page.Row{Cells: []string{d.Column.Name, this, usually, by, fmt.Sprint(d.N)}})
	}
	return t
}

// unrecordedCauses keeps what could have moved the time.
func unrecordedCauses(cmpn usual.Comparison) []string {
	var out []string
	for _, name := range cmpn.Unrecorded {
		for _, col := range frame.Columns {
			if col.Name == name && !col.Outcome && (col.Group == frame.SetUp || col.Group == frame.Readings) {
				out = append(out, name)
			}
		}
	}
	return out
}

func joined(names []string) []string {
	if len(names) == 0 {
		return nil
	}
	return []string{strings.Join(names, "; ") + "."}
}

// guessWords open a person's own explanation.
var guessWords = regexp.MustCompile(`(?i)\b(must (be|have been)|because|reckon|i think|probably|i blame|guess|no idea why|wonder)\b`)

// guesses quotes the cook's own explanations from the notes.
func guesses(c *journal.Cook) []page.Fact {
	var out []page.Fact
	for _, e := range c.Entries {
		if guessWords.MatchString(e.Words) {
			out = append(out, page.Fact{Name: e.Time.Format(both), Value: "“" + e.Words + "”"})
		}
	}
	for _, para := range prose(c) {
		if guessWords.MatchString(para) {
			out = append(out, page.Fact{Name: "in the notes", Value: "“" + para + "”"})
		}
	}
	return out
}
