package frame

import (
	"sync"
	"time"

	"ashbook/journal"
	"ashbook/journal/packed"
)

// Cook is one cook as comparisons see it: who it is, and its columns. What a column
// says is worked out once, or was when the cook was packed; the timeline, which takes
// far more room, need not be at hand. It must not change, and may be used from several
// goroutines.
type Cook struct {
	ID, Name string
	Cut, Pit string
	Change   string    // what to do differently next time
	Date     time.Time // the day it belongs to
	Off      time.Time // the last piece came off; zero: it did not
	Tasting  []journal.Taste

	took  time.Duration
	began bool // and ended, so that took is known

	kept    *Kept
	known   []bool    // by column of kept
	words   []string  // of those that say a word
	numbers []float64 // of the others
	whole   func() *journal.Cook

	mutex sync.Mutex
	more  map[string]Value // of other columns, as they are asked for
}

// Of is a cook that has been read whole.
func Of(c *journal.Cook) *Cook {
	out := &Cook{ID: c.ID, Name: c.Name(), Cut: c.Cut, Pit: c.Pit, Change: c.Change, Date: c.Date(), Tasting: c.Tasting, whole: func() *journal.Cook { return c }}
	out.Off, _ = c.Finish()
	out.took, out.began = c.Took()
	return out
}

// Cooks are cooks that have been read whole.
func Cooks(all []journal.Cook) []*Cook {
	out := make([]*Cook, len(all))
	for i := range all {
		out[i] = Of(&all[i])
	}
	return out
}

// Took is the time from the first piece on to the last piece off.
func (c *Cook) Took() (time.Duration, bool) { return c.took, c.began }

// Whole is the cook with its timeline, read if need be; nil where it cannot be read any
// more.
func (c *Cook) Whole() *journal.Cook { return c.whole() }

// Of returns what a column says of the cook. Columns of one name are the same.
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

// Kept are the columns that are packed with a cook.
type Kept struct {
	columns        []Column
	at             map[string]place
	words, numbers int // how many columns say a word, and how many a number
}

// place is where a column stands among the kept ones, and among those that say a word
// or those that say a number.
type place struct {
	column, in int
	word       bool
}

// Keep returns Columns and more of the kind, each of a name of its own.
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

// Pack writes or reads a cook with what the kept columns say of it: all that Of needs
// for them afterwards. whole reads the cook again, for other columns.
func (k *Kept) Pack(p *packed.Codec, c *Cook, whole func() *journal.Cook) {
	for _, text := range [...]*string{&c.ID, &c.Name, &c.Cut, &c.Pit, &c.Change} {
		p.String(text)
	}
	p.Time(&c.Date)
	p.Time(&c.Off)
	p.Bool(&c.began)
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
