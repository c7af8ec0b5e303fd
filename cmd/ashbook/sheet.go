package main

import (
	"bufio"
	"fmt"
	"strconv"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/pattern"
	"ashbook/journal/shorthand"
	"ashbook/report/page/paper"

	"github.com/spf13/cobra"
)

const sheetHelp = `Write the sheet of a planned cook, to be printed and filled in with a pencil: a row
an hour from lighting to the meal, the core to expect drawn faintly down it, and
the letters to ring. --cards writes tasting cards for the eaters, four to a sheet;
--blank a sheet without hours.

Next morning --type COOK takes the sheet row by row. The hour stands there; type
the minutes, then the line as you would note it: "10 112 71 68 w v b1 -- pale".
Enter goes to the next hour, "=" in front stays in that hour for a second look,
"19:10 …" goes to another hour, "undo" undoes the last line, "done" ends it.
All is shown once more, and saved as one change.`

func (a *program) sheetCommand() *cobra.Command {
	var w wanted
	var blank, cards, typed bool
	var size string
	cmd := &cobra.Command{
		Use:   "sheet [COOK]",
		Short: "Write a cook sheet or tasting cards for paper, and type a filled sheet in",
		Long:  sheetHelp,
		Example: `  ashbook sheet michaelmas
  ashbook sheet --cards michaelmas --paper letter
  ashbook sheet --type michaelmas`,
		RunE: func(_ *cobra.Command, args []string) error {
			if typed {
				return a.typeSheet(args)
			}
			return a.sheet(args, w, blank, cards, size)
		},
	}
	f := cmd.Flags()
	f.StringVarP(&w.file, "output", "o", "", "the `FILE` to write; - is standard output")
	f.BoolVar(&w.force, "force", false, "replace a file that ashbook did not write")
	f.BoolVar(&blank, "blank", false, "no hours and no curve")
	f.BoolVar(&cards, "cards", false, "tasting cards")
	f.BoolVar(&typed, "type", false, "type a filled sheet in")
	f.StringVar(&size, "paper", "A4", "the `SIZE` of the paper: A4, A5, letter")
	cmd.MarkFlagsMutuallyExclusive("blank", "cards", "type")
	return cmd
}

// paperSize finds the size of paper that was typed.
func paperSize(name string) (paper.Size, error) {
	size, ok := paper.SizeOf(name)
	if !ok {
		return size, hint(usage("--paper: no paper is called %q", name), "--paper A4, A5 or letter")
	}
	return size, nil
}

func (a *program) sheet(args []string, w wanted, blank, cards bool, paperName string) error {
	size, err := paperSize(paperName)
	if err != nil {
		return err
	}
	if blank && len(args) == 0 {
		j, err := a.open()
		if err != nil {
			return err
		}
		return a.writeFile(app.BlankSheet(nil, j.Settings()).Render(size), "sheet", w)
	}
	j, now, c, err := a.plannedCook(args)
	switch {
	case err != nil:
		return err
	case cards:
		return a.writeFile(app.Cards(c).Render(size), c.ID+"-cards", w)
	case blank:
		return a.writeFile(app.BlankSheet(c, j.Settings()).Render(size), c.ID+"-sheet", w)
	}
	pages, err := j.Pages(a.ctx, now, false)
	if err != nil {
		return err
	}
	pages.Learning = a.progress("reading the past")
	s, err := pages.Sheet(a.ctx, c)
	if err != nil {
		return refused(err)
	}
	return a.writeFile(s.Render(size), c.ID+"-sheet", w)
}

// plannedCook reads the cook named, else the next one planned.
func (a *program) plannedCook(args []string) (*app.App, time.Time, *journal.Cook, error) {
	j, now, err := a.openNow()
	if err != nil {
		return nil, now, nil, err
	}
	s, err := a.toMakeReady(j, args, now)
	if err != nil {
		return nil, now, nil, err
	}
	f, err := j.Load(s.ID)
	return j, now, &f.Cook, err
}

func (a *program) typeSheet(args []string) error {
	j, now, c, err := a.plannedCook(args)
	if err != nil {
		return err
	}
	start := time.Time{}
	if !c.Serve.IsZero() {
		pages, err := j.Pages(a.ctx, now, false)
		if err != nil {
			return err
		}
		if plan, err := pages.Plan(a.ctx, c); err == nil {
			start = app.SheetStart(plan)
		}
	}
	t := &typist{printf: a.printf, in: bufio.NewScanner(a.in), cook: *c, settings: j.Settings(), hour: start, day: c.Date()}
	entries, err := t.sheet()
	if err != nil || len(entries) == 0 {
		return err
	}
	if _, err := j.TypeIn(c.ID, entries); err != nil {
		return err
	}
	a.printf("saved: %s in %s\n", measure.Count(len(entries), "line"), c.ID)
	return nil
}

// typist takes a sheet row by row.
type typist struct {
	printf   func(format string, args ...any)
	in       *bufio.Scanner
	cook     journal.Cook // with what has been typed
	settings journal.Settings
	hour     time.Time // of the row; zero: not known yet
	day      time.Time // of the first row, where its hour has to be typed
	typed    []journal.Entry
}

