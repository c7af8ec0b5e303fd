//go:build ignore

// Fit fits the table of package people to the cooks in the folder that ASHBOOK_SHARED
// names (strangers, realcooks). It prints the table, then its scores on people left out
// of the fit, by part of the cook, and then its scores without each number:
//
//	ASHBOOK_SHARED=DIR go run report/forecast/people/fit.go
//
// With -scores it prints only a line of scores, for ablate.go.
package main

import (
	"context"
	"encoding/csv"
	"encoding/gob"
	"flag"
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
	"ashbook/samples"
)

// sample is one moment of one cook.
type sample struct {
	people.Moment
	Set, Person, Cook string
	Share             float64 // share of the cook that has passed, 0 to 1
	Look              bool    // the moment is one at which somebody read a core
	Took              float64 // true hours to go from the last reading
	Weight            float64
}

// numbers lists the fitted numbers of the table.
var numbers = []struct {
	name string
	of   func(*people.Table) *float64
}{
	{"Level", func(t *people.Table) *float64 { return &t.Level }},
	{"Scatter", func(t *people.Table) *float64 { return &t.Scatter }},
	{"Raise", func(t *people.Table) *float64 { return &t.Raise }},
	{"Begun", func(t *people.Table) *float64 { return &t.Begun }},
	{"Gone", func(t *people.Table) *float64 { return &t.Gone }},
	{"Pace", func(t *people.Table) *float64 { return &t.Pace }},
	{"Floor", func(t *people.Table) *float64 { return &t.Floor }},
}

// before is how many of numbers, from the first on, are fitted on moments before any
// reading.
const before = 2

func main() {
	log.SetFlags(0)
	scores := flag.Bool("scores", false, "print only a line of scores")
	cache := flag.String("cache", "", "file that stores the moments between runs")
	flag.Parse()
	root := os.Getenv("ASHBOOK_SHARED")
	if root == "" {
		log.Fatal("ASHBOOK_SHARED is not set: name the folder with strangers and realcooks")
	}
	all, own, persons := gather(root, *cache)
	if *scores {
		o := leaveOut(all, "", groups)
		fmt.Println(line(o, strangers), line(byPerson(own, "realcooks"), whole), line(byPerson(own, "samples"), whole))
		return
	}
	spreads := fitSpreads(persons)
	table := fit(all, "")
	old := people.Fitted()
	fmt.Printf("%-8s %8s %8s\n", "number", "fitted", "in force")
	for _, n := range numbers {
		fmt.Printf("%-8s %8.3f %8.3f\n", n.name, *n.of(&table), *n.of(&old))
	}
	was := people.FittedSpreads()
	for _, n := range spreadNames {
		fmt.Printf("%-8s %8.3f %8.3f\n", n.name, *n.of(&spreads), *n.of(&was))
	}
	one := leaveOut(all, "", math.MaxInt)
	fmt.Println("\neach person left out:")
	one.print()
	fmt.Println("\nrealcooks, all others known; samples, earlier ones known:")
	real, invented := byPerson(own, "realcooks"), byPerson(own, "samples")
	real.print()
	invented.print()
	full := leaveOut(all, "", groups)
	fmt.Printf("\nwithout: CRPS of strangers left out in %d groups, %% more\n%-10s  before  during   looks\n", groups, "")
	for _, n := range numbers {
		if n.name == "Level" || n.name == "Scatter" {
			continue
		}
		r := leaveOut(all, n.name, groups)
		fmt.Printf("%-10s", n.name)
		for part := range parts {
			fmt.Printf("  %+6.1f", 100*(r.crps(strangers, part)/full.crps(strangers, part)-1))
		}
		fmt.Println()
	}
}

// personOf returns a function that gives the person of a cook of strangers.
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

func strangers(s *sample) bool { return s.Set == "strangers" }
func realcooks(s *sample) bool { return s.Set == "realcooks" }
func whole(*sample) bool       { return true }

// parts is the number of parts into which the moments of a replay are divided: before
// the cook, at fixed shares of it, and where somebody read a core.
const parts = 3

