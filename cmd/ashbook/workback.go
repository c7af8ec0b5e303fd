package main

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/provision"
	"ashbook/report/provision/runsheet"

	"github.com/spf13/cobra"
)

const workbackHelp = `Work back from the serving hour and the heads to when it must go on, what to
buy and what to make ready. It rests on your own finished cooks where there are
enough, and says where it does not.

On by is the time from which 9 in 10 such cooks are off, rested and cut in time;
the strip shows what an hour sooner or later does to both regrets, late food and
a long hold. With --keep the plan is saved as a planned cook with two lists,
Make ready and Shopping; ashbook ready ticks them off, ashbook light begins it.

Charcoal burns out of doors only: carbon monoxide kills indoors and in tents
(CPSC). Cautions defer to your local food code.`

type workback struct {
	title, serve, heads, as, portion, aimPit, aimCore, wrap, air, wind, ics string
	cuts, pieces, pits, fits, prices                                        []string
	enough                                                                  int
	frozen, noBox, keep, replay, leaveOneOut, rescue                        bool
}

func (a *program) workbackCommand() *cobra.Command {
	var w workback
	cmd := &cobra.Command{
		Use:   "workback --serve WHEN --heads N [--cut CUT]",
		Short: "Work back from the meal: on by, meat, fuel, what to make ready",
		Long:  workbackHelp,
		Example: `  ashbook workback --serve "sat 13:00" --heads 24 --cut "pork shoulder"
  ashbook workback --serve "sun 18:00" --heads "60, children 12, hearty 6" --cut "pork shoulder" --cut brisket --pit brick,drum --keep`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if w.rescue {
				return a.rescue()
			}
			if w.replay {
				return a.replayPlans(w.leaveOneOut)
			}
			return a.workback(w)
		},
	}
	f := cmd.Flags()
	f.StringVar(&w.serve, "serve", "", "serving hour, such as \"sat 13:00\"")
	f.StringVar(&w.heads, "heads", "", "how many eat, such as `N` or \"24, children 6, hearty 2, vegetarians 3\", these among the 24")
	f.StringArrayVar(&w.cuts, "cut", nil, "what is cooked; once for each `CUT` (else the one you cook most)")
	f.StringArrayVar(&w.pieces, "piece", nil, "a `PIECE` that lies ready: name, weight, trimmed weight, thickness, core; with several cuts \"brisket: 5 kg\"")
	f.StringArrayVar(&w.prices, "price", nil, "what a kilogram, or a pound, of the cut costs, such as £9.80; with several cuts \"brisket: £14.50\"")
	f.StringSliceVar(&w.pits, "pit", nil, "the pit, or pits side by side, such as brick,drum or brick=115C,drum=121C (else the usual one of journal.md)")
	f.StringSliceVar(&w.fits, "fits", nil, "how many such pieces fit in the pit at once, such as 6, or brick=6,drum=4; kept in its file")
	f.StringVar(&w.aimPit, "aim-pit", "", "pit temperature wanted (else your usual)")
	f.StringVar(&w.aimCore, "aim-core", "", "core temperature wanted")
	f.StringVar(&w.wrap, "wrap", "", "wrap planned, such as \"paper at 72 °C\"; else none")
	f.StringVar(&w.as, "as", "", "how it is served: pulled or sliced, buns or plates, such as \"pulled, buns\"")
	f.StringVar(&w.portion, "portion", "", "cooked meat for a grown eater, such as \"150 g\"")
	f.IntVar(&w.enough, "enough", 80, "in how many of 100 such meals the meat is to be enough")
	f.BoolVar(&w.frozen, "frozen", false, "the meat comes from the freezer")
	f.BoolVar(&w.noBox, "no-box", false, "there is no box to hold it in")
	f.StringVar(&w.air, "air", "", "outdoor air expected, such as \"4 °C\": fuel")
	f.StringVar(&w.wind, "wind", "", "wind expected, such as \"6 m/s\": fuel")
	f.StringVar(&w.title, "title", "", "what the cook is called")
	f.BoolVar(&w.keep, "keep", false, "save the plan as a planned cook")
	f.StringVar(&w.ics, "ics", "", "write the plan's clock for a phone's calendar to `FILE`, with alarms; - is standard output")
	f.BoolVar(&w.rescue, "rescue", false, "of the running cook instead: the ways out from now where it will be late, with their odds")
	f.BoolVar(&w.replay, "replay", false, "replay past cooks instead: how often the plan would have been in time")
	f.BoolVar(&w.leaveOneOut, "leave-one-out", false, "with --replay: let each cook know all the others, later ones too")
	return cmd
}

// rescue shows the ways out for the running cook.
func (a *program) rescue() error {
	j, now, f, err := a.openCook(nil)
	if err != nil {
		return err
	}
	ways, err := j.Rescue(a.ctx, &f.Cook, now, a.progress("reading the past"))
	if err != nil {
		return err
	}
	return a.show(jsonout.RescueOf(&f.Cook, ways), runsheet.Rescue(&f.Cook, ways))
}

