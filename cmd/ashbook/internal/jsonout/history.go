package jsonout

import (
	"ashbook/journal/cookfile"
	"ashbook/report"
)

// Version is one version of a cook.
type Version struct {
	N    int    `json:"n"`
	Time string `json:"time"`
	Who  string `json:"who"`
	What string `json:"what"`
	Gone bool   `json:"gone"`
}

// Change is one entry as it was and as it is.
type Change struct {
	Was string `json:"was,omitempty"`
	Is  string `json:"is,omitempty"`
}

// History is the output of history.
type History struct {
	Cook     string    `json:"cook"`
	Versions []Version `json:"versions"`
}

// VersionDetail is the output of history --at.
type VersionDetail struct {
	Cook    string   `json:"cook"`
	Version Version  `json:"version"`
	Changed []Change `json:"changed"`
	Back    []Change `json:"back"`
}

// HistoryOf converts a cook's versions.
func HistoryOf(id string, told []report.Version) History {
	out := History{id, []Version{}}
	for _, v := range told {
		out.Versions = append(out.Versions, versionOf(v))
	}
	return out
}

func versionOf(v report.Version) Version {
	return Version{v.N, Time(v.When), v.Who, v.What, v.Gone}
}

func changesOf(changes []cookfile.Change) []Change {
	out := []Change{}
	for _, c := range changes {
		out = append(out, Change{c.Was, c.Is})
	}
	return out
}

// VersionDetailOf converts one version: what it changed, and what bringing it back
// would change.
func VersionDetailOf(id string, v report.Version, changed, back []cookfile.Change) VersionDetail {
	return VersionDetail{id, versionOf(v), changesOf(changed), changesOf(back)}
}

// Brought is the output of history --bring.
type Brought struct {
	Cook    string  `json:"cook"`
	Brought Version `json:"brought"`
}

// BroughtOf converts the version brought back.
func BroughtOf(id string, v report.Version) Brought { return Brought{id, versionOf(v)} }
