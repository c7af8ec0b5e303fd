package main

import (
	"errors"
	"os"
	"time"

	"ashbook/cmd/ashbook/internal/advice"
	"ashbook/cmd/ashbook/internal/app"
	"ashbook/cmd/ashbook/internal/flags"
	"ashbook/cmd/ashbook/internal/jsonout"
	"ashbook/cmd/ashbook/internal/textout"
	"ashbook/cmd/ashbook/internal/typed"
	"ashbook/report/forecast"
	"ashbook/report/page/html"
	"ashbook/report/provision"
	"ashbook/report/provision/buffer"
	"ashbook/report/provision/runsheet"

	"github.com/spf13/cobra"
)

const workbackHelp = `Work back from the serving hour and the number of people: when the meat must go on,
what to buy and what to prepare. It uses your own finished cooks where there are enough
of them, and says where there are not.

On by is the latest time to put the meat on so that 9 in 10 such cooks are off, rested
and cut in time. The strip shows what an hour sooner or later does: food too late, or
too long in the box. With --save the plan is saved as a planned cook with two lists,
Make ready and Shopping. ashbook ready ticks them off; ashbook light starts the cook.

Burn charcoal outdoors only: carbon monoxide kills indoors and in tents (CPSC). Your
local food code goes before every caution here.`

type workback struct {
	typed.Meal
	output
	ics                  string
	save, replay, rescue bool
}

func (a *program) workbackCommand() *cobra.Command {
	var w workback
	var others, alone bool
	cmd := &cobra.Command{
		Use:   "workback --serve WHEN --heads N [--cut CUT]",
		Short: "Work back from the meal: on by, meat, fuel, what to prepare",
		Long:  workbackHelp,
		Example: `  ashbook workback --serve "sat 13:00" --heads 24 --cut "pork shoulder"
  ashbook workback --serve "sun 18:00" --heads "60, children 12, hearty 6" --cut "pork shoulder" --cut brisket --pit brick,drum --save`,
		Args: flags.None,
		RunE: func(*cobra.Command, []string) error {
			if w.rescue {
				return a.rescue()
			}
			if w.replay {
				return a.replayPlans(knownTo(others, alone))
			}
			return a.workback(w)
		},
	}
	f := cmd.Flags()
	f.StringVar(&w.Serve, "serve", "", "serving hour, such as \"sat 13:00\"")
	f.StringVar(&w.Heads, "heads", "", "how many eat, such as `N` or \"24, children 6, hearty 2, vegetarians 3, no mustard 1\", all counted in the 24")
	f.StringSliceVar(&w.Helpers, "helpers", nil, "who helps, such as ann,bo: the clock then says who does what")
	f.StringArrayVar(&w.Cuts, "cut", nil, "what you cook; once for each `CUT` (otherwise the one you cook most)")
	f.StringArrayVar(&w.Pieces, "piece", nil, "a `PIECE` that you have already: name, weight, trimmed weight, thickness, core; with several cuts \"brisket: 5 kg\"")
	f.StringArrayVar(&w.Prices, "price", nil, "what a kilogram or a pound of the cut costs, such as £9.80; with several cuts \"brisket: £14.50\"")
	f.StringSliceVar(&w.Pits, "pit", nil, "the pit, or several pits, such as brick,drum or brick=115C,drum=121C (otherwise the usual one in journal.md)")
	f.StringSliceVar(&w.Fits, "fits", nil, "how many such pieces fit in the pit at once, such as 6, or brick=6,drum=4; saved in the pit's file")
	f.StringVar(&w.AimPit, "aim-pit", "", "the pit temperature you want (otherwise your usual)")
	f.StringArrayVar(&w.Cores, "aim-core", nil, "the core temperature you want; with several cuts \"brisket: 94 °C\"")
	f.StringVar(&w.Wrap, "wrap", "", "the wrap you plan, such as \"paper at 72 °C\" (otherwise none)")
	f.StringVar(&w.As, "as", "", "how you serve it: pulled or sliced, buns or plates, such as \"pulled, buns\"")
	f.StringVar(&w.Portion, "portion", "", "cooked meat for one adult, such as \"150 g\"")
	f.IntVar(&w.Enough, "enough", 80, "in how many of 100 such meals the meat must be enough")
	f.BoolVar(&w.Frozen, "frozen", false, "the meat comes from the freezer")
	f.BoolVar(&w.NoBox, "no-box", false, "you have no box to hold it in")
	f.IntVar(&w.Boxes, "boxes", 0, "how many boxes of some 50 l you have (otherwise as many as it takes)")
	f.StringVar(&w.Air, "air", "", "the outdoor air you expect, such as \"4 °C\", for the fuel")
	f.StringVar(&w.Wind, "wind", "", "the wind you expect, such as \"6 m/s\", for the fuel")
	f.StringVar(&w.Title, "title", "", "what the cook is called")
	f.BoolVar(&w.save, "save", false, "save the plan as a planned cook")
	f.BoolVar(&w.save, "keep", false, "the same, as it was called before")
	f.Lookup("keep").Hidden = true
	w.output.flags(f)
	f.StringVar(&w.ics, "ics", "", "write the times of the plan to `FILE` for a phone's calendar, with alarms; - is standard output")
	f.BoolVar(&w.rescue, "rescue", false, "for the running cook: what you can do now if it will be late, and the chance of each")
	f.BoolVar(&w.replay, "replay", false, "replay past cooks: how often the plan would have been in time")
	f.BoolVar(&others, "leave-one-out", false, "with --replay: each plan may use all other cooks, later ones too")
	f.BoolVar(&alone, "alone", false, "with --replay: each plan may use no other cook, as on somebody's first")
	flags.Exclusive(cmd, "leave-one-out", "alone")
	return cmd
}

