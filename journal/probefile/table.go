package probefile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"ashbook/journal/measure"
)

// table is how a table's columns are read.
type table struct {
	sep     byte
	comma   bool // a comma is a decimal point
	named   bool // the first line has the columns' names
	names   []string
	cells   int
	clock   []int // columns of the time, to be joined by a space; none: use the time a row arrives
	columns []column
	said    []Column
}

// column is one column that is read.
type column struct {
	at    int
	name  string
	pit   bool
	piece string
	unit  Unit
}

// Column says how a column was read.
type Column struct {
	Name    string // name in the table, or "column 3"
	As      string // "time", "pit", "core large"; "" if left out
	Unit    string // "°C" or "°F"; "" for a time
	Guessed bool
	Assumed bool // the unit is the journal's, since nothing named one
}

// newTable reads the first line.
func newTable(line string, opt Options) (*table, error) {
	t := &table{sep: ','}
	for _, sep := range []byte{'\t', ';'} {
		if strings.IndexByte(line, sep) >= 0 {
			t.sep, t.comma = sep, true
			break
		}
	}
	t.named = true
	for _, c := range t.split([]byte(line)) {
		name := string(c.text)
		t.names = append(t.names, name)
		if _, _, ok := number(c.text, true); ok || len(name) > 0 && unicode.IsDigit(rune(name[0])) && strings.ContainsAny(name, ":-/.") {
			t.named = false
		}
	}
	t.cells = len(t.names)
	if !t.named {
		for i := range t.names {
			t.names[i] = "column " + strconv.Itoa(i+1)
		}
	}
	m := mapping{table: t, opt: opt, used: map[int]string{}, guessed: map[int]bool{}}
	if err := m.find(line); err != nil {
		return nil, err
	}
	for i, name := range t.names {
		c := Column{Name: name, As: m.used[i], Guessed: m.guessed[i]}
		for _, k := range t.columns {
			if k.at == i {
				c.Unit = k.unit.String()
				c.Assumed = opt.Unit == Unsaid && unitOf(name) == Unsaid
			}
		}
		t.said = append(t.said, c)
	}
	return t, nil
}

// mapping finds out which column is which.
type mapping struct {
	*table
	opt     Options
	used    map[int]string
	guessed map[int]bool
}

func (m *mapping) find(line string) error {
	if err := m.findTime(line); err != nil {
		return err
	}
	if err := m.findPit(); err != nil {
		return err
	}
	if err := m.findCores(); err != nil {
		return err
	}
	if len(m.columns) == 0 {
		return fmt.Errorf("no column of a pit or a core in %s", m.list())
	}
	return nil
}

// list returns the names of the columns for a message.
func (m *mapping) list() string {
	var out []string
	for _, n := range m.names[:min(len(m.names), 12)] {
		out = append(out, strconv.Quote(string(cut([]byte(n)))))
	}
	return strings.Join(out, ", ")
}

// byName finds a column by its name or its number.
func (m *mapping) byName(what, name string) (int, error) {
	at := slices.IndexFunc(m.names, func(n string) bool { return strings.EqualFold(n, strings.TrimSpace(name)) })
	if at < 0 {
		n, err := strconv.Atoi(name)
		if err != nil || n < 1 || n > len(m.names) {
			return 0, fmt.Errorf("%s %q: no such column; there are %s", what, name, m.list())
		}
		at = n - 1
	}
	if as := m.used[at]; as != "" {
		return 0, fmt.Errorf("%s %q: that column is the %s already", what, name, as)
	}
	return at, nil
}

// free returns the columns without a meaning yet for which pass is true.
func (m *mapping) free(pass func(name string) bool) []int {
	var out []int
	for i, n := range m.names {
		if m.used[i] == "" && pass(n) {
			out = append(out, i)
		}
	}
	return out
}

func (m *mapping) unclear(what string, found []int) error {
	var names []string
	for _, i := range found {
		names = append(names, strconv.Quote(m.names[i]))
	}
	return fmt.Errorf("%s could each be the %s", strings.Join(names, " and "), what)
}

func (m *mapping) findTime(line string) error {
	use := func(i int, guessed bool) {
		m.clock = append(m.clock, i)
		m.used[i], m.guessed[i] = "time", guessed
	}
	if m.opt.Time != "" {
		names := []string{m.opt.Time}
		if _, err := m.byName("time", m.opt.Time); err != nil {
			names = strings.Split(m.opt.Time, "+")
		}
		for _, n := range names {
			i, err := m.byName("time", n)
			if err != nil {
				return err
			}
			use(i, false)
		}
		return nil
	}
	var found []int
	if m.named {
		found = m.free(func(n string) bool {
			return has(n, "time", "date", "datetime", "timestamp", "elapsed", "epoch", "clock", "seconds")
		})
		if date := m.free(func(n string) bool { return strings.EqualFold(n, "date") }); len(found) == 2 && len(date) == 1 {
			if found[0] != date[0] {
				slices.Reverse(found)
			}
			use(found[0], true)
			use(found[1], true)
			return nil
		}
	} else if _, _, plain := number(m.split([]byte(line))[0].text, true); !plain || !m.opt.Live {
		found = []int{0}
	}
	switch {
	case len(found) == 1:
		use(found[0], true)
		return nil
	case len(found) > 1:
		return m.unclear("time", found)
	case m.opt.Live:
		return nil
	}
	return fmt.Errorf("no column of times in %s", m.list())
}