// crps returns the mean CRPS of one part, h.
func (o *outcome) crps(in func(*sample) bool, part int) float64 {
	return o.of(func(s *sample) bool {
		return in(s) && part == map[bool]int{s.Read && !s.Look: 1, s.Look: 2}[true]
	}).CRPS
}

// line prints the CRPS of the parts, h.
func line(o outcome, in func(*sample) bool) string {
	return fmt.Sprintf("%.4f %.4f %.4f", o.crps(in, 0), o.crps(in, 1), o.crps(in, 2))
}

// told is a cook together with the lessons that its forecasts may use.
type told struct {
	Set     string
	Known   []people.Lesson
	Samples []sample
}

// gather returns three sets of moments: those of strangers, without cooks of their own;
// those of realcooks, with all others known; and those of samples, with the earlier
// ones known. It reads them from the cache file if there is one.
func gather(root, cache string) (all []sample, own []told, persons []past) {
	type kept struct {
		All     []sample
		Own     []told
		Persons []past
	}
	if data, err := os.Open(cache); err == nil {
		defer data.Close()
		var k kept
		if err := gob.NewDecoder(data).Decode(&k); err != nil {
			log.Fatal(err)
		}
		return k.All, k.Own, k.Persons
	}
	all = read(root, "strangers", personOf(root))
	all = append(all, read(root, "realcooks", realPerson)...)
	weigh(all)
	own = append(learning("realcooks", os.DirFS(path.Join(root, "realcooks")), func(c, o *journal.Cook) bool { return o.ID != c.ID }),
		learning("samples", samples.FS(), func(c, o *journal.Cook) bool {
			off, _ := o.Finish()
			on, _ := c.OnAt()
			return off.Before(on)
		})...)
	persons = append(pastOf("realcooks", os.DirFS(path.Join(root, "realcooks")), 1, realPerson), pastOf("strangers", os.DirFS(path.Join(root, "strangers")), 1, personOf(root))...)
	persons = append(persons, pastOf("samples", samples.FS(), .2, func(*journal.Cook) string { return "hall" })...)
	if cache != "" {
		file, err := os.Create(cache)
		if err != nil {
			log.Fatal(err)
		}
		defer file.Close()
		if err := gob.NewEncoder(file).Encode(kept{all, own, persons}); err != nil {
			log.Fatal(err)
		}
	}
	return all, own, persons
}

// realPerson returns the person of a cook of realcooks.
func realPerson(c *journal.Cook) string {
	if len(c.Series.Times) > 0 {
		return "logger " + c.ID
	}
	return "hand notes"
}

// past holds the lessons of one person.
type past struct {
	Lessons []people.Lesson
	Weight  float64
}

// pastOf returns the lessons of each person of a set.
func pastOf(set string, dir fs.FS, weight float64, personOf func(*journal.Cook) string) (out []past) {
	cooks, pits, settings := journalOf(dir)
	by := map[string][]journal.Cook{}
	var order []string
	for _, c := range cooks {
		p := personOf(&c)
		if len(by[p]) == 0 {
			order = append(order, p)
		}
		by[p] = append(by[p], c)
	}
	for _, p := range order {
		f := knowing(forecast.Learn(by[p], pits, settings, forecast.Options{}), func(*journal.Cook) bool { return true })
		out = append(out, past{f.Person().Lessons(), weight})
	}
	return out
}

// spreadNames lists the fitted Spreads.
var spreadNames = []struct {
	name string
	of   func(*people.Spreads) *float64
}{
	{"All", func(s *people.Spreads) *float64 { return &s.All }},
	{"Kg", func(s *people.Spreads) *float64 { return &s.Kg }},
	{"Plan", func(s *people.Spreads) *float64 { return &s.Plan }},
	{"Whole", func(s *people.Spreads) *float64 { return &s.Whole }},
	{"Left", func(s *people.Spreads) *float64 { return &s.Left }},
	{"Pace", func(s *people.Spreads) *float64 { return &s.Pace }},
	{"Physics", func(s *people.Spreads) *float64 { return &s.Physics }},
	{"Cook", func(s *people.Spreads) *float64 { return &s.Cook }},
	{"Reach", func(s *people.Spreads) *float64 { return &s.Reach }},
	{"Unread", func(s *people.Spreads) *float64 { return &s.Unread }},
}

