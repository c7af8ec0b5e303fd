package shorthand

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

var summer = time.FixedZone("", 3600)

// night is 01:05:30.
var night = time.Date(2026, 9, 19, 1, 5, 30, 0, summer)

// cook returns a cook with these pieces and timeline lines. Each line is "minutes
// before night, body".
func cook(t testing.TB, pieces []string, lines ...string) *journal.Cook {
	t.Helper()
	c := &journal.Cook{}
	for _, p := range pieces {
		c.Pieces = append(c.Pieces, journal.Piece{Name: p})
	}
	if len(pieces) == 0 {
		c.Pieces = []journal.Piece{{}}
	}
	for _, l := range lines {
		var back int
		ago, body, _ := strings.Cut(l, " ")
		if _, err := fmt.Sscan(ago, &back); err != nil {
			t.Fatal(err)
		}
		items, words, notes := journal.ParseBody(body, journal.Grammar{Pieces: c.PieceNames()})
		if len(notes) > 0 {
			t.Fatal(l, notes)
		}
		c.Entries = append(c.Entries, journal.Entry{Time: night.Truncate(time.Minute).Add(-time.Duration(back) * time.Minute), Items: items, Words: words})
	}
	journal.SortEntries(c.Entries)
	return c
}

// Three cooks: one with one piece, one with two, one close to its end.
func onePiece(t testing.TB) Context {
	return Context{Now: night, Cook: cook(t, nil, "400 lit", "300 on, pit 112 °C, core 5 °C", "60 pit 110 °C, core 68 °C, wood cherry 90 g")}
}

func twoPieces(t testing.TB) Context {
	c := cook(t, []string{"large", "small"}, "400 lit", "300 on", "40 pit 110 °C, core large 68 °C, core small 72 °C")
	c.Wood = []journal.Wood{{Kind: "beech"}}
	return Context{Now: night, Cook: c}
}

func nearTheEnd(t testing.TB) Context {
	return Context{Now: night, Cook: cook(t, nil, "700 on", "30 pit 107 °C, core 93 °C")}
}

func american(t testing.TB) Context {
	c := onePiece(t)
	c.Settings.Units = measure.US
	return c
}

// body parses a line and formats its entry as the file does, with the minutes ago in
// front unless it is now.
func body(t testing.TB, line string, ctx Context) string {
	t.Helper()
	l, err := Parse(line, ctx)
	if err != nil {
		return err.Error()
	}
	s := l.Entry.Body()
	if d := night.Truncate(time.Minute).Sub(l.Entry.Time); d != 0 {
		s = fmt.Sprintf("[%v] %s", d, s)
	}
	for _, a := range l.Asks {
		s += " ?" + a
	}
	for _, f := range l.Flags {
		s += " !" + f
	}
	return s
}

