package cookfile

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
)

// noted returns an entry with this time and body.
func noted(t testing.TB, at, text string) journal.Entry {
	t.Helper()
	when, err := journal.ParseTime(at)
	if err != nil {
		t.Fatal(err)
	}
	items, words, notes := journal.ParseBody(text, journal.Grammar{Pieces: []string{"large", "small"}})
	if len(notes) > 0 {
		t.Fatal(notes)
	}
	return journal.Entry{Time: when, Items: items, Words: words}
}

func zone(t *testing.T, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Skip(err)
	}
	return z
}

// Changes of the clock from the IANA time zone database: London to summer time on
// 2026-03-29 at 01:00 UTC and back on 2026-10-25 at 01:00 UTC; Denver on 2026-03-08 and
// 2026-11-01 at 02:00 local time.
func TestBareClockTimes(t *testing.T) {
	for _, test := range []struct {
		name, zone string
		lines      string
		want       []string
	}{
		{"next", "UTC", "2026-09-18T23:10+00:00 on|23:40 lid|00:20 lid|0:20 lid|06:00 off",
			[]string{"2026-09-18T23:10+00:00", "2026-09-18T23:40+00:00", "2026-09-19T00:20+00:00", "2026-09-19T00:20+00:00", "2026-09-19T06:00+00:00"}},
		{"over 18 h away is the same day", "UTC", "2026-09-18T20:00+00:00 on|19:00 lit|14:00 vent",
			[]string{"2026-09-18T19:00+00:00", "2026-09-18T20:00+00:00", "2026-09-18T14:00+00:00"}},
		{"offset of the line above, not the own zone", "Europe/London", "2026-09-18T20:00-06:00 on|21:00 vent",
			[]string{"2026-09-18T20:00-06:00", "2026-09-18T21:00-06:00"}},
		{"London springs forward", "Europe/London", "2026-03-28T22:00+00:00 on|00:30 vent|02:30 vent|09:00 off",
			[]string{"2026-03-28T22:00+00:00", "2026-03-29T00:30+00:00", "2026-03-29T02:30+01:00", "2026-03-29T09:00+01:00"}},
		{"London, an hour that is not", "Europe/London", "2026-03-28T22:00+00:00 on|01:30 vent",
			[]string{"2026-03-28T22:00+00:00", "2026-03-29T02:30+01:00"}},
		{"London falls back", "Europe/London", "2026-10-24T22:00+01:00 on|01:30 vent|01:10 vent|03:00 off",
			[]string{"2026-10-24T22:00+01:00", "2026-10-25T01:30+01:00", "2026-10-25T01:10+00:00", "2026-10-25T03:00+00:00"}},
		{"no change where the line keeps another offset", "Europe/London", "2026-03-28T22:00-01:00 on|02:30 vent",
			[]string{"2026-03-28T22:00-01:00", "2026-03-29T02:30-01:00"}},
		{"Denver springs forward", "America/Denver", "2026-03-07T20:00-07:00 on|01:30 vent|03:30 vent",
			[]string{"2026-03-07T20:00-07:00", "2026-03-08T01:30-07:00", "2026-03-08T03:30-06:00"}},
		{"Denver falls back", "America/Denver", "2026-10-31T20:00-06:00 on|01:30 vent|01:15 vent|07:00 off",
			[]string{"2026-10-31T20:00-06:00", "2026-11-01T01:30-06:00", "2026-11-01T01:15-07:00", "2026-11-01T07:00-07:00"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			text := fenced("") + "- " + strings.ReplaceAll(test.lines, "|", "\n- ") + "\n"
			text = strings.Replace(text, "- 2026-09-18T20:10+01:00 on\n", "", 1)
			f, err := Parse("cook.md", []byte(text), Options{Zone: zone(t, test.zone)})
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, e := range inFile(f) {
				got = append(got, journal.FormatTime(e.Time))
			}
			slices.Sort(test.want)
			slices.Sort(got)
			if !slices.Equal(got, test.want) {
				t.Errorf("got  %v\nwant %v", got, test.want)
			}
			if len(f.Problems) > 0 {
				t.Error(f.Problems)
			}
		})
	}
}

// inFile returns the entries in the order of their lines.
func inFile(f File) []journal.Entry {
	entries := slices.Clone(f.Cook.Entries)
	slices.SortFunc(entries, func(a, b journal.Entry) int { return a.Line - b.Line })
	return entries
}

