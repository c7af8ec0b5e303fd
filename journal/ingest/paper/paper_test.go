package paper

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
)

var zone = time.FixedZone("", 3600)

func options(units string) Options {
	opt := Options{Units: measure.Metric, Zone: zone, Now: time.Date(2026, 1, 15, 12, 0, 0, 0, zone)}
	if units == "us" {
		opt.Units = measure.US
	}
	return opt
}

// example is a text and the fields that its cooks must have: field → value.
type example struct {
	line  int
	units string
	text  string
	want  []map[string]string
}

func examples(t *testing.T, name string) []example {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	var all []example
	answers := true
	for i, l := range strings.Split(string(data), "\n") {
		switch n := len(all); {
		case strings.HasPrefix(l, "=== "):
			all = append(all, example{line: i + 1, units: l[4:]})
			answers = false
		case n == 0 || l == "" && answers:
		case l == "---" && !answers:
			answers = true
		case answers:
			fields := map[string]string{}
			for f := range strings.SplitSeq(l, "; ") {
				k, v, _ := strings.Cut(f, "=")
				fields[k] = v
			}
			all[n-1].want = append(all[n-1].want, fields)
		default:
			all[n-1].text += l + "\n"
		}
	}
	return all
}

// facts returns the fields of a cook, written as in the examples.
func facts(c Cook, units measure.System) map[string]string {
	f := map[string]string{}
	set := func(k, v string) {
		if v != "" {
			f[k] = v
		}
	}
	temp := func(q measure.Temperature) string {
		if !q.Known {
			return ""
		}
		if s := fmt.Sprintf("%.0f", q.Unit.From(q.Base)); q.Unit.System == measure.US {
			return s
		} else {
			return s + " C"
		}
	}
	if !c.Day.IsZero() {
		f["day"] = c.Day.Format(time.DateOnly)
	}
	if c.Title != titleOf(c.Cut) {
		set("title", c.Title)
	}
	set("cut", c.Cut)
	var raw, trimmed []string
	for _, p := range c.Pieces {
		if p.Raw.Known {
			raw = append(raw, weight(p.Raw))
		}
		if p.Trimmed.Known {
			trimmed = append(trimmed, weight(p.Trimmed))
		}
	}
	set("weight", strings.Join(raw, " + "))
	set("trimmed", strings.Join(trimmed, " + "))
	at := func(a journal.Act) time.Time {
		for _, e := range c.Entries {
			if _, ok := e.Item(a); ok {
				return e.Time
			}
		}
		return time.Time{}
	}
	clock := func(k string, t time.Time) {
		if !t.IsZero() {
			f[k] = t.Format("15:04")
		}
	}
	clock("on", at(journal.On))
	clock("off", at(journal.Off))
	clock("served", at(journal.Served))
	clock("wrapped", at(journal.PutWrap))
	off := at(journal.Off)
	if !at(journal.On).IsZero() && !off.IsZero() {
		d := off.Sub(at(journal.On))
		f["took"] = fmt.Sprintf("%d:%02d", int(d.Hours()), int(d.Minutes())%60)
	}
	for _, e := range c.Entries {
		for _, it := range e.Items {
			switch {
			case it.Act == journal.ReadCore && e.Time.Equal(off):
				f["done"] = temp(it.Temp)
			case it.Act == journal.ReadCore && f["core"] == "":
				f["core"] = e.Time.Format("15:04") + " " + temp(it.Temp)
			}
		}
		if e.Words == "rested until now" || !at(journal.Unboxed).IsZero() && e.Time.Equal(at(journal.Unboxed)) {
			d := e.Time.Sub(off)
			f["rest"] = fmt.Sprintf("%d:%02d", int(d.Hours()), int(d.Minutes())%60)
		}
	}
	set("wrap", string(c.Aim.Wrap.Kind))
	if c.Aim.Wrap.Bare {
		f["wrap"] = "none"
	}
	set("pit temperature", temp(c.Aim.Pit))
	set("pit", c.Pit)
	set("fuel", c.Fuel.Kind)
	set("rub", c.Rub.Mix)
	if c.Weather.Air.Known {
		f["air"] = temp(c.Weather.Air) + map[bool]string{true: " F"}[c.Weather.Air.Unit.System == measure.US]
	}
	if c.Heads > 0 {
		f["people"] = fmt.Sprint(c.Heads)
	}
	var wood []string
	for _, w := range c.Wood {
		wood = append(wood, w.Kind)
	}
	set("wood", strings.Join(wood, ","))
	return f
}

func weight(m measure.Mass) string {
	fields := strings.Fields(strings.Replace(m.String(), ",", ".", 1))
	if strings.Contains(fields[0], ".") {
		fields[0] = strings.TrimRight(strings.TrimRight(fields[0], "0"), ".")
	}
	return strings.Join(fields, " ")
}

// follows are fields computed from others, which an example may leave out.
var follows = []string{"took", "on", "off"}

