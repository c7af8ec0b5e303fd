package main

import (
	"errors"
	"strings"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/frame"
	"ashbook/report/mix"
	"ashbook/report/page"

	"github.com/spf13/cobra"
)

const mixHelp = `Weigh out a rub, a sauce or a slaw for a cook: the parts in grams with kitchen
measures beside them, the salt, sugar and acid in it, whether the meat is salted
twice, and what past cooks said of it. Without NAME all mixes are listed.

A mix for 1 kg meat goes by the weight on the grate, and by the cook's own rate
where its rub is this mix; one for 1 head by the heads; one for 1 l by --make, or
by so much for each head.`

type mixFlags struct {
	cook, meat, volume, each string
	heads                    float64
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
	cmd.Flags().StringVar(&f.meat, "meat", "", "so much `WEIGHT` of meat, such as 9kg")
	cmd.Flags().Float64Var(&f.heads, "heads", 0, "so many `HEADS`")
	cmd.Flags().StringVar(&f.volume, "make", "", "so much `VOLUME`, such as 2l")
	cmd.Flags().StringVar(&f.each, "per-head", "", "so much `VOLUME` a head, such as 25ml")
	return cmd
}

// want reads the flags.
func (f mixFlags) want(sys measure.System) (w mix.Want, err error) {
	w.Heads = f.heads
	if f.heads < 0 {
		return w, usage("--heads %g: expected more than none", f.heads)
	}
	if f.meat != "" {
		m, err := measure.ParseMass(f.meat, sys)
		if err != nil || m.Base <= 0 {
			return w, usage("--meat %q: expected a weight such as 9 kg", f.meat)
		}
		w.Meat = m.Base
	}
	for _, v := range []struct {
		name, text string
		to         *float64
	}{{"--make", f.volume, &w.Litres}, {"--per-head", f.each, &w.PerHead}} {
		if v.text == "" {
			continue
		}
		q, err := measure.ParseVolume(v.text, sys)
		if err != nil || q.Base <= 0 {
			return w, usage("%s %q: expected a volume such as 2 l or 25 ml", v.name, v.text)
		}
		*v.to = q.Base
	}
	return w, nil
}

func (a *program) mix(name string, f mixFlags) error {
	j, err := a.open()
	if err != nil {
		return err
	}
	s := j.Settings()
	if name == "" {
		if f != (mixFlags{}) {
			return hint(usage("no mix is named"), "ashbook mix, for a list")
		}
		mixes, problems := j.Folder().Mixes()
		return a.show(jsonout.MixesOf(mixes, problems), mix.List(mixes, problems, s))
	}
	m, own, err := j.Mix(name)
	if errors.As(err, new(journal.Problem)) {
		return hint(err, "ashbook check")
	}
	if err != nil {
		return err
	}
	b, cook, err := a.batch(j, m, f, s.Units)
	if err != nil {
		return err
	}
	past, err := j.Past(a.ctx)
	if err != nil {
		return err
	}
	tasted := mix.Taste(&m, past)
	aside := "as written"
	switch {
	case cook != nil:
		aside = cook.Name() + ", " + cook.Date().Format("2 Jan 2006")
		if w := frame.Weights(cook, s.Units); w != "" {
			aside += ", " + w
		}
	case f != (mixFlags{}):
		aside = ""
	}
	p := b.Page(aside, tasted, s)
	var wrong []string
	for _, problem := range own {
		wrong = append(wrong, problem.Error())
	}
	p.Add(page.Section{Heading: "To look at", Lines: wrong})
	return a.show(jsonout.BatchOf(b, cook, tasted, s.Units, own), p)
}

// batch weighs a mix out for what the flags ask, and returns the cook they name.
func (a *program) batch(j *app.App, m journal.Mix, f mixFlags, sys measure.System) (mix.Batch, *journal.Cook, error) {
	w, err := f.want(sys)
	if err != nil {
		return mix.Batch{}, nil, err
	}
	if f.cook != "" {
		s, err := j.Coming(a.ctx, strings.Fields(f.cook))
		if err != nil {
			return mix.Batch{}, nil, err
		}
		file, err := j.Load(s.ID)
		if err != nil {
			return mix.Batch{}, nil, err
		}
		w.Cook = &file.Cook
	}
	if f == (mixFlags{}) {
		return mix.Written(m), nil, nil
	}
	b, err := mix.Scale(m, w, sys)
	if err != nil {
		next := map[journal.PortionKind]string{journal.ForMeat: "--meat 9kg, or --for COOK", journal.ForHeads: "--heads 24, or --for COOK", journal.ForVolume: "--make 2l, --heads 24, or --for COOK"}[m.For.Of]
		if next == "" {
			return mix.Batch{}, nil, hint(err, "ashbook check")
		}
		return mix.Batch{}, nil, hint(usage("%v", err), "ashbook mix "+m.Name+" "+next)
	}
	return b, w.Cook, nil
}
