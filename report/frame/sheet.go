package frame

import (
	"sync"

	"ashbook/journal"
)

// Sheet keeps what columns say of cooks, which takes long to read from timelines.
// A cook is known by its address, so it must not change. The nil Sheet keeps
// nothing. It may be used from several goroutines.
type Sheet struct {
	mutex sync.Mutex
	cells map[cell]Value
}

type cell struct {
	column string
	cook   *journal.Cook
}

// Of returns col.Of(c), read once.
func (s *Sheet) Of(col Column, c *journal.Cook) Value {
	if s == nil {
		return col.Of(c)
	}
	at := cell{col.Name, c}
	s.mutex.Lock()
	v, ok := s.cells[at]
	s.mutex.Unlock()
	if ok {
		return v
	}
	v = col.Of(c)
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.cells == nil {
		s.cells = map[cell]Value{}
	}
	s.cells[at] = v
	return v
}

// Column is a column that is read through the sheet.
func (s *Sheet) Column(col Column) Column {
	of := col
	col.Of = func(c *journal.Cook) Value { return s.Of(of, c) }
	return col
}