// plan works back what was typed.
func (a *program) plan(j *app.App, w workback, now time.Time) (*runsheet.Sheet, error) {
	past, err := j.Past(a.ctx)
	if err != nil {
		return nil, err
	}
	known := provision.Known{Past: past, Settings: j.Settings(), Now: now}
	r, err := w.request(j, past, known.Settings, now)
	if err != nil {
		return nil, err
	}
	if err := r.Check(known); err != nil {
		return nil, refused(err)
	}
	known.Experience = j.Experience(past, a.progress("reading the past"))
	for {
		sheet, err := j.WorkBack(a.ctx, r, known)
		if a.askFits(&r, err) {
			continue
		}
		var no provision.Refusal
		if errors.As(err, &no) && no.Ask != nil {
			return nil, hint(usage("%v", err), fitsHint(no.Ask, r.Pits))
		}
		return sheet, refused(err)
	}
}

func (a *program) workback(w workback) error {
	j, now, err := a.openNow()
	if err != nil {
		return err
	}
	sheet, err := a.plan(j, w, now)
	if err != nil {
		return err
	}
	var saved []string
	if w.keep {
		if saved, err = j.SavePlan(sheet); err != nil {
			return err
		}
	}
	switch {
	case w.ics == "-":
		if _, err := a.out.Write(sheet.Calendar()); err != nil {
			return err
		}
		return a.rememberFits(j, sheet, false)
	case w.ics != "":
		if err := os.WriteFile(a.path(w.ics), sheet.Calendar(), 0o666); err != nil {
			return err
		}
	}
	if a.json {
		if err := a.printJSON(jsonout.PlanOf(sheet, saved)); err != nil {
			return err
		}
		return a.rememberFits(j, sheet, false)
	}
	a.printPage(sheet.Page())
	if w.ics != "" {
		a.printf("\nwrote %s: open it with a calendar\n", w.ics)
	}
	if len(saved) > 0 {
		a.printf("\nsaved: %s\n", strings.Join(saved, ", "))
		a.printf("next: ashbook ready %s\n", saved[0])
	}
	return a.rememberFits(j, sheet, true)
}

// refused gives a refusal the thing to type next.
func refused(err error) error {
	var r provision.Refusal
	if !errors.As(err, &r) {
		return err
	}
	next := map[provision.Part]string{
		provision.PartServe:   `--serve "sat 13:00", a meal that is to come`,
		provision.PartHeads:   `--heads 24, or --heads "24, children 6, hearty 2, vegetarians 3"`,
		provision.PartPortion: `--portion "150 g", cooked meat for a grown eater`,
		provision.PartEnough:  `--enough 80, or --enough 90`,
		provision.PartPiece:   `--piece "large 5.2 kg 13 cm"`,
		provision.PartAim:     `--aim-pit "115 °C", or a lower --aim-core`,
		provision.PartGrate:   `--pit NAME,NAME for pits side by side, or fewer heads`,
		provision.PartCut:     `--cut "pork shoulder", or --aim-core with the core of this one`,
	}[r.Part]
	return hint(usage("%v", err), next)
}

// request reads what was typed.
func (w *workback) request(j *app.App, past []journal.Cook, s journal.Settings, now time.Time) (r provision.Request, err error) {
	r = provision.Request{Title: w.title, Frozen: w.frozen, NoBox: w.noBox, Enough: float64(w.enough) / 100}
	if w.enough == 0 {
		return r, refused(provision.Refusal{Part: provision.PartEnough, Text: "--enough 0: expected 50 to 95 of 100 meals"})
	}
	if w.serve == "" {
		return r, refused(provision.Refusal{Part: provision.PartServe, Text: "--serve: when is the meal?"})
	}
	if r.Serve, err = typed.When(w.serve, now); err != nil {
		return r, usage("--serve: %v", err)
	}
	if r.Party, err = typed.Party(w.heads); err != nil {
		return r, refused(provision.Refusal{Part: provision.PartHeads, Text: err.Error()})
	}
	var aim journal.Aim
	err = readFlags(
		flagText{"--aim-pit", w.aimPit, func(t string) error { return measure.Read(&aim.Pit, t, s.Units) }},
		flagText{"--aim-core", w.aimCore, func(t string) error { return measure.Read(&aim.Core, t, s.Units) }},
		flagText{"--air", w.air, func(t string) error { return measure.Read(&r.Weather.Air, t, s.Units) }},
		flagText{"--wind", w.wind, func(t string) error { return measure.Read(&r.Weather.Wind, t, s.Units) }},
		flagText{"--portion", w.portion, func(t string) error {
			var m measure.Mass
			err := measure.Read(&m, t, s.Units)
			if r.Portion = m.Base; err == nil && m.Base <= 0 {
				err = fmt.Errorf("portion %q: expected such as 150 g", t)
			}
			return err
		}},
	)
	if err != nil {
		return r, err
	}
	if w.wrap != "" {
		if aim.Wrap, err = journal.ParseWrapPlan(w.wrap, s.Units); err != nil {
			return r, err
		}
	}
	if r.Dishes, err = w.dishes(past, aim, s.Units); err != nil {
		return r, err
	}
	if r.Money, err = w.priced(r.Dishes, s.Units); err != nil {
		return r, err
	}
	if r.Serving, err = typed.Serving(w.as, r.Dishes[0].Cut); err != nil {
		return r, hint(usage("--as: %v", err), `--as "pulled, buns"`)
	}
	if r.Pits, err = w.fires(j, s); err != nil {
		return r, err
	}
	return r, readFits(w.fits, r.Pits)
}

