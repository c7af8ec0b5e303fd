package main

import (
	"errors"
	"strings"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/lookup"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"

	"github.com/spf13/cobra"
)

const lightHelp = `Start a cook: light the fire and make its file. Name the cut, or a cook that you have
planned.

A piece is its name and what you know of it, in any order: weight as bought, weight
trimmed, thickness, core temperature.

Carbon monoxide from charcoal kills indoors and in tents: light it outdoors only
(US Consumer Product Safety Commission, charcoal safety). Ash stays hot for days; keep
children and guests away from fire and ash.`

type lighting struct {
	typed.Cook
	at    string
	force bool
}

func (a *program) lightCommand() *cobra.Command {
	var l lighting
	cmd := &cobra.Command{
		Use:   "light CUT | light PLANNED COOK",
		Short: "Start a cook, planned or not",
		Long:  lightHelp,
		Example: `  ashbook light pork shoulder --piece "large 5.2kg 13cm" --piece "small 3.9kg 11cm" --pit brick --serve "sat 13:00"
  ashbook light harvest supper`,
		Args: flags.AtLeast(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.light(args, l) },
	}
	f := cmd.Flags()
	f.StringVar(&l.Title, "title", "", "what the cook is called")
	f.StringArrayVar(&l.Pieces, "piece", nil, "a `PIECE`: name, weight, trimmed weight, thickness, core; once for each")
	f.StringVar(&l.Pit, "pit", "", "the pit (otherwise the usual one in journal.md)")
	f.StringVar(&l.Serve, "serve", "", "serving hour, such as \"sat 13:00\"")
	f.IntVar(&l.Heads, "heads", 0, "how many people eat")
	f.StringVar(&l.AimPit, "aim-pit", "", "the pit temperature you want")
	f.StringVar(&l.AimCore, "aim-core", "", "the core temperature you want")
	f.StringVar(&l.Wood, "wood", "", "smoke wood, such as \"cherry 180 g\"")
	f.StringVar(&l.Wrap, "wrap", "", "the wrap you plan, such as \"paper at 72 °C\", or none")
	f.StringVar(&l.at, "at", "", "when the fire was lit, if not now: 20 min (ago), or a clock time that has passed")
	f.BoolVar(&l.force, "force", false, "light it even if a file of the last two days cannot be read and may be a running cook")
	return cmd
}

func (a *program) light(args []string, l lighting) error {
	j, now, err := a.openNow()
	if err != nil {
		return err
	}
	at, err := typed.Past(l.at, now)
	if err != nil {
		return usage("--at: %v", err)
	}
	if !l.force {
		if err := j.Unread(a.ctx, now); err != nil {
			var u lookup.Unread
			if errors.As(err, &u) {
				err = advice.With(err, advice.Unread(u)+"; ashbook light "+strings.Join(args, " ")+" --force lights this one anyway")
			}
			return err
		}
	}
	planned, err := j.Planned(a.ctx, args, now)
	if err != nil {
		return err
	}
	var c journal.Cook
	if planned.ID != "" {
		if !l.Empty() {
			return usage("the cook is planned already and its file has the set-up; only --at goes with it")
		}
		var lit app.Noted
		lit, err = j.Light(planned.ID, at)
		c = lit.Cook
	} else if c, err = l.Read(strings.Join(args, " "), j.Settings().Units, now); err == nil {
		c, err = j.Begin(a.ctx, c, at)
	}
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(jsonout.LitOf(&c, now))
	}
	last, err := j.Lesson(a.ctx, &c)
	if err != nil {
		return err
	}
	a.printLines(textout.Lit(&c, &last, cautions(a.ctx, j, &c, now), j.Settings(), now))
	return nil
}
