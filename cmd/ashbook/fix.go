package main

import (
	"strings"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/textout"

	"github.com/spf13/cobra"
)

const fixHelp = `Correct an entry of a cook. ENTRY is its clock time, or its line in the file. Without
ENTRY the entries are listed. Write the new line as for note. It may be a time alone;
without a time the entry keeps the one it had. A clock time means the one nearest to
the old time; -20 means twenty minutes before the old time.

--drop deletes the entry. Everything else in the file stays as it is, and history keeps
the old line: "ashbook history COOK".

Where two people set the same thing, such as the serving hour, the list shows both
values. Type its KEY and the right VALUE to choose one.`

func (a *program) fixCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "fix COOK [ENTRY [NEW LINE | --drop] | KEY VALUE]",
		Short: "Correct an entry of a cook or its time, or delete it",
		Long:  fixHelp,
		Example: `  ashbook fix harvest
  ashbook fix harvest 23:40 pit 112 core 71
  ashbook fix harvest 23:40 23:20
  ashbook fix harvest 23:40 --drop
  ashbook fix harvest serve 12:30`,
		DisableFlagParsing: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			drop := false
			l, err := a.lineArgs(args, nil, map[string]*bool{"--drop": &drop})
			switch {
			case err != nil:
				return err
			case l.Help || len(l.Words) == 0:
				return cmd.Help()
			case len(l.Words) == 1:
				return a.entries(l.Words[0])
			}
			return a.fix(l.Words[0], l.Words[1], l.From(2), drop)
		},
	}
}

// entries prints the entries of a cook with their lines in the file.
func (a *program) entries(cook string) error {
	j, _, f, err := a.openCook(strings.Fields(cook))
	if err != nil {
		return err
	}
	return a.show(jsonout.EntriesOf(&f.Cook), textout.Entries(&f.Cook, j.Settings().Units))
}

func (a *program) fix(cook, entry, line string, drop bool) error {
	switch {
	case drop && line != "":
		return usage("--drop deletes the entry, so it takes no new line")
	case !drop && line == "":
		return advice.With(usage("the new line of the entry is missing"), "ashbook fix "+cook+" "+entry+" 112 71, or --drop")
	}
	j, now, f, err := a.openCook(strings.Fields(cook))
	if err != nil {
		return err
	}
	id := f.Cook.ID
	old, err := app.EntryAt(&f.Cook, entry)
	if err != nil && !drop && len(f.Cook.Others) > 0 {
		return a.settle(j, id, entry+" "+line)
	}
	if err != nil {
		return advice.With(err, "ashbook fix "+cook)
	}
	var got app.Changed
	if drop {
		got, err = j.Drop(id, old)
	} else {
		got, err = j.MendUnseen(id, old, line, now)
	}
	if err != nil {
		return err
	}
	return a.say(jsonout.FixOf(id, got), textout.Fixed(got, j.Settings().Units))
}

// settle decides between two people's values.
func (a *program) settle(j *app.App, id, words string) error {
	got, err := j.SettleBy(id, words)
	if err != nil {
		return advice.With(err, "ashbook fix "+id)
	}
	return a.say(jsonout.Settled{Cook: id, Settled: got.Text}, textout.Settled(got))
}

const asideHelp = `Leave a cook out of reports: a wrong start, a try-out, a probe that lay on the
grate. Its file stays where it is and gets a line "aside" with the reason. Lists,
searches and forecasts then ignore it. "ashbook find --aside" shows such cooks, and
--back includes one again.`

func (a *program) asideCommand() *cobra.Command {
	back := false
	cmd := &cobra.Command{
		Use:     "aside COOK [-- WHY]",
		Short:   "Leave a cook out of reports",
		Long:    asideHelp,
		Example: "  ashbook aside 2026-05-02 -- the probe lay on the grate\n  ashbook aside 2026-05-02 --back",
		Args:    flags.AtLeast(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			words, why := args, ""
			if n := cmd.ArgsLenAtDash(); n >= 0 {
				words, why = args[:n], strings.Join(args[n:], " ")
			}
			if len(words) == 0 {
				return advice.With(usage("the cook is missing"), cmd.UseLine())
			}
			return a.aside(words, why, back)
		},
	}
	cmd.Flags().BoolVar(&back, "back", false, "include it in reports again")
	return cmd
}

func (a *program) aside(words []string, why string, back bool) error {
	j, _, err := a.openNow()
	if err != nil {
		return err
	}
	s, err := j.Resolve(a.ctx, words)
	if err != nil {
		return err
	}
	f, err := j.Aside(s.ID, why, !back)
	if err != nil {
		return err
	}
	return a.say(jsonout.AsideOf(&f.Cook), textout.Aside(&f.Cook))
}
