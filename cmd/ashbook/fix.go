package main

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/journal/shorthand"
	"ashbook/report/page"
	"ashbook/report/page/text"

	"github.com/spf13/cobra"
)

const fixHelp = `Correct an entry of a cook. ENTRY is its clock time, or its line in the file;
without it the entries are listed. The new line is written as for note: it may be
the time alone, and without a time it keeps the one it had. A clock time is the
one nearest to the old; -20 is twenty minutes before it.

--drop takes the entry out. Either way all else in the file stays as it is, and
what was there stays in history: "ashbook history COOK".`

func (a *app) fixCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "fix COOK [ENTRY [NEW LINE | --drop]]",
		Short: "Correct an entry of a cook, or its time, or take it out",
		Long:  fixHelp,
		Example: `  ashbook fix harvest
  ashbook fix harvest 23:40 pit 112 core 71
  ashbook fix harvest 23:40 23:20
  ashbook fix harvest 23:40 --drop`,
		DisableFlagParsing: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			drop := false
			words, after, help, err := a.lineArgs("fix", args, nil, map[string]*bool{"--drop": &drop})
			switch {
			case err != nil:
				return err
			case help || len(words) == 0:
				return cmd.Help()
			case len(words) == 1:
				return a.entries(words[0])
			}
			return a.fix(words[0], words[1], strings.TrimSpace(strings.Join(words[2:], " ")+after), drop)
		},
	}
}

// entries lists the entries of a cook with their lines in the file.
func (a *app) entries(cook string) error {
	_, _, f, err := a.openCook(strings.Fields(cook))
	if err != nil {
		return err
	}
	if a.json {
		out := struct {
			Cook    string        `json:"cook"`
			Entries []entryRecord `json:"entries"`
		}{f.Cook.ID, []entryRecord{}}
		for _, e := range f.Cook.Entries {
			out.Entries = append(out.Entries, entryOf(e))
		}
		return a.printJSON(out)
	}
	p := page.Page{Title: f.Cook.Name(), Aside: f.Cook.ID}
	table := page.Table{Columns: []page.Column{{Title: "line", Right: true}, {}, {}}}
	for _, e := range f.Cook.Entries {
		table.Rows = append(table.Rows, page.Row{Cells: []string{strconv.Itoa(e.Line), e.Time.Format("Mon 15:04"), e.Body()}})
	}
	p.Add(page.Section{Table: table})
	a.printf("%s", text.Render(p, a.width()))
	return nil
}

// fixRecord is the shape of --json.
type fixRecord struct {
	Cook    string   `json:"cook"`
	Was     string   `json:"was"`
	Line    string   `json:"line,omitempty"`
	Flags   []string `json:"flags"`
	Dropped bool     `json:"dropped"`
}

func (a *app) fix(cook, entry, line string, drop bool) error {
	switch {
	case drop && line != "":
		return usage("--drop takes the entry out: no new line goes with it")
	case !drop && line == "":
		return hint(usage("what the entry should say is missing"), "ashbook fix "+cook+" "+entry+" 112 71, or --drop")
	}
	j, now, f, err := a.openCook(strings.Fields(cook))
	if err != nil {
		return err
	}
	id := f.Cook.ID
	old, err := entryNamed(&f.Cook, entry)
	if err != nil {
		return hint(err, "ashbook fix "+cook)
	}
	var got mended
	if drop {
		got, err = dropEntry(j, id, old)
	} else {
		got, err = mendEntry(j, id, old, line, now)
	}
	if err != nil {
		return err
	}
	if a.json {
		r := fixRecord{Cook: id, Was: got.was.String(), Flags: notNil(got.flags), Dropped: got.dropped}
		if !got.dropped {
			r.Line = got.is.String()
		}
		return a.printJSON(r)
	}
	a.printf("was: %s\n", page.Clean(told(got.was, got.is)))
	if got.dropped {
		a.printf("now: taken out\n")
	} else {
		a.printf("now: %s\n", page.Clean(told(got.is, got.was)))
	}
	for _, f := range got.flags {
		a.printf("look: %s\n", page.Clean(f))
	}
	return nil
}

// told prints an entry, with its day where another entry beside it has another.
func told(e, beside journal.Entry) string {
	if beside.Time.IsZero() || e.Time.Format(time.DateOnly) == beside.Time.Format(time.DateOnly) {
		return clock(e)
	}
	return e.Time.Format("Mon ") + clock(e)
}

