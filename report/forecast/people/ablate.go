//go:build ignore

// Ablate prints how much each chosen number improves the forecast: it compares the
// scores of fit.go with that number at its natural default (off, 0 or 1) with the
// scores of the number in use. It changes the source only as the compiler sees it, not
// on disk:
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

// change sets one number to its default.
type change struct {
	name, file string
	old, new   string
}

var changes = []change{
	{"beginning", "people/law.go", "t.Begun*math.Max(0, math.Min(1, (fullWay-m.Left)/beginning))", "t.Begun"},
	{"paceFrom", "people/law.go", "math.Max(0, 1-math.Max(0, m.Left)/paceFrom)", "1"},
	{"farthest", "people/law.go", "farthest  = 1.0", "farthest  = 1e9"},
	{"leastGo", "people/law.go", "leastGo   = .1 ", "leastGo   = .01"},
	{"look", "people/law.go", "look      = .25", "look      = .05"},
	{"paceTrust, usualRise", "pace.go", "paceTrust = .5 ", "paceTrust = .02"},
	{"settling", "model/pit.go", "settling = 1.0", "settling = .01"},
	{"softHours", "model/state.go", "softFrom, softHours = 80.0, 1.5", "softFrom, softHours = 80.0, 1e-3"},
	{"readingSD", "model/engine.go", "readingSD   = 2.6", "readingSD   = 1.0"},
	{"errorMemory", "model/engine.go", "errorMemory = 2.0", "errorMemory = .01"},
	{"UsualShape", "model/state.go", "const UsualShape = .10", "const UsualShape = 1e-3"},

	{"lowest (seen)", "model/pit.go", "lowest = 104.0", "lowest = 0.0"},
	{"sdTransfer (published)", "model/engine.go", "sdTransfer = .25", "sdTransfer = 1e-3"},
	{"raised, of a plan (seen)", "learn.go", "whole(j.Raised())", "whole(j)"},
	{"wrap at its full", "people/law.go", "l.Mean += m.Wrap + ", "l.Mean += t.Raise*m.Wrap + "},
	{"cut off at 0", "people/person.go", "out.Mean += p.neverTurned(&t)", "_ = p.neverTurned"},
	{"doubt", "learn.go", "m.Doubt = j.Doubt()", "m.Doubt = 0"},
	{"kin of a setting", "people/person.go", "a.Bird == b.Bird && a.Setting == b.Setting", "a.Bird == b.Bird"},
	{"range by cut", "people/person.go", "other.Cut == t.Cut && ", ""},
}

func main() {
	log.SetFlags(0)
	dir, err := os.MkdirTemp("", "ablate")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	base := scores(change{}, dir)
	fmt.Printf("%-22s %23s   %23s   %23s\n", "CRPS, % more than", "strangers left out", "realcooks, one left out", "samples, earlier known")
	fmt.Printf("%-22s %23s   %23s   %23s\n", "with it", "before  during   looks", "before  during   looks", "before  during   looks")
	fmt.Printf("%-22s", "as it is, h")
	show(base, func(i int) string { return fmt.Sprintf("%.3f", base[i]) })
	for _, c := range changes {
		if want := os.Args[1:]; len(want) > 0 && !slices.Contains(want, c.name) {
			continue
		}
		s := scores(c, dir)
		fmt.Printf("%-22s", c.name)
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

// scores returns the scores of fit.go after one change. The moments do not depend on
// package people, so for all changes in that package they are read only once.
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
			log.Fatalf("%s: %q is not a score", c.name, word)
		}
		out = append(out, v)
	}
	return out
}

// overlay writes a file that makes the compiler read the changed source, and returns its
// name.
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
		log.Fatalf("%s: %s contains %q %d times, want once", c.name, c.file, c.old, strings.Count(string(source), c.old))
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
