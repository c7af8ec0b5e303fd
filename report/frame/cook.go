package frame

import (
	"sync"
	"time"

	"ashbook/journal"
	"ashbook/journal/packed"
)

// Cook holds one cook for comparison: its identity and the values of its columns. Values
// are worked out once, or read from a cache; the timeline, which needs far more memory,
// may be absent. A Cook is safe for concurrent use and must not be changed.
type Cook struct {
	ID, Name string
	Cut, Pit string
	Change   string    // what to do differently next time
	Date     time.Time // the day it belongs to
	Off      time.Time // when the last piece came off; zero: not yet
	Tasting  []journal.Taste

	took  time.Duration
	ended bool // took is known

	kept    *Kept
	known   []bool    // one for each column of kept
	words   []string  // values of the word columns of kept
	numbers []float64 // values of the other columns of kept
	whole   func() *journal.Cook

	mutex sync.Mutex
	more  map[string]Value // values of columns not in kept, by name
}

// Of returns the cook c as columns.
func Of(c *journal.Cook) *Cook {
	out := &Cook{ID: c.ID, Name: c.Name(), Cut: c.Cut, Pit: c.Pit, Change: c.Change, Date: c.Date(), Tasting: c.Tasting, whole: func() *journal.Cook { return c }}
	out.Off, _ = c.Finish()
	out.took, out.ended = c.Took()
	return out
}

// Cooks returns the Cooks of all.
func Cooks(all []journal.Cook) []*Cook {
	out := make([]*Cook, len(all))
	for i := range all {
		out[i] = Of(&all[i])
	}
	return out
}

// Took returns the time from the first piece on to the last piece off; ok is false if that
// is not known.
func (c *Cook) Took() (took time.Duration, ok bool) { return c.took, c.ended }

// Whole returns the cook with its timeline, reading its file if needed; nil if that fails.
func (c *Cook) Whole() *journal.Cook { return c.whole() }

// Of returns the value of a column. Columns with equal names must be equal.
func (c *Cook) Of(col Column) Value {
	if c.kept != nil {
		if at, ok := c.kept.at[col.Name]; ok {
			v := Value{Known: c.known[at.column]}
			if at.word {
				v.Word = c.words[at.in]
			} else {
				v.Number = c.numbers[at.in]
			}
			return v
		}
	}
	c.mutex.Lock()
	v, ok := c.more[col.Name]
	c.mutex.Unlock()
	if ok {
		return v
	}
	if whole := c.whole(); whole != nil {
		v = col.Of(whole)
	}
	c.mutex.Lock()
	defer c.mutex.Unlock()
	if c.more == nil {
		c.more = map[string]Value{}
	}
	c.more[col.Name] = v
	return v
}

// Kept is a list of columns whose values are stored with a cook.
type Kept struct {
	columns        []Column
	at             map[string]place
	words, numbers int // number of word columns and of other columns
}

// place is the index of a column in Kept.columns and its index in Cook.words or
// Cook.numbers.
type place struct {
	column, in int
	word       bool
}

// Keep returns a list of Columns and more; their names must differ.
func Keep(more ...Column) *Kept {
	k := &Kept{at: map[string]place{}}
	for _, list := range [][]Column{Columns, more} {
		for _, col := range list {
			at := place{column: len(k.columns), word: col.Kind == Word}
			if at.word {
				at.in, k.words = k.words, k.words+1
			} else {
				at.in, k.numbers = k.numbers, k.numbers+1
			}
			k.at[col.Name], k.columns = at, append(k.columns, col)
		}
	}
	return k
}

// Pack encodes c with its values of the kept columns, or decodes it. The function whole
// reads the cook's file, which is needed for values of other columns.
func (k *Kept) Pack(p *packed.Codec, c *Cook, whole func() *journal.Cook) {
	for _, text := range [...]*string{&c.ID, &c.Name, &c.Cut, &c.Pit, &c.Change} {
		p.String(text)
	}
	p.Time(&c.Date)
	p.Time(&c.Off)
	p.Bool(&c.ended)
	p.Int64((*int64)(&c.took))
	for i := range packed.Slice(p, &c.Tasting) {
		t := &c.Tasting[i]
		p.String(&t.Eater)
		p.String(&t.Words)
		for k := range t.Scores {
			p.Int(&t.Scores[k].Liked)
			p.Int(&t.Scores[k].Lean)
		}
	}
	known, words, numbers := make([]bool, len(k.columns)), make([]string, 0, k.words), make([]float64, 0, k.numbers)
	for i, col := range k.columns {
		var v Value
		if p.Writes() {
			v = c.Of(col)
		}
		if p.Bool(&v.Known); v.Known && col.Kind == Word {
			p.String(&v.Word)
		} else if v.Known {
			p.Float(&v.Number)
		}
		if known[i] = v.Known; col.Kind == Word {
			words = append(words, v.Word)
		} else {
			numbers = append(numbers, v.Number)
		}
	}
	c.kept, c.known, c.words, c.numbers, c.whole, c.more = k, known, words, numbers, whole, nil
}
