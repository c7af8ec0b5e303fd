//go:build ignore

// Fit prints the table of the law of people, fitted on the cooks of the folder
// that ASHBOOK_SHARED names (strangers, realcooks), how it does on people left
// out, by part of the course, and what it costs to take each number out:
//
//	ASHBOOK_SHARED=DIR go run report/forecast/people/fit.go
package main

import (
	"context"
	"encoding/csv"
	"fmt"
	"io/fs"
	"log"
	"math"
	"os"
	"path"
	"slices"
	"strings"
	"time"

	"gonum.org/v1/gonum/optimize"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/series"
	"ashbook/report/forecast"
	"ashbook/report/forecast/people"
	"ashbook/report/numeric/score"
)

// sample is one moment of one cook.
type sample struct {
	people.Moment
	person string
	cook   string
	share  float64 // of the course
	look   bool
	took   float64 // h to go from the last reading
	weight float64
}

// numbers are those of the law, by name.
var numbers = []struct {
	name string
	of   func(*people.Table) *float64
}{
	{"Level", func(t *people.Table) *float64 { return &t.Level }},
	{"Slope", func(t *people.Table) *float64 { return &t.Slope }},
	{"Bird", func(t *people.Table) *float64 { return &t.Bird }},
	{"Scatter", func(t *people.Table) *float64 { return &t.Scatter }},
	{"Begun", func(t *people.Table) *float64 { return &t.Begun }},
	{"Gone", func(t *people.Table) *float64 { return &t.Gone }},
	{"Pace", func(t *people.Table) *float64 { return &t.Pace }},
	{"Fit", func(t *people.Table) *float64 { return &t.Fit }},
	{"Floor", func(t *people.Table) *float64 { return &t.Floor }},
}

// before counts the numbers of a cook that has no reading.
const before = 4

func main() {
	log.SetFlags(0)
	root := os.Getenv("ASHBOOK_SHARED")
	if root == "" {
		log.Fatal("ASHBOOK_SHARED is not set: name the folder with strangers and realcooks")
	}
	all := read(root, "strangers", personOf(root))
	all = append(all, read(root, "realcooks", func(c *journal.Cook) string {
		if len(c.Series.Times) > 0 {
			return "logger " + c.ID
		}
		return "hand notes"
	})...)
	weigh(all)
	table := fit(all, "")
	old := people.Fitted()
	fmt.Printf("%-8s %8s %8s\n", "number", "fitted", "in force")
	for _, n := range numbers {
		fmt.Printf("%-8s %8.3f %8.3f\n", n.name, *n.of(&table), *n.of(&old))
	}
	full := leaveOut(all, "")
	fmt.Println("\npeople left out:")
	full.print()
	fmt.Printf("\n%-10s %s\n", "without", "CRPS before and during, % more")
	for _, n := range numbers {
		if n.name == "Level" || n.name == "Scatter" {
			continue
		}
		r := leaveOut(all, n.name)
		fmt.Printf("%-10s %+6.1f %+6.1f\n", n.name, 100*(r.crps(0)/full.crps(0)-1), 100*(r.crps(1)/full.crps(1)-1))
	}
}

// personOf reads whose a cook of the strangers is.
func personOf(root string) func(*journal.Cook) string {
	f, err := os.Open(path.Join(root, "strangers", "people.csv"))
	if err != nil {
		log.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		log.Fatal(err)
	}
	return func(c *journal.Cook) string {
		for _, r := range rows {
			if r[0] == c.ID {
				return r[1]
			}
		}
		log.Fatalf("people.csv does not name %s", c.ID)
		return ""
	}
}