var (
	minutesFirst = pattern.New(`^([0-5]?\d)(?:\s+|$)`)
	clockFirst   = pattern.New(`^(\d{1,2}:\d\d)(?:\s+|$)`)
)

// sheet reads rows until "done" or the end, shows all once more, and returns what
// is to be saved; nothing where the person says no.
func (t *typist) sheet() ([]journal.Entry, error) {
	t.printf("%s. Minutes first, then the line; Enter: next hour; = a second look; undo; done.\n", t.cook.Name())
	for {
		prompt := "hour:minutes "
		if !t.hour.IsZero() {
			prompt = t.hour.Format("Mon 15:")
		}
		line, ok := t.ask(prompt)
		if !ok || strings.EqualFold(line, "done") {
			break
		}
		t.row(line)
	}
	if err := t.in.Err(); err != nil || len(t.typed) == 0 {
		return nil, err
	}
	t.printf("\n")
	for _, e := range t.typed {
		t.printf("%s\n", e.Time.Format(measure.DayClock)+" "+e.Body())
	}
	if _, on := t.cook.OnAt(); !on {
		t.printf("look: no line says \"on\", so the cook has not begun\n")
	}
	if line, ok := t.ask(fmt.Sprintf("Enter saves %s, anything else cancels ", measure.Count(len(t.typed), "line"))); !ok || line != "" {
		t.printf("nothing saved\n")
		return nil, t.in.Err()
	}
	return t.typed, nil
}

func (t *typist) ask(prompt string) (string, bool) {
	t.printf("%s", prompt)
	if !t.in.Scan() {
		t.printf("\n")
		return "", false
	}
	return strings.TrimSpace(t.in.Text()), true
}

// row takes one line typed for the present hour.
func (t *typist) row(line string) {
	again := strings.HasPrefix(line, "=")
	line = strings.TrimSpace(strings.TrimPrefix(line, "="))
	if again && len(t.typed) > 0 && !t.hour.IsZero() {
		t.hour = t.typed[len(t.typed)-1].Time.Truncate(time.Minute)
		t.hour = t.hour.Add(-time.Duration(t.hour.Minute()) * time.Minute)
	}
	switch {
	case line == "" && t.hour.IsZero():
		t.printf("begin with the hour: 18:10 lit\n")
	case line == "":
		t.hour = t.hour.Add(time.Hour)
	case strings.EqualFold(line, "undo"):
		t.undo()
	default:
		t.entry(line)
	}
}

func (t *typist) undo() {
	n := len(t.typed)
	if n == 0 {
		t.printf("nothing typed yet\n")
		return
	}
	last := t.typed[n-1]
	t.typed = t.typed[:n-1]
	for i := len(t.cook.Entries) - 1; i >= 0; i-- {
		if t.cook.Entries[i].Time.Equal(last.Time) && t.cook.Entries[i].String() == last.String() {
			t.cook.Entries = append(append([]journal.Entry{}, t.cook.Entries[:i]...), t.cook.Entries[i+1:]...)
			break
		}
	}
	t.hour = last.Time.Add(-time.Duration(last.Time.Minute()) * time.Minute)
	t.printf("undone: %s\n", last.Time.Format(measure.Clock)+" "+last.Body())
}

// entry reads minutes, or a clock time, and the line behind.
func (t *typist) entry(line string) {
	var at time.Time
	if m := clockFirst.FindStringSubmatch(line); m != nil {
		hour, minute, ok := journal.ParseClock(m[1])
		if !ok {
			t.printf("%q is no time of day\n", m[1])
			return
		}
		from := t.day
		if n := len(t.typed); n > 0 {
			from = t.typed[n-1].Time
		} else if !t.hour.IsZero() {
			from = t.hour.Add(-6 * time.Hour)
		}
		at, line = journal.ClockAfter(from, hour, minute, from.Location()), line[len(m[0]):]
	} else if m := minutesFirst.FindStringSubmatch(line); m != nil && !t.hour.IsZero() {
		minute, _ := strconv.Atoi(m[1])
		at, line = t.hour.Add(time.Duration(minute)*time.Minute), line[len(m[0]):]
	} else {
		t.printf("begin with the minutes (0 to 59), or with the hour: 18:10 lit\n")
		return
	}
	if n := len(t.typed); n > 0 && at.Before(t.typed[n-1].Time) {
		t.printf("times rise: %s is before %s; type undo to remove that line\n", at.Format(measure.Clock), t.typed[n-1].Time.Format(measure.Clock))
		return
	}
	l, err := shorthand.Parse(line, shorthand.Context{Now: at, Settings: t.settings, Cook: &t.cook})
	switch {
	case err != nil:
		t.printf("%s\n", err.Error())
		return
	case l.Undo || len(l.Entry.Items) == 0 && l.Entry.Words == "":
		t.printf("nothing to note in that\n")
		return
	}
	l.Entry.Time = at
	t.printf("      %s\n", l.Understood(t.settings.Units))
	for _, f := range l.Flags {
		t.printf("look: %s\n", f)
	}
	t.typed = append(t.typed, l.Entry)
	t.cook.Entries = append(append([]journal.Entry{}, t.cook.Entries...), l.Entry)
	journal.SortEntries(t.cook.Entries)
	t.hour = at.Add(time.Hour - time.Duration(at.Minute())*time.Minute)
}