func TestBareClockTimeFirst(t *testing.T) {
	for _, test := range []struct {
		name, path, yaml string
		want, problem    string
	}{
		{"day of the name", "2026-09-18-harvest-supper.md", "serve: 2026-09-19T13:00+01:00\n", "2026-09-18T19:05+01:00",
			"2026-09-18-harvest-supper.md:7:3: time \"19:05\": no line above it has a date; taken as 2026-09-18T19:05+01:00"},
		{"day of the serving hour", "cook.md", "serve: 2026-09-19T13:00-06:00\n", "2026-09-19T19:05-06:00",
			"cook.md:7:3: time \"19:05\": no line above it has a date; taken as 2026-09-19T19:05-06:00"},
		{"no day", "cook.md", "title: x\n", "",
			"cook.md:7:3: time \"19:05\": its day is not known; expected a date and time such as 2026-09-19T01:04+01:00; the line is kept as prose"},
	} {
		t.Run(test.name, func(t *testing.T) {
			text := "---\n" + test.yaml + "---\n\n## Timeline\n\n- 19:05 lit\n"
			f, err := Parse(test.path, []byte(text), Options{Zone: zone(t, "Europe/London")})
			if err != nil {
				t.Fatal(err)
			}
			var got string
			for _, e := range f.Cook.Entries {
				got = journal.FormatTime(e.Time)
			}
			if got != test.want {
				t.Errorf("got %s, want %s", got, test.want)
			}
			if len(f.Problems) != 1 || f.Problems[0].Error() != test.problem {
				t.Errorf("problems %v", f.Problems)
			}
		})
	}
}