func TestParse(t *testing.T) {
	one, two, end, us := onePiece(t), twoPieces(t), nearTheEnd(t), american(t)
	none := Context{Now: night}
	tests := []struct {
		line string
		ctx  Context
		want string
	}{
		// Figures first.
		{"112 71", one, "pit 112 °C, core 71 °C"},
		{"112 71", two, "pit 112 °C, core large 71 °C"},
		{"112 71 73", two, "pit 112 °C, core large 71 °C, core small 73 °C"},
		{"112, 71, 73", two, "pit 112 °C, core large 71 °C, core small 73 °C"},
		{"112 71", none, "pit 112 °C, core 71 °C"},
		{"112.5 71,5", one, "pit 112.5 °C, core 71,5 °C"},
		{"112C 71°C", us, "pit 112C, core 71°C"},
		{"234F", one, "pit 234F"},
		{"112 °C 71 °C", us, "pit 112 °C, core 71 °C"},
		{"234 F 160 F", one, "pit 234 F, core 160 F"},
		{"234 158", us, "pit 234 °F, core 158 °F"},
		{"  112   71  ", one, "pit 112 °C, core 71 °C"},

		// A lone figure.
		{"112", one, "pit 112 °C"},
		{"70", one, "core 70 °C"},
		{"88", one, "core 88 °C ?88 read as core: pit was 110 °C, core 68 °C"},
		{"92", one, "pit 92 °C"},
		{"94", end, "core 94 °C"},
		{"106", end, "pit 106 °C"},
		{"99", end, "core 99 °C ?99 read as core: pit was 107 °C, core 93 °C"},
		{"95", none, "pit 95 °C"},
		{"94.9", none, "core 94.9 °C"},
		{"70 pit 112", one, "core 70 °C, pit 112 °C"},
		{"95 core 94", end, "pit 95 °C, core 94 °C"},
		{"202 F", none, "core 202 F"},
		{"203 F", none, "pit 203 F"},

		// Letters.
		{"v", one, "vent"},
		{"v f w l s t", one, "vent, fuel, wood, lid, spritz, turn"},
		{"b1 p2 r30", one, "bark 1, feel 2, recheck 30 min"},
		{"B1, P2, R30", one, "bark 1, feel 2, recheck 30 min"},
		{"b 1 p 2 r 30", one, "bark 1, feel 2, recheck 30 min"},
		{"r1h30", one, "recheck 1h30"},
		{"r 1 h 30", one, "recheck 1 h 30"},
		{"r 1 h 30 min 112", one, "recheck 1 h 30 min, pit 112 °C"},
		{"r 30 min 112", one, "recheck 30 min, pit 112 °C"},
		{"r 30 112", one, "recheck 30 min, pit 112 °C"},
		{"r 30 s", one, "recheck 30 min, spritz"},
		{"c 70", one, "core 70 °C"},
		{"c70", one, "core 70 °C"},
		{"112 c 70", one, "pit 112 °C, core 70 °C"},
		{"112, b1", one, "pit 112 °C, bark 1"},

		// Words and their beginnings.
		{"wr foil", one, "wrap foil"},
		{"wrap pap lo", one, "wrap paper loose"},
		{"wrap f l", one, "wrap foil, lid"},
		{"unw", one, "unwrap"},
		{"of", one, "— of"},
		{"ON", one, "on"},
		{"res", one, "rest"},
		{"rec 45 min", one, "recheck 45 min"},
		{"off boxed", one, "off, boxed"},
		{"pu se", one, "— pu se"},
		{"pu serv", one, "pulled, served ?served, while the meat is still in the pit?"},
		{"pu", one, "off !pulled is read as off: the meat is still in the pit"},
		{"box 66 boxe", one, "box 66 °C, boxed"},
		{"air -5", one, "air -5 °C"},
		{"c -2 -20", none, "[20m0s] core -2 °C"},
		{"aim pit 120", one, "aim pit 120 °C"},
		{"aim c 92 aim p 120", one, "aim core 92 °C, aim pit 120 °C"},

		// Acts whose arguments differ in length.
		{"112 71 w cherry 90 v -20 -- pale on the left", one, "[20m0s] pit 112 °C, core 71 °C, wood cherry 90 g, vent — pale on the left"},
		{"v bottom half", one, "vent bottom half"},
		{"v bottom half, 112 71", one, "vent bottom half, pit 112 °C, core 71 °C"},
		{"v top 112 71", one, "vent top, pit 112 °C, core 71 °C"},
		{"v 20 %", one, "vent 20 %"},
		{"v 112", one, "vent 112 !vent 112: kept as words; a reading must come first"},
		{"t 180", one, "turn 180 !turn 180: kept as words; a reading must come first"},
		{"v, 112", one, "vent, pit 112 °C"},
		{"lid a crack", one, "lid a crack"},
		{"w cherry 90", us, "wood cherry 90 oz"},
		{"w cherry 90 g", us, "wood cherry 90 g"},
		{"w cherry 90g v", one, "wood cherry 90g, vent"},
		{"w90", one, "wood 90 g"},
		{"w apple cherry 90", one, "wood apple cherry 90 g"},
		{"w cherry", one, "wood cherry"},
		{"w 2 chunks", one, "wood 2 chunks !wood 2 chunks: there is no weight in it; write the kind first, then a weight such as 90 g"},
		{"w oak 80 w cherry 60", one, "wood oak 80 g, wood cherry 60 g"},
		{"w cherry 90 g 112 71", one, "wood cherry 90 g, pit 112 °C, core 71 °C"},
		{"w cherry 112", one, "wood cherry 112 g"},
		{"f 1", one, "fuel 1 kg"},
		{"f 1,5", one, "fuel 1,5 kg"},
		{"f 2", us, "fuel 2 lb"},
		{"f lump 4 lb 6 oz v", one, "fuel lump 4 lb 6 oz, vent"},
		{"f 4lb6oz", one, "fuel 4lb6oz"},
		{"s cider l", one, "spritz cider, lid"},

		// Pieces.
		{"core small 70", two, "core small 70 °C"},
		{"c small 70", two, "core small 70 °C"},
		{"c s 70", two, "core small 70 °C"},
		{"112 c s 73", two, "pit 112 °C, core small 73 °C"},
		{"core 70", two, "core large 70 °C"},
		{"feel large 3", two, "feel large 3"},
		{"p l 3", two, "feel large 3"},
		{"p3", two, "feel 3 !feel 3 without a piece counts for all 2"},
		{"off small", two, "off small"},
		{"off SMA", two, "off small"},
		{"off", two, "off"},
		{"on large on small", two, "on large, on small"},

		// Times.
		{"-20 v", one, "[20m0s] vent"},
		{"−20 v", one, "[20m0s] vent"},
		{"v -90", one, "[1h30m0s] vent"},
		{"v -1h20", one, "[1h20m0s] vent"},
		{"v -20 min", one, "[20m0s] vent"},
		{"v -1 h b1", one, "[1h0m0s] vent, bark 1"},
		{"00:50 112", one, "[15m0s] pit 112 °C"},
		{"0:50 112", one, "[15m0s] pit 112 °C"},
		{"v 01:05", one, "vent"},
		{"v 23:05", one, "[2h0m0s] vent"},
		{"v 01:06", one, "vent"},
		{"v 01:21", one, "— v 01:21 !2026-09-19 01:21 is in the future: kept as words"},
		{"v -2000", none, "[33h20m0s] vent !2026-09-17 15:45 is over a day ago"},
		{"v 2026-09-19T03:00+01:00", none, "— v 2026-09-19T03:00+01:00 !2026-09-19 03:00 is in the future: kept as words"},
		{"v 2026-09-19T01:04:30+01:00", none, "[30s] vent"},

		// Words.
		{"-- pale, on the left", one, "— pale, on the left"},
		{"--pale", one, "— pale"},
		{"v — half — maybe", one, "vent — half — maybe"},
		{"v -- -- x", one, "vent — -- x"},
		{"v --", one, "vent"},
		{"v--x", one, "— v--x"},

		// The file's own grammar in full.
		{"- 2026-09-19T01:04+01:00 pit 104 °C, core large 68 °C, core small 70 °C, bark 1, vent, wood cherry 90 g, recheck 60 min — pale on the left", two,
			"[1m0s] pit 104 °C, core large 68 °C, core small 70 °C, bark 1, vent, wood cherry 90 g, recheck 60 min — pale on the left"},
		{"vent off, wood on, off", one, "vent off, off — wood on"},
	}
	for _, tt := range tests {
		if got := body(t, tt.line, tt.ctx); got != tt.want {
			t.Errorf("%q\n got %s\nwant %s", tt.line, got, tt.want)
		}
	}
}

