package store

import (
	"fmt"
	"slices"
	"strings"

	"ashbook/journal/history"
)

// commit commits the saves in the pending file: first each version that another program
// saved, in a commit of its own, then our saves in one commit, whose message has a line
// for each. If commits must wait, the records stay.
func (d *tx) commit() error {
	var paths []string
	held := d.held()
	for _, r := range d.recent {
		if d.guards(r.when) && !held[r.path] && !slices.Contains(paths, r.path) {
			paths = append(paths, r.path)
		}
	}
	for _, n := range d.notes {
		if !held[n.Path] && !slices.Contains(paths, n.Path) {
			paths = append(paths, n.Path)
		}
	}
	var last []history.Change
	d.waiting = ""
	for _, path := range paths {
		waits := func() bool {
			return slices.ContainsFunc(d.notes, func(n record) bool { return n.Path == path && !n.Done })
		}
		before := waits()
		d.committedByHand(path) // or we committed it before a crash, so the index may be older
		data, err := d.restore(path)
		if err != nil {
			if held[path] = true; before {
				d.waiting = reason(path, err)
			} else {
				d.tell(err.Error())
			}
			continue
		}
		if before || waits() {
			last = append(last, history.Change{Path: path, Data: data, Remove: data == nil})
		}
	}
	if len(last) == 0 {
		d.repair(d.rewrite)
		return nil
	}
	var messages []string
	put := func(messages []string, changes ...history.Change) error {
		_, err := d.repo.Commit(batch(messages), d.opt.Now(), changes...)
		if err != nil {
			d.waiting = history.Reason(err)
		}
		return err
	}
	for i, n := range d.notes {
		if n.Done || held[n.Path] {
			continue
		}
		if n.Data == nil {
			if n.Message != "" {
				messages = append(messages, n.Message)
			}
			continue
		}
		own := []string{n.Message}
		if !n.Theirs {
			own, messages = messages, nil
		} else if _, lost := apply(linesOf(d.before(i)), nil, n.Data); lost == 0 && len(messages) > 0 {
			own, messages = append(messages, n.Message), nil
		}
		if err := put(own, history.Change{Path: n.Path, Data: n.Data}); err != nil {
			d.repair(d.rewrite)
			return nil
		}
		d.done(i)
	}
	if err := put(messages, last...); err != nil {
		d.repair(d.rewrite)
		return nil
	}
	for i, n := range d.notes {
		if !held[n.Path] {
			d.done(i)
		}
	}
	d.repair(d.rewrite)
	return nil
}

// before returns our uncommitted saves of the same file that come before record i.
func (d *tx) before(i int) []record {
	var out []record
	for _, n := range d.notes[:i] {
		if n.Path == d.notes[i].Path && !n.Done && !n.Theirs {
			out = append(out, n)
		}
	}
	return out
}

// batch joins the messages of several saves into one commit message.
func batch(messages []string) string {
	switch len(messages) {
	case 0:
		return ""
	case 1:
		return messages[0]
	}
	name, _, same := strings.Cut(messages[0], ": ")
	for _, m := range messages[1:] {
		same = same && strings.HasPrefix(m, name+": ")
	}
	head := fmt.Sprintf("%d entries", len(messages))
	if same {
		head = name + ": " + head
	}
	return head + "\n\n" + strings.Join(messages, "\n")
}
