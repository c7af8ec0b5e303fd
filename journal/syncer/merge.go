package syncer

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"

	"ashbook/journal/cookfile"
	"ashbook/journal/history"
	"ashbook/journal/merge"
)

// Conflict is a conflict in a file: a place that both sides changed.
type Conflict struct {
	Path string // of the file, below the journal's folder
	merge.Conflict
}

// merging merges two histories in memory.
type merging struct {
	ctx       context.Context
	o         *history.Objects
	conflicts []Conflict
	opt       cookfile.Options
}

// errUnrelated means that the two histories have no common commit.
var errUnrelated = errors.New("the remote has another journal: it has no version in common with this one")

// outcome is the result of the merge for one file. If it is nil, the file is deleted.
type outcome struct {
	data []byte
	hash string // hash of data, if a repository already has that
}

// join merges two histories and returns the changes to the first one's files.
func (m *merging) join(ours, theirs string) ([]history.Change, error) {
	bases, err := m.o.Bases(ours, theirs)
	if err != nil {
		return nil, err
	}
	if len(bases) == 0 {
		return nil, errUnrelated
	}
	base, err := m.base(bases)
	if err != nil {
		return nil, err
	}
	m.conflicts = nil
	return m.changes(base, ours, theirs)
}

// changes merges two commits that have the tree base in common.
func (m *merging) changes(base, ours, theirs string) ([]history.Change, error) {
	a, err := m.o.Tree(ours)
	if err != nil {
		return nil, err
	}
	b, err := m.o.Tree(theirs)
	if err != nil {
		return nil, err
	}
	all, err := m.trees(base, a, b, authors{m.o, ours}, authors{m.o, theirs})
	if err != nil {
		return nil, err
	}
	var changes []history.Change
	for _, p := range slices.Sorted(maps.Keys(all)) {
		was, err := m.o.FileIn(a, p)
		if err != nil {
			return nil, err
		}
		switch out := all[p]; {
		case out == nil && was != "":
			changes = append(changes, history.Change{Path: p, Remove: true})
		case out != nil && history.Sum(out.data) != was:
			changes = append(changes, history.Change{Path: p, Data: out.data, Hash: out.hash})
		}
	}
	return changes, nil
}

// base merges several common ancestors into one tree, one after the other.
func (m *merging) base(bases []string) (string, error) {
	tree, err := m.o.Tree(bases[0])
	for i := 1; i < len(bases) && err == nil; i++ {
		var other, under string
		var older []string
		if other, err = m.o.Tree(bases[i]); err != nil {
			break
		}
		if older, err = m.o.Bases(bases[0], bases[i]); err != nil {
			break
		}
		if len(older) > 0 {
			if under, err = m.base(older); err != nil {
				break
			}
		}
		var all map[string]*outcome
		if all, err = m.trees(under, tree, other, authors{o: m.o}, authors{o: m.o}); err != nil {
			break
		}
		files := map[string][]byte{}
		for p, out := range all {
			files[p] = nil
			if out != nil {
				files[p] = out.data
			}
		}
		tree, err = m.o.Imagine(tree, files)
	}
	return tree, err
}

// trees merges trees a and b, whose common ancestor is the tree base. It returns the
// outcome for each file that changes in a, and for some that do not.
func (m *merging) trees(base, a, b string, byA, byB authors) (map[string]*outcome, error) {
	inA, err := m.o.Diff(base, a)
	if err != nil {
		return nil, err
	}
	inB, err := m.o.Diff(base, b)
	if err != nil {
		return nil, err
	}
	moved, err := m.follow(inA, inB)
	if err != nil {
		return nil, err
	}
	own, err := m.o.FileIn(a, settings)
	if err != nil {
		return nil, err
	}
	if own != "" {
		text, err := m.o.Bytes(own)
		if err != nil {
			return nil, err
		}
		m.opt.Settings, _, _ = cookfile.ParseSettings(settings, text)
	}
	out := map[string]*outcome{}
	paths := slices.AppendSeq(moved, maps.Keys(inB))
	slices.SortFunc(paths, inOrder)
	for _, p := range slices.Compact(paths) {
		if err := m.ctx.Err(); err != nil {
			return nil, err
		}
		x, changedA := inA[p]
		y, changedB := inB[p]
		if !changedA {
			x = history.Differs{Was: y.Was, Is: y.Was}
		}
		if !changedB {
			y = history.Differs{Was: x.Was, Is: x.Was}
		}
		if out[p], err = m.file(p, x.Was, x.Is, y.Is, byA, byB); err != nil {
			return nil, err
		}
		if p == settings && out[p] != nil {
			m.opt.Settings, _, _ = cookfile.ParseSettings(p, out[p].data)
		}
	}
	return out, nil
}

const settings = "journal.md"

// inOrder sorts the journal's settings first, since cooks are read with them.
func inOrder(a, b string) int {
	if (a == settings) != (b == settings) {
		if a == settings {
			return -1
		}
		return 1
	}
	return strings.Compare(a, b)
}

