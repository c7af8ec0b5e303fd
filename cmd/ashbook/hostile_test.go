package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"ashbook/journal"
	"ashbook/tui"
	"ashbook/tui/intent"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

// evil has text of every kind on which a terminal or a browser acts, or that hides or
// reverses its neighbours: ECMA-48 control sequences with ESC and as C1, the operating
// system commands that terminals accept, DEL, the bidirectional marks of Unicode
// Standard Annex 9, line separators, characters without width, the tag characters of
// Unicode 16, section 23.9, and markup.
const evil = "\x1b[31m\x1b]0;x\x07\x1bP\u009b31m\u0085\x7f\r\u202e\u2066\u200f\u2028\u200b\ufeff\U000e0041\U000e007f<script>\"'&copy;"

// evilNow is a time at which one cook of the hostile journal is running.
const evilNow = "2026-05-05T22:00+01:00"

// In this journal every key of every file, every act, cell, name and author has evil in
// it. No command prints it, in text or JSON, and no page or screen shows it.
func TestHostileJournal(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	e := newEvil(t)
	t.Run("commands", e.commands)
	t.Run("lines", e.lines)
	t.Run("pages", e.pages)
	t.Run("served", e.served)
	t.Run("screens", e.screens)
}

type evilJournal struct {
	dir string // folder with the journal hall and tables
	env environment
}

// run runs a command in that folder. It may fail but must not print evil.
func (e *evilJournal) run(t *testing.T, in string, args ...string) (out []byte) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	env := e.env
	env.in, env.out, env.err, env.dir = strings.NewReader(in), &stdout, &stderr, filepath.Join(e.dir, "hall")
	run(context.Background(), append([]string{"--now", evilNow}, args...), env)
	harmlessText(t, fmt.Sprintf("%.60q", args), stdout.String()+stderr.String())
	return stdout.Bytes()
}

// harmlessText fails if the text has a character that evil is made of. It checks
// Unicode categories and does not use the code that cleans.
func harmlessText(t *testing.T, what, text string) {
	t.Helper()
	at := strings.IndexFunc(text, func(r rune) bool {
		return r != '\n' && (unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp))
	})
	if !utf8.ValidString(text) {
		t.Fatalf("%s: not UTF-8", what)
	}
	if at >= 0 {
		t.Fatalf("%s holds %q", what, text[max(0, at-60):min(len(text), at+20)])
	}
}

