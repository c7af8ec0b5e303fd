package jsonout

import (
	"strings"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal/history"
	"ashbook/journal/syncer"
)

// SyncCommit is a commit that was received or sent.
type SyncCommit struct {
	Hash string `json:"hash"`
	Who  string `json:"who"`
	Time string `json:"time"`
	What string `json:"what"`
}

// SyncConflict is a conflict: a place that two people changed.
type SyncConflict struct {
	File   string   `json:"file"`
	Key    []string `json:"key,omitempty"`
	Stands string   `json:"stands"`
	Other  string   `json:"other"`
	By     string   `json:"by,omitempty"`
	Time   string   `json:"time,omitempty"`
}

// Sync is the output of sync.
type Sync struct {
	Remote    string         `json:"remote"`
	Way       string         `json:"way"`
	Received  []SyncCommit   `json:"received"`
	Sent      []SyncCommit   `json:"sent"`
	Conflicts []SyncConflict `json:"told"`
	Tries     int            `json:"tries"`
	NotSent   int            `json:"not_sent"`
	Heard     string         `json:"last_heard,omitempty"`
	Problem   string         `json:"problem,omitempty"`
	DryRun    bool           `json:"dry_run"`
}

// SyncOf converts a sync and the remote's state after it.
func SyncOf(s app.Synced, state syncer.State, dry bool) Sync {
	out := Sync{Remote: s.Remote, Way: s.Way, Received: commits(s.Received), Sent: commits(s.Sent), Conflicts: []SyncConflict{},
		Tries: s.Tries, NotSent: state.NotSent, Problem: s.Problem, DryRun: dry}
	if !state.LastHeard.IsZero() {
		out.Heard = Time(state.LastHeard)
	}
	for _, t := range s.Conflicts {
		conflict := SyncConflict{File: t.Path, Key: t.Key, Stands: t.Kept, Other: t.Other, By: t.By}
		if !t.At.IsZero() {
			conflict.Time = Time(t.At)
		}
		out.Conflicts = append(out.Conflicts, conflict)
	}
	return out
}

func commits(made []history.Made) []SyncCommit {
	out := []SyncCommit{}
	for _, m := range made {
		if !m.Merge {
			what, _, _ := strings.Cut(m.Message, "\n")
			out = append(out, SyncCommit{m.Hash, m.Who, Time(m.When), what})
		}
	}
	return out
}
