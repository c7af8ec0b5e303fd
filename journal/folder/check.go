package folder

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/series"
)

// pitsDir holds a file for each pit.
const pitsDir = "pits"

// Check reads every file of the journal: cooks, probe series, pits, settings. It
// returns how many cooks there are and what is wrong, by place.
func (f *Folder) Check() (cooks int, problems []journal.Problem) {
	all, problems := f.List()
	for _, s := range all {
		if s.Series {
			_, more := f.readSeries(s.Path)
			problems = append(problems, more...)
		}
	}
	_, more := f.Pits()
	problems = append(problems, more...)
	slices.SortStableFunc(problems, journal.ByPlace)
	return len(all), problems
}

// readSeries reads the probe series beside a cook's file; an empty one where there
// is none, or where it cannot be read, which is a problem.
func (f *Folder) readSeries(cook string) (journal.Series, []journal.Problem) {
	p := SeriesPath(cook)
	data, err := f.Bytes(p)
	if errors.Is(err, fs.ErrNotExist) {
		return journal.Series{}, nil
	}
	if err != nil {
		return journal.Series{}, []journal.Problem{problem(p, err)}
	}
	s, problems, err := series.Parse(p, data)
	if err != nil {
		return journal.Series{}, append(problems, problem(p, err))
	}
	return s, problems
}

// Pits reads the pit files, by name.
func (f *Folder) Pits() (pits []journal.Pit, problems []journal.Problem) {
	entries, err := os.ReadDir(f.full(pitsDir))
	if err != nil {
		return nil, nil
	}
	for _, e := range entries {
		p := path.Join(pitsDir, e.Name())
		if !strings.HasSuffix(p, ".md") || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		data, err := f.Bytes(p)
		if err == nil {
			var pit journal.Pit
			var more []journal.Problem
			pit, more, err = cookfile.ParsePit(p, data)
			problems = append(problems, more...)
			if err == nil {
				pits = append(pits, pit)
			}
		}
		if err != nil {
			problems = append(problems, problem(p, err))
		}
	}
	return pits, problems
}