// commands runs every command.
func (e *evilJournal) commands(t *testing.T) {
	for i, table := range []string{"time,pit " + evil + ",core\n2026-05-05 20:00,110," + evil + "\n" + evil + ",1,2\n2026-05-05 20:05,111,40\n", evil + "\n"} {
		if err := os.WriteFile(filepath.Join(e.dir, fmt.Sprintf("table%d.csv", i)), []byte(table), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for name, text := range map[string]string{
		"past.csv": "date,cut,weight," + evil + "\n2024-07-04,pork " + evil + ",4 kg," + evil + "\n" + evil + ",x,y,z\n",
		"past.txt": "4 July 2024, pork shoulder " + evil + " 4 kg\n18:00 lit " + evil + "\n19:00 on, pit 110\n" + evil + "\n05:00 off " + evil + "\n",
	} {
		if err := os.WriteFile(filepath.Join(e.dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	past, running, planned, broken := evilCooks[0], evilRunning, evilPlanned, evilBroken
	all := map[string][][]string{
		"find":      {{}, {"words"}, {evil}, {"--aside"}, {"--cut", evil}, {"--state", evil}, {"--since", evil}, {"--late"}},
		"show":      {{past}, {running}, {planned}, {broken}, {evil}, {"2026"}},
		"beside":    {{past, running}, {broken, past, planned}, {evil, past}},
		"why":       {{past}, {broken}, {past, "--against", evilCooks[1]}, {past, "--against", evil}},
		"note":      {{evil + "x"}, {"112", "50", "--", evil}, {"--cook", evil, "1"}, {"core", evil, "17"}, {"undo"}, {"--" + evil}},
		"light":     {{evil}, {evil, "--force", "--title", evil}, {planned}, {"brisket", "--pit", evil}, {"brisket", "--piece", evil}, {"brisket", "--serve", evil}},
		"fix":       {{past}, {broken}, {running}, {past, "1", "on, pit 117 -- " + evil}, {past, evil}, {past, "1", "drop"}},
		"aside":     {{past, evil}, {past, "--back"}, {evil}},
		"history":   {{past}, {running}, {broken}, {past, "--at", "1"}, {past, "--at", "2"}, {past, "--bring", "1"}, {evil}},
		"edit":      {{past}, {broken}, {evil}},
		"taste":     {{past, evil, "8", "7", "7", "6", "6+", "8"}, {past, "RT", evil}, {past, "RT", "8", "7", "7", "6", "6+", "8", "--keep", evil}},
		"probe":     {{running, "../table0.csv"}, {running, "../table0.csv", "--look"}, {running, "../table1.csv"}, {evil, "../table0.csv"}, {"../" + evil}, {running, "../table0.csv", "--core", evil}},
		"ready":     {{planned}, {past}, {broken}, {evil}},
		"hold":      {{past}, {running}, {evil}},
		"mix":       {{}, {"rub"}, {"rub", "--for", past}, {"rub", "--meat", evil}, {evil}},
		"pit":       {{}, {evilPit}, {evil}},
		"matters":   {{}, {"overall"}, {evil}},
		"hindsight": {{"--moments"}},
		"workback":  {{"--serve", "sat 13:00", "--heads", "24"}, {"--serve", "sat 13:00", "--heads", "24", "--title", evil, "--pit", evilPit, "--save"}, {"--replay"}, {"--serve", evil}, {"--serve", "sat 13:00", "--heads", evil}},
		"sheet":     {{planned, "-o", "-"}, {running, "-o", "-", "--cards"}, {planned, "-o", "-", "--blank"}, {planned, "--type"}, {evil}},
		"page":      {{evil}, {past, "-o", "../" + evil}},
		"check":     {{}},
		"merge":     {{"../base.md", "../ours.md", "../theirs.md", "cooks/2026/" + past + ".md"}, {evil, evil, evil, evil}},
		"sync":      {{}, {evil}, {"../" + evil + ".git"}, {"--dry-run"}, {"--limit", evil}, {"ssh://" + evil}, {"--", "-" + evil}},
		"import":    {{"../table0.csv"}, {"../table1.csv"}, {"../past.csv"}, {"../past.csv", "--column", "words=" + evil}, {"../past.txt"}, {"../past.txt", "--save"}, {"../" + evil}},
		"init":      {{}, {"../" + evil}, {"--units", evil}},
		"try":       {{evil}, {"--keep", "."}},
		"man":       {{evil}},
		evil:        {{}},
	}
	a := &program{environment: e.env}
	for _, c := range a.root().Commands() {
		if all[c.Name()] == nil {
			t.Errorf("%s is not run", c.Name())
		}
	}
	typed := "18:10 lit " + evil + "\n20 112 -- " + evil + "\n" + evil + "\n99:99 x\n30 core " + evil + " 17\nundo\ndone\n\n"
	for name, runs := range all {
		for _, args := range runs {
			e.run(t, typed, append([]string{name}, args...)...)
			out := e.run(t, typed, append([]string{name, "--json"}, args...)...)
			if len(out) > 0 && out[0] == '{' && !json.Valid(out) {
				t.Errorf("%s %q: no JSON", name, args)
			}
		}
	}
	var shown struct{ Cook struct{ Title string } }
	if err := json.Unmarshal(e.run(t, "", "show", past, "--json"), &shown); err != nil || shown.Cook.Title != evil+"title" {
		t.Errorf("JSON has the title %q (%v), the file %q", shown.Cook.Title, err, evil+"title")
	}
}

// lines runs ashbook line by line.
func (e *evilJournal) lines(t *testing.T) {
	said := []string{"help", "find", "cooks", "find words"}
	for n := range 7 {
		said = append(said, "cooks", fmt.Sprint(n+1), "now", "what if", "hold", "why", "page", evil, "yes", "112 50 -- "+evil, "undo", "taste", evil, "\x1bR", "8", "7", "", "", "", "", evil, "", "", "weights", "5 kg", "", "")
	}
	said = append(said, "matters", "matters "+evil, "pit", "pit "+evilPit, "pit "+evil, "hindsight", "light "+evil, "open "+evil, "q")
	e.run(t, strings.Join(said, "\n")+"\n", "--plain")
}

// pages writes every page, the calendar, and the whole folder of pages.
func (e *evilJournal) pages(t *testing.T) {
	past, other := evilCooks[0], evilCooks[1]
	for _, args := range [][]string{
		{past}, {evilBroken}, {evilRunning}, {evilPlanned}, {past, other}, {"--plan", evilPlanned}, {"--why", past}, {"--matters"}, {"--matters=overall"}, {"--pit"}, {"--year", "2026"}, {past, "--private"},
	} {
		out := string(e.run(t, "", append([]string{"page", "-o", "-"}, args...)...))
		if strings.Contains(out, "<script") || !strings.Contains(out, "</html>") {
			t.Errorf("page %q:\n%.300s", args, out)
		}
	}
	all := filepath.Join(e.dir, "site")
	e.run(t, "", "page", "--all", all)
	e.run(t, "", "workback", "--serve", "sat 13:00", "--heads", "24", "--title", evil, "--ics", filepath.Join(e.dir, "plan.ics"))
	files, _ := filepath.Glob(filepath.Join(all, "*.html"))
	for _, f := range append(files, filepath.Join(e.dir, "plan.ics")) {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		text := string(data)
		if strings.HasSuffix(f, ".ics") { // its lines end in CR LF (RFC 5545, section 3.1)
			text = strings.ReplaceAll(text, "\r\n", "\n")
		}
		harmlessText(t, filepath.Base(f), text)
		if strings.Contains(text, "<script") && !strings.HasSuffix(f, ".ics") {
			t.Errorf("%s holds a script", filepath.Base(f))
		}
		for _, m := range evilLink.FindAllStringSubmatch(text, -1) {
			name, err := url.PathUnescape(html.UnescapeString(m[1]))
			if _, err2 := os.Stat(filepath.Join(all, name)); err != nil || err2 != nil {
				t.Errorf("%s leads to %q: %v, %v", filepath.Base(f), m[1], err, err2)
			}
		}
	}
	if len(files) < 7 {
		t.Errorf("--all wrote %d files", len(files))
	}
}

var evilLink = regexp.MustCompile(`<a href="([^"#]+[.]html)"`)

// screens opens every place with every cook, and presses keys there.
func (e *evilJournal) screens(t *testing.T) {
	const w, h = 80, 24
	now, err := time.Parse("2006-01-02T15:04Z07:00", evilNow)
	if err != nil {
		t.Fatal(err)
	}
	env := e.env
	env.dir, env.now = filepath.Join(e.dir, "hall"), func() time.Time { return now }
	a := &program{environment: env, ctx: still{context.Background()}, clock: evilNow}
	p, err := a.outside()
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		p.Close()
		if err := a.close(); err != nil {
			t.Error(err)
		}
	}()
	for place := range intent.Places {
		if place == intent.FirstRun { // needs that there is no journal
			continue
		}
		for _, id := range []string{evilCooks[0], evilRunning, evilPlanned, evilBroken, "2026-01-01-" + evil} {
			d := tuitest.Start(tui.New(p, tui.Options{Look: style.Options{}, Place: place, Cook: id}), nil, w, h)
			for _, key := range []string{"", "f1", "esc", "down", "down", "right", "enter", "tab", "enter", "ctrl+f", "esc", "up", evil, "enter", "enter", "esc", "ctrl+o", "end", "enter"} {
				switch key {
				case "":
				case evil:
					d.Paste(evil)
				default:
					d.Press(key)
				}
				tuitest.Fits(t, d.Frame(), w, h)
				if t.Failed() {
					t.Fatalf("place %d of %.40q after %.20q", place, id, key)
				}
			}
		}
	}
}

// The cooks of the hostile journal. The pit is a file of that name.
const (
	evilRunning = "2026-05-05-running"
	evilPlanned = "2026-05-09-planned"
	evilBroken  = "2026-05-03-broken"
	evilPit     = "brick" + evil
)

// The name of the last one has as much of evil as a file name of a cook may have.
var evilCooks = []string{"2026-04-01-ok1", "2026-04-05-ok2", "2026-04-09-" + strings.Map(func(r rune) rune {
	if r < ' ' || r == '\x7f' || strings.ContainsRune("<>\"", r) {
		return -1
	}
	return r
}, evil)}

// newEvil writes the hostile journal. Its keys are those of FORMAT.md, which a test of
// that file compares with the code.
func newEvil(t *testing.T) *evilJournal {
	e := &evilJournal{dir: t.TempDir()}
	editor := filepath.Join(e.dir, "editor")
	e.env = testEnvironment(t, e.dir)
	getenv := e.env.getenv
	e.env.getenv = func(k string) string {
		if k == "EDITOR" {
			return "sh " + editor
		}
		return getenv(k)
	}
	hall := filepath.Join(e.dir, "hall")
	e.env.dir = e.dir
	if code := run(context.Background(), []string{"--now", "2026-05-05T12:00+01:00", "init", "hall"}, e.env); code != exitFine {
		t.Fatalf("init: %d", code)
	}
	format := formatTables(t)
	write := func(name, text string) {
		t.Helper()
		path := filepath.Join(hall, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("../editor", "printf '"+strings.ReplaceAll(evil, "'", "")+": [\\n' >> \"$1\"\n")
	for i, id := range evilCooks {
		write("cooks/2026/"+id+".md", format.cook(id, true)+format.timeline(id[:10], i, true))
	}
	write("cooks/2026/"+evilRunning+".md", format.cook(evilRunning, true)+format.timeline(evilRunning[:10], 0, false))
	write("cooks/2026/"+evilPlanned+".md", format.cook(evilPlanned, true)+"\n## "+evil+"\n\n- [ ] "+evil+"\n- [x] task "+evil+"\n")
	write("cooks/2026/"+evilBroken+".md", format.cook(evilBroken, false)+format.timeline(evilBroken[:10], 0, true)+"- "+evil+"\n- 2026-05-04T09:00+01:00 "+evil+"\n\n```\n")
	for i, id := range []string{evilCooks[0], evilRunning} {
		write("cooks/2026/"+id+".csv", fmt.Sprintf("time,pit_c,core_%s_c,%[1]s\n%sT20:0%d:00+01:00,110,40,%[1]s\n%[1]s,1,2,3\n%[2]sT20:05:00+01:00,%[1]s,41,\n", evil+"name", id[:10], i))
	}
	for _, name := range []string{"2026-05-06-" + evil, "2026-05-07-\u202ex", "no cook " + evil, "2026-05-08-\U000e0041"} {
		write("cooks/2026/"+name+".md", "---\ntitle: x\n---\n")
	}
	write("journal.md", "---\n"+format.keys("journal.md", "", false)+"---\n"+evil+"\n")
	write("pits/"+evilPit+".md", "---\nkind: kettle\n"+format.keys("A pit", "own ", false)+"---\n"+evil+"\n")
	write("pits/drum.md", "---\n"+format.keys("A pit", "", false)+"---\n")
	for _, name := range []string{"rub", evil + "rub"} {
		write("mixes/"+name+".md", "---\nfor: 1 kg meat\nparts: {"+quoted("salt")+": 10 g, sugar: "+quoted("x")+", pepper: 3 g}\nsalt: "+quoted("x")+"\n"+quoted("own")+": 1\n---\n# "+evil+"\n"+evil+"\n")
	}
	base := format.cook("base", true)
	write("../base.md", base)
	write("../ours.md", strings.Replace(base, "title: ", "title: x", 1))
	write("../theirs.md", strings.Replace(base, "title: ", "title: y", 1))
	git := func(args ...string) {
		t.Helper()
		cmd := exec.Command("git", args...)
		cmd.Dir = hall
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("git: %v\n%s", err, out)
		}
	}
	git("add", ".")
	git("-c", "user.name=A"+strings.ReplaceAll(evil, "<script>", "")+"B", "-c", "user.email=a"+"\u202e\u009b\x7f"+"@localhost", "commit", "-qm", evil)
	return e
}

// quoted returns evil and a word, quoted as in YAML 1.2.
func quoted(word string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range evil + word {
		switch {
		case r == '"' || r == '\\':
			b.WriteString(`\` + string(r))
		case r < ' ' || r > '~':
			fmt.Fprintf(&b, `\U%08x`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// evilFormat is the tables of FORMAT.md: by heading, pairs of a key and the kind of its
// value.
type evilFormat map[string][][2]string

func formatTables(t *testing.T) evilFormat {
	data, err := os.ReadFile(filepath.Join("..", "..", "journal", "cookfile", "FORMAT.md"))
	if err != nil {
		t.Fatal(err)
	}
	out, heading := evilFormat{}, ""
	for line := range strings.Lines(string(data)) {
		cells := strings.Split(line, "|")
		switch {
		case strings.HasPrefix(line, "#"):
			heading = strings.Trim(line, "# \n")
		case len(cells) > 3 && strings.HasPrefix(cells[1], " `"):
			out[heading] = append(out[heading], [2]string{strings.Trim(cells[1], " `"), strings.TrimSpace(cells[2])})
		}
	}
	if len(out["A cook"]) < 15 || len(out["tasting"]) < 5 {
		t.Fatalf("FORMAT.md was not understood: %v", out)
	}
	return out
}

// right has a valid value of each kind.
var right = map[string]string{
	"time": "2026-05-09T13:00+01:00", "temperature": "71 °C", "weight": "4.7 kg", "length": "13 cm", "duration": "14 h", "speed": "5 m/s",
	"rate": "10 g/kg", "share": "80 %", "score": "7", "whole number": "8", "wrap": "paper at 72 °C",
}

// keys writes all keys of a table. Words are evil, and so are the other values unless
// understood is set.
func (f evilFormat) keys(heading, before string, understood bool) string {
	var b strings.Builder
	for _, k := range f[heading] {
		value := quoted(k[0])
		switch {
		case k[1] == "keys" && understood:
			value = "{" + f.row(k[0], understood) + "}"
		case k[1] == "list" && understood:
			value = "[{" + f.row(k[0], understood) + "}]"
		case k[0] == "pit" && understood:
			value = strings.Replace(quoted(""), `"`, `"brick`, 1)
		case k[0] == "aside" && understood:
			continue
		case understood && right[k[1]] != "":
			value = right[k[1]]
		}
		fmt.Fprintf(&b, "%s%s: %s\n", before, k[0], value)
	}
	return b.String()
}

// row writes the keys of a table in braces.
func (f evilFormat) row(heading string, understood bool) string {
	return strings.ReplaceAll(strings.TrimSpace(f.keys(heading, "", understood)), "\n", ", ")
}

// cook writes the front matter and the prose of a cook.
func (f evilFormat) cook(id string, understood bool) string {
	out := "---\nashbook: 1\n" + f.keys("A cook", "", understood)
	if !understood {
		for _, table := range []string{"pieces", "salted", "rub", "wood", "fuel", "aim", "weather", "yield", "tasting", "also"} {
			out += "own " + table + ": {" + f.row(table, false) + "}\n"
		}
	}
	out += quoted("key") + ": " + quoted("value") + "\nalso: [{title: " + quoted("lost") + ", by: " + quoted("by") + ", at: 2026-05-01T10:00+01:00}]\n---\n\n# " + evil + " " + id + "\n\n" + evil + " prose [x](" + evil + ")\n\n## List " + evil + "\n\n- [ ] " + evil + "\n"
	return out
}

// timeline writes every act, followed by evil, and evil words. The heavier the cook,
// the more hours it covers.
func (f evilFormat) timeline(day string, i int, over bool) string {
	start, err := time.Parse(time.DateOnly+"T15:04Z07:00", day+"T17:00+01:00")
	if err != nil {
		panic(err)
	}
	var b strings.Builder
	b.WriteString("\n## Timeline\n\n")
	line := func(after time.Duration, text string) {
		fmt.Fprintf(&b, "- %s %s — %s words\n", journal.FormatTime(start.Add(after)), text, evil)
	}
	line(0, "lit")
	line(time.Hour, "on, pit 112 °C")
	line(2*time.Hour, "core 40 °C, pit 110 °C")
	for n, act := range journal.Acts() {
		if act > journal.On && act < journal.Vent { // these acts end the cook
			continue
		}
		line(2*time.Hour+time.Duration(n)*time.Minute, act.Word()+" "+evil)
	}
	line(3*time.Hour, "wood "+evil+" 90 g, vent "+evil+", photo "+evil+".jpg, by "+evil)
	if over {
		line(9*time.Hour, "core 68 °C, wrap paper")
		line(time.Duration(11+i)*time.Hour, "core 93 °C, off")
		line(time.Duration(12+i)*time.Hour, "boxed, core 88 °C")
		line(18*time.Hour, "served")
	}
	return b.String()
}
