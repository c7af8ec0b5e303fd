package main

import (
	"encoding/json"
	"fmt"
	"time"
	"unicode/utf16"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/report/frame"
	"ashbook/report/page"
)

// The shapes of --json. Lists are arrays under a named key, never null; what
// is not recorded is left out; quantities are in the unit their key ends in.

type problemRecord struct {
	File    string `json:"file"`
	Line    int    `json:"line,omitempty"`
	Col     int    `json:"col,omitempty"`
	Warning bool   `json:"warning"`
	Text    string `json:"text"`
}

func problemRecords(problems []journal.Problem) []problemRecord {
	out := []problemRecord{}
	for _, p := range problems {
		out = append(out, problemRecord(p))
	}
	return out
}

type noted struct {
	Cook       string   `json:"cook"`
	Understood string   `json:"understood"`
	Line       string   `json:"line"`
	Flags      []string `json:"flags"`
	Undone     bool     `json:"undone"`
}

type pieceRecord struct {
	Name      string   `json:"name,omitempty"`
	RawKg     *float64 `json:"raw_kg,omitempty"`
	TrimmedKg *float64 `json:"trimmed_kg,omitempty"`
	ThickCm   *float64 `json:"thick_cm,omitempty"`
	CoreC     *float64 `json:"core_c,omitempty"`
	Bone      string   `json:"bone,omitempty"`
	State     string   `json:"state"`
}

type entryRecord struct {
	Time  string   `json:"time"`
	Items []string `json:"items"`
	Words string   `json:"words,omitempty"`
	Line  int      `json:"line"`
}

type tasteRecord struct {
	Eater  string            `json:"eater"`
	Scores map[string]string `json:"scores"`
	Words  string            `json:"words,omitempty"`
}

type cookRecord struct {
	ID      string             `json:"id"`
	Title   string             `json:"title,omitempty"`
	Cut     string             `json:"cut,omitempty"`
	Pit     string             `json:"pit,omitempty"`
	State   string             `json:"state"`
	Serve   string             `json:"serve,omitempty"`
	Heads   int                `json:"heads,omitempty"`
	On      string             `json:"on,omitempty"`
	Off     string             `json:"off,omitempty"`
	Pieces  []pieceRecord      `json:"pieces"`
	Entries []entryRecord      `json:"entries"`
	Tasting []tasteRecord      `json:"tasting"`
	Numbers map[string]float64 `json:"numbers"`
	Words   map[string]string  `json:"words"`
	Keep    string             `json:"keep,omitempty"`
	Change  string             `json:"change,omitempty"`
	Aside   string             `json:"aside,omitempty"` // why it does not count
}

// recordOf turns a cook into its record. Numbers holds the columns that every
// comparison uses, in kg, °C, m, h, g/kg, m/s or shares of 1.
func recordOf(c *journal.Cook, now time.Time) cookRecord {
	r := cookRecord{
		ID: c.ID, Title: c.Title, Cut: c.Cut, Pit: c.Pit, State: c.Status(now).String(), Serve: timeRecord(c.Serve), Heads: c.Heads,
		Pieces: []pieceRecord{}, Entries: []entryRecord{}, Tasting: []tasteRecord{},
		Numbers: map[string]float64{}, Words: map[string]string{}, Keep: c.Keep, Change: c.Change, Aside: c.Aside,
	}
	if t, ok := c.OnAt(); ok {
		r.On = timeRecord(t)
	}
	if t, ok := c.Finish(); ok {
		r.Off = timeRecord(t)
	}
	for i, p := range c.Pieces {
		r.Pieces = append(r.Pieces, pieceRecord{
			Name: p.Name, RawKg: known(p.Raw.Base, p.Raw.Known), TrimmedKg: known(p.Trimmed.Base, p.Trimmed.Known),
			ThickCm: known(p.Thick.Base*100, p.Thick.Known), CoreC: known(p.Core.Base, p.Core.Known), Bone: p.Bone,
			State: c.PieceStatus(i, now).String(),
		})
	}
	for _, e := range c.Entries {
		r.Entries = append(r.Entries, entryOf(e))
	}
	for _, t := range c.Tasting {
		scores := map[string]string{}
		for _, trait := range journal.Traits {
			if s := t.Scores[trait].String(); s != "" {
				scores[trait.String()] = s
			}
		}
		r.Tasting = append(r.Tasting, tasteRecord{t.Eater, scores, t.Words})
	}
	for _, col := range frame.Columns {
		switch v := col.Of(c); {
		case !v.Known:
		case col.Kind == frame.Word:
			r.Words[col.Name] = v.Word
		default:
			r.Numbers[col.Name] = v.Number
		}
	}
	return r
}

func entryOf(e journal.Entry) entryRecord {
	items := []string{}
	for _, it := range e.Items {
		items = append(items, it.String())
	}
	return entryRecord{timeRecord(e.Time), items, e.Words, e.Line}
}

func known(v float64, ok bool) *float64 {
	if !ok {
		return nil
	}
	return &v
}

func timeRecord(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return journal.FormatTime(t)
}

func notNil(s []string) []string {
	if s == nil {
		return []string{}
	}
	return s
}

func (a *program) printJSON(v any) error {
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	_, err = a.out.Write(append(escaped(data), '\n'))
	return err
}

// escaped writes what a terminal would act on as JSON escapes: such characters
// stand only inside strings.
func escaped(data []byte) []byte {
	out := make([]byte, 0, len(data))
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		if r >= utf8.RuneSelf && page.Unsafe(r) {
			for _, u := range utf16.AppendRune(nil, r) {
				out = fmt.Appendf(out, `\u%04x`, u)
			}
		} else {
			out = append(out, data[i:i+n]...)
		}
		i += n
	}
	return out
}

func (a *program) printf(format string, args ...any) { fmt.Fprintf(a.out, format, args...) }
