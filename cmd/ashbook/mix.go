package main

import (
	"errors"
	"strings"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/report/mix"

	"github.com/spf13/cobra"
)

const mixHelp = `Weigh out a rub, a sauce or a slaw for a cook: the parts in grams with kitchen measures
beside them, the salt, sugar and acid in it, whether the meat gets salted twice, and
what past cooks said about it. Without NAME it lists all mixes.

A mix for 1 kg of meat is scaled by the weight on the grate, or by the cook's own rate
where its rub is this mix. A mix for 1 head is scaled by the number of people, and a
mix for 1 l by --make or --per-head.`

type mixFlags struct {
	typed.Mix
	cook string
}

func (a *program) mixCommand() *cobra.Command {
	var f mixFlags
	cmd := &cobra.Command{
		Use:   "mix [NAME]",
		Short: "Weigh out a rub, a sauce or a slaw for a cook",
		Long:  mixHelp,
		RunE: func(_ *cobra.Command, args []string) error {
			return a.mix(strings.Join(args, " "), f)
		},
	}
	cmd.Flags().StringVar(&f.cook, "for", "", "the `COOK` to weigh out for")
	cmd.Flags().StringVar(&f.Meat, "meat", "", "for this `WEIGHT` of meat, such as 9kg")
	cmd.Flags().Float64Var(&f.Heads, "heads", 0, "for this many `HEADS`")
	cmd.Flags().StringVar(&f.Make, "make", "", "this `VOLUME` of it, such as 2l")
	cmd.Flags().StringVar(&f.PerHead, "per-head", "", "this `VOLUME` for each person, such as 25ml")
	return cmd
}

func (a *program) mix(name string, f mixFlags) error {
	j, err := a.open()
	if err != nil {
		return err
	}
	s := j.Settings()
	if name == "" {
		if f != (mixFlags{}) {
			return advice.With(usage("the name of a mix is missing"), "ashbook mix, for a list")
		}
		mixes, problems := j.Folder().Mixes()
		return a.show(jsonout.MixesOf(mixes, problems), mix.List(mixes, problems, s))
	}
	m, wrong, err := j.Mix(name)
	if errors.As(err, new(journal.Problem)) {
		return advice.With(err, "ashbook check")
	}
	if err != nil {
		return err
	}
	b, err := a.batch(j, m, f)
	if err != nil {
		return err
	}
	past, err := j.Past(a.ctx)
	if err != nil {
		return err
	}
	tasted := mix.Taste(&m, past)
	return a.show(jsonout.BatchOf(b, tasted, s.Units, wrong), b.Page(tasted, wrong, s))
}

// batch weighs out a mix for the amount that the flags give.
func (a *program) batch(j *app.App, m journal.Mix, f mixFlags) (mix.Batch, error) {
	if f == (mixFlags{}) {
		return mix.Written(m), nil
	}
	sys := j.Settings().Units
	w, err := f.Want(sys)
	if err == nil && f.cook != "" {
		w.Cook, err = j.ComingCook(a.ctx, strings.Fields(f.cook))
	}
	if err != nil {
		return mix.Batch{}, err
	}
	b, err := mix.Scale(m, w, sys)
	if err != nil {
		next := map[journal.PortionKind]string{journal.ForMeat: "--meat 9kg, or --for COOK", journal.ForHeads: "--heads 24, or --for COOK", journal.ForVolume: "--make 2l, --heads 24, or --for COOK"}[m.For.Of]
		if next == "" {
			return b, advice.With(err, "ashbook check")
		}
		return b, advice.With(usage("%v", err), "ashbook mix "+m.Name+" "+next)
	}
	return b, nil
}
