package runsheet

import (
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/measure"
	"ashbook/report/page"
	"ashbook/report/page/text"
	"ashbook/report/provision"
	"ashbook/report/provision/quantity"
	"ashbook/samples/published"
)

var update = flag.Bool("update", false, "write the golden pages")

func pit(name string, kind journal.PitKind, grate float64) provision.Pit {
	return provision.Pit{Pit: journal.Pit{Name: name, Kind: kind, Grate: journal.Grate{Across: measure.Length{Base: grate, Known: grate > 0}}}}
}

// request is a meal for 24 at one o'clock in London, known two days ahead.
func request(t *testing.T, day string) (provision.Request, provision.Known) {
	t.Helper()
	london, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	serve, err := time.ParseInLocation("2006-01-02 15:04", day+" 13:00", london)
	if err != nil {
		t.Fatal(err)
	}
	return provision.Request{
		Serve: serve, Party: quantity.Party{Heads: 24}, Pits: []provision.Pit{pit("drum", journal.Drum, .57)},
		Dishes: []provision.Dish{{Cut: "pork shoulder", Aim: journal.Aim{Pit: measure.Degrees(115, measure.Metric)}}},
	}, provision.Known{Now: serve.AddDate(0, 0, -2).Add(-3 * time.Hour)}
}

func work(t *testing.T, r provision.Request, k provision.Known) *Sheet {
	t.Helper()
	p, err := provision.Work(t.Context(), r, k)
	if err != nil {
		t.Fatal(err)
	}
	return Of(&p, Mixes{})
}

// Steps are sorted and none is in the past. A meal that is too soon shows the result of
// lighting at once, and the ways out.
func TestSteps(t *testing.T) {
	r, k := request(t, "2026-09-19")
	for _, ahead := range []time.Duration{51 * time.Hour, 3 * time.Hour} {
		k.Now = r.Serve.Add(-ahead)
		p := work(t, r, k)
		for i, s := range p.Steps {
			if i > 0 && s.At.Before(p.Steps[i-1].At) {
				t.Errorf("%v before %v", s, p.Steps[i-1])
			}
			if s.At.Before(k.Now) {
				t.Errorf("%s ahead: %v has passed", ahead, s)
			}
		}
		all := text.Render(p.Page(), 0)
		if soon := ahead < 10*time.Hour; strings.Contains(all, "The time to put it on has passed: it was") != soon || strings.Contains(all, "What can still save the meal") != soon || strings.Contains(all, "Too late, or too long in the box") == soon {
			t.Errorf("%s ahead:\n%s", ahead, all)
		}
	}
}

// Every line is valid text, whatever the cut is called.
func TestLinesAreWhole(t *testing.T) {
	r, k := request(t, "2026-09-19")
	r.Dishes[0].Cut, r.Dishes[0].Aim.Core = "épaule\xff\x1b[2J", measure.Degrees(94, measure.Metric)
	for _, line := range strings.Split(text.Render(work(t, r, k).Page(), 60), "\n") {
		if strings.Contains(line, "NaN") || strings.Contains(line, "%!") || strings.Contains(line, "\x1b") || !utf8.ValidString(line) {
			t.Errorf("%q", line)
		}
	}
}

// A name, whatever it contains, is one harmless line in the files and the calendar.
func TestNamesAreHarmless(t *testing.T) {
	const evil = "a\n# b \x1b[2J\u202e"
	r, k := request(t, "2026-09-26")
	k.Now = k.Now.AddDate(0, 0, -4)
	r.Party.Heads, r.Title, r.Dishes[0].Cut, r.Pits[0].Name = 100, evil, evil, evil
	r.Dishes[0].Aim.Core = measure.Degrees(94, measure.Metric)
	p := work(t, r, k)
	cooks := p.Cooks()
	if len(cooks) < 2 {
		t.Fatalf("%d fires: expected several", len(cooks))
	}
	texts := []string{strings.ReplaceAll(string(p.Calendar()), "\r\n", "\n")}
	for _, c := range cooks {
		texts = append(texts, c.Prose)
	}
	for _, text := range texts {
		for i, line := range strings.Split(text, "\n") {
			if page.Clean(line) != line || i > 0 && strings.HasPrefix(line, "# b") {
				t.Errorf("line %d is %q", i+1, line)
			}
		}
	}
}

