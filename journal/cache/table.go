package cache

import (
	"maps"
	"path/filepath"
	"slices"
	"sync"

	"ashbook/journal/packed"
)

// Table stores thousands of small answers in one file. It has those of the file and
// those of this run. Save drops the ones that were not asked for in this run. The nil
// Table stores nothing. Several goroutines may use it.
type Table struct {
	file string
	from string

	mutex sync.Mutex
	known map[string]string // the answers in the file
	asked map[string]string
	fresh bool // there are answers that the file lacks
}

// mostTables is the largest size of all tables, in bytes (chosen: those of ten journals
// of 10,000 cooks).
const mostTables = 100 << 20

// Table opens a table by name. All its answers depend on from, as in Of: if from has
// changed, the table is empty.
func (c *Cache) Table(name string, from ...any) *Table {
	if c == nil {
		return nil
	}
	t := &Table{
		file:  filepath.Join(c.dir, "tables", Sum(name)),
		from:  Sum(c.build, name, from),
		asked: map[string]string{},
	}
	if data, ok := read(t.file); ok {
		t.known = t.unpack(string(data))
	}
	return t
}

// unpack returns the answers of a file; none if it was made with another from.
func (t *Table) unpack(text string) map[string]string {
	c := packed.Reading(text)
	var from string
	var n int
	if c.String(&from); from != t.from {
		return nil
	}
	c.Length(&n)
	all := make(map[string]string, n)
	for range n {
		var of, answer string
		c.String(&of)
		c.String(&answer)
		all[of] = answer
	}
	if !c.Done() {
		return nil
	}
	return all
}

// Get returns the answer for a thing, given by a hash or a stamp of it.
func (t *Table) Get(of string) (answer string, ok bool) {
	if t == nil || of == "" {
		return "", false
	}
	t.mutex.Lock()
	defer t.mutex.Unlock()
	if answer, ok = t.asked[of]; ok {
		return answer, true
	}
	if answer, ok = t.known[of]; ok {
		t.asked[of] = answer
	}
	return answer, ok
}

// Put stores the answer for a thing. An empty answer is not stored.
func (t *Table) Put(of, answer string) {
	if t == nil || of == "" {
		return
	}
	t.mutex.Lock()
	defer t.mutex.Unlock()
	t.asked[of], t.fresh = answer, true
}

// Save replaces the file if its answers have changed. A failure is not reported, since
// the answers can be computed again.
func (t *Table) Save() {
	if t == nil {
		return
	}
	t.mutex.Lock()
	defer t.mutex.Unlock()
	if !t.fresh && len(t.asked) == len(t.known) {
		return
	}
	c := packed.Writing(nil)
	n := len(t.asked)
	c.String(&t.from)
	c.Length(&n)
	for _, of := range slices.Sorted(maps.Keys(t.asked)) {
		answer := t.asked[of]
		c.String(&of)
		c.String(&answer)
	}
	write(t.file, c.Bytes(), mostTables)
	t.known, t.fresh = t.asked, false
}
