package drivers

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ashbook/journal/measure"
	"ashbook/report/frame"
	"ashbook/report/numeric/bayes"

	"gonum.org/v1/gonum/floats"
)

// spec is a column that may matter.
type spec struct {
	column frame.Column
	step   float64 // numbers: the change told, in the unit of the column
	change string  // numbers: that change in words
	family bool    // words that are members of one kind: shrunk
}

// What may matter, the likeliest first; at most bayes.MostOptional of those that differ
// are asked of scores, mostTime of time.
var (
	forTime = []string{
		frame.HeaviestPiece, frame.PitMean, frame.Wrap, frame.Cut, frame.CoreOff, frame.CoreOn, frame.ThickestPiece,
		frame.LidOpened, frame.WaterPan, frame.Pit, frame.Pieces, frame.Spritzed, frame.Supplier, frame.Wood, frame.Air, frame.Wind, frame.Fuel, frame.SaltRate, frame.Rub, frame.Bone,
	}
	forScores = []string{
		frame.Supplier, frame.Cut, frame.Wrap, frame.Wood, frame.CoreOff, frame.Held, frame.OnToOff, frame.SaltRate, frame.WoodMass, frame.Spritzed,
		frame.PitMean, frame.Pit, frame.SaltedAhead, frame.WaterPan, frame.Rub, frame.Pieces, frame.Fuel,
	}
)

var families = []string{frame.Pit, frame.Supplier, frame.Cut, frame.Rub, frame.Wood}

// step is a change of a number that is told, in the unit of the column: a whole
// one in the reader's unit.
type step struct {
	by, us float64 // us: for a reader of °F, lb and mph; 0: by
	word   string  // with %s for the change
}

// Units of the other system, in those of the columns.
const (
	fahrenheit = 1 / 1.8
	pound      = .45359237
	ounce      = pound / 16
	mph        = 1609.344 / 3600
)

// steps are the changes told of numbers (chosen: what a person might change).
var steps = map[string]step{
	frame.Pieces: {1, 0, "each further piece"}, frame.Spritzed: {1, 0, "each spritz"}, frame.LidOpened: {1, 0, "each lid opening"},
	frame.Air: {10, 20 * fahrenheit, "%s warmer"}, frame.Wind: {5, 10 * mph, "%s more"}, frame.PitMean: {10, 20 * fahrenheit, "%s hotter"},
	frame.HeaviestPiece: {1, 2 * pound, "%s heavier"}, frame.SaltRate: {5, 0, "%s more"}, frame.CoreOn: {5, 10 * fahrenheit, "%s warmer"},
	frame.CoreOff: {5, 10 * fahrenheit, "%s hotter"}, frame.Held: {2, 0, "2 h longer"}, frame.OnToOff: {4, 0, "4 h longer"},
	frame.ThickestPiece: {.01, .0254 / 2, "%s thicker, same weight"},
	frame.WoodMass:      {.1, 4 * ounce, "%s more"}, frame.SaltedAhead: {12, 0, "12 h longer"},
}

func (t Target) specs(units measure.System) []spec {
	names := forScores
	if t == Time {
		names = forTime
	}
	var out []spec
	for _, n := range names {
		s := spec{column: frame.Named(n), family: slices.Contains(families, n)}
		if step, ok := steps[n]; ok {
			s.step, s.change = step.by, step.word
			if units == measure.US && step.us > 0 {
				s.step = step.us
			}
			if strings.Contains(s.change, "%s") {
				by := strings.Replace(strings.TrimPrefix(s.column.FormatDifference(s.step, units), "+"), ".0 ", " ", 1)
				s.change = fmt.Sprintf(s.change, by)
			}
		}
		out = append(out, s)
	}
	return out
}

// value is one column of numbers: a number's, or one value of a word.
type value struct {
	at            int     // in design.columns
	spread        float64 // numbers: how many steps are between most cooks, at least 1
	word          string
	change        string
	with, without int
	expected      float64 // time: what the physics makes of it, ln a step
	middle        float64 // numbers: what parts the two; words: half of the 1 of with
}

// field is a spec that differs among the cooks.
type field struct {
	spec   spec
	values []value
	cells  []frame.Value // by cook; not Known where it counts as not noted
	known  int
	same   []string
	base   string // words: what the values are held against; "" for a family of many
}

// design is the cooks as columns of numbers.
type design struct {
	cooks   []*frame.Cook
	fields  []*field
	columns [][]float64 // numbers in units of their step; not noted is the mean
	shown   [][]float64 // the same as a picture shows it: numbers in the unit of the column
	noted   [][]bool
	// rows come after the cooks in every column: they teach nothing. Where they
	// are asked about, everything noted anywhere is a field.
	rows []Row
	all  bool
	// hurried is the column of what was done because a cook was late, -1 without
	// one. It belongs to no field, so no page shows it.
	hurried int
}

// Row is a cook that may never have been cooked, column by column.
type Row func(frame.Column) frame.Value