// The list gives the temperature that probes must read in boiling water here (standard
// atmosphere and Hyland–Wexler, beside a fit to tables: boiling.csv).
func TestBoilingWater(t *testing.T) {
	_, rows := published.Table(t, "boiling.csv")
	for _, row := range rows {
		metres, _ := strconv.ParseFloat(row[0], 64)
		want, _ := strconv.ParseFloat(row[2], 64)
		read, _ := strconv.ParseFloat(row[4], 64)
		r, k := request(t, "2026-09-19")
		k.Settings.Altitude = measure.Length{Base: metres, Known: true, Text: row[0] + " m", Unit: measure.Unit{Symbol: "m", Factor: 1}}
		r.Dishes[0].Aim.Core = measure.Degrees(85, measure.Metric)
		p := work(t, r, k)
		got := 0.0
		if _, err := fmt.Sscanf(p.Tasks[0].Text, "probes: 0 °C in ice and water, %f °C", &got); err != nil {
			t.Fatalf("%q: %v", p.Tasks[0].Text, err)
		}
		if math.Abs(got-want) > .06 || math.Abs(got-read) > .3 {
			t.Errorf("%s m: %.1f °C, computed %.2f, read %.2f", row[0], got, want, read)
		}
	}
}

// If the aim is hotter than a core gets at this altitude, the plan uses the hottest
// core, and its first lines say both (1,609 m: 94.6 °C in the standard atmosphere, less
// 1 K).
func TestAimOverTheBoilingPoint(t *testing.T) {
	r, k := request(t, "2026-09-19")
	k.Settings.Altitude = measure.Length{Base: 1609, Known: true}
	r.Dishes[0].Aim.Core = measure.Degrees(96, measure.Metric)
	p := work(t, r, k)
	lead := strings.Join(p.Page().Lead, "\n")
	for _, want := range []string{"off at a core of 94 °C", "The aim was 96 °C: at this altitude no core gets that hot."} {
		if !strings.Contains(lead, want) {
			t.Errorf("no %q in %s", want, lead)
		}
	}
}

// The files of a plan are read back with both lists, and nothing in them is read as a
// line of the timeline.
func TestCooksAreReadBack(t *testing.T) {
	r, k := request(t, "2026-09-19")
	r.Title = "Harvest supper"
	r.Dishes = append(r.Dishes, provision.Dish{Cut: "brisket", Aim: journal.Aim{Wrap: journal.WrapPlan{Kind: journal.Paper}}})
	p := work(t, r, k)
	for i, c := range p.Cooks() {
		data, err := cookfile.New(c)
		if err != nil {
			t.Fatal(err)
		}
		f, err := cookfile.Parse("2026-09-18-x.md", data, cookfile.Options{})
		if err != nil || len(f.Problems) > 0 {
			t.Fatalf("%v %v\n%s", err, f.Problems, data)
		}
		got := f.Cook
		if !got.Serve.Equal(r.Serve) || got.Heads != 24 || got.Cut != r.Dishes[i].Cut || len(got.Entries) != 0 || len(got.Pieces) != len(c.Pieces) || got.Pit != "drum" {
			t.Errorf("read back as %+v", got)
		}
		tasks := f.Tasks()
		if want := len(p.Tasks); i == 0 && len(tasks) != want || i > 0 && len(tasks) > 0 {
			t.Errorf("%d tasks, want %d", len(tasks), want)
		}
		for j, task := range tasks {
			if task.Text != p.Tasks[j].Text || task.Section != p.Tasks[j].Section || task.Done {
				t.Errorf("task %+v, want %+v", task, p.Tasks[j])
			}
		}
	}
}

