package app

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"time"
	"unicode"

	"ashbook/cmd/ashbook/internal/lookup"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
)

// Light notes that the fire of a planned cook was lit.
func (a *App) Light(id string, at time.Time) (Noted, error) {
	lit := litAt(at)
	f, err := a.addEntry(id, lit)
	if err != nil {
		return Noted{}, err
	}
	return Noted{Cook: f.Cook, Text: Clock(lit, a.Settings().Units), Line: lit.String()}, nil
}

// Begin makes the file of a new cook whose fire was lit at the given time. The title
// defaults to the cut, and the pit to the usual one in journal.md. It fails with NoAim
// if the cut has no usual core and c has no aim.
func (a *App) Begin(ctx context.Context, c journal.Cook, at time.Time) (journal.Cook, error) {
	past, err := a.Like(ctx, c.Cut)
	if err != nil {
		return journal.Cook{}, err
	}
	if c.Aim.Core, err = aimOf(&c, past); err != nil {
		return journal.Cook{}, err
	}
	if c.Pit == "" {
		c.Pit = a.Settings().Pit
	}
	if c.Title == "" {
		c.Title = upperFirst(c.Cut)
	}
	c.Cut, c.Entries = strings.ToLower(c.Cut), []journal.Entry{litAt(at)}
	ids, err := a.create("lit", fresh{at, c})
	if err != nil {
		return journal.Cook{}, err
	}
	f, err := a.journal.Load(ids[0])
	return f.Cook, err
}

// litAt returns the first entry of a cook.
func litAt(at time.Time) journal.Entry {
	return journal.Entry{Time: at, Items: []journal.Item{{Act: journal.Lit}}}
}

// Planned finds the one planned cook that the words name; its ID is "" if there is
// none. It fails with SeveralPlanned. It fails with AlreadyLit if the words are the
// title of an older cook and no cut in the journal, since a new cut of that name is
// unlikely.
func (a *App) Planned(ctx context.Context, words []string, now time.Time) (folder.Summary, error) {
	all, _, err := a.journal.List(ctx)
	if err != nil {
		return folder.Summary{}, err
	}
	said := strings.Join(words, " ")
	var found []folder.Summary
	for _, s := range all {
		if lookup.StateOf(&s, now) == lookup.Planned && !s.Broken && lookup.Named(&s, words) {
			if s.ID == said {
				return s, nil
			}
			found = append(found, s)
		}
	}
	switch len(found) {
	case 0:
		return folder.Summary{}, notPast(all, said)
	case 1:
		return found[0], nil
	}
	m := typed.Mistaken(typed.SeveralPlanned, said, "%d planned cooks match %q", len(found), said)
	for _, s := range found {
		m.Cooks = append(m.Cooks, s.ID)
	}
	return folder.Summary{}, m
}

func notPast(all []folder.Summary, said string) error {
	said = strings.ToLower(said)
	titled := ""
	for _, s := range all {
		if strings.Contains(strings.ToLower(s.Cut), said) {
			return nil
		}
		if strings.EqualFold(s.Title, said) {
			titled = s.ID
		}
	}
	if titled == "" {
		return nil
	}
	m := typed.Mistaken(typed.AlreadyLit, said, "%q is a cook that was lit already, not a planned one and not a cut", said)
	m.Cooks = []string{titled}
	return m
}

// fresh is a cook to be saved, and the day with which its ID begins.
type fresh struct {
	day  time.Time
	cook journal.Cook
}

// create saves new cooks, all or none, and returns their IDs. did is for the commit
// message of each.
func (a *App) create(did string, cooks ...fresh) ([]string, error) {
	files := make([]folder.NewCook, len(cooks))
	for i, c := range cooks {
		data, err := cookfile.New(c.cook)
		if err != nil {
			return nil, err
		}
		files[i].Data = data
	}
	for {
		before := a.journal.IDs()
		taken := slices.Clone(before)
		ids := make([]string, len(files))
		for i := range files {
			ids[i] = freeID(taken, cooks[i].day, cooks[i].cook.Title)
			taken = append(taken, ids[i])
			files[i].ID, files[i].Message = ids[i], ids[i]+": "+did
		}
		// Another ashbook may have used one of the IDs meanwhile.
		err := a.journal.CreateAll(files)
		if err == nil || !errors.Is(err, fs.ErrExist) || slices.Equal(before, a.journal.IDs()) {
			return ids, err
		}
	}
}

// freeID returns DATE-slug, with a number added if that is used.
func freeID(taken []string, day time.Time, title string) string {
	base := day.Format(time.DateOnly) + "-" + slug(title)
	id := base
	for n := 2; slices.Contains(taken, id); n++ {
		id = fmt.Sprintf("%s-%d", base, n)
	}
	return id
}

// slug returns a file name for a title: letters and digits, with hyphens for the rest.
func slug(title string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(title) {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= 60 {
			break
		}
	}
	if s := strings.Trim(b.String(), "-"); s != "" {
		return s
	}
	return "cook"
}

func upperFirst(s string) string {
	for i, r := range s {
		return string(unicode.ToUpper(r)) + s[i+len(string(r)):]
	}
	return s
}
