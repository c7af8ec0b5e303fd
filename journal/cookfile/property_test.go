package cookfile

import (
	"fmt"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// quantityIn generates a quantity as typed.
func quantityIn[Q any](t *rapid.T, label string, parse func(string, measure.System) (Q, error), low, high int, units ...string) (q Q) {
	if !rapid.Bool().Draw(t, label+" known") {
		return q
	}
	text := fmt.Sprintf("%g %s", float64(rapid.IntRange(low*10, high*10).Draw(t, label))/10, rapid.SampledFrom(units).Draw(t, label+" unit"))
	q, err := parse(text, measure.Metric)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

func aTemperature(t *rapid.T, label string) measure.Temperature {
	return quantityIn(t, label, measure.ParseTemperature, -20, 120, "°C", "°F", "C")
}

func aMass(t *rapid.T, label string) measure.Mass {
	return quantityIn(t, label, measure.ParseMass, 1, 9, "kg", "lb", "g")
}

func aRate(t *rapid.T) measure.Rate {
	parse := func(s string, units measure.System) (r measure.Rate, err error) {
		err = measure.Read(&r, s, units)
		return r, err
	}
	return quantityIn(t, "rate", parse, 1, 90, "g/kg", "%")
}

// someWords generates words with everything that is special in YAML or Markdown.
func someWords(t *rapid.T, label string) string {
	return rapid.OneOf(
		rapid.Just(""),
		rapid.StringMatching(`[a-z '":#,{}\[\]&*!|>%@0-9~=?-]{0,12}`),
		rapid.SampledFrom(awkward),
		rapid.String(),
	).Draw(t, label)
}

var awkward = []string{"null", "~", "0079", "- a", "---", "x: y", "x #y", "it's", "a\\b", "a\nb", "a\r\nb", " a ", "\u2028", "\ufeffa", "\x00", "{a}", "a,b", "## Timeline"}

func aCook(t *rapid.T) journal.Cook {
	c := journal.Cook{
		Title: someWords(t, "title"), Cut: someWords(t, "cut"), Supplier: someWords(t, "supplier"),
		Pit: someWords(t, "pit"), Pan: someWords(t, "pan"), Keep: someWords(t, "keep"), Change: someWords(t, "change"),
		Heads: rapid.IntRange(0, 200).Draw(t, "heads"),
		Rub:   journal.Rub{Mix: someWords(t, "mix"), Rate: aRate(t)},
		Fuel:  journal.Fuel{Kind: someWords(t, "fuel"), Loaded: aMass(t, "loaded"), Left: aMass(t, "left")},
		Aim:   journal.Aim{Pit: aTemperature(t, "aim pit"), Core: aTemperature(t, "aim core")},
		Yield: journal.Yield{Off: aMass(t, "off"), Discard: aMass(t, "discard"), Left: aMass(t, "left over")},
	}
	c.Salted = journal.Salting{Rate: c.Rub.Rate}
	c.Weather.Air = aTemperature(t, "air")
	if c.Aim.Wrap.Kind = rapid.SampledFrom(append(journal.Wraps, journal.NoWrap)).Draw(t, "wrap"); c.Aim.Wrap.Kind != journal.NoWrap {
		c.Aim.Wrap.At = aTemperature(t, "wrap at")
	} else {
		c.Aim.Wrap.Bare = rapid.Bool().Draw(t, "stays bare")
	}
	if rapid.Bool().Draw(t, "serve known") {
		c.Serve = aTime(t, "serve")
	}
	names := []string{"large", "small", "point end", "é", "3"}
	for i := range rapid.IntRange(0, len(names)).Draw(t, "pieces") {
		c.Pieces = append(c.Pieces, journal.Piece{Name: names[i], Raw: aMass(t, "raw"), Core: aTemperature(t, "core"), Bone: someWords(t, "bone")})
	}
	if len(c.Pieces) == 0 {
		c.Pieces = []journal.Piece{{Raw: aMass(t, "raw")}}
	}
	for range rapid.IntRange(0, 3).Draw(t, "wood") {
		c.Wood = append(c.Wood, journal.Wood{Kind: someWords(t, "kind"), Mass: aMass(t, "wood mass")})
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "eaters") {
		taste := journal.Taste{Eater: fmt.Sprint("E", i), Words: someWords(t, "words")}
		for j := range taste.Scores {
			if liked := rapid.IntRange(0, 9).Draw(t, "liked"); liked > 0 {
				taste.Scores[j] = journal.Score{Liked: liked, Lean: rapid.IntRange(-1, 1).Draw(t, "lean")}
			}
		}
		c.Tasting = append(c.Tasting, taste)
	}
	g := journal.Grammar{Pieces: c.PieceNames()}
	for range rapid.IntRange(0, 6).Draw(t, "entries") {
		items, _, _ := journal.ParseBody(rapid.SampledFrom([]string{
			"", "lit", "on", "off", "pit 112 °C, core 68 °C", "vent bottom half, wood cherry 90 g", "wrap paper loose", "feel 3, bark 1, recheck 60 min", "core large 68 °C, off small",
		}).Draw(t, "items"), g)
		e := journal.Entry{Time: aTime(t, "at"), Items: items, Words: oneLine(someWords(t, "entry words"))}
		if !blank(e) {
			c.Entries = append(c.Entries, e)
		}
	}
	journal.SortEntries(c.Entries)
	c.Prose = rapid.SampledFrom([]string{"", "words", "# Supper\n\n## Notes\n- 2026-09-18T19:05+01:00 lit", "```\n## Timeline\n```", "~~~\n# open", "    ## Timeline", "---\n\nmore\r\n\r\nof it"}).Draw(t, "prose")
	return c
}

func aTime(t *rapid.T, label string) time.Time {
	zone := time.FixedZone("", 60*15*rapid.IntRange(-48, 56).Draw(t, label+" offset"))
	at := time.Date(2026, 9, 18, 19, 5, 0, 0, zone).Add(time.Duration(rapid.IntRange(-1e6, 1e6).Draw(t, label)) * time.Second)
	return fixed(at)
}

func TestNewThenParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := aCook(t)
		data, err := New(c)
		if err != nil {
			t.Fatal(err)
		}
		f, err := Parse("", data, Options{})
		if err != nil {
			t.Fatalf("%v in\n%s", err, data)
		}
		got := f.Cook
		for i := range got.Entries {
			got.Entries[i].Line = 0
		}
		if c.Prose == "" && c.Title != "" {
			got.Prose = ""
		}
		got.ID = c.ID
		if !reflect.DeepEqual(got, c) {
			t.Fatalf("got  %+v\nwant %+v\nfrom\n%s", got, c, data)
		}
	})
}

func TestNewRefuses(t *testing.T) {
	at := time.Date(2026, 9, 18, 19, 5, 0, 0, time.UTC)
	for _, c := range []journal.Cook{
		{Title: "x", Prose: "## Timeline"},
		{Title: "x", Entries: []journal.Entry{{Time: at, Items: []journal.Item{{Act: journal.Off, Piece: "third"}}}}},
		{Title: "x", Tasting: []journal.Taste{{Eater: "\xff"}}},
	} {
		if data, err := New(c); err == nil {
			t.Errorf("written as\n%s", data)
		}
	}
}