// entryNamed finds the entry of a clock time, or of a line of the file.
func entryNamed(c *journal.Cook, name string) (journal.Entry, error) {
	hour, minute, isClock := journal.ParseClock(name)
	number, err := strconv.Atoi(name)
	if !isClock && err != nil {
		return journal.Entry{}, usage("entry %q: expected its clock time such as 23:40, or its line in the file", name)
	}
	var found []journal.Entry
	var lines []string
	for _, e := range c.Entries {
		if isClock && e.Time.Hour() == hour && e.Time.Minute() == minute || !isClock && e.Line == number {
			found = append(found, e)
			lines = append(lines, strconv.Itoa(e.Line))
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return journal.Entry{}, usage("no entry of %s is at %s", c.ID, name)
	}
	return journal.Entry{}, usage("%d entries are at %s: lines %s; name one by its line", len(found), name, strings.Join(lines, ", "))
}

// mended is what became of an entry.
type mended struct {
	was, is journal.Entry // is is zero where it was taken out
	flags   []string
	dropped bool
	file    cookfile.File

	before, after []byte // of the file
}

// mendEntry puts what a line says in place of an entry.
func mendEntry(j *folder.Folder, id string, old journal.Entry, line string, now time.Time) (mended, error) {
	out := mended{was: old}
	settings := settingsOf(j)
	err := out.edit(j, id, func(f cookfile.File, at int) (cookfile.File, error) {
		l, err := shorthand.Mend(line, f.Cook.Entries[at], shorthand.Context{Now: now, Settings: settings, Cook: &f.Cook})
		if err != nil {
			return cookfile.File{}, hint(usage("%v", err), "ashbook note --help")
		}
		out.is, out.flags = l.Entry, l.Flags
		return f.ReplaceEntry(at, l.Entry)
	}, id+": corrected: "+clock(old))
	return out, err
}

// dropEntry takes an entry out of a cook.
func dropEntry(j *folder.Folder, id string, old journal.Entry) (mended, error) {
	out := mended{was: old, dropped: true}
	err := out.edit(j, id, func(f cookfile.File, at int) (cookfile.File, error) { return f.RemoveEntry(at) }, id+": taken out: "+clock(old))
	return out, err
}

func (m *mended) edit(j *folder.Folder, id string, change func(cookfile.File, int) (cookfile.File, error), message string) (err error) {
	m.file, err = j.Edit(id, func(f cookfile.File) (cookfile.File, error) {
		at, err := indexOf(&f.Cook, m.was)
		if err != nil {
			return cookfile.File{}, err
		}
		edited, err := change(f, at)
		m.before, m.after = f.Bytes(), edited.Bytes()
		return edited, err
	}, message)
	return err
}

// unmend puts back what was before: every byte where the file is as it was left,
// else the entry alone.
func unmend(j *folder.Folder, id string, m mended) error {
	message := id + ": as it was: " + clock(m.was)
	return j.EditBytes(id, func(now []byte) ([]byte, error) {
		if bytes.Equal(now, m.after) {
			return m.before, nil
		}
		f, err := j.ParseCook(id, now)
		if err != nil {
			return nil, err
		}
		if m.dropped {
			f, err = f.AddEntry(m.was)
			return f.Bytes(), err
		}
		at, err := indexOf(&f.Cook, m.is)
		if err != nil {
			return nil, err
		}
		f, err = f.ReplaceEntry(at, m.was)
		return f.Bytes(), err
	}, message)
}

var errEntryGone = errors.New("it has been changed meanwhile; look again")

// indexOf finds an entry again: on its line, else wherever it says the same.
func indexOf(c *journal.Cook, e journal.Entry) (int, error) {
	found := -1
	for i, o := range c.Entries {
		if o.String() != e.String() || !o.Time.Equal(e.Time) {
			continue
		}
		if found < 0 || o.Line == e.Line {
			found = i
		}
	}
	if found < 0 {
		return 0, fmt.Errorf("entry %q: %w", clock(e), errEntryGone)
	}
	return found, nil
}

const asideHelp = `Put a cook aside: a wrong start, a try-out, a probe that lay on the grate. It
stays where it is, with a line "aside" in its file that says why, and counts for
nothing: no list, no search, no forecast. "ashbook find --aside" shows what was
put aside, and --back lets it count again.`

func (a *app) asideCommand() *cobra.Command {
	back := false
	cmd := &cobra.Command{
		Use:     "aside COOK [-- WHY]",
		Short:   "Put a wrong cook aside, so that it does not count",
		Long:    asideHelp,
		Example: "  ashbook aside 2026-05-02 -- the probe lay on the grate\n  ashbook aside 2026-05-02 --back",
		Args:    atLeast(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			words, why := args, ""
			if n := cmd.ArgsLenAtDash(); n >= 0 {
				words, why = args[:n], strings.Join(args[n:], " ")
			}
			if len(words) == 0 {
				return hint(usage("which cook is missing"), cmd.UseLine())
			}
			return a.aside(words, why, back)
		},
	}
	cmd.Flags().BoolVar(&back, "back", false, "let it count again")
	return cmd
}

func (a *app) aside(words []string, why string, back bool) error {
	j, _, err := a.openNow()
	if err != nil {
		return err
	}
	s, err := a.resolve(j, words)
	if err != nil {
		return err
	}
	f, err := putAside(j, s.ID, why, !back)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(struct {
			Cook  string `json:"cook"`
			Aside bool   `json:"aside"`
			Why   string `json:"why,omitempty"`
		}{s.ID, f.Cook.Aside != "", f.Cook.Aside})
	}
	if back {
		a.printf("back: %s (%s) counts again\n", page.Clean(f.Cook.Name()), s.ID)
		return nil
	}
	a.printf("aside: %s (%s) does not count any more\n", page.Clean(f.Cook.Name()), s.ID)
	a.printf("next: ashbook aside %s --back, to undo it\n", s.ID)
	return nil
}

func putAside(j *folder.Folder, id, why string, aside bool) (cookfile.File, error) {
	if aside {
		return j.Edit(id, func(f cookfile.File) (cookfile.File, error) { return f.PutAside(why) }, id+": put aside")
	}
	return j.Edit(id, func(f cookfile.File) (cookfile.File, error) { return f.TakeBack() }, id+": counts again")
}
