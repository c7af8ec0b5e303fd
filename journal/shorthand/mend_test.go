package shorthand

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ashbook/journal"
	"ashbook/journal/measure"
)

func TestMend(t *testing.T) {
	ctx := onePiece(t)
	c := cook(t, nil, "400 lit", "300 on, pit 112 °C, core 5 °C", "60 pit 110 °C, core 17 °C — pale", "5 vent")
	ctx.Cook = c
	old := c.Entries[2] // 00:05
	for _, tt := range []struct{ line, want string }{
		{"112 71", "00:05 pit 112 °C, core 71 °C"},
		{"23:50 112 71", "23:50 pit 112 °C, core 71 °C"},
		{"00:20", "00:20 pit 110 °C, core 17 °C — pale"},
		{"-10", "23:55 pit 110 °C, core 17 °C — pale"},
		{"-10 112", "23:55 pit 112 °C"},
		{"core 71 -- pale on the left", "00:05 core 71 °C — pale on the left"},
		{"00:05 pit 110 °C, core 71 °C -- pale", "00:05 pit 110 °C, core 71 °C — pale"},
		{"- 00:05 pit 110 °C, core 71 °C — pale", "00:05 pit 110 °C, core 71 °C — pale"},
		{"vent bottom half, off", "00:05 vent bottom half, off"},
		{"-- only words", "00:05 — only words"},
		{"112 70, chery", "00:05 pit 112 °C, core 70 °C — chery"},
		{"2026-09-18T22:00+01:00 112 70", "22:00 pit 112 °C, core 70 °C"},
	} {
		l, err := Mend(tt.line, old, ctx)
		if err != nil {
			t.Errorf("%q: %v", tt.line, err)
			continue
		}
		if got := l.Entry.Time.Format("15:04 ") + l.Entry.Body(); got != tt.want {
			t.Errorf("%q: %q, want %q", tt.line, got, tt.want)
		}
		if d := l.Entry.Time.Sub(old.Time); d > 12*time.Hour || d < -12*time.Hour {
			t.Errorf("%q: moved by %v", tt.line, d)
		}
	}
	for line, want := range map[string]string{
		"": "nothing is left of the entry", "undo": "what the entry should say",
	} {
		if _, err := Mend(line, old, ctx); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", line, err, want)
		}
	}
	// The entry being mended does not count against its replacement. A time later than
	// now is flagged.
	l, err := Mend("core 17", old, ctx)
	if err != nil || len(l.Flags) != 0 {
		t.Errorf("core 17 against 5 °C five hours before: %v, %v", l.Flags, err)
	}
	if l, err := Mend("-20", c.Entries[0], ctx); err != nil || len(l.Flags) != 0 {
		t.Errorf("the first entry, moved back: %v, %v", l.Flags, err)
	}
	if l, _ := Mend("06:00", old, ctx); len(l.Flags) != 1 || !strings.Contains(l.Flags[0], "in the future") {
		t.Errorf("flags %q", l.Flags)
	}
}

// Every entry, printed for mending and parsed again, gives the same entry.
func TestTypedIsTheEntry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := &journal.Cook{Pieces: []journal.Piece{{Name: "large"}, {Name: "small one"}}}
		e := journal.Entry{Time: night.Add(time.Duration(rapid.IntRange(-1e5, 1e5).Draw(t, "s")) * time.Second).Truncate(time.Second)}
		g := journal.Grammar{Pieces: c.PieceNames()}
		items := []string{"pit 104 °C", "pit 220 °F", "core large 68.5 °C", "core small one 70 °C", "on", "off large", "vent bottom half", "wood cherry 90 g",
			"fuel 1 kg", "wrap foil loose", "unwrap", "bark 3", "feel small one 2", "recheck 45 min", "aim pit 120 °C", "lid", "turn", "spritz cider", "boxed", "rest"}
		var body []string
		for range rapid.IntRange(0, 4).Draw(t, "n") {
			body = append(body, rapid.SampledFrom(items).Draw(t, "item"))
		}
		text := strings.Join(body, ", ")
		if words := rapid.StringMatching(`[a-z,.; 0-9-]{0,20}`).Draw(t, "words"); strings.TrimSpace(words) != "" || text == "" {
			text += " — " + strings.TrimSpace(words) + "x"
		}
		e.Items, e.Words, _ = journal.ParseBody(text, g)
		c.Entries = []journal.Entry{e}
		l, err := Mend(e.Typed(measure.Metric), e, Context{Now: night, Settings: journal.Settings{Units: measure.Metric}, Cook: c})
		if err != nil || l.Entry.String() != e.String() {
			t.Fatalf("%q from %q: %q, %v", e.Typed(measure.Metric), e.String(), l.Entry.String(), err)
		}
	})
}
