package cookfile

import (
	"flag"
	"fmt"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// mappings are all types with keys, each with the heading of its table in FORMAT.md.
var mappings = []struct {
	heading string
	value   any
	unkept  []string // names of fields that are no keys
}{
	{"A cook", &journal.Cook{}, []string{"ID", "Prose", "Entries", "Series", "Others", "Altitude"}},
	{"pieces", &journal.Piece{}, nil},
	{"salted", &journal.Salting{}, nil},
	{"rub", &journal.Rub{}, nil},
	{"wood", &journal.Wood{}, nil},
	{"fuel", &journal.Fuel{}, nil},
	{"aim", &journal.Aim{}, nil},
	{"weather", &journal.Weather{}, nil},
	{"yield", &journal.Yield{}, nil},
	{"tasting", &journal.Taste{}, nil},
	{"journal.md", &journal.Settings{}, nil},
	{"A pit", &journal.Pit{}, []string{"Name", "Prose"}},
}

// holds returns the words of FORMAT.md for the kind of a field's value, and its base
// unit.
func holds(to any) (what, unit string) {
	switch to.(type) {
	case *string:
		return "words", ""
	case *int:
		return "whole number", ""
	case *time.Time:
		return "time", ""
	case *measure.Temperature:
		return "temperature", "°C"
	case *journal.Difference:
		return "difference of temperature", "K"
	case *measure.Mass:
		return "weight", "kg"
	case *measure.Length:
		return "length", "m"
	case *measure.Span:
		return "duration", "s"
	case *measure.Speed:
		return "speed", "m/s"
	case *measure.Share:
		return "share", ""
	case *measure.Rate:
		return "rate", "g/kg"
	case *journal.Score:
		return "score", ""
	case *journal.WrapPlan:
		return "wrap", "°C"
	case *measure.System:
		return "metric or us", ""
	case *journal.PitKind:
		return "kind of pit", ""
	case *journal.Grate:
		return "length, or two", "m"
	case *journal.Fits:
		return "count, weight and cut", "kg"
	case *journal.PitIs:
		return "measured or setting", ""
	case *map[journal.Act]measure.Span:
		return "acts and durations", "s"
	case *[]journal.Piece, *[]journal.Wood, *[]journal.Taste:
		return "list", ""
	}
	return "keys", ""
}

// likely returns the range of a key that gives no warning, in words.
func likely(m journal.Key, unit string) string {
	low, high := m.Likely.Low, m.Likely.High
	switch {
	case m.Likely == (journal.Range{}):
		return ""
	case unit == "s" && high > 2*86400:
		low, high, unit = low/86400, high/86400, "d"
	case unit == "s":
		low, high, unit = low/60, high/60, "min"
	}
	return strings.TrimSpace(fmt.Sprintf("%g to %g %s", low, high, unit))
}

var update = flag.Bool("update", false, "write the tables of FORMAT.md")

// formatRows returns the rows of FORMAT.md's tables by heading, without their first
// lines.
func formatRows() map[string][]string {
	row := func(cells ...string) string {
		line := "|"
		for _, c := range cells {
			line += strings.TrimRight(" "+c, " ") + " |"
		}
		return line
	}
	out := map[string][]string{}
	for _, m := range mappings {
		for _, k := range keysOf(m.value) {
			what, unit := holds(k.To)
			out[m.heading] = append(out[m.heading], row("`"+k.Name+"`", what, likely(k, unit), k.Says))
		}
	}
	for _, a := range journal.Acts() {
		key, after := "", ""
		if a.Key() != 0 {
			key = string(a.Key())
		}
		if d := a.DefaultRecheck(); d > 0 {
			after = fmt.Sprint(int(d.Minutes()))
		}
		out["Acts"] = append(out["Acts"], row("`"+a.Word()+"`", key, follows(a), after, a.Gloss()))
	}
	return out
}

// FORMAT.md lists exactly the keys and acts of the code.
func TestFormatTables(t *testing.T) {
	data, err := os.ReadFile("FORMAT.md")
	if err != nil {
		t.Fatal(err)
	}
	want, tables := formatRows(), 0
	var out []string
	heading, inside := "", false
	for line := range strings.Lines(string(data)) {
		line = strings.TrimSuffix(line, "\n")
		if strings.HasPrefix(line, "#") {
			heading = strings.Trim(line, "# `")
		}
		inside = inside && strings.HasPrefix(line, "|")
		ours, known := want[heading]
		if !inside || !known {
			out = append(out, line)
		}
		if strings.HasPrefix(line, "|---") && known {
			inside, tables = true, tables+1
			out = append(out, ours...)
		}
	}
	if tables != len(want) {
		t.Errorf("FORMAT.md has %d of %d tables", tables, len(want))
	}
	text := strings.Join(out, "\n") + "\n"
	if *update {
		if err := os.WriteFile("FORMAT.md", []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	was := strings.Split(strings.TrimSuffix(string(data), "\n"), "\n")
	for i := range max(len(was), len(out)) {
		if i >= len(was) || i >= len(out) || was[i] != out[i] {
			t.Fatalf("FORMAT.md:%d: not what the code says; next: go test ./journal/cookfile -run TestFormatTables -update", i+1)
		}
	}
}

// follows says what may follow an act's word.
func follows(a journal.Act) string {
	var out []string
	if a.TakesPiece() {
		out = append(out, "piece")
	}
	switch {
	case a.TakesTemperature():
		out = append(out, "temperature")
	case a.MayTakeTemperature():
		out = append(out, "perhaps a temperature")
	case a == journal.Watch:
		out = append(out, "name, perhaps until a time")
	case a.TakesName():
		out = append(out, "name")
	case a.TakesDetail():
		out = append(out, "words, perhaps a weight")
	case a == journal.PutWrap:
		out = append(out, "kind of wrap, perhaps loose")
	case a.TopGrade() > 0:
		out = append(out, fmt.Sprintf("0 to %d", a.TopGrade()))
	case a == journal.Recheck:
		out = append(out, "duration")
	}
	return strings.Join(out, ", ")
}

// Every field of a type with keys has a key or is listed as having none.
func TestEveryFieldHasItsKey(t *testing.T) {
	for _, m := range mappings {
		v := reflect.ValueOf(m.value).Elem()
		kept := map[uintptr]bool{}
		for _, k := range keysOf(m.value) {
			kept[reflect.ValueOf(k.To).Pointer()] = true
		}
		for i := range v.NumField() {
			f, name := v.Field(i), v.Type().Field(i).Name
			has := kept[f.Addr().Pointer()]
			switch not := slices.Contains(m.unkept, name); {
			case !has && !not:
				t.Errorf("%s: field %s has no key in its Keys", m.heading, name)
			case has && not:
				t.Errorf("%s: field %s has a key", m.heading, name)
			}
		}
	}
}
