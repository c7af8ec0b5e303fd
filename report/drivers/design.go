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

// spec is a column whose effect may be estimated.
type spec struct {
	column frame.Column
	step   float64 // numbers: the change whose effect is printed, in the unit of the column
	change string  // numbers: that change in words
	family bool    // words: each value is compared with the mean of the others
}

// The columns whose effects may be estimated, the likeliest causes first. Of those that
// differ between cooks, the first bayes.MostOptional are used for scores, and the first
// mostTime for time.
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

// step is the change of a number whose effect is printed, in the unit of the column: a
// round one in the unit of the reader.
type step struct {
	by, us float64 // us: if °F, lb and mph are printed; 0: same as by
	word   string  // the change in words; %s is its size
}

// US units, converted to the units of the columns.
const (
	fahrenheit = 1 / 1.8
	pound      = .45359237
	ounce      = pound / 16
	mph        = 1609.344 / 3600
)

// steps are the changes of numbers (chosen: what a person might change).
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

// value is one column of the design: of a number, or of one value of a word.
type value struct {
	at            int     // index in design.columns
	spread        float64 // numbers: steps between the 10th and 90th percentile, at least 1
	word          string
	change        string  // as printed
	with, without int     // number of cooks with it and without it
	expected      float64 // time only: effect of one step by the physics, ln hours
	middle        float64 // numbers: cooks above it count as with, the others as without; words: .5
}

// field is a spec whose values differ among the cooks.
type field struct {
	spec   spec
	values []value
	cells  []frame.Value // one for each cook, then for each row
	known  int
	same   []string
	base   string          // words: the value the others are compared with; "" for a family
	cores  map[int]float64 // wrap: core at which the row was wrapped, by cell, °C
}

// design holds the cooks as columns of numbers.
type design struct {
	cooks   []*frame.Cook
	fields  []*field
	columns [][]float64 // numbers in steps; the mean if not noted
	shown   [][]float64 // numbers as drawn: in the unit of the column
	noted   [][]bool
	// rows are further rows below the cooks in every column; nothing is learned from
	// them. With all set, everything noted in any of them is a field.
	rows []Row
	all  bool
	// hurried is the index of the column of cooks that were hurried, −1 if none. It
	// belongs to no field, so it is not printed.
	hurried int
}

// Row returns the values of a cook, real or not.
type Row func(frame.Column) frame.Value

// mostTime is the greatest number of fields for time. It is larger than for scores, because
// causes that the simulation includes are not optional.
const mostTime = 20

func (t Target) most() int {
	if t == Time {
		return mostTime
	}
	return bayes.MostOptional
}

// An effect is estimated only if its cause is noted in this share of the cooks, with
// this many cooks on each side (chosen).
const (
	notedShare = .5
	eachSide   = 2
)

func newDesign(cooks []*frame.Cook, t Target, opt Options, r *Report) *design {
	d := &design{cooks: cooks, hurried: -1}
	d.ask(t, opt.Units, r)
	return d
}

// ask adds a field for each column that differs, and reports why others have none.
func (d *design) ask(t Target, units measure.System, r *Report) {
	cooks := d.cooks
	for _, s := range t.specs(units) {
		silent := func(format string, a ...any) {
			r.Silent = append(r.Silent, Silent{s.column.Name, fmt.Sprintf(format, a...)})
		}
		f := &field{spec: s, cells: make([]frame.Value, len(cooks)+len(d.rows)), cores: map[int]float64{}}
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
				f.cells[i].Known = true // not noted means none
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
			silent("always changed together with %s, so their effects cannot be separated", twin.spec.column.Name)
			d.drop(f)
			continue
		}
		if most := t.most(); len(d.fields) > most {
			silent("not worked out: %d likelier causes come first", most)
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

// add adds a field and its columns; it returns false if the field does not differ.
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

// inSteps returns a function that divides a number by the step of its column. Weights are
// counted on a logarithmic scale, because cooking time is a power of the weight; a step
// there is as large as the column's step at the median weight.
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
	if name := f.spec.column.Name; d.all && (name == frame.Wrap || name == frame.Cut) {
		// The simulation gives its effect. Without it, a quick turkey among slow
		// shoulders would look like an effect of a hotter pit.
		least = 1
	}
	var words []string
	for w, n := range counts {
		if n >= least {
			words = append(words, w)
		}
	}
	// The most frequent first, then by name.
	slices.SortFunc(words, func(a, b string) int {
		if counts[a] != counts[b] {
			return counts[b] - counts[a]
		}
		return strings.Compare(a, b)
	})
	for i, v := range f.cells {
		if v.Known && counts[v.Word] < least {
			f.cells[i].Known = false // too few cooks
		}
	}
	f.count()
	if d.all && f.spec.column.Name == frame.Wrap && len(words) == 1 && words[0] != "none" {
		words = append(words, "none") // all are wrapped alike, but one may have been wrapped earlier
	}
	if len(words) < 2 {
		return
	}
	many := f.spec.family && len(words) > 2 && !d.all
	if !many {
		// The other values are compared with bare or none.
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

// thickness is the column that is compared at equal weight: heavier pieces are thicker, and
// that effect belongs to the weight.
const thickness = frame.ThickestPiece

// numbers returns the cells of a number. A thickness is converted to the median weight, at
// the usual shape.
func (d *design) numbers(f *field) []float64 {
	out := make([]float64, len(f.cells))
	for i, v := range f.cells {
		out[i] = v.Number
	}
	if f.spec.column.Name != thickness {
		return out
	}
	var shapes, sides []float64 // for cooks with both noted: thickness/∛kg, and ∛kg
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

// value returns a column of cook i, or of a further row if i is beyond the cooks.
func (d *design) value(col frame.Column, i int) frame.Value {
	if i < len(d.cooks) {
		return d.cooks[i].Of(col)
	}
	return d.rows[i-len(d.cooks)](col)
}

// spoken returns a value as printed.
func spoken(f *field, w string) string {
	if w == "none" && f.spec.column.Name == frame.Wrap {
		return "bare"
	}
	return w
}

// column adds a column to the design; cells not noted get the mean. Shown is what is drawn;
// nil: the same.
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

// drop removes the last field.
func (d *design) drop(f *field) {
	n := len(d.columns) - len(f.values)
	d.columns, d.noted, d.shown = d.columns[:n], d.noted[:n], d.shown[:n]
	d.fields = d.fields[:len(d.fields)-1]
}

// alwaysTogether is the least correlation at which two columns count as the same.
const alwaysTogether = .999

// twin returns an earlier field with the same column, or nil.
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

// centred returns the columns of the first n cooks minus the mean of all.
func (d *design) centred(n int) [][]float64 {
	out := make([][]float64, len(d.columns))
	for k, c := range d.columns {
		out[k] = about(c, n)
	}
	return out
}

// about returns the first n values, each minus the mean of all values.
func about(values []float64, n int) []float64 {
	mean := meanOf(values)
	out := make([]float64, n)
	for i, x := range values[:n] {
		out[i] = x - mean
	}
	return out
}

func correlation(a, b []float64) float64 { return correlated(about(a, len(a)), about(b, len(b))) }

// correlated returns the correlation of values whose mean is 0.
func correlated(a, b []float64) float64 {
	ab, aa, bb := floats.Dot(a, b), floats.Dot(a, a), floats.Dot(b, b)
	if aa <= 0 || bb <= 0 {
		return 0
	}
	return ab / math.Sqrt(aa*bb)
}