// file merges one file.
func (m *merging) file(p string, base, a, b history.Entry, byA, byB authors) (*outcome, error) {
	kept := func(e history.Entry) (*outcome, error) {
		if e.Hash == "" {
			return nil, nil
		}
		data, err := m.o.Bytes(e.Hash)
		return &outcome{data, e.Hash}, err
	}
	switch {
	case a == b, b == base:
		return kept(a)
	case a == base:
		return kept(b)
	case a.Hash == "" || b.Hash == "":
		stays, gone := a, byB
		if a.Hash == "" {
			stays, gone = b, byA
		}
		by, at := gone.since(p, func(blob string) bool { return blob == "" })
		m.conflicts = append(m.conflicts, Conflict{p, merge.Conflict{Key: []string{"file"}, Kept: path.Base(p), Other: "removed", By: by, At: at}})
		return kept(stays)
	case !a.Mode.IsFile() || !b.Mode.IsFile() || base.Hash != "" && !base.Mode.IsFile():
		return nil, fmt.Errorf("%s: it is not a file on one side; settle this with git itself", p)
	}
	var was []byte
	if base.Hash != "" {
		var err error
		if was, err = m.o.Bytes(base.Hash); err != nil {
			return nil, err
		}
		if was == nil {
			was = []byte{}
		}
	}
	va, err := byA.version(p, a)
	if err != nil {
		return nil, err
	}
	vb, err := byB.version(p, b)
	if err != nil {
		return nil, err
	}
	if binary(va.Text) || binary(vb.Text) {
		return m.binary(p, a, b, va, vb), nil
	}
	text, conflicts := merge.File(p, was, va, vb, m.opt)
	for _, t := range conflicts {
		m.conflicts = append(m.conflicts, Conflict{p, t})
	}
	out := &outcome{data: text}
	for _, e := range []history.Entry{a, b} {
		if e.Hash == history.Sum(text) {
			out.hash = e.Hash
		}
	}
	return out, nil
}

func binary(text []byte) bool { return bytes.IndexByte(text, 0) >= 0 }

// binary keeps the later of two versions of a file without lines, such as a picture.
// The other stays in history.
func (m *merging) binary(p string, a, b history.Entry, va, vb merge.Version) *outcome {
	if vb.At.After(va.At) || vb.At.Equal(va.At) && b.Hash > a.Hash {
		a, va, vb = b, vb, va
	}
	m.conflicts = append(m.conflicts, Conflict{p, merge.Conflict{Key: []string{"file"}, Kept: "the later version", Other: "another version, which is in history", By: vb.By, At: vb.At}})
	return &outcome{va.Text, a.Hash}
}

// follow applies the renames of each side to the changes of the other side. It returns
// the paths that this changed.
func (m *merging) follow(inA, inB map[string]history.Differs) (moved []string, err error) {
	ra, err := m.renames(inA, inB)
	if err != nil {
		return nil, err
	}
	rb, err := m.renames(inB, inA)
	if err != nil {
		return nil, err
	}
	for _, old := range slices.Sorted(maps.Keys(ra)) {
		name := ra[old]
		if other, both := rb[old]; both { // both sides renamed it: keep the name that sorts first
			to := min(name, other)
			rename(inA, old, name, to)
			rename(inB, old, other, to)
			moved = append(moved, name, other)
		} else if carry(inB, inA, old, name) {
			moved = append(moved, old, name)
		}
	}
	for _, old := range slices.Sorted(maps.Keys(rb)) {
		if _, both := ra[old]; !both && carry(inA, inB, old, rb[old]) {
			moved = append(moved, old, rb[old])
		}
	}
	return moved, nil
}

// rename changes the name that one side gave to a file it renamed.
func rename(in map[string]history.Differs, old, name, to string) {
	is := in[name].Is
	in[name] = history.Differs{}
	in[to] = history.Differs{Was: in[old].Was, Is: is}
}

// carry moves one side's change of a file to the name that the other side gave it.
func carry(in, renamed map[string]history.Differs, old, name string) bool {
	changed, there := in[old]
	if _, taken := in[name]; !there || changed.Is.Hash == "" || taken {
		return false
	}
	in[name] = changed
	delete(in, old)
	renamed[name] = history.Differs{Was: changed.Was, Is: renamed[name].Is}
	return true
}

// renames returns the new names of files that one side deleted and the other changed:
// the added file of the same kind with the most lines in common, and at least half.
func (m *merging) renames(in, other map[string]history.Differs) (map[string]string, error) {
	out := map[string]string{}
	taken := map[string]bool{}
	for _, old := range slices.Sorted(maps.Keys(in)) {
		if d := in[old]; d.Is.Hash != "" || other[old] == (history.Differs{}) {
			continue
		}
		was, err := m.o.Bytes(in[old].Was.Hash)
		if err != nil {
			return nil, err
		}
		best, most := "", 0.5
		for _, name := range slices.Sorted(maps.Keys(in)) {
			if d := in[name]; d.Was.Hash != "" || d.Is.Hash == "" || taken[name] || path.Ext(name) != path.Ext(old) {
				continue
			}
			is, err := m.o.Bytes(in[name].Is.Hash)
			if err != nil {
				return nil, err
			}
			if s := alike(was, is); s >= most && (s > most || best == "") {
				best, most = name, s
			}
		}
		if best != "" {
			out[old], taken[best] = best, true
		}
	}
	return out, nil
}

// alike returns the share, 0 to 1, of the longer text's lines that the other text also
// has.
func alike(a, b []byte) float64 {
	left := map[string]int{}
	n, k, same := 0, 0, 0
	for l := range bytes.Lines(a) {
		left[string(l)]++
		n++
	}
	for l := range bytes.Lines(b) {
		k++
		if left[string(l)] > 0 {
			left[string(l)]--
			same++
		}
	}
	return float64(same) / float64(max(n, k, 1))
}