// dishes are the cuts, each with its pieces.
func (w *workback) dishes(past []journal.Cook, aim journal.Aim, sys measure.System) ([]provision.Dish, error) {
	cuts := slices.Clone(w.cuts)
	if len(cuts) == 0 {
		if most := app.MostCooked(past); most != "" {
			cuts = []string{most}
		} else {
			return nil, refused(provision.Refusal{Part: provision.PartCut, Text: "--cut: what is cooked? no finished cook tells"})
		}
	}
	var out []provision.Dish
	texts := make([][]string, len(cuts))
	for _, p := range w.pieces {
		at, rest, err := ofCut("--piece", p, "5 kg", cuts)
		if err != nil {
			return nil, err
		}
		texts[at] = append(texts[at], rest)
	}
	for i, c := range cuts {
		c = strings.ToLower(strings.TrimSpace(c))
		if c == "" {
			return nil, refused(provision.Refusal{Part: provision.PartCut, Text: "--cut: it is empty"})
		}
		if slices.ContainsFunc(out, func(d provision.Dish) bool { return d.Cut == c }) {
			return nil, usage("--cut %q: it is there already", c)
		}
		pieces, err := typed.Pieces(texts[i], sys)
		if err != nil {
			return nil, err
		}
		out = append(out, provision.Dish{Cut: c, Pieces: pieces, Aim: aim})
	}
	return out, nil
}

// ofCut tells of which cut a flag's text is, "brisket: 5 kg", and the rest of it; such
// is an example of one.
func ofCut(flag, text, such string, cuts []string) (at int, rest string, err error) {
	name, rest, named := strings.Cut(text, ":")
	switch {
	case !named && len(cuts) > 1:
		return 0, "", hint(usage("%s %q: of which cut?", flag, text), flag+` "`+cuts[0]+": "+text+`"`)
	case !named:
		return 0, text, nil
	}
	at = slices.IndexFunc(cuts, func(c string) bool { return strings.EqualFold(strings.TrimSpace(name), strings.TrimSpace(c)) })
	if at < 0 {
		return 0, "", hint(usage("%s %q: %q is none of the cuts", flag, text, name), flag+` "`+cuts[0]+": "+such+`"`)
	}
	return at, strings.TrimSpace(rest), nil
}

// priced reads the prices into the dishes and returns the sign of their money.
func (w *workback) priced(dishes []provision.Dish, sys measure.System) (money string, err error) {
	var cuts []string
	for _, d := range dishes {
		cuts = append(cuts, d.Cut)
	}
	of := measure.Kilograms(1)
	if sys == measure.US {
		of, _ = measure.ParseMass("1 lb", sys)
	}
	for _, text := range w.prices {
		at, rest, err := ofCut("--price", text, "9.80", cuts)
		if err != nil {
			return "", err
		}
		sign, price, err := typed.Price(rest)
		if err != nil {
			return "", usage("--price: %v", err)
		}
		money, dishes[at].Price = sign, price/of.Base
	}
	return money, nil
}

// fires are the pits named, else the usual one.
func (w *workback) fires(j *app.App, s journal.Settings) ([]provision.Pit, error) {
	names := w.pits
	if len(names) == 0 {
		names = []string{""}
	}
	var out []provision.Pit
	for _, n := range names {
		n, aim, aimed := strings.Cut(strings.TrimSpace(n), "=")
		var at measure.Temperature
		if aimed {
			if err := measure.Read(&at, aim, s.Units); err != nil {
				return nil, usage("--pit %q: %v", n+"="+aim, err)
			}
		}
		if slices.ContainsFunc(out, func(p provision.Pit) bool { return p.Name == n }) {
			return nil, usage("--pit %q: it is there already", n)
		}
		p, err := j.PlanPit(n, at)
		switch told := slices.ContainsFunc(w.fits, func(f string) bool { return n != "" && strings.HasPrefix(f, n+"=") }); {
		case err != nil && told: // a pit whose file is about to be made
			p = provision.Pit{Pit: journal.Pit{Name: n}, Aim: at}
		case err != nil:
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}