// rescue prints what can still save the meal of the running cook.
func (a *program) rescue() error {
	j, now, f, err := a.openCook(nil)
	if err != nil {
		return err
	}
	ways, err := j.Rescue(a.ctx, &f.Cook, now, a.progress("reading past cooks"))
	if err != nil {
		return err
	}
	return a.show(jsonout.RescueOf(&f.Cook, ways), runsheet.Rescue(&f.Cook, ways, j.Settings().Units))
}

// replayPlans prints how often plans would have been in time.
func (a *program) replayPlans(known forecast.Known) error {
	j, err := a.openOnce()
	if err != nil {
		return err
	}
	r, err := j.ReplayPlans(a.ctx, known, a.progress("reading past cooks"), a.progress("replaying"))
	if err != nil {
		return err
	}
	return a.show(jsonout.ReplayOf(r), buffer.Page(r))
}

// plan plans back from the meal that was typed.
func (a *program) plan(j *app.App, w workback, now time.Time) (*runsheet.Sheet, error) {
	past, err := j.Past(a.ctx)
	if err != nil {
		return nil, err
	}
	known := provision.Known{Past: past, Settings: j.Settings(), Now: now}
	r, err := w.Request(known, j.PlanPit)
	if err == nil {
		err = r.Check(known)
	}
	if err != nil {
		return nil, err
	}
	known.Experience = j.Experience(past, a.progress("reading past cooks"))
	for {
		sheet, err := j.WorkBack(a.ctx, r, known)
		if a.askFits(&r, err) {
			continue
		}
		var no provision.Refusal
		if errors.As(err, &no) && no.Ask != nil {
			return nil, advice.With(usage("%v", err), advice.Fits(no.Ask, r.Pits))
		}
		return sheet, err
	}
}

func (a *program) workback(w workback) error {
	if a.json && (w.file != "" || w.open) {
		return usage("-o: a page is not written with --json")
	}
	j, now, err := a.openNow()
	if err != nil {
		return err
	}
	sheet, err := a.plan(j, w, now)
	if err != nil {
		return err
	}
	var saved []string
	if w.save {
		if saved, err = j.SavePlan(sheet); err != nil {
			return err
		}
	}
	fits, err := j.RememberFits(sheet)
	if err != nil {
		return err
	}
	switch w.ics {
	case "":
	case "-":
		_, err := a.out.Write(sheet.Calendar())
		return err
	default:
		if err := os.WriteFile(a.path(w.ics), sheet.Calendar(), 0o666); err != nil {
			return err
		}
	}
	if a.json {
		return a.printJSON(jsonout.PlanOf(sheet, saved))
	}
	if w.file == "-" {
		return a.writeFile(html.Render(sheet.Page(), html.Options{}), planFile, w.output)
	}
	a.printPage(sheet.Page())
	a.printLines(textout.Planned(w.ics, saved, fits))
	if w.file == "" && !w.open {
		return nil
	}
	return a.writeFile(html.Render(sheet.Page(), html.Options{}), planFile, w.output)
}

// planFile is the name of a plan's page if no file is named.
const planFile = "plan"