// Meat that does not keep in a box is looked at, cut last and held only for a short
// time. The clock, the list and the cook's file say so, and the calendar rings for the
// look.
func TestLook(t *testing.T) {
	r, k := request(t, "2026-09-19")
	r.Dishes = append(r.Dishes, provision.Dish{Cut: "chicken"})
	r.Pits[0].Grate.Across.Base = 1
	p := work(t, r, k)
	at := map[Kind][]Step{}
	for _, s := range p.Steps {
		at[s.Kind] = append(at[s.Kind], s)
	}
	if len(at[Look]) != 1 || !strings.Contains(at[Look][0].What, "look: a core below ") || !strings.Contains(at[Look][0].What, "150 °C (chicken)") {
		t.Fatalf("%+v", at[Look])
	}
	if cut := at[Carve]; len(cut) != 2 || !strings.Contains(cut[0].What, "(pork shoulder)") || !strings.Contains(cut[1].What, "(chicken)") {
		t.Errorf("%+v", cut)
	}
	if !slices.ContainsFunc(at[Box], func(s Step) bool { return strings.Contains(s.Margin, "stays good there for about 1 h") }) {
		t.Errorf("%+v", at[Box])
	}
	if !slices.ContainsFunc(p.Tasks, func(task Task) bool { return strings.HasSuffix(task.Text, at[Look][0].What) }) {
		t.Error("the list does not have the look")
	}
	if prose := p.Cooks()[1].Prose; !strings.Contains(prose, "look: a core below ") {
		t.Error(prose)
	}
	if !strings.Contains(strings.ReplaceAll(string(p.Calendar()), "\r\n ", ""), "SUMMARY:Pork shoulder for 24: look: a core below ") {
		t.Error("the calendar does not have the look")
	}
}

// The pages as printed; -update writes them.
func TestPages(t *testing.T) {
	for _, c := range []struct {
		name  string
		width int
		of    func() (provision.Request, provision.Known)
	}{
		{"four-us-60", 60, func() (provision.Request, provision.Known) {
			r, k := request(t, "2026-09-19")
			r.Party.Heads, k.Settings.Units = 4, measure.US
			r.Dishes[0].Aim.Pit = measure.Degrees(250, measure.US)
			return r, k
		}},
		{"sixty-80", 80, func() (provision.Request, provision.Known) {
			r, k := request(t, "2026-09-19")
			r.Title, r.Party = "Harvest feast", quantity.Party{Heads: 60, Children: 12, Hearty: 6}
			r.Pits = append(r.Pits, pit("brick", journal.Brick, .9))
			r.Dishes = append(r.Dishes, provision.Dish{Cut: "brisket"})
			r.Weather = journal.Weather{Air: measure.Degrees(6, measure.Metric)}
			return r, k
		}},
		{"late-80", 80, func() (provision.Request, provision.Known) {
			r, k := request(t, "2026-09-26")
			k.Now = r.Serve.Add(-8 * time.Hour)
			return r, k
		}},
		{"crowd-132", 132, func() (provision.Request, provision.Known) {
			r, k := request(t, "2026-09-26")
			r.Party.Heads, r.NoBox, r.Frozen = 120, true, true
			k.Now = k.Now.AddDate(0, 0, -4)
			return r, k
		}},
	} {
		r, k := c.of()
		p := work(t, r, k)
		got := text.Render(p.Page(), c.width)
		file := "testdata/" + c.name + ".txt"
		if *update {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs; go test ./report/provision/runsheet -update, then read it", file)
		}
	}
}

// Amounts from the journal's mixes replace the estimates in the shopping list.
func TestMixesInShopping(t *testing.T) {
	r, k := request(t, "2026-09-19")
	rough := strings.Join(work(t, r, k).list(Shopping), "\n")
	for _, want := range []string{"☐ rub, ", "☐ sauce, 1.1 kg", "☐ slaw, 2.2 kg"} {
		if !strings.Contains(rough, want) {
			t.Errorf("no %q in\n%s", want, rough)
		}
	}
	p, err := provision.Work(t.Context(), r, k)
	if err != nil {
		t.Fatal(err)
	}
	s := Of(&p, Mixes{Rub: "hall-rub, 160 g: pepper 160 g", Slaw: "slaw, 2 kg: cabbage 2 kg"})
	got := strings.Join(s.list(Shopping), "\n")
	for _, want := range []string{"☐ hall-rub, 160 g: pepper 160 g", "☐ sauce, 1.1 kg", "☐ slaw, 2 kg: cabbage 2 kg"} {
		if strings.Count(got, want) != 1 {
			t.Errorf("not one %q in\n%s", want, got)
		}
	}
	if strings.Contains(got, "☐ rub") || strings.Contains(got, "2.2 kg") {
		t.Errorf("bought twice:\n%s", got)
	}
	if file := s.Cooks()[0].Prose; !strings.Contains(file, "- [ ] hall-rub, 160 g: pepper 160 g") {
		t.Errorf("not in the file:\n%s", file)
	}
}

