// Package lookup finds cooks of a journal: by words of their names, by their details,
// the running one, or the next planned one. It writes nothing.
package lookup

import (
	"context"
	"slices"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
)

// Finder finds the cooks of a journal.
type Finder struct{ journal *folder.Folder }

// In returns a Finder for a journal.
func In(j *folder.Folder) *Finder { return &Finder{j} }

// Load reads a cook with its probe series.
func (f *Finder) Load(id string) (cookfile.File, error) { return f.journal.Load(id) }

// Resolve finds the one cook that the words mean: its ID, the beginning of an ID, or words
// of its title, cut, pit and day. "last" is the last finished cook. It considers cooks
// left out of reports only if no other matches. It fails with NoSuchCook or SeveralCooks.
func (f *Finder) Resolve(ctx context.Context, words []string) (folder.Summary, error) {
	all, _, err := f.journal.List(ctx)
	if err != nil {
		return folder.Summary{}, err
	}
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
		aside, err := f.journal.Aside(ctx)
		if err != nil {
			return folder.Summary{}, err
		}
		found = meant(aside, ref, words)
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) == 0:
		return folder.Summary{}, typed.Mistaken(typed.NoSuchCook, ref, "no cook is called %q", ref)
	}
	var ids []string
	for _, s := range found[:min(5, len(found))] {
		ids = append(ids, s.ID)
	}
	m := typed.Mistaken(typed.SeveralCooks, ref, "%d cooks match %q: %s", len(found), ref, strings.Join(ids, ", "))
	m.Cooks = ids
	return folder.Summary{}, m
}

// ComingCook reads the cook that the words name. If several match, it takes the only
// one that is not finished, since nobody prepares a meal that was eaten. It fails as
// Resolve does.
func (f *Finder) ComingCook(ctx context.Context, words []string) (*journal.Cook, error) {
	s, err := f.coming(ctx, words)
	if err != nil {
		return nil, err
	}
	file, err := f.Load(s.ID)
	return &file.Cook, err
}

func (f *Finder) coming(ctx context.Context, words []string) (folder.Summary, error) {
	s, err := f.Resolve(ctx, words)
	if err == nil {
		return s, nil
	}
	all, _, listed := f.journal.List(ctx)
	if listed != nil {
		return s, listed
	}
	open := slices.DeleteFunc(meant(all, strings.Join(words, " "), words), func(c folder.Summary) bool { return !c.Finish.IsZero() || c.Broken })
	if len(open) == 1 {
		return open[0], nil
	}
	return s, err
}

// meant returns the cooks that the words may mean. An exact ID matches one cook only.
func meant(all []folder.Summary, ref string, words []string) []folder.Summary {
	var found []folder.Summary
	for _, s := range all {
		if s.ID == ref {
			return []folder.Summary{s}
		}
		if strings.HasPrefix(s.ID, ref) || Named(&s, words) {
			found = append(found, s)
		}
	}
	return found
}

// Named reports whether every word is in the ID, title, cut or pit of a cook.
func Named(s *folder.Summary, words []string) bool {
	hay := strings.ToLower(strings.Join([]string{s.ID, s.Title, s.Cut, s.Pit}, " "))
	return !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(hay, strings.ToLower(w)) })
}

// heldFor is how long after it came off a cook still gets notes that name no cook:
// through the hold, the meal and the leftovers of the next day (chosen).
const heldFor = 36 * time.Hour

// Running finds the cook for a note that names none: the only running cook, or the last
// one that came off and is not cold yet. It fails with NoneRunning, SeveralRunning, or
// Unread if a file that cannot be read may be the running cook.
func (f *Finder) Running(ctx context.Context, now time.Time) (folder.Summary, error) {
	all, problems, err := f.journal.List(ctx)
	if err != nil {
		return folder.Summary{}, err
	}
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
		if err := f.UnreadAmong(all, problems, now); err != nil {
			return folder.Summary{}, err
		}
		on = held
	}
	switch len(on) {
	case 1:
		return on[0], nil
	case 0:
		return folder.Summary{}, typed.Mistaken(typed.NoneRunning, "", "no cook is running")
	}
	m := typed.Mistaken(typed.SeveralRunning, "", "%d cooks are running: %s and %s", len(on), on[0].ID, on[1].ID)
	m.Cooks = []string{on[0].ID, on[1].ID}
	return folder.Summary{}, m
}

// ResolveOrRunning does what Resolve does, or what Running does if there are no words.
func (f *Finder) ResolveOrRunning(ctx context.Context, words []string, now time.Time) (folder.Summary, error) {
	if len(words) == 0 {
		return f.Running(ctx, now)
	}
	return f.Resolve(ctx, words)
}

// Cook reads the cook that the words name, or the running one if there are no words. It
// fails as Resolve and Running do.
func (f *Finder) Cook(ctx context.Context, words []string, now time.Time) (cookfile.File, error) {
	s, err := f.ResolveOrRunning(ctx, words, now)
	if err != nil {
		return cookfile.File{}, err
	}
	return f.Load(s.ID)
}

// Cooks reads one cook for each reference. A reference is words separated by spaces.
func (f *Finder) Cooks(ctx context.Context, refs []string) ([]*journal.Cook, error) {
	found := make([]folder.Summary, len(refs)) // find all of them before reading any
	for i, ref := range refs {
		var err error
		if found[i], err = f.Resolve(ctx, strings.Fields(ref)); err != nil {
			return nil, err
		}
	}
	var out []*journal.Cook
	for _, s := range found {
		file, err := f.Load(s.ID)
		if err != nil {
			return nil, err
		}
		out = append(out, &file.Cook)
	}
	return out, nil
}

// Took returns the time from a cook's first piece on to its last piece off; false if
// that is not known.
func Took(s *folder.Summary) (time.Duration, bool) {
	if s.On.IsZero() || !s.Finish.After(s.On) {
		return 0, false
	}
	return s.Finish.Sub(s.On), true
}

// NextToReady finds the cook whose lists to show: the one that the words name, or the
// next planned one, or the running one. It fails as Resolve does, and with NonePlanned.
func (f *Finder) NextToReady(ctx context.Context, words []string, now time.Time) (folder.Summary, error) {
	if len(words) > 0 {
		return f.Resolve(ctx, words)
	}
	all, _, err := f.journal.List(ctx)
	if err != nil {
		return folder.Summary{}, err
	}
	var next folder.Summary
	for _, s := range all {
		if StateOf(&s, now) == Planned && !s.Broken && s.Serve.After(now) && (next.ID == "" || s.Serve.Before(next.Serve)) {
			next = s
		}
	}
	for _, s := range all {
		if next.ID == "" && s.Running(now) {
			next = s
		}
	}
	if next.ID == "" {
		return next, typed.Mistaken(typed.NonePlanned, "", "no cook is planned")
	}
	return next, nil
}