// read takes up the moments of every finished cook: before it, at parts of the
// course, and where somebody read a core (a probe: each hour).
func read(root, name string, personOf func(*journal.Cook) string) (out []sample) {
	dir := os.DirFS(path.Join(root, name))
	pits := map[string]journal.Pit{}
	var opt cookfile.Options
	if data, err := fs.ReadFile(dir, "journal.md"); err == nil {
		opt.Settings, _, _ = cookfile.ParseSettings("journal.md", data)
	}
	files, err := fs.Glob(dir, "pits/*.md")
	if err != nil {
		log.Fatal(err)
	}
	for _, file := range files {
		data, err := fs.ReadFile(dir, file)
		if err != nil {
			log.Fatal(err)
		}
		p, _, err := cookfile.ParsePit(file, data)
		if err != nil {
			log.Fatal(err)
		}
		pits[p.Name] = p
	}
	x, err := forecast.Learn(context.Background(), nil, pits, opt.Settings, nil)
	if err != nil {
		log.Fatal(err)
	}
	f := x.All()
	err = fs.WalkDir(dir, "cooks", func(file string, d fs.DirEntry, err error) error {
		if err != nil || path.Ext(file) != ".md" {
			return err
		}
		data, err := fs.ReadFile(dir, file)
		if err != nil {
			return err
		}
		parsed, err := cookfile.Parse(file, data, opt)
		if err != nil {
			return err
		}
		c := &parsed.Cook
		beside := strings.TrimSuffix(file, ".md") + ".csv"
		if data, err := fs.ReadFile(dir, beside); err == nil {
			c.Series, _, _ = series.Parse(beside, data)
		}
		out = append(out, samples(f, c, personOf(c))...)
		return nil
	})
	if err != nil {
		log.Fatal(err)
	}
	return out
}

func samples(f *forecast.Forecaster, c *journal.Cook, person string) (out []sample) {
	on, started := c.OnAt()
	took, done := c.Took()
	if !started || !done {
		return nil
	}
	add := func(h float64, look bool) {
		now := on.Add(time.Duration(h * float64(time.Hour)))
		if h == 0 {
			now = time.Time{} // the plan
		}
		m := f.Moment(c, now)
		if h > 0 && !m.Read {
			return
		}
		out = append(out, sample{Moment: m, person: person, cook: c.ID, share: h / took.Hours(), look: look, took: math.Max(.1, took.Hours()-m.At)})
	}
	for _, s := range []float64{0, .1, .25, .5, .75, .9} {
		add(s*took.Hours(), false)
		out[len(out)-1].share = s
	}
	const apart, end = .05, .25 // h
	var looks []float64
	for i := range max(1, len(c.Pieces)) {
		last := 0.0
		for _, r := range c.CoreReadings(i) {
			h := r.Time.Sub(on).Hours()
			if h < apart || h > took.Hours()-end || r.Probe && h < last+1 {
				continue
			}
			if r.Probe {
				last = math.Floor(h)
			}
			looks = append(looks, h)
		}
	}
	slices.Sort(looks)
	for _, h := range slices.CompactFunc(looks, func(a, b float64) bool { return math.Abs(b-a) < apart }) {
		add(h, true)
	}
	return out
}

// weigh lets n moments of one cook count as √n moments, and so n cooks of one
// person.
func weigh(all []sample) {
	moments, cooks := map[string]float64{}, map[string]map[string]bool{}
	for _, s := range all {
		if s.Read {
			moments[s.cook]++
		}
		if cooks[s.person] == nil {
			cooks[s.person] = map[string]bool{}
		}
		cooks[s.person][s.cook] = true
	}
	for i := range all {
		s := &all[i]
		s.weight = 1 / math.Sqrt(float64(len(cooks[s.person])))
		if s.Read {
			s.weight /= math.Sqrt(moments[s.cook])
		}
	}
}