// An offset is fed with splits that together weigh the wood bought; a drum is not. At
// 1.5 kg an hour a split of .75 kg goes on every half hour (common practice: one every
// 30 to 60 minutes, no source).
func TestSplits(t *testing.T) {
	r, k := request(t, "2026-09-19")
	if text := facts(work(t, r, k).fireFacts()); strings.Contains(text, "split") {
		t.Errorf("splits for a drum:\n%s", text)
	}
	r.Pits = []provision.Pit{pit("stick", journal.Offset, .9)}
	s := work(t, r, k)
	f := s.Fuel[0]
	if f.Every < 25*time.Minute || f.Every > time.Hour || float64(f.Splits)*provision.Split < f.Buy || float64(f.Splits-1)*provision.Split >= f.Buy {
		t.Errorf("%d splits, one every %s, for %.1f kg at %.2f kg an hour", f.Splits, f.Every, f.Buy, f.Rate)
	}
	if text := facts(s.fireFacts()); !strings.Contains(text, "a split of about 750 g every ") {
		t.Errorf("how it is fed is not said:\n%s", text)
	}
}

// The cost of all meat is shown only if every dish that is bought has a price.
func TestAllCost(t *testing.T) {
	r, k := request(t, "2026-09-19")
	r.Dishes = append(r.Dishes, provision.Dish{Cut: "brisket"})
	r.Money, r.Dishes[0].Price = "£", 10
	s := work(t, r, k)
	if text := facts(s.meatFacts(1)); strings.Contains(text, "all the meat") {
		t.Errorf("the brisket has no price:\n%s", text)
	}
	r.Dishes[1].Price = 20
	s = work(t, r, k)
	want := s.Money(10*s.Meats[0].Buy + 20*s.Meats[1].Buy)
	if text := facts(s.meatFacts(1)); !strings.Contains(text, "all the meat: "+want+", ") || strings.Contains(facts(s.meatFacts(0)), "all the meat") {
		t.Errorf("no %s for all the meat:\n%s", want, text)
	}
}

// Every plan lists the allergens that guests may ask about, including those in the
// mixes.
func TestAllergies(t *testing.T) {
	r, k := request(t, "2026-09-19")
	p, err := provision.Work(t.Context(), r, k)
	if err != nil {
		t.Fatal(err)
	}
	said := Of(&p, Mixes{Hold: []string{"mustard (hall-rub, hall-sauce)", "celery (slaw)"}}).allergies().Value
	for _, want := range []string{"there is mustard (hall-rub, hall-sauce), celery (slaw).", "Buns are of wheat", "1169/2011", "Ask every guest"} {
		if !strings.Contains(said, want) {
			t.Errorf("no %q in %s", want, said)
		}
	}
	p.Request.Serving.Plated = true
	if said = Of(&p, Mixes{}).allergies().Value; strings.Contains(said, "Buns") || strings.Contains(said, "there is") {
		t.Errorf("no buns and no mixes, but: %s", said)
	}
}

// facts returns facts as lines.
func facts(all []page.Fact) string {
	var b strings.Builder
	for _, f := range all {
		b.WriteString(f.Name + ": " + f.Value + "\n")
	}
	return b.String()
}

// If no fire can save a meal, the lists have no fire and no raw meat, but cooked meat
// and an oven for it.
func TestLostPlanShowsNoSteps(t *testing.T) {
	r, k := request(t, "2026-09-19")
	k.Now = r.Serve.Add(-100 * time.Minute)
	p := work(t, r, k)
	if !p.nothing() {
		t.Fatalf("an hour and a half for a shoulder: %+v", p.Hurry)
	}
	for _, task := range p.Tasks {
		if strings.Contains(task.Text, "light ") || strings.Contains(task.Text, "charcoal") || strings.Contains(task.Text, " as ") {
			t.Errorf("%+v", task)
		}
	}
	all := text.Render(p.Page(), 0)
	if !strings.Contains(all, "bought meat that is already cooked, 3.6 kg") || !strings.Contains(all, "oven free to reheat to 74 °C") || strings.Contains(all, "a starting value for such a pit") {
		t.Error(all)
	}
	if says := strings.Join(p.Sentence, " "); strings.Contains(says, "on by") || strings.Contains(says, "charcoal") {
		t.Error(says)
	}
	k.Now = r.Serve.Add(-8 * time.Hour)
	if p := work(t, r, k); p.nothing() || len(p.Tasks) < 8 {
		t.Error("eight hours are enough for an oven")
	}
}