// mostTime is how many things are asked of time: those of which the physics
// knows are always weighed, so there are more.
const mostTime = 20

func (t Target) most() int {
	if t == Time {
		return mostTime
	}
	return bayes.MostOptional
}

// How many cooks must have noted a thing, as a share, and how many must be
// on each side, before it is asked about (chosen).
const (
	notedShare = .5
	eachSide   = 2
)

func newDesign(cooks []*frame.Cook, t Target, opt Options, r *Report) *design {
	d := &design{cooks: cooks, hurried: -1}
	d.ask(t, opt.Units, r)
	return d
}

// ask makes a field of each column in which cooks differ, and notes why others are left out.
func (d *design) ask(t Target, units measure.System, r *Report) {
	cooks := d.cooks
	for _, s := range t.specs(units) {
		silent := func(format string, a ...any) {
			r.Silent = append(r.Silent, Silent{s.column.Name, fmt.Sprintf(format, a...)})
		}
		f := &field{spec: s, cells: make([]frame.Value, len(cooks)+len(d.rows))}
		for i := range f.cells {
			f.cells[i] = d.value(s.column, i)
			if v := &f.cells[i]; s.column.Kind == frame.Word {
				v.Word = strings.ToLower(strings.TrimSpace(v.Word))
				v.Known = v.Known && v.Word != ""
			}
		}
		f.count()
		if s.column.Unnoted && f.known > 0 {
			for i := range f.cells {
				f.cells[i].Known = true // left out is none
			}
			f.count()
		}
		switch {
		case f.known == 0:
			silent("never noted")
			continue
		case d.all:
			d.add(f)
			continue
		case float64(f.known) < notedShare*float64(len(cooks)):
			silent("noted for %d of %d cooks", f.known, len(cooks))
			continue
		case !d.add(f):
			silent("the same, or nearly, in all cooks that noted it")
			continue
		}
		if twin := d.twin(f); twin != nil {
			twin.same = append(twin.same, s.column.Name)
			silent("changed always together with %s: nothing can tell them apart", twin.spec.column.Name)
			d.drop(f)
			continue
		}
		if most := t.most(); len(d.fields) > most {
			silent("not asked: %d others come first", most)
			d.drop(f)
		}
	}
	if t == Time {
		d.hurry()
	}
}

func (f *field) count() {
	f.known = 0
	for _, v := range f.cells {
		if v.Known {
			f.known++
		}
	}
}

// add makes the columns of a field; false when it does not differ.
func (d *design) add(f *field) bool {
	before := len(d.columns)
	if f.spec.column.Kind == frame.Word {
		d.addWords(f)
	} else {
		d.addNumber(f)
	}
	if len(f.values) == 0 {
		return false
	}
	for k := range f.values {
		f.values[k].at = before + k
	}
	d.fields = append(d.fields, f)
	return true
}

func (d *design) addNumber(f *field) {
	numbers := d.numbers(f)
	var known []float64
	for i, v := range f.cells {
		if v.Known {
			known = append(known, numbers[i])
		}
	}
	sorted := slices.Sorted(slices.Values(known))
	middle := (sorted[0] + sorted[len(sorted)-1]) / 2
	low, high := sorted[len(sorted)/10], sorted[len(sorted)-1-len(sorted)/10]
	steps := inSteps(f.spec, sorted[len(sorted)/2])
	v := value{change: f.spec.change, middle: middle, spread: math.Max(1, steps(high)-steps(low))}
	for _, x := range known {
		if x > middle {
			v.with++
		} else {
			v.without++
		}
	}
	if !d.all && (sorted[len(sorted)-1]-sorted[0] < f.spec.column.Matters || min(v.with, v.without) < eachSide) {
		return
	}
	f.values = []value{v}
	d.column(f, func(i int) float64 { return steps(numbers[i]) }, numbers)
}

// inSteps counts a number in steps of the change told. The time a piece takes goes as
// a power of its weight (heat into a body: its thickness squared), so weights are
// counted by their ln, in steps as large as the one up from the middle.
func inSteps(s spec, middle float64) func(float64) float64 {
	if s.column.Name == frame.HeaviestPiece && middle > 0 {
		step := math.Log1p(s.step / middle)
		return func(kg float64) float64 { return math.Log(math.Max(kg, .01)) / step }
	}
	return func(x float64) float64 { return x / s.step }
}

