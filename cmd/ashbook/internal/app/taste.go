package app

import (
	"fmt"
	"strings"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
)

// Written is a new text and the one it replaced; "" for none.
type Written struct {
	What    journal.After
	Was, Is string
	Flags   []string // warnings: "off 52 kg: more than the 8.3 kg that went on"
}

// Tasted is a cook with its scores and the texts written after it.
type Tasted struct {
	Cook    journal.Cook // as saved
	Written []Written
}

// Taste saves scores, and texts about a finished cook, in one edit. Of each text it
// uses What and Is; an empty Is deletes the old one. It fails with Invalid.
func (a *App) Taste(id string, tastes []journal.Taste, after []Written) (Tasted, error) {
	sys := a.Settings().Units
	var who, what []string
	for _, t := range tastes {
		who = append(who, ScoreLine(t))
	}
	for i := range after {
		w := &after[i]
		w.Is = strings.Join(strings.Fields(w.Is), " ")
		if w.What.Weighs() && w.Is != "" {
			m, err := measure.ParseMass(w.Is, sys)
			if err != nil || m.Base < 0 || w.What == journal.CameOff && m.Base == 0 {
				return Tasted{}, typed.Mistaken(typed.Invalid, "", "%s %q: expected a weight such as %s", w.What, w.Is, measure.Kilograms(5.2).In(sys))
			}
			w.Is = m.String()
		}
		is := w.Is
		if is == "" {
			is = "deleted"
		}
		what = append(what, w.What.String()+": "+is)
	}
	said := strings.Join(what, "; ")
	if len(who) > 0 {
		said = strings.TrimSuffix("tasted by "+strings.Join(who, "; ")+"; "+said, "; ")
	}
	f, err := a.journal.Edit(id, func(f cookfile.File) (cookfile.File, error) {
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
				f, err = f.Unset(w.What.Keys()...)
			case w.Is != w.Was:
				f, err = f.Set(w.Is, w.What.Keys()...)
			}
			if err != nil {
				return f, err
			}
		}
		return f, nil
	}, id+": "+said)
	if err != nil {
		return Tasted{}, err
	}
	for i := range after {
		after[i].Flags = doubts(&f.Cook, after[i].What)
	}
	return Tasted{f.Cook, after}, nil
}

// doubts returns what cannot be right about the weights noted after a cook.
func doubts(c *journal.Cook, what journal.After) []string {
	y := c.Yield
	on, known := c.OnWeight()
	switch {
	case !what.Weighs():
	case what == journal.CameOff && known && y.Off.Known && y.Off.Base > on:
		return []string{fmt.Sprintf("off %s: that is more than the %s that went on", y.Off, measure.FormatMass(on, y.Off.Unit.System))}
	case y.Off.Known && y.Discard.Base+y.Left.Base > y.Off.Base:
		return []string{"discard and left together are more than came off, " + y.Off.String()}
	}
	return nil
}

// ScoreLine formats a row of scores: "RT tenderness 8, salt 6+".
func ScoreLine(t journal.Taste) string {
	var parts []string
	for _, trait := range journal.Traits {
		if s := t.Scores[trait].String(); s != "" {
			parts = append(parts, trait.String()+" "+s)
		}
	}
	return t.Eater + " " + strings.Join(parts, ", ")
}
