package lookup

import (
	"path"
	"slices"
	"strings"

	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/shorthand"
	"ashbook/report/mix"
)

// NameIn returns the index of a name in names. It ignores case and treats hyphens as
// spaces. A part of a name is enough if only one name has it. what is the kind of
// thing, for the error. It fails with NoSuchName.
func NameIn(what string, names []string, name string) (int, error) {
	word := fileName(name)
	near := slices.DeleteFunc(slices.Clone(names), func(n string) bool { return !strings.Contains(strings.ToLower(n), word) })
	for i, n := range names {
		if fileName(n) == word || len(near) == 1 && n == near[0] {
			return i, nil
		}
	}
	if len(near) == 0 {
		near = shorthand.Nearest(word, names)
	}
	if len(near) == 0 {
		near = names[:min(5, len(names))]
	}
	m := typed.Mistaken(typed.NoSuchName, what, "no %s is called %q", what, name)
	m.Names = near
	return 0, m
}

// fileName returns a name as files have it: lower case, hyphens for spaces.
func fileName(s string) string {
	return strings.ToLower(strings.ReplaceAll(strings.TrimSpace(s), " ", "-"))
}

// Mix finds a mix by its file's name, a part of that, or its heading. It also returns
// the problems in its file. It fails with NoSuchName, or with the journal.Problem of a
// file that cannot be read.
func (f *Finder) Mix(name string) (journal.Mix, []journal.Problem, error) {
	mixes, problems := f.journal.Mixes()
	wrong := func(m journal.Mix) []journal.Problem {
		return slices.DeleteFunc(problems, func(p journal.Problem) bool { return p.File != "mixes/"+m.Name+".md" })
	}
	names := make([]string, len(mixes))
	for i, m := range mixes {
		if mix.Named(&m, name) {
			return m, wrong(m), nil
		}
		names[i] = m.Name
	}
	for _, p := range problems {
		if !p.Warning && mix.Named(&journal.Mix{Name: strings.TrimSuffix(path.Base(p.File), ".md")}, name) {
			return journal.Mix{}, nil, p
		}
	}
	i, err := NameIn("mix", names, name)
	if err != nil {
		return journal.Mix{}, nil, err
	}
	return mixes[i], wrong(mixes[i]), nil
}
