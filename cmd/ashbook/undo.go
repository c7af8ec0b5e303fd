package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
)

// versionsBack is how many versions of a cook are looked through for the entry
// written last: more than a long night's.
const versionsBack = 200

// undoLast takes back the entry that was written last and still stands, which
// for a back-dated line is not the last in time. typed holds the lines this run
// has written, oldest first; before those, history tells.
func undoLast(j *folder.Folder, id string, typed []string) (kept, error) {
	var line string
	find := func(f cookfile.File) (int, error) {
		if len(f.Cook.Entries) == 0 {
			return 0, fmt.Errorf("cook %q: there is no entry to take back", id)
		}
		at := slices.Index(timelineLines(f), line)
		if at < 0 {
			at = len(f.Cook.Entries) - 1
		}
		return at, nil
	}
	f, err := j.Load(id)
	if err != nil {
		return kept{}, err
	}
	line = lastWritten(j, f, typed)
	at, err := find(f)
	if err != nil {
		return kept{}, err
	}
	gone := f.Cook.Entries[at]
	file, err := j.Edit(id, func(f cookfile.File) (cookfile.File, error) {
		at, err := find(f)
		if err != nil {
			return cookfile.File{}, err
		}
		gone = f.Cook.Entries[at]
		return f.RemoveEntry(at)
	}, id+": taken back: "+clock(gone))
	if err != nil {
		return kept{}, err
	}
	return kept{understood: clock(gone), line: gone.String(), undone: true, file: file}, nil
}

// clock prints an entry as it is spoken of: "01:04 pit 104 °C, vent".
func clock(e journal.Entry) string { return e.Time.Format("15:04") + " " + e.Body() }

// timelineLines returns the line of the file behind each entry.
func timelineLines(f cookfile.File) []string {
	lines := bytes.Split(f.Bytes(), []byte("\n"))
	out := make([]string, len(f.Cook.Entries))
	for i, e := range f.Cook.Entries {
		out[i] = strings.TrimRight(string(lines[e.Line-1]), "\r")
	}
	return out
}

// lastWritten returns the line of the entry written last that still stands; ""
// when nothing tells which it was.
func lastWritten(j *folder.Folder, f cookfile.File, typed []string) string {
	stands := timelineLines(f)
	for _, l := range slices.Backward(typed) {
		if slices.Contains(stands, l) {
			return l
		}
	}
	repo := j.History()
	if repo == nil {
		return ""
	}
	path := folder.Path(f.Cook.ID)
	versions, err := repo.Versions(path, versionsBack)
	if err != nil {
		return ""
	}
	newer := stands
	for _, v := range versions {
		data, err := repo.At(v.Hash, path)
		if err != nil {
			return ""
		}
		older := strings.Split(strings.ReplaceAll(string(data), "\r\n", "\n"), "\n")
		for _, l := range slices.Backward(newer) {
			if slices.Contains(stands, l) && !slices.Contains(older, l) {
				return l
			}
		}
		newer = older
	}
	return ""
}