// fit is the table of most likelihood, first without and then with readings;
// the number named without is 0, for Slope 1.
func fit(all []sample, without string) people.Table {
	table := people.Fitted()
	for _, part := range [][2]int{{0, before}, {before, len(numbers)}} {
		var free []*float64
		for _, n := range numbers[part[0]:part[1]] {
			p := n.of(&table)
			switch {
			case n.name != without:
				free = append(free, p)
			case n.name == "Slope":
				*p = 1
			case n.name == "Floor":
				*p = 1e-3
			default:
				*p = 0
			}
		}
		start := make([]float64, len(free))
		for i, p := range free {
			start[i] = *p
		}
		set := func(x []float64) {
			for i, p := range free {
				*p = x[i]
			}
		}
		r, err := optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 {
			set(x)
			return unlikely(all, &table, part[0] > 0)
		}}, start, &optimize.Settings{FuncEvaluations: 3000, Converger: &optimize.FunctionConverge{Absolute: 1e-6, Iterations: 60}}, &optimize.NelderMead{})
		if err != nil {
			log.Fatal(err)
		}
		set(r.X)
	}
	table.Scatter, table.Floor = math.Abs(table.Scatter), math.Abs(table.Floor)
	return table
}

// unlikely is −ln of the likelihood of the times, given that none was over
// sooner than the moment.
func unlikely(all []sample, t *people.Table, read bool) float64 {
	sum := 0.0
	for i := range all {
		s := &all[i]
		if s.Read != read {
			continue
		}
		l := t.Law(&s.Moment)
		z := (math.Log(s.took) - l.Mean) / l.SD
		sum += s.weight * (z*z/2 + math.Log(math.Abs(l.SD)))
		if s.Since > 0 {
			still := .5 * math.Erfc((math.Log(s.Since)-l.Mean)/l.SD/math.Sqrt2)
			sum += s.weight * math.Log(math.Max(1e-6, still))
		}
	}
	return sum
}

// outcome holds the forecasts of people left out.
type outcome struct {
	all   []sample
	cases []score.Case
}

func leaveOut(all []sample, without string) (o outcome) {
	done := map[string]bool{}
	for i := range all {
		person := all[i].person
		if done[person] {
			continue
		}
		done[person] = true
		table := fit(slices.DeleteFunc(slices.Clone(all), func(s sample) bool { return s.person == person }), without)
		for _, s := range all {
			if s.person != person {
				continue
			}
			h := people.Hours{Law: table.Law(&s.Moment), Since: s.Since}
			c := score.Case{Forecast: h.Quantile(.5), Lo: h.Quantile(.1), Hi: h.Quantile(.9), Value: s.took - s.Since}
			for k := range 50 {
				c.Sample = append(c.Sample, h.Quantile((float64(k)+.5)/50))
			}
			o.all, o.cases = append(o.all, s), append(o.cases, c)
		}
	}
	return o
}

func (o *outcome) of(in func(*sample) bool) score.Summary {
	var cases []score.Case
	for i := range o.all {
		if in(&o.all[i]) {
			cases = append(cases, o.cases[i])
		}
	}
	return score.Summarise(cases)
}

// crps before a cook (0) and during (1), all people.
func (o *outcome) crps(during int) float64 {
	return o.of(func(s *sample) bool { return s.Read == (during == 1) }).CRPS
}

func (o *outcome) print() {
	row := func(name string, in func(*sample) bool) {
		if s := o.of(in); s.N > 0 {
			fmt.Printf("%-26s n %3d  miss %.2f / %.2f  bias %+.2f  holds %3.0f %%  width %4.1f  CRPS %.3f\n", name, s.N, s.Mean, s.Median, s.Bias, 100*s.Covered, s.Width, s.CRPS)
		}
	}
	for _, set := range []string{"strangers", "realcooks"} {
		own := func(s *sample) bool {
			return (set == "realcooks") == (strings.HasPrefix(s.person, "hand") || strings.HasPrefix(s.person, "logger"))
		}
		row(set+", before", func(s *sample) bool { return own(s) && !s.Read })
		row(set+", during", func(s *sample) bool { return own(s) && s.Read && !s.look })
		for _, share := range []float64{.1, .25, .5, .75, .9} {
			row(fmt.Sprintf("  at %.0f %%", 100*share), func(s *sample) bool { return own(s) && s.Read && !s.look && s.share == share })
		}
		row(set+", looks", func(s *sample) bool { return own(s) && s.look })
	}
}