// A text that writes its units is read the same in a journal with other units.
func TestUnitsOfTheText(t *testing.T) {
	for text, want := range map[string]map[string]string{
		"8 lb butt on at 10pm, 165 at 4, foiled, 203 by 11":         {"weight": "8 lb", "core": "04:00 165", "done": "203"},
		"butt on at 10pm, 165 at 4, foiled, 203 by 11, pit at 250":  {"core": "04:00 165", "done": "203"},
		"4 kg butt on at 22:00, 74 at 4:00, foiled, 95 by 11:00":    {"weight": "4 kg", "core": "04:00 74 C", "done": "95 C"},
		"date,cut,weight lb,pit F\n7/4/2024,pork butt,8.5,250\n":    {"day": "2024-07-04", "weight": "8.5 lb", "pit temperature": "250"},
		"date,cut,kg,pit,off at C\n4/7/2024,shoulder,3.9,drum,95\n": {"day": "2024-07-04", "weight": "3.9 kg", "pit": "drum"},
	} {
		for _, units := range []string{"us", "metric"} {
			if units == "us" && strings.HasPrefix(text, "butt") {
				continue
			}
			opt := options(units)
			opt.Day = time.Date(2024, 1, 2, 0, 0, 0, 0, zone)
			s, err := Read(text, opt)
			if err != nil || len(s.Cooks) != 1 {
				t.Fatalf("%q: %v, %d cooks", text, err, len(s.Cooks))
			}
			opt.hear(text)
			got := facts(s.Cooks[0], opt.Units)
			for k, v := range want {
				if norm(got[k]) != norm(v) {
					t.Errorf("%q in a journal of %s: %s is %q, want %q", text, units, k, got[k], v)
				}
			}
		}
	}
	s, err := Read("date,cut,lb\n2024-09-01,brisket,13\n", options("us"))
	if err != nil || len(s.Asks) > 0 {
		t.Errorf("a day that cannot be turned round is asked: %q %v", s.Asks, err)
	}
}

func judge(t *testing.T, name string) (right, asked, wrong int) {
	for _, ex := range examples(t, name) {
		opt := options(ex.units)
		dated := slices.ContainsFunc(ex.want, func(w map[string]string) bool { return w["day"] != "" })
		if !dated {
			s, err := Read(ex.text, opt)
			if err != nil || s.Cooks[0].Usable() {
				t.Errorf("%s:%d: a day was made up", name, ex.line)
			}
			opt.Day = time.Date(2024, 1, 2, 0, 0, 0, 0, zone)
		}
		s, err := Read(ex.text, opt)
		if err != nil {
			t.Errorf("%s:%d: %v", name, ex.line, err)
			for _, w := range ex.want {
				asked += len(w)
			}
			continue
		}
		if len(s.Cooks) != len(ex.want) {
			t.Errorf("%s:%d: %d cooks, want %d", name, ex.line, len(s.Cooks), len(ex.want))
			for _, w := range ex.want {
				asked += len(w)
			}
			continue
		}
		for i, c := range s.Cooks {
			got, want := facts(c, opt.Units), ex.want[i]
			for k, v := range want {
				if _, words := want["words"]; words && k == "words" {
					continue
				}
				switch w := norm(got[k]); {
				case w == norm(v):
					right++
				case got[k] == "":
					asked++
					t.Logf("%s:%d.%d: %s missing, want %q; left %q, asks %q", name, ex.line, i+1, k, v, c.Left, c.Asks)
				default:
					wrong++
					t.Errorf("%s:%d.%d: %s is %q, want %q", name, ex.line, i+1, k, got[k], v)
				}
			}
			for k, v := range got {
				_, ok := want[k]
				_, took := want["took"]
				if !ok && !(k == "took" || k == "wrapped" || took && slices.Contains(follows, k)) && !(k == "day" && !dated) {
					wrong++
					t.Errorf("%s:%d.%d: %s is %q, which nobody wrote", name, ex.line, i+1, k, v)
				}
			}
			if c.Usable() {
				if _, err := cookfile.New(c.Cook); err != nil {
					t.Errorf("%s:%d.%d: %v", name, ex.line, i+1, err)
				}
			}
		}
	}
	t.Logf("%s: right %d, asked %d, wrong %d", name, right, asked, wrong)
	return right, asked, wrong
}

func norm(s string) string {
	s = strings.ToLower(strings.TrimSuffix(s, " F"))
	s = strings.TrimSuffix(strings.ReplaceAll(s, "lbs", "lb"), " f")
	return strings.TrimLeft(strings.ReplaceAll(s, " 0", " "), "0")
}

func TestNotes(t *testing.T)       { judge(t, "notes.txt") }
func TestTables(t *testing.T)      { judge(t, "tables.txt") }
func TestLaterNotes(t *testing.T)  { judge(t, "notes2.txt") }
func TestLaterTables(t *testing.T) { judge(t, "tables2.txt") }
func TestLastNotes(t *testing.T)   { judge(t, "notes3.txt") }
func TestLastTables(t *testing.T)  { judge(t, "tables3.txt") }

// Every cook that can be saved is written and read back unchanged, and its prose has
// all of the text it came from.
func FuzzRead(f *testing.F) {
	for _, name := range []string{"notes.txt", "tables.txt", "notes2.txt", "tables2.txt", "notes3.txt", "tables3.txt"} {
		data, err := os.ReadFile("testdata/" + name)
		if err != nil {
			f.Fatal(err)
		}
		for ex := range strings.SplitSeq(string(data), "=== ") {
			text, _, _ := strings.Cut(ex, "\n---")
			f.Add(text, strings.HasPrefix(text, "us"))
		}
	}
	f.Fuzz(func(t *testing.T, text string, us bool) {
		opt := options(map[bool]string{true: "us", false: "metric"}[us])
		s, err := Read(text, opt)
		if err != nil {
			return
		}
		for _, c := range s.Cooks {
			if !c.Usable() {
				continue
			}
			if _, err := cookfile.New(c.Cook); err != nil {
				t.Errorf("%q: %v", text, err)
			}
			for _, e := range c.Entries {
				if e.Time.Before(c.Day.AddDate(0, 0, -3)) {
					t.Errorf("%q: an entry at %s of a cook of %s", text, e.Time, c.Day)
				}
			}
		}
	})
}