func TestErrors(t *testing.T) {
	one := onePiece(t)
	tests := []struct {
		line string
		ctx  Context
		want string
	}{
		{"", one, "column 1: nothing to note; type a line such as 112 71, or words after --"},
		{"-20", one, "column 4: nothing to note; type a line such as 112 71, or words after --"},
		{"--", one, "column 3: nothing to note; type a line such as 112 71, or words after --"},
		{"v\tx", one, "column 2: control character U+0009; expected one line of plain text"},
		{"v -- a\nb", one, "column 7: control character U+000A; expected one line of plain text"},
		{"v -- a\u2028b", one, "column 7: control character U+2028; expected one line of plain text"},
		{"vä\xff", one, "column 3: the line is not valid UTF-8 here"},
	}
	for _, tt := range tests {
		l, err := Parse(tt.line, tt.ctx)
		if err == nil || err.Error() != tt.want {
			t.Errorf("%.60q: %v (%s)\nwant %s", tt.line, err, l.Understood(measure.Metric), tt.want)
		}
		if !zero(l) {
			t.Errorf("%.60q: %+v beside the error", tt.line, l)
		}
		var e *Error
		if err != nil && !errors.As(err, &e) {
			t.Errorf("%.60q: %T", tt.line, err)
		}
	}
}