// fitSpreads returns the spreads that make the lessons most probable. It fits their
// logarithms, so all are positive.
func fitSpreads(persons []past) people.Spreads {
	s := people.FittedSpreads()
	start := make([]float64, len(spreadNames))
	for i, n := range spreadNames {
		start[i] = math.Log(*n.of(&s))
	}
	set := func(x []float64) {
		for i, n := range spreadNames {
			*n.of(&s) = math.Exp(math.Max(-7, x[i]))
		}
		s.Unread = math.Min(1, s.Unread)
	}
	r, err := optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 {
		set(x)
		sum := 0.0
		for _, p := range persons {
			sum -= p.Weight * s.Evidence(p.Lessons)
		}
		return sum
	}}, start, &optimize.Settings{FuncEvaluations: 2500, Converger: &optimize.FunctionConverge{Absolute: 1e-3, Iterations: 100}}, &optimize.NelderMead{})
	if err != nil {
		log.Fatal(err)
	}
	set(r.X)
	return s
}

// learning returns the moments of each cook of a journal with the lessons it may use.
func learning(set string, dir fs.FS, knows func(c, o *journal.Cook) bool) (out []told) {
	cooks, pits, settings := journalOf(dir)
	x := forecast.Learn(cooks, pits, settings, forecast.Options{})
	for i := range cooks {
		f := knowing(x, func(o *journal.Cook) bool { return knows(&cooks[i], o) })
		out = append(out, told{set, f.Person().Lessons(), samplesOf(f, &cooks[i], sample{Set: set})})
	}
	return out
}

// knowing returns a Forecaster with the cooks for which use is true.
func knowing(x *forecast.Experience, use func(*journal.Cook) bool) *forecast.Forecaster {
	f, err := x.Where(context.Background(), use)
	if err != nil {
		log.Fatal(err)
	}
	return f
}

// byPerson forecasts each cook of a set with the lessons from the other cooks of its
// person.
func byPerson(all []told, set string) (o outcome) {
	for _, t := range all {
		if t.Set == set {
			p := people.Learn(t.Known)
			for i := range t.Samples {
				o.add(&t.Samples[i], p.Hours(&t.Samples[i].Moment))
			}
		}
	}
	return o
}

// read returns the moments of every finished cook: before it, at fixed shares of it, and
// where somebody read a core (for a probe: each hour).
func read(root, name string, personOf func(*journal.Cook) string) (out []sample) {
	cooks, pits, settings := journalOf(os.DirFS(path.Join(root, name)))
	f := forecast.Untaught(pits, settings)
	for i := range cooks {
		out = append(out, samplesOf(f, &cooks[i], sample{Set: name, Person: personOf(&cooks[i])})...)
	}
	return out
}

// journalOf returns the cooks, pits and settings of a journal.
func journalOf(dir fs.FS) (cooks []journal.Cook, pits map[string]journal.Pit, settings journal.Settings) {
	pits = map[string]journal.Pit{}
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
		cooks = append(cooks, *c)
		return nil
	})
	if err != nil {
		log.Fatal(err)
	}
	return cooks, pits, opt.Settings
}