func (d *design) addWords(f *field) {
	counts, least := map[string]int{}, eachSide
	for _, v := range f.cells {
		if v.Known {
			counts[v.Word]++
		}
	}
	if d.all && f.spec.column.Name == frame.Wrap {
		least = 1 // the physics knows it
	}
	var words []string
	for w, n := range counts {
		if n >= least {
			words = append(words, w)
		}
	}
	// The most frequent first, the rest by name.
	slices.SortFunc(words, func(a, b string) int {
		if counts[a] != counts[b] {
			return counts[b] - counts[a]
		}
		return strings.Compare(a, b)
	})
	for i, v := range f.cells {
		if v.Known && counts[v.Word] < least {
			f.cells[i].Known = false // alone in the journal
		}
	}
	f.count()
	if len(words) < 2 {
		return
	}
	many := f.spec.family && len(words) > 2 && !d.all
	if !many {
		// Bare and none are what others are held against.
		if i := slices.Index(words, "none"); i > 0 {
			words = slices.Insert(slices.Delete(words, i, i+1), 0, "none")
		}
		f.base, words = words[0], words[1:]
	}
	for _, w := range words {
		v := value{word: w, spread: 1, middle: .5, change: fmt.Sprintf("%s instead of %s", spoken(f, w), spoken(f, f.base)), with: counts[w], without: counts[f.base]}
		if many {
			v.change, v.without = w+" against the others", f.known-counts[w]
		}
		f.values = append(f.values, v)
		d.column(f, func(i int) float64 {
			if f.cells[i].Word == w {
				return 1
			}
			return 0
		}, nil)
	}
}

// thickness compares pieces of the same weight: heavier pieces are thicker too, and
// that effect counts as part of the weight's.
const thickness = frame.ThickestPiece

// numbers are the cells of a number; a thickness is what it would be at the
// middle weight, had the piece kept its shape.
func (d *design) numbers(f *field) []float64 {
	out := make([]float64, len(f.cells))
	for i, v := range f.cells {
		out[i] = v.Number
	}
	if f.spec.column.Name != thickness {
		return out
	}
	var shapes, sides []float64 // of the cooks that noted both: m per cube root of kg, and that
	side := make([]float64, len(f.cells))
	for i, v := range f.cells {
		if kg := d.value(frame.Named(frame.HeaviestPiece), i); v.Known && kg.Known && kg.Number > 0 && v.Number > 0 {
			side[i] = math.Cbrt(kg.Number)
			shapes, sides = append(shapes, v.Number/side[i]), append(sides, side[i])
		}
	}
	if len(shapes) == 0 {
		return out
	}
	slices.Sort(shapes)
	slices.Sort(sides)
	for i := range out {
		if side[i] > 0 {
			out[i] -= shapes[len(shapes)/2] * (side[i] - sides[len(sides)/2])
		}
	}
	return out
}

// value is a column of a cook or, after these, of a row.
func (d *design) value(col frame.Column, i int) frame.Value {
	if i < len(d.cooks) {
		return d.cooks[i].Of(col)
	}
	return d.rows[i-len(d.cooks)](col)
}

// spoken is a value as people say it.
func spoken(f *field, w string) string {
	if w == "none" && f.spec.column.Name == frame.Wrap {
		return "bare"
	}
	return w
}

// column adds numbers, shown as given or, where nil, as they are; what is not noted
// counts as the mean of what is.
func (d *design) column(f *field, of func(cell int) float64, shown []float64) {
	x, noted := make([]float64, len(f.cells)), make([]bool, len(f.cells))
	mean := 0.0
	for i, v := range f.cells {
		if v.Known {
			x[i], noted[i] = of(i), true
			mean += x[i] / float64(f.known)
		}
	}
	for i := range x {
		if !noted[i] {
			x[i] = mean
		}
	}
	if shown == nil {
		shown = x
	}
	d.columns, d.noted, d.shown = append(d.columns, x), append(d.noted, noted), append(d.shown, shown)
}

// drop takes the last field away again.
func (d *design) drop(f *field) {
	n := len(d.columns) - len(f.values)
	d.columns, d.noted, d.shown = d.columns[:n], d.noted[:n], d.shown[:n]
	d.fields = d.fields[:len(d.fields)-1]
}

// alwaysTogether is the correlation from which two columns are one.
const alwaysTogether = .999

// twin is an earlier field of one column that this one's repeats.
func (d *design) twin(f *field) *field {
	if len(f.values) != 1 {
		return nil
	}
	for _, g := range d.fields {
		if g != f && len(g.values) == 1 && math.Abs(correlation(d.columns[g.values[0].at], d.columns[f.values[0].at])) > alwaysTogether {
			return g
		}
	}
	return nil
}

// centred are the columns of the first n cooks about their means.
func (d *design) centred(n int) [][]float64 {
	out := make([][]float64, len(d.columns))
	for k, c := range d.columns {
		out[k] = about(c, n)
	}
	return out
}

// about are the first n of values about the mean of all.
func about(values []float64, n int) []float64 {
	mean := meanOf(values)
	out := make([]float64, n)
	for i, x := range values[:n] {
		out[i] = x - mean
	}
	return out
}

func correlation(a, b []float64) float64 { return correlated(about(a, len(a)), about(b, len(b))) }

// correlated is correlation of values about their means.
func correlated(a, b []float64) float64 {
	ab, aa, bb := floats.Dot(a, b), floats.Dot(a, a), floats.Dot(b, b)
	if aa <= 0 || bb <= 0 {
		return 0
	}
	return ab / math.Sqrt(aa*bb)
}