// What is not understood, or could mean two things, stays words.
func TestKeptAsWords(t *testing.T) {
	one, two, end := onePiece(t), twoPieces(t), nearTheEnd(t)
	tests := []struct {
		line string
		ctx  Context
		want string
	}{
		{"112 71 vnt", one, `pit 112 °C, core 71 °C, vent !"vnt" read as "vent"`},
		{"smoked", one, "— smoked"},
		{"größer", one, "— größer"},
		{"112 größer", one, "— 112 größer"},
		{"off smll", two, `off small !"smll" read as "small"`},
		{"re", one, "— re"},
		{"un", one, "— un"},
		{"o", one, "— o"},
		{"v re", one, "— v re"},
		{"v half of it", one, "— v half of it"},
		{"f the rest", one, "— f the rest"},
		{"lid off", one, "— lid off"},
		{"wrap", one, `— wrap !"wrap": wrapped in what: foil, paper, boat or pan?`},
		{"wrap, foil", one, `wrap foil — wrap !"wrap": wrapped in what: foil, paper, boat or pan?`},
		{"wrap pa", one, "— wrap pa"},
		{"wrap towel", one, "— wrap towel"},
		{"pit", one, "— pit"},
		{"pit v", one, "— pit v"},
		{"pit 90g", one, "— pit 90g"},
		{"90g", one, "— 90g"},
		{"112 90g", one, "— 112 90g"},
		{"112/71", one, "pit 112 °C, core 71 °C"},
		{"25:00", one, "— 25:00"},
		{"112,71", one, "pit 112 °C, core 71 °C"},
		{"0110 v", one, "vent"},
		{"b7", one, "— b7"},
		{"b", one, "— b"},
		{"p 112", one, "— p 112"},
		{"p", one, "— p"},
		{"r", one, "— r"},
		{"r 30 x", one, "— r 30 x"},
		{"aim 120", one, "aim pit 120 °C"},
		{"aim", one, "— aim"},
		{"112 71 70", one, `— 112 71 70 !"70": one reading too many: type the pit, then one core`},
		{"112 71 70 69", two, `— 112 71 70 69 !"69": one reading too many: type the pit, then 2 cores`},
		{"112 71 v, 70", one, "pit 112 °C, core 71 °C, vent — 70"},
		{"100", end, `— 100 !"100": as near to pit 107 °C as to core 93 °C; write pit or core before it`},
		{"112 71 pit 110", one, "— 112 71 pit 110"},
		{"112 71 c large 72", two, "— 112 71 c large 72"},
		{"core 71 core 72", one, "— core 71 core 72"},
		{"off off", one, "off"},
		{"-20 v -30", one, "— -20 v -30"},
		{"+5", one, "— +5"},
		{"core medium 70", two, "— core medium 70"},
		{"off s", two, "— off s"},
		{"w cherry 90 71", one, "— w cherry 90 71"},
		{"112 undo", one, "— 112 undo"},
		{"undo 112", one, "— undo 112"},
		{"undo -- sorry", one, "— undo — sorry"},
	}
	for _, tt := range tests {
		if got := body(t, tt.line, tt.ctx); got != tt.want {
			t.Errorf("%q\n got %s\nwant %s", tt.line, got, tt.want)
		}
	}
}