func (m *mapping) findPit() error {
	guessed := m.opt.Pit == ""
	at := -1
	switch {
	case !guessed:
		var err error
		if at, err = m.byName("pit", m.opt.Pit); err != nil {
			return err
		}
	case !m.named && len(m.opt.Cores) == 0:
		if found := m.free(func(string) bool { return true }); len(found) > 0 {
			at = found[0]
		}
	case m.named:
		found := m.free(func(n string) bool {
			return has(n, "pit", "grate", "chamber", "smoker", "cooker", "grill", "oven") && !m.isCore(n)
		})
		if len(found) > 1 {
			return m.unclear("pit", found)
		}
		if len(found) == 1 {
			at = found[0]
		}
	}
	if at >= 0 {
		m.read(column{at: at, pit: true}, "pit", guessed)
	}
	return nil
}

func (m *mapping) read(c column, as string, guessed bool) {
	c.name, c.unit = m.names[c.at], m.unit(m.names[c.at])
	m.columns = append(m.columns, c)
	m.used[c.at], m.guessed[c.at] = as, guessed
}

func (m *mapping) isCore(name string) bool {
	return has(name, "core", "meat", "internal") || m.pieceIn(name) != ""
}

// pieceIn returns the piece whose name is in a column's name; "" if none or several
// are.
func (m *mapping) pieceIn(name string) string {
	found := ""
	for _, p := range m.opt.Pieces {
		if w := words(p); len(w) > 0 && !slices.ContainsFunc(w, func(w string) bool { return !has(name, w) }) {
			if found != "" {
				return ""
			}
			found = p
		}
	}
	return found
}

func (m *mapping) findCores() error {
	taken := map[string]string{}
	put := func(at int, piece string, guessed bool) error {
		if len(m.opt.Pieces) < 2 {
			piece = ""
		}
		if before, twice := taken[piece]; twice {
			return fmt.Errorf("%q and %q could each be the %s", before, m.names[at], coreOf(piece))
		}
		taken[piece] = m.names[at]
		m.read(column{at: at, piece: piece}, coreOf(piece), guessed)
		return nil
	}
	for _, c := range m.opt.Cores {
		piece := c.Piece
		if len(m.opt.Pieces) > 1 {
			i := slices.IndexFunc(m.opt.Pieces, func(p string) bool { return strings.EqualFold(p, piece) })
			if i < 0 {
				return fmt.Errorf("core %q: expected with one of the pieces %s", pieceFlag(piece)+c.Column, strings.Join(m.opt.Pieces, ", "))
			}
			piece = m.opt.Pieces[i]
		}
		at, err := m.byName("core", c.Column)
		if err == nil {
			err = put(at, piece, false)
		}
		if err != nil {
			return err
		}
	}
	if len(m.opt.Cores) > 0 {
		return nil
	}
	if !m.named {
		for i, at := range m.free(func(string) bool { return true }) {
			if i < max(1, len(m.opt.Pieces)) {
				piece := ""
				if i < len(m.opt.Pieces) {
					piece = m.opt.Pieces[i]
				}
				if err := put(at, piece, true); err != nil {
					return err
				}
			}
		}
		return nil
	}
	for _, at := range m.free(m.isCore) {
		piece := m.pieceIn(m.names[at])
		if piece == "" && len(m.opt.Pieces) > 1 {
			return fmt.Errorf("%q is the core of one of the pieces %s; it does not say which", m.names[at], strings.Join(m.opt.Pieces, ", "))
		}
		if err := put(at, piece, true); err != nil {
			return err
		}
	}
	return nil
}

func coreOf(piece string) string { return strings.TrimSpace("core " + piece) }

func pieceFlag(piece string) string {
	if piece == "" {
		return ""
	}
	return piece + "="
}

func (m *mapping) unit(name string) Unit {
	switch u := unitOf(name); {
	case m.opt.Unit != Unsaid:
		return m.opt.Unit
	case u != Unsaid:
		return u
	case m.opt.Units == measure.US:
		return Fahrenheit
	}
	return Celsius
}

// unitOf returns the unit at the end of a column's name: "pit_c", "Pit (°F)", "core
// degC".
func unitOf(name string) Unit {
	s := strings.TrimRight(strings.ToLower(name), " )]")
	for word, u := range map[string]Unit{"celsius": Celsius, "fahrenheit": Fahrenheit} {
		if strings.HasSuffix(s, word) {
			return u
		}
	}
	u := Unsaid
	switch {
	case strings.HasSuffix(s, "c"):
		u = Celsius
	case strings.HasSuffix(s, "f"):
		u = Fahrenheit
	default:
		return Unsaid
	}
	s = s[:len(s)-1]
	for _, before := range []string{"°", "º", "_", " ", "(", "[", "/", "deg", "."} {
		if strings.HasSuffix(s, before) {
			return u
		}
	}
	return Unsaid
}

// has reports whether any of the words is in a name.
func has(name string, any ...string) bool {
	in := words(name)
	return slices.ContainsFunc(any, func(w string) bool { return slices.Contains(in, w) })
}

// words returns the words of a name in lower case.
func words(name string) []string {
	return strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// ParseUnit parses "c" or "f".
func ParseUnit(s string) (Unit, error) {
	switch strings.ToLower(strings.Trim(s, "° ")) {
	case "":
		return Unsaid, nil
	case "c":
		return Celsius, nil
	case "f":
		return Fahrenheit, nil
	}
	return Unsaid, fmt.Errorf("%q: expected c or f", s)
}
