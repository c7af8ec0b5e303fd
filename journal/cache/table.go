package cache

import (
	"maps"
	"path/filepath"
	"slices"
	"sync"

	"ashbook/journal/packed"
)

// Table keeps thousands of small results in one file. It holds the results asked for in
// this run and the other ones in the file until Save, which drops those that nobody asked
// for. The nil Table keeps nothing. Several goroutines may use it.
type Table struct {
	file string
	from string

	mutex sync.Mutex
	known map[string]string // as the file has it
	asked map[string]string
	fresh bool // something is asked that the file has not
}

// mostTables is how many bytes all tables take (chosen: those of ten journals of 10,000
// cooks).
const mostTables = 100 << 20

// Table opens the table of a name. All its answers depend on from, as those of Of do:
// where that has changed they are gone.
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

// unpack returns the answers of a file; none where it was made from something else.
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

// Get returns the answer for a thing, named by a hash or a stamp of it.
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

// Put keeps the answer for a thing; "" names none.
func (t *Table) Put(of, answer string) {
	if t == nil || of == "" {
		return
	}
	t.mutex.Lock()
	defer t.mutex.Unlock()
	t.asked[of], t.fresh = answer, true
}

// Save replaces the file by the answers that were asked for or put, where it is not
// the same. That it cannot is no error: they are worked out again.
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