func zero(l Line) bool {
	return l.Entry.Time.IsZero() && l.Entry.Items == nil && l.Entry.Words == "" && l.Flags == nil && !l.Undo && l.ago == 0
}

func TestLongestLine(t *testing.T) {
	if _, err := Parse("-- "+strings.Repeat("ä", MaxRunes-3), Context{Now: night}); err != nil {
		t.Error(err)
	}
}

// On the night when the clocks go back, half past one comes twice (IANA time zone
// database: London, 25 October 2026, 02:00 summer time).
func TestClockGoingBack(t *testing.T) {
	london, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Skipf("no zone data: %v", err)
	}
	now := time.Date(2026, 10, 25, 1, 20, 0, 0, time.UTC).In(london)
	for line, want := range map[string]string{
		"v":       "- 2026-10-25T01:20+00:00 vent",
		"01:30 v": "- 2026-10-25T01:30+01:00 vent",
		"01:20 v": "- 2026-10-25T01:20+00:00 vent",
		"-30 v":   "- 2026-10-25T01:50+01:00 vent",
		"-90 v":   "- 2026-10-25T00:50+01:00 vent",
	} {
		l, err := Parse(line, Context{Now: now})
		if got := l.Entry.String(); err != nil || got != want {
			t.Errorf("%q: %s, %v; want %s", line, got, err, want)
		}
	}
}

func TestUndo(t *testing.T) {
	for _, line := range []string{"undo", " U ", "und", "UNDO"} {
		l, err := Parse(line, onePiece(t))
		if err != nil || !l.Undo || len(l.Entry.Items) > 0 || l.Understood(measure.Metric) != "undo the last entry" {
			t.Errorf("%q: %+v, %v", line, l, err)
		}
	}
}

func TestFlags(t *testing.T) {
	one, two, us := onePiece(t), twoPieces(t), american(t)
	soon := Context{Now: night, Cook: cook(t, nil, "300 on", "12 pit 110 °C, core 80 °C")}
	boxed := Context{Now: night, Cook: cook(t, nil, "300 on", "60 core 93 °C, pit 107 °C", "50 off, boxed")}
	tests := []struct {
		line string
		ctx  Context
		want []string
	}{
		{"112 71", one, nil},
		{"112 17", one, []string{"core 17 °C, last was 68 °C: swapped digits?"}},
		{"core 17 °C", one, []string{"core 17 °C, last was 68 °C: swapped digits?"}},
		{"core small 27", two, []string{"core small 27 °C, last was 72 °C: swapped digits?"}},
		{"140 70", one, []string{"pit 140 °C, last was 110 °C: swapped digits?"}},
		{"112 160", one, []string{"core 160: meant as 160 °F?"}},
		{"112 pit 110", one, []string{"core 112 °C: meat does not get hotter than boiling water; is it the pit?"}},
		{"core 160", one, []string{"core 160: meant as 160 °F?"}},
		{"230 155", one, []string{"pit 230: meant as 230 °F? core 155: meant as 155 °F?"}},
		{"core 160 °C", one, []string{"core 160 °C: meat does not get hotter than boiling water; is it 160 °F (71 °C)?"}},
		{"71 112", one, []string{"pit 71 °C, last was 110 °C: pit and core swapped?", "core 112 °C: meat does not get hotter than boiling water; is it the pit?"}},
		{"110 71", us, []string{"pit 110: meant as 110 °C? core 71: meant as 71 °C?"}},
		{"234 158", us, nil},
		{"core 45", soon, []string{"core 45 °C, last was 80 °C: faster than meat can change"}},
		{"core 45", one, nil},
		{"112 71 -350", one, nil},
		{"v -401", one, []string{"18:24 is before the first entry, 18:25"}},
		{"pit 500", Context{Now: night}, []string{"pit 500 °C: hotter than a slow pit"}},
		{"core -40", Context{Now: night}, []string{"core -40 °C: colder than any freezer"}},
		{"core 88", boxed, nil},
		{"80", boxed, nil},
		// The fire went out, so the pit may truly be colder than the core.
		{"80 90", Context{Now: night, Cook: cook(t, nil, "300 on", "30 pit 84 °C, core 90 °C")}, nil},
	}
	for _, tt := range tests {
		l, err := Parse(tt.line, tt.ctx)
		if got := append(l.Asks, l.Flags...); err != nil || !slices.Equal(got, tt.want) {
			t.Errorf("%q: %q, %v\nwant %q", tt.line, got, err, tt.want)
		}
	}
}