func TestTimelineBounds(t *testing.T) {
	text := strings.Join([]string{
		"# Supper", "## Plan", "- 2026-09-18T08:00+01:00 buy",
		"```", "## Timeline", "- 2026-09-18T09:00+01:00 lit", "```",
		" ## TIMELINE ##", "prose within",
		"* 2026-09-18T19:05+01:00 lit -- two starters",
		"   on the left", "\tand one on the right", "",
		"   not of the entry",
		"+ 2026-09-18 20:10:30+01:00 on", "- hello", "- 3:1 vinegar", "### still inside", "- 2026-09-18T20:20+01:00 lid",
		"~~~", "- 2026-09-18T20:30+01:00 lid", "~~~",
		"````", "never closed", "- 2026-09-18T20:40+01:00 lid",
		"    - 2026-09-18T20:50+01:00 nested",
		"## Notes ##", "- 2026-09-18T21:00+01:00 no",
		"## timeline", "- 2026-09-18T22:00+01:00 off",
	}, "\n")
	f, err := Parse("cook.md", []byte("---\n---\n"+text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range f.Cook.Entries {
		got = append(got, fmt.Sprintf("%d %s", e.Line, strings.TrimPrefix(e.String(), "- 2026-09-18T")))
	}
	want := []string{
		"12 19:05+01:00 lit — two starters on the left and one on the right",
		"17 20:10:30+01:00 on",
		"21 20:20+01:00 lid",
		"27 20:40+01:00 lid — - 2026-09-18T20:50+01:00 nested",
		"32 22:00+01:00 off",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s", strings.Join(got, "\n"))
	}
	if want := "# Supper\n## Plan\n- 2026-09-18T08:00+01:00 buy\n```\n## Timeline\n- 2026-09-18T09:00+01:00 lit\n```\n## Notes ##\n- 2026-09-18T21:00+01:00 no"; f.Cook.Prose != want {
		t.Errorf("prose %q", f.Cook.Prose)
	}
	if got, want := fmt.Sprint(f.Problems), "[cook.md:25:1: this block is not closed, so it is read as text; expected ```` where it ends]"; got != want {
		t.Errorf("problems %s", got)
	}
}

func TestAddEntry(t *testing.T) {
	lit, on := "- 2026-09-18T19:05+01:00 lit", "- 2026-09-18T20:10+01:00 on"
	for _, test := range []struct {
		name, body string // body: the text below the front matter
		at, text   string
		want       string
	}{
		{"at its time", "## Timeline\n\n" + lit + "\n" + on + "\n", "2026-09-18T19:30+01:00", "vent",
			"## Timeline\n\n" + lit + "\n- 2026-09-18T19:30+01:00 vent\n" + on + "\n"},
		{"first", "## Timeline\n\n" + on + "\n", "2026-09-18T19:05+01:00", "lit", "## Timeline\n\n" + lit + "\n" + on + "\n"},
		{"last", "## Timeline\n\n" + lit + "\n\n## Notes\n", "2026-09-18T20:10+01:00", "on", "## Timeline\n\n" + lit + "\n" + on + "\n\n## Notes\n"},
		{"after its equal", "## Timeline\n\n" + lit + "\n" + on + "\n", "2026-09-18T19:05+01:00", "vent",
			"## Timeline\n\n" + lit + "\n- 2026-09-18T19:05+01:00 vent\n" + on + "\n"},
		{"no line end", "## Timeline\n\n" + lit, "2026-09-18T20:10+01:00", "on", "## Timeline\n\n" + lit + "\n" + on},
		{"after continued words", "## Timeline\n\n" + lit + "\n  more\n\nprose\n", "2026-09-18T20:10+01:00", "on",
			"## Timeline\n\n" + lit + "\n  more\n" + on + "\n\nprose\n"},
		{"the bullet in use", "## Timeline\n\n *  2026-09-18T19:05+01:00 lit\n", "2026-09-18T20:10+01:00", "on",
			"## Timeline\n\n *  2026-09-18T19:05+01:00 lit\n *  2026-09-18T20:10+01:00 on\n"},
		{"no timeline", "# Notes\n", "2026-09-18T19:05+01:00", "lit", "# Notes\n\n## Timeline\n\n" + lit + "\n"},
		{"no timeline, blank line", "# Notes\n\n", "2026-09-18T19:05+01:00", "lit", "# Notes\n\n## Timeline\n\n" + lit + "\n"},
		{"no timeline, no line end", "# Notes", "2026-09-18T19:05+01:00", "lit", "# Notes\n\n## Timeline\n\n" + lit + "\n"},
		{"empty timeline", "## Timeline\n\n## Notes\n", "2026-09-18T19:05+01:00", "lit", "## Timeline\n\n" + lit + "\n\n## Notes\n"},
		{"empty timeline, heading below", "## Timeline\n## Notes\n", "2026-09-18T19:05+01:00", "lit", "## Timeline\n\n" + lit + "\n\n## Notes\n"},
		{"empty timeline, indented prose", "## Timeline\n  prose\n", "2026-09-18T19:05+01:00", "lit", "## Timeline\n\n" + lit + "\n\n  prose\n"},
		{"heading without line end", "## Timeline", "2026-09-18T19:05+01:00", "lit", "## Timeline\n\n" + lit + "\n"},
		{"before a bare line, in its zone", "## Timeline\n\n" + lit + "\n- 20:10 on\n", "2026-09-18T18:30+00:00", "vent",
			"## Timeline\n\n" + lit + "\n- 2026-09-18T19:30+01:00 vent\n- 20:10 on\n"},
		{"lines out of order", "## Timeline\n\n" + on + "\n" + lit + "\n", "2026-09-18T21:00+01:00", "vent",
			"## Timeline\n\n" + on + "\n- 2026-09-18T21:00+01:00 vent\n" + lit + "\n"},
		{"seconds", "## Timeline\n\n" + lit + "\n", "2026-09-18T19:05:30+01:00", "vent", "## Timeline\n\n" + lit + "\n- 2026-09-18T19:05:30+01:00 vent\n"},
	} {
		t.Run(test.name, func(t *testing.T) {
			for _, nl := range []string{"\n", "\r\n"} {
				style := strings.NewReplacer("\n", nl).Replace
				f, err := Parse("cook.md", []byte(style("---\ntitle: x\n---\n"+test.body)), Options{})
				if err != nil {
					t.Fatal(err)
				}
				e := noted(t, test.at, test.text)
				got, err := f.AddEntry(e)
				if err != nil {
					t.Fatal(err)
				}
				if want := style("---\ntitle: x\n---\n" + test.want); string(got.Bytes()) != want {
					t.Errorf("got  %q\nwant %q", got.Bytes(), want)
				}
				i := slices.IndexFunc(got.Cook.Entries, func(g journal.Entry) bool { return sameEntry(g, e) })
				if i < 0 {
					t.Fatal("the entry is not there")
				}
				if back, err := got.RemoveEntry(i); err != nil {
					t.Error(err)
				} else if len(f.Cook.Entries) > 0 && nl == "\n" && strings.TrimSpace(string(back.Bytes())) != strings.TrimSpace(string(f.Bytes())) {
					t.Errorf("taken back it is %q", back.Bytes())
				}
			}
		})
	}
}

func TestAddEntryBelowABareFence(t *testing.T) {
	f, err := Parse("cook.md", []byte("---\ntitle: x\n---"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	got, err := f.AddEntry(noted(t, "2026-09-18T17:00+00:00", "vent"))
	if err != nil {
		t.Fatal(err)
	}
	if want := "---\ntitle: x\n---\n\n## Timeline\n\n- 2026-09-18T17:00+00:00 vent\n"; string(got.Bytes()) != want {
		t.Errorf("got %q", got.Bytes())
	}
}

func TestAddEntryAcrossBareLines(t *testing.T) {
	// The next 10:00 is over 18 h after 11:00, so 10:00 is read as on the same day.
	text := "---\n---\n## Timeline\n- 2026-09-18T11:00+00:00 on\n- 10:00 lit\n"
	f, err := Parse("cook.md", []byte(text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	got, err := f.AddEntry(noted(t, "2026-09-18T17:00+00:00", "vent"))
	if err != nil {
		t.Fatal(err)
	}
	if want := text + "- 2026-09-18T17:00+00:00 vent\n"; string(got.Bytes()) != want {
		t.Errorf("got %q", got.Bytes())
	}
}

func TestEntryRefused(t *testing.T) {
	f := parse(t, harvest)
	at := f.Cook.Entries[2].Time
	for _, test := range []struct {
		name string
		e    journal.Entry
		want string
	}{
		{"nothing", journal.Entry{Time: at}, "entry: expected a time and something done, read or seen"},
		{"no time", journal.Entry{Words: "x"}, "entry: expected a time and something done, read or seen"},
		{"unknown piece", journal.Entry{Time: at, Items: []journal.Item{{Act: journal.Off, Piece: "third"}}},
			harvestPath + ":35:1: entry \"off third\" would not be read back as it is; check its pieces, and commas and dashes within an item"},
		{"two items in one", journal.Entry{Time: at, Items: []journal.Item{{Act: journal.Vent, Detail: "half, pit 90 °C"}}},
			harvestPath + ":35:1: entry \"vent half, pit 90 °C\" would not be read back as it is; check its pieces, and commas and dashes within an item"},
	} {
		if got, err := f.AddEntry(test.e); err == nil || err.Error() != test.want || got.Bytes() != nil {
			t.Errorf("%s: %v", test.name, err)
		}
	}
	for _, i := range []int{-1, 9} {
		if _, err := f.RemoveEntry(i); err == nil {
			t.Errorf("entry %d was taken out of 9", i)
		}
	}
}

func TestReplaceEntry(t *testing.T) {
	text := "---\n---\n## Timeline\n- 2026-09-18T19:05+01:00 lit\n* 20:10 on\n  late\n- 21:00 vent"
	f, err := Parse("cook.md", []byte(text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		i              int
		at, text, want string
	}{
		{1, "2026-09-18T20:15+01:00", "on -- on time", "- 2026-09-18T19:05+01:00 lit\n* 2026-09-18T20:15+01:00 on — on time\n- 21:00 vent"},
		{2, "2026-09-18T21:00+01:00", "lid", "- 2026-09-18T19:05+01:00 lit\n* 20:10 on\n  late\n- 2026-09-18T21:00+01:00 lid"},
		{2, "2026-09-18T19:30+01:00", "lid", "- 2026-09-18T19:05+01:00 lit\n- 2026-09-18T19:30+01:00 lid\n* 20:10 on\n  late\n"},
		{0, "2026-09-19T19:05+01:00", "lit", "! cook.md:4:1: the edit would change how line 5 is read; give that line its date first"},
	} {
		got, err := f.ReplaceEntry(test.i, noted(t, test.at, test.text))
		if refused, ok := strings.CutPrefix(test.want, "! "); ok {
			if err == nil || err.Error() != refused {
				t.Errorf("error %v, want %s", err, refused)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		if want := "---\n---\n## Timeline\n" + test.want; string(got.Bytes()) != want {
			t.Errorf("got  %q\nwant %q", got.Bytes(), want)
		}
	}
	if _, err := f.RemoveEntry(0); err == nil || err.Error() != "cook.md:4:1: the edit would change how line 5 is read; give that line its date first" {
		t.Errorf("error %v", err)
	}
}
