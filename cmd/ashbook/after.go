package main

import (
	"fmt"
	"strings"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/report/page"
	"ashbook/tui/backend"
)

type editor interface {
	Edit(id string, edit func(cookfile.File) (cookfile.File, error), message string) (cookfile.File, error)
}

// places are where in the front matter it is written what comes after a cook.
var places = [len(backend.Afters)][]string{
	backend.Keep: {"keep"}, backend.Change: {"change"},
	backend.CameOff: {"yield", "off"}, backend.Discarded: {"yield", "discard"}, backend.LeftOver: {"yield", "left"},
}

// keepTasting saves rows of scores, and what is to be written after a cook, in one
// edit. What stood there before, and doubts, come back with what was written.
func keepTasting(j editor, id string, tastes []journal.Taste, after []backend.Written, sys measure.System) (cookfile.File, []backend.Written, error) {
	var who, what []string
	for _, t := range tastes {
		who = append(who, scoreLine(t))
	}
	for i := range after {
		w := &after[i]
		w.Is = strings.Join(strings.Fields(w.Is), " ")
		if w.What.Weighs() && w.Is != "" {
			m, err := measure.ParseMass(w.Is, sys)
			if err != nil || m.Base < 0 || w.What == backend.CameOff && m.Base == 0 {
				return cookfile.File{}, nil, usage("%s %q: expected a weight such as 5.2 kg", w.What, w.Is)
			}
			w.Is = m.String()
		}
		what = append(what, w.What.String()+": "+orNone(w.Is))
	}
	said := strings.Join(what, "; ")
	if len(who) > 0 {
		said = strings.TrimSuffix("tasted by "+strings.Join(who, "; ")+"; "+said, "; ")
	}
	f, err := j.Edit(id, func(f cookfile.File) (cookfile.File, error) {
		var err error
		for _, t := range tastes {
			if f, err = f.PutTaste(t); err != nil {
				return f, err
			}
		}
		for i := range after {
			w := &after[i]
			switch w.Was = w.What.Of(&f.Cook); {
			case w.Is == "":
				f, err = f.Unset(places[w.What]...)
			case w.Is != w.Was:
				f, err = f.Set(w.Is, places[w.What]...)
			}
			if err != nil {
				return f, err
			}
		}
		return f, nil
	}, id+": "+said)
	if err != nil {
		return f, nil, err
	}
	for i := range after {
		after[i].Flags = doubts(&f.Cook, after[i].What)
	}
	return f, after, nil
}

// doubts are what cannot be of a weight noted after a cook.
func doubts(c *journal.Cook, what backend.After) []string {
	y := c.Yield
	on, known := c.OnWeight()
	switch {
	case !what.Weighs():
	case what == backend.CameOff && known && y.Off.Known && y.Off.Base > on:
		return []string{fmt.Sprintf("off %s: more than the %s that went on", y.Off, measure.FormatMass(on, y.Off.Unit.System))}
	case y.Off.Known && y.Discard.Base+y.Left.Base > y.Off.Base:
		return []string{"discard and left are more than came off, " + y.Off.String()}
	}
	return nil
}

// orNone is a text, or that there is none any more.
func orNone(s string) string {
	if s == "" {
		return "taken out"
	}
	return s
}

// tellWritten tells what was written, and in place of what.
func (a *app) tellWritten(after []backend.Written, id string) {
	replaced := false
	for _, w := range after {
		a.printf("  %s: %s\n", w.What, orNone(page.Clean(w.Is)))
		if w.Was != "" && w.Was != w.Is {
			a.printf("    before: %s\n", page.Clean(w.Was))
			replaced = true
		}
		for _, flag := range w.Flags {
			a.printf("    look: %s\n", page.Clean(flag))
		}
	}
	if replaced {
		a.printf("next: ashbook history %s, where what stood before is kept\n", id)
	}
}

type writtenRecord struct {
	What  string   `json:"what"`
	Is    string   `json:"is,omitempty"`
	Was   string   `json:"was,omitempty"`
	Flags []string `json:"flags"`
}

func writtenOf(after []backend.Written) []writtenRecord {
	out := []writtenRecord{}
	for _, w := range after {
		out = append(out, writtenRecord{w.What.String(), w.Is, w.Was, notNil(w.Flags)})
	}
	return out
}

func (o *outside) Taste(id string, t journal.Taste) error {
	o.files.Lock()
	defer o.files.Unlock()
	o.past = nil
	_, _, err := keepTasting(o.journal, id, []journal.Taste{t}, nil, settingsOf(o.journal).Units)
	return err
}

func (o *outside) Write(id string, what backend.After, text string) (backend.Written, error) {
	o.files.Lock()
	defer o.files.Unlock()
	o.past = nil
	f, after, err := keepTasting(o.journal, id, nil, []backend.Written{{What: what, Is: text}}, settingsOf(o.journal).Units)
	if err != nil {
		return backend.Written{}, err
	}
	o.remember(&f.Cook)
	return after[0], nil
}
