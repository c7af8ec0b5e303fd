//go:build ignore

// Ablate prints what each chosen number of the forecast pays: the scores of
// fit.go with that number at its natural default (off, 0 or 1), one alternative
// each, against those with it. Sources are replaced for the compiler only:
//
//	ASHBOOK_SHARED=DIR go run report/forecast/people/ablate.go [NAME...]
package main

import (
	"encoding/json"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

const root = "report/forecast/"

// change is one number at its default.
type change struct {
	name, file string
	old, new   string
}

var changes = []change{
	{"beginning", "people/law.go", "t.Begun*math.Max(0, math.Min(1, (fullWay-m.Left)/beginning))", "t.Begun"},
	{"usual", "people/law.go", "usual              = .6 ", "usual              = 1. "},
	{"paceFrom", "people/law.go", "math.Max(0, 1-math.Max(0, m.Left)/paceFrom)", "1"},
	{"farthest", "people/law.go", "farthest           = 1.0", "farthest           = 1e9"},
	{"leastGo", "people/law.go", "leastGo            = .1 ", "leastGo            = .01"},
	{"noEnd", "people/law.go", "noEnd              = 17.0", "noEnd              = 48.0"},
	{"shortest", "people/law.go", "shortest           = .5 ", "shortest           = .01"},
	{"left + 4", "people/law.go", "math.Max(0, m.Left) + 4) / 93", "math.Max(0, m.Left) + 1) / 90"},
	{"over .3", "people/law.go", "hours+m.Since, .3)", "hours+m.Since, soonest)"},

	{"ofAll", "people/person.go", "= .12, .15, .06, .06", "= .00, .15, .06, .06"},
	{"ofCut", "people/person.go", "= .12, .15, .06, .06", "= .12, .00, .06, .06"},
	{"ofPit", "people/person.go", "= .12, .15, .06, .06", "= .12, .15, .00, .06"},
	{"ofWrap", "people/person.go", "= .12, .15, .06, .06", "= .12, .15, .06, .00"},
	{"onKg", "people/person.go", "= .30, .12, .17", "= .00, .12, .17"},
	{"onPieces", "people/person.go", "= .30, .12, .17", "= .30, .00, .17"},
	{"onHeat", "people/person.go", "= .30, .12, .17", "= .30, .12, .00"},
	{"onWhole", "people/person.go", "= .40, .13, .20", "= .00, .13, .20"},
	{"onLeft", "people/person.go", "= .40, .13, .20", "= .40, .00, .20"},
	{"onGone", "people/person.go", "= .40, .13, .20", "= .40, .13, .00"},
	{"onPace", "people/person.go", "= .40, .22, .40", "= .00, .22, .40"},
	{"onFeel", "people/person.go", "= .40, .22, .40", "= .40, .00, .40"},
	{"onPhysics", "people/person.go", "= .40, .22, .40", "= .40, .22, .00"},
	{"ofLikeness", "people/person.go", "= .12, .12, .01, .20", "= .00, .12, .01, .20"},
	{"ofCook", "people/person.go", "= .12, .12, .01, .20", "= .12, .00, .01, .20"},
	{"ofMoment", "people/person.go", "= .12, .12, .01, .20", "= .12, .12, .00, .20"},
	{"ofLook", "people/person.go", "= .12, .12, .01, .20", "= .12, .12, .01, .00"},
	{"reach", "people/person.go", "reach     = .5 ", "reach     = 1e9"},
	{"unread", "people/person.go", "unread    = .25", "unread    = 1.0"},
	{"otherKind", "people/person.go", "otherKind = .15", "otherKind = .00"},
	{"otherMark", "people/person.go", "otherMark = .4", "otherMark = 1."},
	{"pseudo", "people/person.go", "pseudo    = 2.0", "pseudo    = 1.0"},
	{"wildest", "people/person.go", "wildest   = 3.0", "wildest   = 1e9"},
	{"miss 1.5", "people/person.go", "a.law.Mean, 1.5)", "a.law.Mean, 1e9)"},
	{"feel fading", "people/person.go", "m.Feel * math.Max(0, math.Min(1, (30-m.Left)/10))", "m.Feel"},
	{"kg/2 of soFar", "people/person.go", " - t.kg/2", ""},
	{"like/2 cut", "people/person.go", "if a.Cut != b.Cut {\n\t\t\tlike /= 2", "if a.Cut != b.Cut {\n\t\t\tlike /= 1"},
	{"like/2 wrap", "people/person.go", "if a.Wrapped != b.Wrapped {\n\t\t\tlike /= 2", "if a.Wrapped != b.Wrapped {\n\t\t\tlike /= 1"},

	{"otherCut", "people/person.go", "otherCut  = .6 ", "otherCut  = 1."},
	{"tender", "people/person.go", "if m.Tender {", "if false {"},
	{"otherPit", "habit.go", "otherPit, otherCut = .1, .6", "otherPit, otherCut = 1., .6"},
	{"prior of a wrap", "habit.go", "priorBare, priorFoil, priorPaper = .5, .25, .25", "priorBare, priorFoil, priorPaper = 1., .0, .0"},
	{"paceOver", "pace.go", "paceOver  = .7 ", "paceOver  = .0 "},
	{"paceTrust", "pace.go", "paceTrust = .5 ", "paceTrust = .02"},
	{"replayAt", "learn.go", "0, .1, .25, .4, .55, .7, .85, .95", "0, .25, .5, .75"},

	{"raised", "model/pit.go", "Raised = .2", "Raised = 1."},
	{"warmUp", "model/pit.go", "warmUp = 1.25", "warmUp = .0"},
	{"lookBack", "model/pit.go", "lookBack = 1.5", "lookBack = 48."},
	{"trustAim", "model/pit.go", "trustAim, trustUsual = 60.0, 15.0", "trustAim, trustUsual = 1e-3, 15.0"},
	{"trustUsual", "model/pit.go", "trustAim, trustUsual = 60.0, 15.0", "trustAim, trustUsual = 60.0, 1e-3"},
	{"farOff", "model/pit.go", "farOff = 60.0", "farOff = 1e9"},
	{"dip", "model/pit.go", "dip = 12.0", "dip = 1e9"},
	{"lowest", "model/pit.go", "lowest = 104.0", "lowest = 0.0"},
	{"wrapFrom, wrapTo", "model/state.go", "math.Max(0, math.Min(1, (m.At+wrapTo-core)/(wrapTo-wrapFrom)))", "1 + 0*(wrapTo-wrapFrom)"},
	{"stillOn", "model/engine.go", "math.Max(hours, stillOn(h, p, e.j.Elapsed, .25))", "math.Max(hours, math.Max(Soonest, h))"},
	{"first .5 h", "model/engine.go", "if x.H < .5 ||", "if"},
	{"sdTransfer", "model/engine.go", "= .25, .35, .6", "= 1e-3, .35, .6"},
	{"sdSupply", "model/engine.go", "= .25, .35, .6", "= .25, 1e-3, .6"},
	{"sdCrust", "model/engine.go", "= .25, .35, .6", "= .25, .35, 1e-3"},
	{"slopeSD", "model/engine.go", "slopeSD     = .25", "slopeSD     = .00"},
	{"errorMemory", "model/engine.go", "errorMemory = 2.0", "errorMemory = .01"},
}

func main() {
	log.SetFlags(0)
	dir, err := os.MkdirTemp("", "ablate")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	base := scores(change{}, dir)
	fmt.Printf("%-18s %23s   %23s   %23s\n", "CRPS, % more than", "strangers left out", "realcooks, one left out", "samples, earlier known")
	fmt.Printf("%-18s %23s   %23s   %23s\n", "with it", "before  during   looks", "before  during   looks", "before  during   looks")
	fmt.Printf("%-18s", "as it is, h")
	show(base, func(i int) string { return fmt.Sprintf("%.3f", base[i]) })
	for _, c := range changes {
		if want := os.Args[1:]; len(want) > 0 && !slices.Contains(want, c.name) {
			continue
		}
		s := scores(c, dir)
		fmt.Printf("%-18s", c.name)
		show(s, func(i int) string { return fmt.Sprintf("%+.1f", 100*(s[i]/base[i]-1)) })
	}
}

func show(s []float64, cell func(int) string) {
	for i := range s {
		if i%3 == 0 {
			fmt.Print(" ")
		}
		fmt.Printf(" %7s", cell(i))
		if i%3 == 2 {
			fmt.Print(" ")
		}
	}
	fmt.Println()
}

// scores are those of fit.go with one change. What is known at a moment does not
// depend on the law, so it is read once for all changes of package people.
func scores(c change, dir string) (out []float64) {
	args := []string{"run"}
	if c.name != "" {
		args = append(args, "-overlay", overlay(c, dir))
	}
	args = append(args, root+"people/fit.go", "-scores")
	if c.name == "" || strings.HasPrefix(c.file, "people/") {
		args = append(args, "-cache", filepath.Join(dir, "moments"))
	}
	cmd := exec.Command("go", args...)
	cmd.Stderr = os.Stderr
	said, err := cmd.Output()
	if err != nil {
		log.Fatalf("%s: %v", c.name, err)
	}
	for _, word := range strings.Fields(string(said)) {
		var v float64
		if _, err := fmt.Sscan(word, &v); err != nil {
			log.Fatalf("%s: %q is no score", c.name, word)
		}
		out = append(out, v)
	}
	return out
}

// overlay is a file that makes the compiler read a changed source.
func overlay(c change, dir string) string {
	file, err := filepath.Abs(root + c.file)
	if err != nil {
		log.Fatal(err)
	}
	source, err := os.ReadFile(file)
	if err != nil {
		log.Fatal(err)
	}
	if strings.Count(string(source), c.old) != 1 {
		log.Fatalf("%s: %s holds %q %d times, want once", c.name, c.file, c.old, strings.Count(string(source), c.old))
	}
	changed, list := filepath.Join(dir, "changed.go"), filepath.Join(dir, "overlay.json")
	replace, err := json.Marshal(map[string]map[string]string{"Replace": {file: changed}})
	if err != nil {
		log.Fatal(err)
	}
	for name, data := range map[string][]byte{changed: []byte(strings.Replace(string(source), c.old, c.new, 1)), list: replace} {
		if err := os.WriteFile(name, data, 0o600); err != nil {
			log.Fatal(err)
		}
	}
	return list
}