func TestUnderstood(t *testing.T) {
	two := twoPieces(t)
	tests := []struct {
		line string
		sys  measure.System
		want string
	}{
		{"112 71 w cherry 90 -20", measure.Metric, "pit 112 °C · core large 71 °C · wood cherry 90 g · 20 min ago"},
		{"112 71", measure.US, "pit 234 °F · core large 160 °F"},
		{"234F", measure.US, "pit 234F"},
		{"b2 p l 2 -1h20 -- dark side", measure.Metric, "bark 2 mahogany · feel large 2 resists a little · 1 h 20 ago — dark side"},
		{"v -2h", measure.Metric, "vent · 2 h ago"},
		{"v -2000", measure.Metric, "vent · at 2026-09-17 15:45"},
		{"-- pale", measure.Metric, "— pale"},
		{"aim pit 120 wrap paper loose r45", measure.Metric, "aim pit 120 °C · wrap paper loose · recheck 45 min"},
	}
	for _, tt := range tests {
		l, err := Parse(tt.line, two)
		if got := l.Understood(tt.sys); err != nil || got != tt.want {
			t.Errorf("%q: %s, %v\nwant %s", tt.line, got, err, tt.want)
		}
	}
}

func TestComplete(t *testing.T) {
	two := twoPieces(t)
	two.Cook.Entries = append(two.Cook.Entries, cook(t, nil, "20 wood cherry 90 g", "10 wood oak").Entries...)
	tests := []struct {
		line string
		want []string
	}{
		{"", nil},
		{"112 ", nil},
		{"112 u", []string{"nboxed", "nwrap"}},
		{"WR", []string{"ap"}},
		{"wrap", nil},
		{"wrap ", []string{"boat", "foil", "pan", "paper"}},
		{"wrap pa", []string{"n", "per"}},
		{"wrap paper ", []string{"loose"}},
		{"wrap paper l", []string{"id", "it", "oose"}},
		{"wrap, ", nil},
		{"core ", []string{"large", "small"}},
		{"c ", []string{"large", "small"}},
		{"c sm", []string{"all"}},
		{"off s", []string{"aved", "erved", "ettled", "liced", "mall", "pritz", "ure"}},
		{"w ", []string{"beech", "cherry", "oak"}},
		{"112 w ch", []string{"erry", "illed"}},
		{"aim ", []string{"core", "pit"}},
		{"aim p", []string{"it"}},
		{"v -- u", nil},
		{"v -- ", nil},
		{"v --", nil},
		{"bo", []string{"x", "xed"}},
		{"x", nil},
		{"v\x00", nil},
	}
	for _, tt := range tests {
		if got := Complete(tt.line, two); !slices.Equal(got, tt.want) {
			t.Errorf("%q: %q, want %q", tt.line, got, tt.want)
		}
	}
	if got := Complete("core ", Context{}); got != nil {
		t.Errorf("without a cook: %q", got)
	}
}
