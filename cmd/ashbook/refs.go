package main

import (
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/folder"
)

// resolve finds the one cook that the words mean: its ID or the beginning of
// one, else a cook whose title, cut, pit and day hold every word; "last" is the
// last one finished. Cooks put aside are meant where no other is.
func (a *app) resolve(j *folder.Folder, words []string) (folder.Summary, error) {
	all, _ := j.List()
	ref := strings.Join(words, " ")
	if ref == "last" {
		for _, s := range all {
			if !s.Finish.IsZero() {
				return s, nil
			}
		}
	}
	found := meant(all, ref, words)
	if len(found) == 0 {
		found = meant(j.Aside(), ref, words)
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) == 0:
		return folder.Summary{}, hint(usage("no cook is called %q", ref), "ashbook find "+words[0])
	}
	var ids []string
	for _, s := range found[:min(5, len(found))] {
		ids = append(ids, s.ID)
	}
	return folder.Summary{}, hint(usage("%d cooks are meant by %q: %s", len(found), ref, strings.Join(ids, ", ")), "name one of them by its day")
}

// meant are the cooks that words may mean; the one whose ID they are alone.
func meant(all []folder.Summary, ref string, words []string) []folder.Summary {
	var found []folder.Summary
	for _, s := range all {
		if s.ID == ref {
			return []folder.Summary{s}
		}
		if strings.HasPrefix(s.ID, ref) || named(s, words) {
			found = append(found, s)
		}
	}
	return found
}

// named reports whether every word stands in what the cook is called by.
func named(s folder.Summary, words []string) bool {
	hay := strings.ToLower(strings.Join([]string{s.ID, s.Title, s.Cut, s.Pit}, " "))
	return !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(hay, strings.ToLower(w)) })
}

// heldFor is how long a cook that is off takes notes without being named:
// through the hold and the meal to the leftovers of the next day (chosen).
const heldFor = 36 * time.Hour

// running finds the cook a note belongs to: the one named, else the only one
// running, else the one that came off last and is not yet served.
func (a *app) running(j *folder.Folder, ref string, now time.Time) (folder.Summary, error) {
	if ref != "" {
		return a.resolve(j, strings.Fields(ref))
	}
	all, _ := j.List()
	var on, held []folder.Summary
	for _, s := range all {
		switch {
		case s.Running(now):
			on = append(on, s)
		case s.Stage >= journal.TakenOff && s.Stage < journal.Cold && now.Sub(s.Last) < heldFor:
			held = append(held, s)
		}
	}
	if len(on) == 0 {
		on = held
	}
	switch len(on) {
	case 1:
		return on[0], nil
	case 0:
		return folder.Summary{}, hint(usage("no cook is running"), "ashbook light CUT, or --cook COOK to note in another")
	}
	return folder.Summary{}, hint(usage("%d cooks are running: %s and %s", len(on), on[0].ID, on[1].ID), "ashbook note --cook "+on[0].ID+" …")
}

// resolveEach reads one cook an argument.
func (a *app) resolveEach(j *folder.Folder, args []string) ([]folder.Summary, error) {
	var out []folder.Summary
	for _, arg := range args {
		s, err := a.resolve(j, strings.Fields(arg))
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}