func samplesOf(f *forecast.Forecaster, c *journal.Cook, of sample) (out []sample) {
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
		s := of
		s.Moment, s.Cook, s.Share, s.Look, s.Took = m, c.ID, h/took.Hours(), look, math.Max(.1, took.Hours()-m.At)
		out = append(out, s)
	}
	for _, s := range []float64{0, .1, .25, .5, .75, .9} {
		add(s*took.Hours(), false)
		out[len(out)-1].Share = s
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

// weigh sets the weights of moments, so that n moments of one cook count as much as √n,
// and n cooks of one person as much as √n.
func weigh(all []sample) {
	moments, cooks := map[string]float64{}, map[string]map[string]bool{}
	for _, s := range all {
		if s.Read {
			moments[s.Cook]++
		}
		if cooks[s.Person] == nil {
			cooks[s.Person] = map[string]bool{}
		}
		cooks[s.Person][s.Cook] = true
	}
	for i := range all {
		s := &all[i]
		s.Weight = 1 / math.Sqrt(float64(len(cooks[s.Person])))
		if s.Read {
			s.Weight /= math.Sqrt(moments[s.Cook])
		}
	}
}

// fit returns the table of greatest likelihood, fitted first without and then with readings.
// The number named without is set to its default.
func fit(all []sample, without string) people.Table {
	table := people.Fitted()
	for _, part := range [][2]int{{0, before}, {before, len(numbers)}} {
		var free []*float64
		for _, n := range numbers[part[0]:part[1]] {
			p := n.of(&table)
			switch {
			case n.name != without:
				free = append(free, p)
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

// unlikely returns −ln(likelihood) of the actual times to go, given that none was
// shorter than Since.
func unlikely(all []sample, t *people.Table, read bool) float64 {
	sum := 0.0
	for i := range all {
		s := &all[i]
		if s.Read != read {
			continue
		}
		l := t.Law(&s.Moment)
		z := (math.Log(s.Took) - l.Mean) / l.SD
		sum += s.Weight * (z*z/2 + math.Log(math.Abs(l.SD)))
		if s.Since > 0 {
			still := .5 * math.Erfc((math.Log(s.Since)-l.Mean)/l.SD/math.Sqrt2)
			sum += s.Weight * math.Log(math.Max(1e-6, still))
		}
	}
	return sum
}

// outcome holds forecasts and the actual times.
type outcome struct {
	all   []sample
	cases []score.Case
}

// groups is the number of groups into which people are divided to test many fits; each
// group in turn is left out of the fit and then forecast.
const groups = 10

// leaveOut forecasts each person's cooks with a table that was fitted without the
// person's group.
func leaveOut(all []sample, without string, groups int) (o outcome) {
	number := map[string]int{}
	for i := range all {
		if _, seen := number[all[i].Person]; !seen {
			number[all[i].Person] = len(number)
		}
	}
	for group := range min(groups, len(number)) {
		out := func(s sample) bool { return number[s.Person]%groups == group }
		table := fit(slices.DeleteFunc(slices.Clone(all), out), without)
		for _, s := range all {
			if !out(s) {
				continue
			}
			o.add(&s, people.Hours{Law: table.Law(&s.Moment), Since: s.Since})
		}
	}
	return o
}

func (o *outcome) add(s *sample, h people.Hours) {
	c := score.Case{Forecast: h.Quantile(.5), Lo: h.Quantile(.1), Hi: h.Quantile(.9), Value: s.Took - s.Since}
	for k := range 50 {
		c.Sample = append(c.Sample, h.Quantile((float64(k)+.5)/50))
	}
	o.all, o.cases = append(o.all, *s), append(o.cases, c)
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

func (o *outcome) print() {
	row := func(name string, in func(*sample) bool) {
		if s := o.of(in); s.N > 0 {
			fmt.Printf("%-26s n %3d  miss %.2f / %.2f  bias %+.2f  holds %3.0f %%  width %4.1f  CRPS %.3f\n", name, s.N, s.Mean, s.Median, s.Bias, 100*s.Covered, s.Width, s.CRPS)
		}
	}
	for _, set := range []string{"strangers", "realcooks", "samples"} {
		in := func(s *sample) bool { return s.Set == set }
		row(set+", before", func(s *sample) bool { return in(s) && !s.Read })
		row(set+", during", func(s *sample) bool { return in(s) && s.Read && !s.Look })
		for _, share := range []float64{.1, .25, .5, .75, .9} {
			row(fmt.Sprintf("  at %.0f %%", 100*share), func(s *sample) bool { return in(s) && s.Read && !s.Look && s.Share == share })
		}
		row(set+", looks", func(s *sample) bool { return in(s) && s.Look })
		for q := range 4 {
			lo, hi := float64(q)/4, float64(q+1)/4
			row(fmt.Sprintf("  %.0f to %.0f %%", 100*lo, 100*hi), func(s *sample) bool { return in(s) && s.Look && s.Share >= lo && s.Share < hi })
		}
	}
}
